"""Which part of the film each heat step is about, and how the flame has to be led there.

Rules kept here:
 1. Sides before the top, row by row from below: the table's order is the order of good work.
Knows nothing of: who works. The steps are those of the shipped procedures; a heat step that is not in the table has no
film of its own here (its flame is lit and put out, and nothing is drawn).
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.practice.film import COLUMNS, HEM, ROWS, Film

BOW, TRANSOM = range(4), range(COLUMNS - 4, COLUMNS)
SIDES = range(4, COLUMNS - 4)
LOW, HIGH = range(1, 5), range(5, ROWS)
WELD, SHRINK = "weld", "shrink"
SHRINKS_TO, WELDS_TO = 136.0, 150.0  # C that a good hand aims at; invented, between drawing in and too hot
SHARE_COLD = 0.05  # of a step's sections that may stay cold; ours
FUSED = 0.8  # share melted that counts as a weld; invented
DISTANCE = {WELD: 0.15, SHRINK: 0.25}  # m; invented


@dataclass(frozen=True)
class Part:
    """The part of the film of one heat step."""

    kind: str
    rows: range
    columns: tuple[int, ...]

    @property
    def sections(self) -> tuple[int, ...]:
        """The sections, in the order of good work."""
        return tuple(Film.number(row, column) for row in self.rows for column in self.columns)


def _part(kind: str, rows: range, columns: range | tuple[int, ...]) -> Part:
    return Part(kind, rows, tuple(columns))


PARTS: dict[str, Part] = {
    "weld-hem": _part(WELD, range(HEM, HEM + 1), SIDES),
    "weld-bow": _part(WELD, range(HEM, HEM + 1), (0, 1)),
    "weld-pleats": _part(WELD, range(HEM, HEM + 1), (2, 3, *TRANSOM)),
    "shrink-sides": _part(SHRINK, LOW, SIDES),
    "shrink-bow": _part(SHRINK, LOW, BOW),
    "shrink-transom": _part(SHRINK, LOW, TRANSOM),
    "shrink-top": _part(SHRINK, HIGH, range(COLUMNS)),
    "shrink-lower": _part(SHRINK, LOW, SIDES),
    "shrink-ends": _part(SHRINK, LOW, (*BOW, *TRANSOM)),
    "shrink-upper": _part(SHRINK, HIGH, range(COLUMNS)),
}


def aim(kind: str) -> float:
    """The temperature that a good hand brings the film to, C."""
    return WELDS_TO if kind == WELD else SHRINKS_TO


def is_done(film: Film, part: Part, section: int) -> bool:
    """Whether a section has what the step wants: welded through, or shrunk. Too much heat counts as done too."""
    if part.kind == WELD:
        return film.fused(section) >= FUSED
    return film.state(section) != "cold"


def undone(film: Film, part: Part) -> tuple[int, ...]:
    """The sections of a part that still lack heat."""
    return tuple(section for section in part.sections if not is_done(film, part, section))


def make_done(film: Film, step: str) -> None:
    """Have a step's film as good work leaves it: what was done before the trainee came."""
    part = PARTS.get(step)
    for section in part.sections if part else ():
        film.make(section, aim(part.kind if part else SHRINK))
