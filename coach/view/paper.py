"""Lays a drawing out on paper of a given size: strokes, fills and labels in millimetres, ready for any back end.

Rules kept here:
 1. Everything fits: lines, arrowheads and whole texts, the legend below. The scale is the largest that allows it.
 2. A text wider than a share of the paper is broken at spaces. Texts keep their size on paper; only where a picture
    would be left too small are they made smaller, to 85 %.
 3. Where they would still lie on one another, or the picture is small and grows much without it, the legend is left out:
    what a measure belongs to comes first.
 4. Texts that would lie on one another are moved apart; a label stands on a plate, so that no line behind
    it crosses its letters.
Knows nothing of: Kivy, SVG, colours.  Proved by: tests/view/test_paper.py.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from math import hypot

from coach.view.apart import Block, Box, crowded, spread
from coach.view.drawing import (
    STYLES,
    Arc,
    Arrow,
    Circle,
    Dimension,
    Drawing,
    Group,
    Leaf,
    Line,
    Part,
    Point,
    Polygon,
    Polyline,
    Sign,
    Style,
    Text,
    leaves,
)
from coach.view.legend import legend_marks
from coach.view.marks import (
    PLATE_EDGE,
    TEXT_SIZES,
    Fill,
    Label,
    Mark,
    Measure,
    Stroke,
    broken,
    icon_marks,
    label_lines,
    outline,
    rough_width,
    round_points,
    text_size,
)

HEAD = 2.6
LEAST_TEXT = 0.85
# A picture should fill at least this share of the paper's width or height before texts are made smaller.
FILLED = 0.45
# Under this share, the legend is left out where the picture then grows by this factor at least.
LARGE, GAIN = 0.6, 1.35

# A text in the picture is at most this share of the paper wide, but never broken under this many millimetres.
TEXT_SHARE, TEXT_ROOM = 0.45, 30.0


@dataclass(frozen=True)
class Sheet:
    """A laid-out drawing: marks in drawing order (labels last), paper size in mm, and its scale in mm to the metre.

    left, low: where the drawing's (0, 0) lies on the paper, mm; groups: name, first mark and end of the drawing's groups.
    """

    width: float
    height: float
    scale: float
    marks: tuple[Mark, ...]
    text_scale: float = 1.0
    left: float = 0.0
    low: float = 0.0
    groups: tuple[tuple[str, int, int], ...] = ()

    def without(self, names: Collection[str]) -> tuple[Mark, ...]:
        """The marks but for those of these groups of the drawing; a group's texts stay."""
        gone = {place for name, first, end in self.groups if name in names for place in range(first, end)}
        return tuple(mark for place, mark in enumerate(self.marks) if place not in gone)


@dataclass(frozen=True)
class _Frame:
    """How metres become millimetres."""

    scale: float
    left: float
    low: float
    text: float
    measure: Measure

    def at(self, point: Point) -> Point:
        return self.left + point[0] * self.scale, self.low + point[1] * self.scale


def lay(drawing: Drawing, width: float, height: float, measure: Measure = rough_width) -> Sheet:
    """Lay a drawing out on paper of `width` by `height` millimetres (both above 0).

    Args:
        measure: width of a text at a font size, bold or not, in the unit of the size.
    """
    drawing = _broken(drawing, width, measure)
    for text, named in ((1.0, True), (LEAST_TEXT, True), (LEAST_TEXT, False)):
        legend, taken, frame = _framed(drawing, width, height, text, named, measure)
        if named and not _fills(drawing, frame, width, height, LARGE):
            bare = _framed(drawing, width, height, text, False, measure)
            if bare[2].scale >= GAIN * frame.scale:
                legend, taken, frame = bare
        marks, blocks, groups = _placed(drawing, frame, (0.0, taken, width, height))
        if _fills(drawing, frame, width, height - taken) and not crowded(blocks):
            break
    texts = [label for block in blocks for label in block]
    samples = [mark for mark in legend if not isinstance(mark, Label)]
    words = [mark for mark in legend if isinstance(mark, Label)]
    return Sheet(width, height, frame.scale, (*marks, *samples, *texts, *words), frame.text, frame.left, frame.low, groups)


