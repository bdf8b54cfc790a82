"""The film of a practice boat as shapes: where each section lies on the boat's side, and what it looks like.

Rules kept here:
 1. Places are metres as in coach.view.drawing: x to the right, y upwards, the bow to the right, the rub rail at 0.
 2. A section's look is a word; colours, lines and holes are the front end's.
Knows nothing of: the toolkit, the flame's physics (practice.film).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from coach.core.numbers import Value
from coach.core.rules import Rules
from coach.language import _
from coach.practice.film import BURNING, COLD, COLUMNS, HOLED, OVERHEATED, ROWS, SHRUNK, Film, Flame, temperature_of
from coach.practice.film_work import Part
from coach.view.craft import WINDSHIELD_SHARE, Known
from coach.view.drawing import Drawing, Group, Line, Point, Polygon, Polyline
from coach.view.drawing import Part as Shape

TYPICAL = {"boat_length": 5.8, "edge_drop": 0.18, "ridge_height": 0.76, "stern_rise": 0.3}
HOT = 60.0  # C over which a section glows on the screen
WRINKLES = 3  # lines on a cold section
BESIDE = 0.3  # m of ground beside bow and stern
RAGGED = 11  # corners of a hole
HULL_DEEP, GROUND_DEEP = 0.1, 0.12  # of the length: the hull is cut short, so that the film is large

LOOKS = (COLD, SHRUNK, OVERHEATED, HOLED, BURNING)


@dataclass(frozen=True)
class FilmShape:
    """The film of one boat seen from the side. ridge: its height at a share of the length from the bow."""

    length: float
    edge: float
    high: float
    stern: float

    def ridge(self, share: float) -> float:
        """The height of the ridge at a share of the length from the bow, m."""
        points = ((0.0, 0.1), (WINDSHIELD_SHARE, self.high), (0.72, 0.97 * self.high), (1.0, self.stern))
        for (x0, y0), (x1, y1) in pairwise(points):
            if share <= x1:
                return y0 + (y1 - y0) * (share - x0) / (x1 - x0)
        return self.stern

    def at(self, column: float, row: float) -> Point:
        """The place of a corner: columns count from the bow, rows from the hem."""
        share = column / COLUMNS
        low = -self.edge
        return self.length * (1 - share), low + (self.ridge(share) - low) * row / ROWS

    def cell(self, section: int) -> tuple[Point, Point, Point, Point]:
        """The corners of a section, round about."""
        row, column = divmod(section, COLUMNS)
        return self.at(column, row), self.at(column + 1, row), self.at(column + 1, row + 1), self.at(column, row + 1)

    def centre(self, section: int) -> Point:
        """The middle of a section."""
        row, column = divmod(section, COLUMNS)
        return self.at(column + 0.5, row + 0.5)

    def area(self, section: int) -> float:
        """The area of a section as it is seen, m2."""
        corners = self.cell(section)
        twice = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True))
        return abs(twice) / 2

    def heated(self, place: Point, flame: Flame) -> dict[int, float]:
        """The flux into each section that a spot reaches, W/m2: the spot's whole power, shared by nearness."""
        reach = flame.radius + self.length / COLUMNS / 2
        near: dict[int, float] = {}
        for section in range(ROWS * COLUMNS):
            x, y = self.centre(section)
            far = math.hypot(x - place[0], y - place[1]) / reach
            if far < 1:
                near[section] = 1 - far * far
        power = flame.flux * math.pi * flame.radius**2
        whole = sum(near.values())
        return {section: power * weight / whole / self.area(section) for section, weight in near.items()}

    def touches(self, place: Point) -> bool:
        """Whether a place lies on the film, a hand's breadth around it included."""
        share = 1 - place[0] / self.length
        margin = 0.1
        return -0.05 <= share <= 1.05 and -self.edge - margin <= place[1] <= self.ridge(min(1, max(0, share))) + margin


def film_shape(rules: Rules, measures: Mapping[str, Value]) -> FilmShape:
    """The film of the boat of these measures, a typical one where they are not known."""
    known = Known(rules, measures)
    length, edge, high, rise = ((known.metres(name) or usual) for name, usual in TYPICAL.items())
    return FilmShape(length, edge, high, max(high - rise, 0.15))


