"""A season's figures as they are shown: tables, and bars for where heat is refused and which steps are sent back.

Rules kept here:
 1. A bar's length is its count; the count stands at its end; its number is that of the row in the table beside it.
Knows nothing of: the toolkit, HTML, stores.
Called by: sheet.review, cli, tablet.  Proved by: tests/view/test_review.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from coach.formats import day_of_wall
from coach.language import _, n_
from coach.view.drawing import Drawing, Line, Part, Polygon, Text
from coach.view.isotime import iso
from coach.yard.season import Counts, Season

MOST_BARS = 8
WIDE, PITCH, THICK, GAP = 12.0, 0.62, 0.4, 0.12  # of the bars, in the plot's own units


@dataclass(frozen=True)
class Figure:
    """One figure: what it counts, rows of name and count, and its bars."""

    title: str
    rows: tuple[tuple[str, int], ...]
    plot: Drawing | None

    @property
    def shown(self) -> int:
        """How many bars there are."""
        return min(len(self.rows), MOST_BARS)


@dataclass(frozen=True)
class SeasonView:
    """The season. back: which step, by whom, of whom, how often."""

    span: str
    told: str
    boats: int
    flames: int
    refusals: int
    figures: tuple[Figure, ...]
    back: tuple[tuple[str, str, str, int], ...]
    unread: str


def season_view(season: Season, zone: tzinfo | None = None) -> SeasonView:
    """The season in the language in use."""
    slots = {"begin": day_of_wall(season.since, zone), "end": day_of_wall(season.until - 1, zone)}
    told = ", ".join((
        n_("%(count)d boat", "%(count)d boats", season.jobs) % {"count": season.jobs},
        n_("%(count)d flame", "%(count)d flames", season.flames) % {"count": season.flames},
        n_("refused %(count)d time", "refused %(count)d times", season.refusals) % {"count": season.refusals},
    ))  # fmt: skip
    figures = (
        _figure(
            season, "refused_causes", _("Which safeguard was missing when the flame was refused"), season.refused_causes
        ),
        _figure(season, "refused_steps", _("At which step the flame was refused"), season.refused_steps),
        _figure(season, "trip_causes", _("What was lost while the flame was lit"), season.trip_causes),
        _figure(season, "sent_back", _("Which steps were sent back"), season.sent_back_steps),
        _figure(season, "excused", _("Which steps were left out"), season.excused_steps),
    )
    back = tuple((_name(season, line.step), line.by, line.technician, line.count) for line in season.sent_back)
    unread = (
        _("Not counted, the record cannot be read: %(jobs)s") % {"jobs": ", ".join(season.unread)}
        if season.unread
        else ""
    )
    span = _("%(begin)s to %(end)s") % slots
    return SeasonView(span, told, season.jobs, season.flames, season.refusals, figures, back, unread)


def _name(season: Season, id: str) -> str:
    return _(season.names.get(id, id)).rstrip(".?")


def _figure(season: Season, id: str, title: str, counts: Counts) -> Figure:
    rows = tuple((_name(season, key), count) for key, count in counts)
    return Figure(title, rows, bars(id, title, rows[:MOST_BARS]) if rows else None)


def bars(id: str, title: str, rows: Sequence[tuple[str, int]]) -> Drawing:
    """Bars lying under one another, the first on top, each with its number in the table at its left."""
    most = max(count for _name, count in rows)
    parts: list[Part] = [Line((0, THICK + GAP), (0, -PITCH * (len(rows) - 1) - GAP), "guide")]
    for place, (_name, count) in enumerate(rows):
        low = -PITCH * place
        end = WIDE * count / most
        parts.append(Polygon(((0, low), (end, low), (end, low + THICK), (0, low + THICK)), "timber"))
        parts.append(Text((0, low + THICK / 2), str(place + 1), "left", "soft"))
        parts.append(Text((end, low + THICK / 2), str(count), "right", bold=True))
    return Drawing(id, title, tuple(parts))


def season_lines(view: SeasonView) -> list[str]:
    """The season for a terminal."""
    lines = [_("The season, %(span)s: %(told)s") % {"span": view.span, "told": view.told}]
    for figure in view.figures:
        if figure.rows:
            lines += ["", figure.title]
            lines += [f"  {count:>4}  {name}" for name, count in figure.rows]
    if view.back:
        lines += ["", _("Who sent what back to whom")]
        lines += [f"  {count:>4}  {step}: {by} > {whose}" for step, by, whose, count in view.back]
    return [*lines, *(["", view.unread] if view.unread else [])]


def season_data(season: Season, zone: tzinfo | None = None) -> dict[str, Any]:
    """The season for programs."""
    return {
        "since": iso(season.since, zone), "until": iso(season.until, zone), "jobs": season.jobs, "flames": season.flames,
        "refusals": season.refusals, "refused_at_steps": dict(season.refused_steps),
        "refused_for_safeguards": dict(season.refused_causes), "trips_by_safeguard": dict(season.trip_causes),
        "excused_steps": dict(season.excused_steps),
        "sent_back": [
            {"step": line.step, "by": line.by, "technician": line.technician, "count": line.count} for line in season.sent_back
        ],
        "unread": list(season.unread),
    }  # fmt: skip
