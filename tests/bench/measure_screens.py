"""Every screen of the app in every look and language, measured: python -m tests.bench.measure_screens

Prints a line for each screen as it is measured, then the table's totals: how many of its views (a look in a language)
it was seen in, and how many faults of each kind were found: texts cut, texts that lie on one another, texts of weak
contrast, targets too small or too close, no way back. The faults themselves stand below their screen, each once.

The suite shows each screen once, in the tests' longest language; this is the full product, and takes hours. A part of
it: --only NAME (may be the beginning of a name, and be given again), --languages fr es, --looks 800x1280.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.tablet.screens import LOOKS, NO_WAY_BACK, Look, leaves, measured, shown, speaking_pseudo, sweep, swept_by_hand  # isort: skip  first: the toolkit

from coach import paths
from coach.language import LANGUAGES, PSEUDO
from coach.tablet.catalogue import SCREENS
from coach.tablet.showroom import Screen, Showroom
from tests.language.pseudo import write_pseudo

KINDS = ("cut", "over", "contrast", "targets", "back")
CODES = (*LANGUAGES, PSEUDO)
MOST_SHOWN = 6  # faults of one screen that are written out


@dataclass
class Row:
    """What was found on a screen. views: in how many looks and languages; kinds: faults by kind; least: mm and ratio."""

    views: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    faults: dict[str, list[str]] = field(default_factory=dict)
    least_target: float = 99.0
    least_contrast: float = 99.0

    def line(self, name: str) -> str:
        """One line of the table."""
        counts = "".join(f"{self.kinds[kind]:10d}" for kind in KINDS)
        return f"{name:24s}{self.views:6d}{counts}{self.kinds.total():8d}{self.least_target:9.1f}{self.least_contrast:9.1f}"


def view_of(room: Showroom, screen: Screen, look: Look, code: str, row: Row) -> None:
    """Show a screen once and put what is found into its row."""
    with shown(room, screen, look, code) as (drive, shell):
        found = measured(drive)
        by_kind = {
            "cut": found.cut,
            "over": found.over,
            "contrast": found.weak,
            "targets": [*found.small, *found.close],
            "back": [] if leaves(shell) or screen.name in NO_WAY_BACK else ["no way back"],
        }
    sweep()
    row.views += 1
    row.least_target = min(row.least_target, found.least_target)
    row.least_contrast = min(row.least_contrast, found.least_contrast)
    for kind, lines in by_kind.items():
        once = dict.fromkeys(lines)
        row.kinds[kind] += len(once)
        for line in once:
            row.faults.setdefault(f"{kind}: {line}", []).append(f"{code} {look}")


def measure(
    room: Showroom, screens: Sequence[Screen], looks: Sequence[Look], codes: Sequence[str], until: float
) -> dict[str, Row]:
    """The table by screen, printed as it grows. until: no further screen is begun after this time (s, `time.monotonic`)."""
    print(HEAD, flush=True)
    table: dict[str, Row] = {}
    for screen in screens:
        if time.monotonic() > until:
            break
        row = table[screen.name] = Row()
        for look in looks:
            for code in codes:
                view_of(room, screen, look, code, row)
        print(row.line(screen.name), flush=True)
        for fault, where in list(row.faults.items())[:MOST_SHOWN]:
            print(f"    {fault} ({len(where)} views, first {where[0]})", flush=True)
    return table


HEAD = f"{'screen':24s}{'views':>6s}{''.join(f'{kind:>10s}' for kind in KINDS)}{'total':>8s}{'mm':>9s}{'ratio':>9s}"


def summed(table: dict[str, Row]) -> Row:
    """The whole table in one row."""
    whole = Row()
    for row in table.values():
        whole.views += row.views
        whole.kinds.update(row.kinds)
        whole.least_target = min(whole.least_target, row.least_target)
        whole.least_contrast = min(whole.least_contrast, row.least_contrast)
    return whole


def main(words: Sequence[str]) -> None:
    """The command."""
    parser = argparse.ArgumentParser(
        prog="measure_screens", description="Measure every screen in every look and language."
    )
    parser.add_argument(
        "--only", action="append", metavar="NAME", help="a screen's name or its beginning; may be given again"
    )
    parser.add_argument("--languages", nargs="+", choices=CODES, default=CODES)
    parser.add_argument(
        "--looks", nargs="+", choices=[str(look) for look in LOOKS], default=[str(look) for look in LOOKS]
    )
    parser.add_argument("--minutes", type=float, default=float("inf"), help="begin no further screen after so many")
    given = parser.parse_args(words)
    screens = [each for each in SCREENS if not given.only or each.name.startswith(tuple(given.only))]
    looks = [look for look in LOOKS if str(look) in given.looks]
    if not screens:
        parser.error(f"no screen is called so: {', '.join(given.only)}")
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as made:
        locale = Path(made) / "locale"
        locale.mkdir()
        for each in paths.locale().iterdir():
            (locale / each.name).symlink_to(each)  # the shipped languages, and the tests' own beside them
        write_pseudo(locale)
        with speaking_pseudo(locale):
            room = Showroom(Path(made))
            with swept_by_hand():
                table = measure(room, screens, looks, given.languages, start + given.minutes * 60)
    print(summed(table).line("all"))
    print(
        f"{len(table)} of {len(screens)} screens, {' '.join(given.looks)}, {' '.join(given.languages)}, {time.monotonic() - start:.0f} s"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