def _framed(
    drawing: Drawing, width: float, height: float, text: float, named: bool, measure: Measure
) -> tuple[list[Mark], float, _Frame]:
    """The legend, the height that it takes, and the frame above it."""
    legend, taken = legend_marks(drawing.legend if named else (), width, text, measure)
    frame = _fit(drawing, width, max(height - taken, height * 0.3), text, measure)
    return legend, taken, replace(frame, low=frame.low + taken)


def over(parts: tuple[Part, ...], sheet: Sheet) -> tuple[Mark, ...]:
    """Marks of parts without texts, to be drawn over a sheet at their places in its drawing."""
    frame = _Frame(sheet.scale, sheet.left, sheet.low, sheet.text_scale, rough_width)
    return tuple(mark for part in leaves(parts) for mark in _marks(part, frame))


def _placed(drawing: Drawing, frame: _Frame, area: Box) -> tuple[list[Mark], list[Block], tuple[tuple[str, int, int], ...]]:
    """The lines and fills of a drawing, its texts moved apart within an area, and where its groups' marks stand."""
    marks: list[Mark] = []
    blocks: list[Block] = []
    groups: list[tuple[str, int, int]] = []
    for top in drawing.parts:
        first = len(marks)
        for part in leaves((top,)):
            made = _marks(part, frame)
            marks += [mark for mark in made if not isinstance(mark, Label)]
            block = tuple(mark for mark in made if isinstance(mark, Label))
            blocks += [block] if block else []
        if isinstance(top, Group):
            groups.append((top.name, first, len(marks)))
    return marks, spread(blocks, area), tuple(groups)


def _broken(drawing: Drawing, width: float, measure: Measure) -> Drawing:
    """The drawing with its long texts broken into lines."""
    room = max(TEXT_SHARE * width, TEXT_ROOM)

    def mend(part: Part) -> Part:
        if isinstance(part, Group):
            return replace(part, parts=tuple(mend(each) for each in part.parts))
        if isinstance(part, Text):
            return replace(part, words=broken(part.words, TEXT_SIZES[part.size], part.bold, room, measure))
        if isinstance(part, Dimension):
            return replace(part, words=broken(part.words, TEXT_SIZES["note"], True, room, measure))
        return part

    return replace(drawing, parts=tuple(mend(part) for part in drawing.parts))


def _fills(drawing: Drawing, frame: _Frame, width: float, height: float, share: float = FILLED) -> bool:
    points = [point for part in leaves(drawing.parts) for point in _points(part)]
    wide = (max(x for x, _ in points) - min(x for x, _ in points)) * frame.scale
    high = (max(y for _, y in points) - min(y for _, y in points)) * frame.scale
    return wide >= share * width or high >= share * height


def _fit(drawing: Drawing, width: float, height: float, text: float, measure: Measure) -> _Frame:
    """The frame with the largest scale at which every reach of every part lies on the paper, centred."""
    unit = _Frame(1.0, 0.0, 0.0, text, measure)
    reaches = [reach for part in leaves(drawing.parts) for reach in _reaches(part, unit)]
    small = _largest(reaches, width, height)
    tails = [reach for part in leaves(drawing.parts) if isinstance(part, Dimension) for reach in _tails(part, small)]
    if tails:  # a smaller scale leaves what is short short
        reaches += tails
        small = _largest(reaches, width, height)
    wide, high = _extent(reaches, small)
    left = (width - (wide[1] - wide[0])) / 2 - wide[0]
    low = (height - (high[1] - high[0])) / 2 - high[0]
    return _Frame(small, left, low, text, measure)


