"""How a dimension is laid out: its line, its arrowheads, its value, and how much paper they need.

Rules kept here:
 1. Arrowheads that find no room between the ends stand outside and point at them.
 2. What is asked for is drawn bold, its value large on a dark tag.
Knows nothing of: what else the drawing holds.  Called by: coach.view.paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from coach.view.drawing import STYLES, Dimension, Point
from coach.view.marks import PLATE_EDGE, TEXT_SIZES, Fill, Mark, Measure, Stroke, label_lines, text_size

HEAD = 2.6


@dataclass(frozen=True)
class Frame:
    """How metres become millimetres."""

    scale: float
    left: float
    low: float
    text: float
    measure: Measure

    def at(self, point: Point) -> Point:
        return self.left + point[0] * self.scale, self.low + point[1] * self.scale


# A reach: a place in metres, and how far paper is needed around it in mm: left, down, right, up.
Reach = tuple[Point, tuple[float, float, float, float]]


def dimension_reaches(part: Dimension, frame: Frame) -> list[Reach]:
    nx, ny = _normal(part.start, part.end)
    dx, dy = nx * part.offset, ny * part.offset
    moved = (HEAD / 2 - dx, HEAD / 2 - dy, HEAD / 2 + dx, HEAD / 2 + dy)
    middle = ((part.start[0] + part.end[0]) / 2, (part.start[1] + part.end[1]) / 2)
    wide, high = text_size(part.words, _dimension_size(part, frame), True, frame.measure)
    edge = PLATE_EDGE["primary"] if part.asked else 0.6
    bx, by = _beside(part, wide, high)
    dx, dy = dx + bx, dy + by
    label = (wide / 2 + edge - dx, high / 2 - dy, wide / 2 + edge + dx, high / 2 + dy)
    return [(part.start, moved), (part.end, moved), (middle, label)]


def tails(part: Dimension, scale: float) -> list[Reach]:
    """How far the arrowheads of a short distance stand out beyond its ends."""
    long = _head_length(part)
    first, last = (part.start[0] * scale, part.start[1] * scale), (part.end[0] * scale, part.end[1] * scale)
    if not _outside(part, first, last):
        return []
    far = _between(first, last, -2 * long)
    return [
        (
            place,
            (
                max(0.0, at[0] - tail[0]),
                max(0.0, at[1] - tail[1]),
                max(0.0, tail[0] - at[0]),
                max(0.0, tail[1] - at[1]),
            ),
        )
        for place, at, tail in ((part.start, first, far[0]), (part.end, last, far[1]))
    ]


def dimension(part: Dimension, frame: Frame) -> list[Mark]:
    nx, ny = _normal(part.start, part.end)
    start, end = frame.at(part.start), frame.at(part.end)
    first = start[0] + nx * part.offset, start[1] + ny * part.offset
    last = end[0] + nx * part.offset, end[1] + ny * part.offset
    line = STYLES[("asked" if part.known else "asked-unknown") if part.asked else "tapeline" if part.tape else "tape"]
    role = "primary" if part.asked else "tape" if part.known else "unknown"
    width, long = line.width, _head_length(part)
    marks: list[Mark] = []
    if part.offset:
        over = 1.2 if part.offset > 0 else -1.2
        for foot, top in ((start, first), (end, last)):
            marks.append(Stroke((foot, (top[0] + nx * over, top[1] + ny * over)), role, 0.25))
    dash = line.dash if part.asked else None if part.known else (1.8, 1.4)
    if _outside(part, first, last):
        far = _between(first, last, -2 * long)
        marks += [
            Stroke((far[0], far[1]), role, STYLES["tape"].width),
            Fill(arrowhead(far[0], first, long), role),
            Fill(arrowhead(far[1], last, long), role),
        ]
    else:
        marks.append(Stroke(_between(first, last, long * 0.8), role, width, False, dash))
        marks += [Fill(arrowhead(last, first, long), role), Fill(arrowhead(first, last, long), role)]
    size = _dimension_size(part, frame)
    wide, high = text_size(part.words, size, True, frame.measure)
    bx, by = _beside(part, wide, high)
    x, y = (first[0] + last[0]) / 2 + bx, (first[1] + last[1]) / 2 + by
    box = (x - wide / 2, y - high / 2, wide, high)
    colours = ("primary_ink", "primary") if part.asked else ("tape" if part.known else "soft", "card")
    marks.extend(label_lines(part.words, box, colours[0], size, True, colours[1]))
    return marks


def arrowhead(before: Point, tip: Point, length: float) -> tuple[Point, Point, Point]:
    """The triangle of an arrowhead: its tip and its two back corners."""
    along = hypot(tip[0] - before[0], tip[1] - before[1]) or 1.0
    ux, uy = (tip[0] - before[0]) / along, (tip[1] - before[1]) / along
    back = tip[0] - ux * length, tip[1] - uy * length
    half = length * 0.42
    return tip, (back[0] - uy * half, back[1] + ux * half), (back[0] + uy * half, back[1] - ux * half)


def _head_length(part: Dimension) -> float:
    """The length of a dimension's arrowheads, mm."""
    return HEAD + (STYLES["asked"].width if part.asked else 0.0)


def _outside(part: Dimension, first: Point, last: Point) -> bool:
    """Whether two arrowheads find no room between these places, mm: they then stand outside and point at them."""
    return abs(part.offset) < 1 and 0 < hypot(last[0] - first[0], last[1] - first[1]) < 2.2 * _head_length(part)


def _dimension_size(part: Dimension, frame: Frame) -> float:
    """The font size of a dimension's value, mm."""
    return TEXT_SIZES["lead" if part.asked else "note"] * frame.text


def _between(first: Point, last: Point, gap: float) -> tuple[Point, Point]:
    """The line without its ends, where arrowheads stand, so that a bold one does not blunt them; with a gap below 0,
    longer at both ends."""
    along = hypot(last[0] - first[0], last[1] - first[1])
    if along <= 2 * gap or along == 0:
        return first, last
    ux, uy = (last[0] - first[0]) / along * gap, (last[1] - first[1]) / along * gap
    return (first[0] + ux, first[1] + uy), (last[0] - ux, last[1] - uy)


def _beside(part: Dimension, wide: float, high: float) -> Point:
    """How far the value of a dimension stands from the middle of its line, mm."""
    if not part.beside:
        return 0.0, 0.0
    nx, ny = _normal(part.start, part.end)
    away = (abs(nx) * wide + abs(ny) * high) / 2 + HEAD
    side = -1 if part.offset < 0 else 1
    return nx * away * side, ny * away * side


def _normal(start: Point, end: Point) -> Point:
    """The unit vector to the left of the way from start to end."""
    along = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    return -(end[1] - start[1]) / along, (end[0] - start[0]) / along
