"""Lays a drawing out on paper of a given size: strokes, fills and labels in millimetres, ready for any back end.

Rules kept here:
 1. Everything fits: lines, arrowheads and whole texts, the legend below. The scale is the largest that allows it.
 2. Texts keep their size on paper; only where a picture would be left too small are they made smaller, to 85 %.
 3. A label stands on a plate, so that a line behind it does not cross its letters.
Knows nothing of: Kivy, SVG, colours.  Proved by: tests/view/test_paper.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin

from coach.view.drawing import (
    STYLES,
    Arc,
    Arrow,
    Circle,
    Dimension,
    Drawing,
    Legend,
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
from coach.view.icons import ICONS, Ring, Shape

# Font sizes on paper, mm: capitals of 3.2, 4 and 5 mm in a font whose capitals are 0.76 of its size.
TEXT_SIZES = {"note": 4.2, "body": 5.3, "lead": 6.6}
LINE_HEIGHT = 1.22
HEAD = 2.6
LEAST_TEXT = 0.85
# A picture should fill at least this share of the paper's width or height before texts are made smaller.
FILLED = 0.45

Measure = Callable[[str, float, bool], float]


@dataclass(frozen=True)
class Stroke:
    """A line through points, mm."""

    points: tuple[Point, ...]
    role: str
    width: float
    closed: bool = False
    dash: tuple[float, float] | None = None


@dataclass(frozen=True)
class Fill:
    """A filled outline, mm."""

    points: tuple[Point, ...]
    role: str
    opacity: float = 1.0


@dataclass(frozen=True)
class Label:
    """One line of text; `left` and `low` are the corner of its box, mm."""

    left: float
    low: float
    wide: float
    high: float
    words: str
    size: float
    role: str
    bold: bool = False
    plate: bool = True


Mark = Stroke | Fill | Label


@dataclass(frozen=True)
class Sheet:
    """A laid-out drawing: marks in drawing order (labels last), paper size in mm, and its scale in mm to the metre."""

    width: float
    height: float
    scale: float
    marks: tuple[Mark, ...]
    text_scale: float = 1.0


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


def rough_width(words: str, size: float, bold: bool) -> float:
    """Width of a text in the unit of its size, estimated from above for B612 without asking a font."""
    return sum(0.42 if sign in " .,:;'ijlI|′″()" else 0.72 for sign in words) * size * (1.05 if bold else 1.0)


def lay(drawing: Drawing, width: float, height: float, measure: Measure = rough_width) -> Sheet:
    """Lay a drawing out on paper of `width` by `height` millimetres (both above 0).

    Args:
        measure: width of a text at a font size, bold or not, in the unit of the size.
    """
    for text in (1.0, LEAST_TEXT):
        legend, taken = _legend(drawing.legend, width, text, measure)
        frame = _fit(drawing, width, max(height - taken, height * 0.3), text, measure)
        if _fills(drawing, frame, width, height - taken):
            break
    frame = replace(frame, low=frame.low + taken)
    marks: list[Mark] = []
    for part in leaves(drawing.parts):
        marks.extend(_marks(part, frame))
    marks.extend(legend)
    ordered = [mark for mark in marks if not isinstance(mark, Label)] + [m for m in marks if isinstance(m, Label)]
    return Sheet(width, height, frame.scale, tuple(ordered), frame.text)


def _fills(drawing: Drawing, frame: _Frame, width: float, height: float) -> bool:
    points = [point for part in leaves(drawing.parts) for point in _points(part)]
    wide = (max(x for x, _ in points) - min(x for x, _ in points)) * frame.scale
    high = (max(y for _, y in points) - min(y for _, y in points)) * frame.scale
    return wide >= FILLED * width or high >= FILLED * height


def _fit(drawing: Drawing, width: float, height: float, text: float, measure: Measure) -> _Frame:
    """The frame with the largest scale at which every reach of every part lies on the paper, centred."""
    unit = _Frame(1.0, 0.0, 0.0, text, measure)
    reaches = [reach for part in leaves(drawing.parts) for reach in _reaches(part, unit)]
    small, large = 0.0, 10_000.0
    for _ in range(60):
        middle = (small + large) / 2
        wide, high = _extent(reaches, middle)
        if wide[1] - wide[0] <= width and high[1] - high[0] <= height:
            small = middle
        else:
            large = middle
    wide, high = _extent(reaches, small)
    left = (width - (wide[1] - wide[0])) / 2 - wide[0]
    low = (height - (high[1] - high[0])) / 2 - high[0]
    return _Frame(small, left, low, text, measure)


# A reach: a place in metres, and how far paper is needed around it in mm: left, down, right, up.
_Reach = tuple[Point, tuple[float, float, float, float]]


def _extent(reaches: list[_Reach], scale: float) -> tuple[tuple[float, float], tuple[float, float]]:
    lefts = [x * scale - left for (x, _), (left, _, _, _) in reaches]
    rights = [x * scale + right for (x, _), (_, _, right, _) in reaches]
    lows = [y * scale - down for (_, y), (_, down, _, _) in reaches]
    tops = [y * scale + up for (_, y), (_, _, _, up) in reaches]
    return (min(lefts), max(rights)), (min(lows), max(tops))


def _reaches(part: Part, frame: _Frame) -> list[_Reach]:
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
    wide, high = _text_size(part.words, TEXT_SIZES["note"] * frame.text, True, frame.measure)
    bx, by = _beside(part, wide, high)
    dx, dy = dx + bx, dy + by
    label = (wide / 2 + 0.6 - dx, high / 2 - dy, wide / 2 + 0.6 + dx, high / 2 + dy)
    return [(part.start, moved), (part.end, moved), (middle, label)]


def _points(part: Part) -> list[Point]:
    if isinstance(part, Line | Dimension):
        return [part.start, part.end]
    if isinstance(part, Polyline | Polygon | Arrow):
        return list(part.points)
    if isinstance(part, Circle):
        return _round(part.centre, part.radius, 0, 360)
    if isinstance(part, Arc):
        return _round(part.centre, part.radius, part.first, part.last)
    return [part.at]  # type: ignore[union-attr]  texts and signs


def _round(centre: Point, radius: float, first: float, last: float) -> list[Point]:
    steps = max(8, round(abs(last - first) / 6))
    turns = [radians(first + (last - first) * step / steps) for step in range(steps + 1)]
    return [(centre[0] + radius * cos(turn), centre[1] + radius * sin(turn)) for turn in turns]


def _marks(part: Part, frame: _Frame) -> list[Mark]:
    if isinstance(part, Text):
        return [*_labels(part.words, _text_box(part, frame.at(part.at), frame), part.role,
                         TEXT_SIZES[part.size] * frame.text, part.bold)]
    if isinstance(part, Sign):
        return _sign(part, *frame.at(part.at))
    if isinstance(part, Dimension):
        return _dimension(part, frame)
    points = tuple(frame.at(point) for point in _points(part))
    style = STYLES[part.style]
    if isinstance(part, Arrow):
        return _arrow(points, style)
    return _outline(points, style, closed=isinstance(part, Polygon | Circle))


def _outline(points: tuple[Point, ...], style: Style, closed: bool) -> list[Mark]:
    marks: list[Mark] = []
    if style.fill and closed:
        marks.append(Fill(points, style.fill, style.opacity))
    if style.line:
        marks.append(Stroke(points, style.line, style.width, closed, style.dash))
    return marks


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
    role = "tape" if part.known else "unknown"
    width = STYLES["tapeline" if part.tape else "tape"].width
    marks: list[Mark] = []
    if part.offset:
        over = 1.2 if part.offset > 0 else -1.2
        for foot, top in ((start, first), (end, last)):
            marks.append(Stroke((foot, (top[0] + nx * over, top[1] + ny * over)), role, 0.25))
    dash = None if part.known else (1.8, 1.4)
    marks.append(Stroke((first, last), role, width, False, dash))
    marks.append(Fill(_head(last, first, HEAD), role))
    marks.append(Fill(_head(first, last, HEAD), role))
    size = TEXT_SIZES["note"] * frame.text
    wide, high = _text_size(part.words, size, True, frame.measure)
    bx, by = _beside(part, wide, high)
    x, y = (first[0] + last[0]) / 2 + bx, (first[1] + last[1]) / 2 + by
    marks.extend(_labels(part.words, (x - wide / 2, y - high / 2, wide, high), "tape" if part.known else "soft",
                         size, True))
    return marks


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
        plate = tuple(_round((x, y), part.size / 2 + 1.0, 0, 360))
        marks += [Fill(plate, "card"), Stroke(plate, part.role, 0.35, closed=True)]
    return marks + icon_marks(part.icon, x - part.size / 2, y - part.size / 2, part.size, part.role)


def icon_marks(name: str, left: float, low: float, size: float, role: str) -> list[Mark]:
    """A sign of the table ICONS as marks, its lower left corner at a place, so many millimetres large."""
    unit = size / 24
    marks: list[Mark] = []
    for part in ICONS[name]:
        if isinstance(part, Ring):
            points = tuple(_round((left + part.x * unit, low + part.y * unit), part.radius * unit, 0, 360))
            marks.append(Fill(points, role) if part.filled else Stroke(points, role, 2.2 * unit, closed=True))
            continue
        points = tuple((left + x * unit, low + y * unit) for x, y in part.points)
        if isinstance(part, Shape):
            marks.append(Fill(points, role))
        else:
            marks.append(Stroke(points, role, 2.2 * unit, part.closed))
    return marks


def _text_size(words: str, size: float, bold: bool, measure: Measure) -> tuple[float, float]:
    lines = words.split("\n")
    return max(measure(line, size, bold) for line in lines), size * LINE_HEIGHT * len(lines)


def _text_box(part: Text, at: Point, frame: _Frame) -> tuple[float, float, float, float]:
    wide, high = _text_size(part.words, TEXT_SIZES[part.size] * frame.text, part.bold, frame.measure)
    x, y = at
    gap = part.gap
    left = {"left": x - gap - wide, "right": x + gap}.get(part.side, x - wide / 2)
    low = {"top": y + gap, "bottom": y - gap - high}.get(part.side, y - high / 2)
    return left, low, wide, high


def _labels(words: str, box: tuple[float, float, float, float], role: str, size: float, bold: bool) -> list[Label]:
    left, low, wide, high = box
    lines = words.split("\n")
    each = high / len(lines)
    return [
        Label(left, low + high - each * (place + 1), wide, each, line, size, role, bold)
        for place, line in enumerate(lines)
    ]


def _legend(entries: tuple[Legend, ...], width: float, text: float, measure: Measure) -> tuple[list[Mark], float]:
    """The legend as marks from the paper's lower edge up, in as few rows as its width allows, and its height."""
    size = TEXT_SIZES["note"] * text
    row, swatch, between = size * 1.45, 9.0, 5.0
    rows: list[list[tuple[Legend, float]]] = [[]]
    used = 0.0
    for entry in entries:
        wide = swatch + 1.8 + measure(entry.words, size, False)
        if rows[-1] and used + between + wide > width:
            rows.append([])
            used = 0.0
        used += wide + (between if rows[-1] else 0.0)
        rows[-1].append((entry, wide))
    marks: list[Mark] = []
    for place, line in enumerate(reversed(rows if entries else [])):
        x, low = 0.0, place * row
        for entry, wide in line:
            marks += _swatch(entry, x, low + row / 2, swatch)
            marks.append(Label(x + swatch + 1.8, low + (row - size * LINE_HEIGHT) / 2, wide - swatch - 1.8,
                               size * LINE_HEIGHT, entry.words, size, "ink", plate=False))
            x += wide + between
    return marks, (len(rows) * row + 2.0) if entries else 0.0