def _largest(reaches: list[_Reach], width: float, height: float) -> float:
    """The largest scale at which all reaches lie on the paper."""
    small, large = 0.0, 10_000.0
    for _ in range(40):
        middle = (small + large) / 2
        wide, high = _extent(reaches, middle)
        if wide[1] - wide[0] <= width and high[1] - high[0] <= height:
            small = middle
        else:
            large = middle
    return small


def _tails(part: Dimension, scale: float) -> list[_Reach]:
    """How far the arrowheads of a short distance stand out beyond its ends."""
    head = _head_length(part)
    first, last = (part.start[0] * scale, part.start[1] * scale), (part.end[0] * scale, part.end[1] * scale)
    if not _outside(part, first, last):
        return []
    tails = _between(first, last, -2 * head)
    return [
        (place, (max(0.0, at[0] - tail[0]), max(0.0, at[1] - tail[1]), max(0.0, tail[0] - at[0]), max(0.0, tail[1] - at[1])))
        for place, at, tail in ((part.start, first, tails[0]), (part.end, last, tails[1]))
    ]


# A reach: a place in metres, and how far paper is needed around it in mm: left, down, right, up.
_Reach = tuple[Point, tuple[float, float, float, float]]


def _extent(reaches: list[_Reach], scale: float) -> tuple[tuple[float, float], tuple[float, float]]:
    lefts = [x * scale - left for (x, _), (left, _, _, _) in reaches]
    rights = [x * scale + right for (x, _), (_, _, right, _) in reaches]
    lows = [y * scale - down for (_, y), (_, down, _, _) in reaches]
    tops = [y * scale + up for (_, y), (_, _, _, up) in reaches]
    return (min(lefts), max(rights)), (min(lows), max(tops))


def _reaches(part: Leaf, frame: _Frame) -> list[_Reach]:
    if isinstance(part, Text):
        left, low, wide, high = _text_box(part, (0.0, 0.0), frame)
        return [(part.at, (-left, -low, left + wide, low + high))]
    if isinstance(part, Sign):
        half = part.size / 2 + (1.2 if part.plate else 0)
        return [(part.at, (half, half, half, half))]
    if isinstance(part, Dimension):
        return _dimension_reaches(part, frame)
    edge = HEAD / 2 if isinstance(part, Arrow) else STYLES[part.style].width / 2
    return [(point, (edge, edge, edge, edge)) for point in _points(part)]


def _dimension_reaches(part: Dimension, frame: _Frame) -> list[_Reach]:
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


def _points(part: Leaf) -> list[Point]:
    if isinstance(part, Line | Dimension):
        return [part.start, part.end]
    if isinstance(part, Polyline | Polygon | Arrow):
        return list(part.points)
    if isinstance(part, Circle):
        return round_points(part.centre, part.radius, 0, 360)
    if isinstance(part, Arc):
        return round_points(part.centre, part.radius, part.first, part.last)
    return [part.at]


def _marks(part: Leaf, frame: _Frame) -> list[Mark]:
    if isinstance(part, Text):
        return [*label_lines(part.words, _text_box(part, frame.at(part.at), frame), part.role,
                             TEXT_SIZES[part.size] * frame.text, part.bold, part.plate)]
    if isinstance(part, Sign):
        return _sign(part, *frame.at(part.at))
    if isinstance(part, Dimension):
        return _dimension(part, frame)
    points = tuple(frame.at(point) for point in _points(part))
    style = STYLES[part.style]
    if isinstance(part, Arrow):
        return _arrow(points, style)
    return outline(points, style, closed=isinstance(part, Polygon | Circle))


def _arrow(points: tuple[Point, ...], style: Style) -> list[Mark]:
    head = _head(points[-2], points[-1], HEAD + style.width)
    back = ((head[1][0] + head[2][0]) / 2, (head[1][1] + head[2][1]) / 2)
    return [Stroke((*points[:-1], back), style.line, style.width, False, style.dash), Fill(head, style.line)]


