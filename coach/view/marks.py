"""The marks of a laid-out drawing, in millimetres of paper, and what is needed to make them: any back end draws these.

Rules kept here:
 1. Marks name roles of the palette; widths, sizes and places are millimetres, y upwards.
Knows nothing of: Kivy, SVG, colours, how a drawing is fitted to its paper.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, hypot, radians, sin

from coach.view.drawing import Point, Style
from coach.view.icons import ICONS, Ring, Shape

# Font sizes on paper, mm: capitals of 3.2, 4 and 5 mm in a font whose capitals are 0.76 of its size.
TEXT_SIZES = {"note": 4.2, "body": 5.3, "lead": 6.6}
LINE_HEIGHT = 1.22
# How far a text's plate reaches to its left and right, mm, where it is more than a hair: a tag for what is asked.
PLATE_EDGE = {"primary": 1.6}

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
    """One line of text; `left` and `low` are the corner of its box, mm. `plate` is the role behind it, '' for none."""

    left: float
    low: float
    wide: float
    high: float
    words: str
    size: float
    role: str
    bold: bool = False
    plate: str = "card"


Mark = Stroke | Fill | Label


def rough_width(words: str, size: float, bold: bool) -> float:
    """Width of a text in the unit of its size, estimated from above for B612 without asking a font."""
    return sum(0.42 if sign in " .,:;'ijlI|′″()" else 0.72 for sign in words) * size * (1.05 if bold else 1.0)


def text_size(words: str, size: float, bold: bool, measure: Measure) -> tuple[float, float]:
    lines = words.split("\n")
    return max(measure(line, size, bold) for line in lines), size * LINE_HEIGHT * len(lines)


def broken(words: str, size: float, bold: bool, room: float, measure: Measure) -> str:
    """The text in lines of at most `room`, broken at spaces; a word that is wider alone stays whole."""
    lines: list[str] = []
    for paragraph in words.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and measure(longer, size, bold) > room:
                lines.append(line)
                longer = word
            line = longer
        lines.append(line)
    return "\n".join(lines)


def label_lines(
    words: str, box: tuple[float, float, float, float], role: str, size: float, bold: bool, plate: str = "card"
) -> list[Label]:
    left, low, wide, high = box
    lines = words.split("\n")
    each = high / len(lines)
    return [
        Label(left, low + high - each * (place + 1), wide, each, line, size, role, bold, plate)
        for place, line in enumerate(lines)
    ]


def outline(points: tuple[Point, ...], style: Style, closed: bool) -> list[Mark]:
    marks: list[Mark] = []
    if style.fill and closed:
        marks.append(Fill(points, style.fill, style.opacity))
    if style.line:
        marks.append(Stroke(points, style.line, style.width, closed, style.dash))
    return marks


def icon_marks(name: str, left: float, low: float, size: float, role: str) -> list[Mark]:
    """A sign of the table ICONS as marks, its lower left corner at a place, so many millimetres large."""
    unit = size / 24
    marks: list[Mark] = []
    for part in ICONS[name]:
        if isinstance(part, Ring):
            points = tuple(round_points((left + part.x * unit, low + part.y * unit), part.radius * unit, 0, 360))
            marks.append(Fill(points, role) if part.filled else Stroke(points, role, 2.2 * unit, closed=True))
            continue
        points = tuple((left + x * unit, low + y * unit) for x, y in part.points)
        if isinstance(part, Shape):
            marks.append(Fill(points, role))
        else:
            marks.append(Stroke(points, role, 2.2 * unit, part.closed))
    return marks


def round_points(centre: Point, radius: float, first: float, last: float) -> list[Point]:
    steps = max(8, round(abs(last - first) / 6))
    turns = [radians(first + (last - first) * step / steps) for step in range(steps + 1)]
    return [(centre[0] + radius * cos(turn), centre[1] + radius * sin(turn)) for turn in turns]


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