@dataclass(frozen=True)
class FilmLook:
    """What each section looks like: sections by look, those that glow now and how much (0 to 1), those wanted."""

    by_look: Mapping[str, tuple[int, ...]]
    glow: Mapping[int, float]
    wanted: frozenset[int]


def film_look(film: Film, part: Part | None) -> FilmLook:
    """The film now. part: of the step at hand."""
    by_look: dict[str, list[int]] = {look: [] for look in LOOKS}
    for section, state in enumerate(film.states()):
        by_look[state].append(section)
    glow = {
        section: min(1.0, (celsius - HOT) / (130 - HOT))
        for section, heat in enumerate(film.heat)
        if (celsius := temperature_of(heat)) > HOT
    }
    wanted = frozenset(s for s in part.sections if film.state(s) == COLD) if part else frozenset()
    return FilmLook({look: tuple(found) for look, found in by_look.items()}, glow, wanted)


def wrinkles(shape: FilmShape, section: int) -> tuple[tuple[Point, Point], ...]:
    """The wrinkles of a loose section: short slanting lines, the same on every frame."""
    row, column = divmod(section, COLUMNS)
    lines = []
    for n in range(WRINKLES):
        x = (n + 0.5) / WRINKLES
        bend = 0.15 * (1 if (section + n) % 2 else -1)
        lines.append((shape.at(column + x - bend, row + 0.12), shape.at(column + x + bend, row + 0.88)))
    return tuple(lines)


def hole(shape: FilmShape, section: int) -> tuple[Point, ...]:
    """The ragged edge of a hole burnt into a section, the same on every frame."""
    (x, y), corners = shape.centre(section), shape.cell(section)
    wide = max(at for at, _y in corners) - min(at for at, _y in corners)
    high = max(at for _x, at in corners) - min(at for _x, at in corners)
    points = []
    for n in range(RAGGED):
        reach = 0.62 - 0.14 * ((section * 7 + n * n * 3) % 4) / 3
        turn = 2 * math.pi * n / RAGGED
        points.append((x + reach * wide * math.cos(turn), y + reach * high * math.sin(turn)))
    return tuple(points)


def room_for(shape: FilmShape) -> tuple[float, float]:
    """The width and height of the whole picture in metres, before it is stretched."""
    return shape.length + 2 * BESIDE, shape.high - ground_of(shape)


def boat_behind(shape: FilmShape, tall: float = 1.0) -> Drawing:
    """What stands behind the film: the ground, the hull, the band. The first part is a line from (-0.3, floor).

    tall: how many times larger heights are drawn than lengths, so that a finger finds its section.
    """
    parts = tuple(_taller(part, tall) for part in _behind(shape))
    return Drawing("practice-film", _("The practice boat from the side, the bow to the right, with its film"), parts)


def _taller(part: Line | Group | Polygon | Polyline, tall: float) -> Shape:
    """A part with its heights so many times larger."""
    if isinstance(part, Group):
        return replace(part, parts=tuple(_taller(each, tall) for each in part.parts))  # type: ignore[arg-type]
    if isinstance(part, Line):
        (x0, y0), (x1, y1) = part.start, part.end
        return replace(part, start=(x0, y0 * tall), end=(x1, y1 * tall))
    return replace(part, points=tuple((x, y * tall) for x, y in part.points))


def _behind(shape: FilmShape) -> tuple[Line | Group | Polygon | Polyline, ...]:
    """The parts in true proportion."""
    long, deep = shape.length, shape.length * HULL_DEEP
    floor = ground_of(shape)
    hull = (
        (long, 0.0),
        (0.0, 0.0),
        (0.0, -deep),
        (long * 0.65, -deep),
        (long * 0.84, -deep * 0.72),
        (long * 0.95, -deep * 0.3),
    )
    return (
        Line((-BESIDE, floor), (long + BESIDE, floor), "ground"),
        Group("hull", (Polygon(hull, "hull"),)),
        Polyline((shape.at(0, 0), shape.at(COLUMNS, 0)), "band"),
        Polyline(tuple(shape.at(column, ROWS) for column in range(COLUMNS + 1)), "guide"),
    )


def ground_of(shape: FilmShape) -> float:
    """The height of the ground under the boat, m."""
    return -GROUND_DEEP * shape.length