def _head(before: Point, tip: Point, length: float) -> tuple[Point, Point, Point]:
    """The triangle of an arrowhead: its tip and its two back corners."""
    along = hypot(tip[0] - before[0], tip[1] - before[1]) or 1.0
    ux, uy = (tip[0] - before[0]) / along, (tip[1] - before[1]) / along
    back = tip[0] - ux * length, tip[1] - uy * length
    half = length * 0.42
    return tip, (back[0] - uy * half, back[1] + ux * half), (back[0] + uy * half, back[1] - ux * half)


def _dimension(part: Dimension, frame: _Frame) -> list[Mark]:
    nx, ny = _normal(part.start, part.end)
    start, end = frame.at(part.start), frame.at(part.end)
    first = start[0] + nx * part.offset, start[1] + ny * part.offset
    last = end[0] + nx * part.offset, end[1] + ny * part.offset
    line = STYLES[("asked" if part.known else "asked-unknown") if part.asked else "tapeline" if part.tape else "tape"]
    role = "primary" if part.asked else "tape" if part.known else "unknown"
    width, head = line.width, _head_length(part)
    marks: list[Mark] = []
    if part.offset:
        over = 1.2 if part.offset > 0 else -1.2
        for foot, top in ((start, first), (end, last)):
            marks.append(Stroke((foot, (top[0] + nx * over, top[1] + ny * over)), role, 0.25))
    dash = line.dash if part.asked else None if part.known else (1.8, 1.4)
    if _outside(part, first, last):
        tails = _between(first, last, -2 * head)
        marks += [Stroke((tails[0], tails[1]), role, STYLES["tape"].width), Fill(_head(tails[0], first, head), role),
                  Fill(_head(tails[1], last, head), role)]
    else:
        marks.append(Stroke(_between(first, last, head * 0.8), role, width, False, dash))
        marks += [Fill(_head(last, first, head), role), Fill(_head(first, last, head), role)]
    size = _dimension_size(part, frame)
    wide, high = text_size(part.words, size, True, frame.measure)
    bx, by = _beside(part, wide, high)
    x, y = (first[0] + last[0]) / 2 + bx, (first[1] + last[1]) / 2 + by
    box = (x - wide / 2, y - high / 2, wide, high)
    colours = ("primary_ink", "primary") if part.asked else ("tape" if part.known else "soft", "card")
    marks.extend(label_lines(part.words, box, colours[0], size, True, colours[1]))
    return marks


def _head_length(part: Dimension) -> float:
    """The length of a dimension's arrowheads, mm."""
    return HEAD + (STYLES["asked"].width if part.asked else 0.0)


def _outside(part: Dimension, first: Point, last: Point) -> bool:
    """Whether two arrowheads find no room between these places, mm: they then stand outside and point at them."""
    return abs(part.offset) < 1 and 0 < hypot(last[0] - first[0], last[1] - first[1]) < 2.2 * _head_length(part)


def _dimension_size(part: Dimension, frame: _Frame) -> float:
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


def _sign(part: Sign, x: float, y: float) -> list[Mark]:
    marks: list[Mark] = []
    if part.plate:
        plate = tuple(round_points((x, y), part.size / 2 + 1.0, 0, 360))
        marks += [Fill(plate, "card"), Stroke(plate, part.role, 0.35, closed=True)]
    return marks + icon_marks(part.icon, x - part.size / 2, y - part.size / 2, part.size, part.role)


def _text_box(part: Text, at: Point, frame: _Frame) -> tuple[float, float, float, float]:
    wide, high = text_size(part.words, TEXT_SIZES[part.size] * frame.text, part.bold, frame.measure)
    x, y = at
    gap = part.gap
    left = {"left": x - gap - wide, "right": x + gap}.get(part.side, x - wide / 2)
    low = {"top": y + gap, "bottom": y - gap - high}.get(part.side, y - high / 2)
    return left, low, wide, high