def _swatch(entry: Legend, x: float, y: float, wide: float) -> list[Mark]:
    if entry.icon:
        return icon_marks(entry.icon, x + wide / 2 - 2.5, y - 2.5, 5.0, entry.role)
    style = STYLES[entry.style]
    if style.fill:
        box = ((x + 1, y - 1.6), (x + wide, y - 1.6), (x + wide, y + 1.6), (x + 1, y + 1.6))
        return _outline(box, style, closed=True)
    return _outline(((x, y), (x + wide, y)), style, closed=False)


def dashes(points: tuple[Point, ...], dash: tuple[float, float], closed: bool = False) -> list[tuple[Point, ...]]:
    """A line cut into dashes, for back ends that cannot dash: `dash` is drawn and left out, mm."""
    path = (*points, points[0]) if closed else points
    pieces: list[tuple[Point, ...]] = []
    piece: list[Point] = [path[0]]
    drawing, rest = True, dash[0]
    for start, end in zip(path, path[1:], strict=False):
        length, gone = hypot(end[0] - start[0], end[1] - start[1]), 0.0
        while length - gone > rest:
            gone += rest
            point = start[0] + (end[0] - start[0]) * gone / length, start[1] + (end[1] - start[1]) * gone / length
            if drawing:
                pieces.append((*piece, point))
            piece, drawing = [point], not drawing
            rest = dash[0] if drawing else dash[1]
        rest -= length - gone
        if drawing:
            piece.append(end)
    if drawing and len(piece) > 1:
        pieces.append(tuple(piece))
    return pieces
