"""Lays a drawing out on paper of a given size: strokes, fills and labels in millimetres, ready for any back end.

Rules kept here:
 1. Everything fits: lines, arrowheads and whole texts, the legend. The scale is the largest that allows it.
 2. A text wider than a share of the paper is broken at spaces. Texts keep their size on paper; only where a picture
    would be left too small are they made smaller, to 94 %: capitals of 3 mm.
 3. The legend stands below the picture or beside it, wherever the picture comes out larger. Where texts would still lie
    on one another, or the picture is small and grows much without it, it is left out but for what must be kept: what a
    measure belongs to comes first.
 4. Texts that would lie on one another are moved apart; a label stands on a plate, so that no line behind
    it crosses its letters.
Knows nothing of: Kivy, SVG, colours.  Proved by: tests/view/test_drawing.py.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from coach.view.apart import Block, Box, crowded, spread
from coach.view.dimension import HEAD, Frame, Reach, arrowhead, dimension, dimension_reaches, tails
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
from coach.view.legend import column, legend_marks
from coach.view.marks import (
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

LEAST_TEXT = 0.94  # capitals of 3.0 mm
# A picture should fill at least this share of the paper's width or height before texts are made smaller.
FILLED = 0.45
# Under this share, the legend is left out where the picture then grows by this factor at least.
LARGE, GAIN = 0.6, 1.6

# A legend beside the picture takes at most this share of the width, and keeps this distance, mm.
BESIDE, BESIDE_GAP = 0.42, 4.0
# A text in the picture is at most this share of the paper wide, but never broken under this many millimetres.
# One above or below its place has nothing beside it and may take more.
TEXT_SHARE, OVER_SHARE, TEXT_ROOM = 0.3, 0.85, 25.0


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


def lay(drawing: Drawing, width: float, height: float, measure: Measure = rough_width) -> Sheet:
    """Lay a drawing out on paper of `width` by `height` millimetres (both above 0).

    Args:
        measure: width of a text at a font size, bold or not, in the unit of the size.
    """
    if drawing.other is not None:
        both = [lay(each, width, height, measure) for each in (replace(drawing, other=None), drawing.other)]
        return max(both, key=lambda sheet: sheet.scale)
    drawing = _broken(drawing, width, measure)
    for text, named in ((1.0, True), (LEAST_TEXT, True), (LEAST_TEXT, False)):
        legend, area, frame = _framed(drawing, width, height, text, named, measure)
        if named and not _fills(drawing, frame, width, height, LARGE):
            bare = _framed(drawing, width, height, text, False, measure)
            if bare[2].scale >= GAIN * frame.scale:
                legend, area, frame = bare
        marks, blocks, groups = _placed(drawing, frame, area)
        if _fills(drawing, frame, area[2] - area[0], area[3] - area[1]) and not crowded(blocks):
            break
    texts = [label for block in blocks for label in block]
    samples = [mark for mark in legend if not isinstance(mark, Label)]
    words = [mark for mark in legend if isinstance(mark, Label)]
    return Sheet(width, height, frame.scale, (*marks, *samples, *texts, *words), frame.text, frame.left, frame.low, groups)


def _framed(
    drawing: Drawing, width: float, height: float, text: float, named: bool, measure: Measure
) -> tuple[list[Mark], Box, Frame]:
    """The legend below or beside the picture, whichever leaves it larger; the area that is left, and the frame in it."""
    entries = drawing.legend if named else tuple(entry for entry in drawing.legend if entry.keep)
    legend, taken = legend_marks(entries, width, text, measure)
    area = (0.0, taken, width, max(height, taken + 0.3 * height))
    frame = _fit(drawing, area[2], area[3] - area[1], text, measure)
    below = legend, area, replace(frame, low=frame.low + taken)
    wide = column(entries, text, measure)
    if not entries or wide > BESIDE * width:
        return below
    legend, high = legend_marks(entries, wide, text, measure)
    left = width - wide - BESIDE_GAP
    frame = _fit(drawing, left, height, text, measure)
    if high > height or frame.scale < below[2].scale * 1.04:
        return below
    up = (height - high) / 2
    return [_moved(mark, left + BESIDE_GAP, up) for mark in legend], (0.0, 0.0, left, height), frame


def _moved(mark: Mark, across: float, up: float) -> Mark:
    if isinstance(mark, Label):
        return replace(mark, left=mark.left + across, low=mark.low + up)
    return replace(mark, points=tuple((x + across, y + up) for x, y in mark.points))


def over(parts: tuple[Part, ...], sheet: Sheet) -> tuple[Mark, ...]:
    """Marks of parts without texts, to be drawn over a sheet at their places in its drawing."""
    frame = Frame(sheet.scale, sheet.left, sheet.low, sheet.text_scale, rough_width)
    return tuple(mark for part in leaves(parts) for mark in _marks(part, frame))


def _placed(drawing: Drawing, frame: Frame, area: Box) -> tuple[list[Mark], list[Block], tuple[tuple[str, int, int], ...]]:
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
    over = max(OVER_SHARE * width, TEXT_ROOM)

    def mend(part: Part) -> Part:
        if isinstance(part, Group):
            return replace(part, parts=tuple(mend(each) for each in part.parts))
        if isinstance(part, Text) and part.plate != "card":
            return part  # a tag stays in one piece
        if isinstance(part, Text):
            own = part.room * width or (over if part.side in ("top", "bottom") else room)
            return replace(part, words=broken(part.words, TEXT_SIZES[part.size], part.bold, own, measure))
        if isinstance(part, Dimension) and not part.asked:
            own = over if part.start[1] == part.end[1] and not part.beside else room  # it stands in its own level line
            return replace(part, words=broken(part.words, TEXT_SIZES["note"], True, own, measure))
        return part

    return replace(drawing, parts=tuple(mend(part) for part in drawing.parts))


def _fills(drawing: Drawing, frame: Frame, width: float, height: float, share: float = FILLED) -> bool:
    points = [point for part in leaves(drawing.parts) for point in _points(part)]
    wide = (max(x for x, _ in points) - min(x for x, _ in points)) * frame.scale
    high = (max(y for _, y in points) - min(y for _, y in points)) * frame.scale
    return wide >= share * width or high >= share * height


def _fit(drawing: Drawing, width: float, height: float, text: float, measure: Measure) -> Frame:
    """The frame with the largest scale at which every reach of every part lies on the paper, centred."""
    unit = Frame(1.0, 0.0, 0.0, text, measure)
    reaches = [reach for part in leaves(drawing.parts) for reach in _reaches(part, unit)]
    small = _largest(reaches, width, height)
    short = [reach for part in leaves(drawing.parts) if isinstance(part, Dimension) for reach in tails(part, small)]
    if short:  # a smaller scale leaves what is short short
        reaches += short
        small = _largest(reaches, width, height)
    wide, high = _extent(reaches, small)
    left = (width - (wide[1] - wide[0])) / 2 - wide[0]
    low = (height - (high[1] - high[0])) / 2 - high[0]
    return Frame(small, left, low, text, measure)


def _largest(reaches: list[Reach], width: float, height: float) -> float:
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


def _extent(reaches: list[Reach], scale: float) -> tuple[tuple[float, float], tuple[float, float]]:
    lefts = [x * scale - left for (x, _), (left, _, _, _) in reaches]
    rights = [x * scale + right for (x, _), (_, _, right, _) in reaches]
    lows = [y * scale - down for (_, y), (_, down, _, _) in reaches]
    tops = [y * scale + up for (_, y), (_, _, _, up) in reaches]
    return (min(lefts), max(rights)), (min(lows), max(tops))


def _reaches(part: Leaf, frame: Frame) -> list[Reach]:
    if isinstance(part, Text):
        left, low, wide, high = _text_box(part, (0.0, 0.0), frame)
        return [(part.at, (-left, -low, left + wide, low + high))]
    if isinstance(part, Sign):
        half = part.size / 2 + (1.2 if part.plate else 0)
        return [(part.at, (half, half, half, half))]
    if isinstance(part, Dimension):
        return dimension_reaches(part, frame)
    edge = HEAD / 2 if isinstance(part, Arrow) else STYLES[part.style].width / 2
    return [(point, (edge, edge, edge, edge)) for point in _points(part)]


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


def _marks(part: Leaf, frame: Frame) -> list[Mark]:
    if isinstance(part, Text):
        return [*_flush(part, label_lines(part.words, _text_box(part, frame.at(part.at), frame), part.role,
                                          TEXT_SIZES[part.size] * frame.text, part.bold, part.plate), frame)]
    if isinstance(part, Sign):
        return _sign(part, *frame.at(part.at))
    if isinstance(part, Dimension):
        return dimension(part, frame)
    points = tuple(frame.at(point) for point in _points(part))
    style = STYLES[part.style]
    if isinstance(part, Arrow):
        return _arrow(points, style)
    return outline(points, style, closed=isinstance(part, Polygon | Circle))


def _flush(part: Text, lines: list[Label], frame: Frame) -> list[Label]:
    """The lines of a text that stands beside something begin, or end, at it; those of any other are centred."""
    if part.side not in ("left", "right") or len(lines) == 1:
        return lines
    wide = [text_size(line.words, line.size, line.bold, frame.measure)[0] for line in lines]
    return [
        replace(line, left=line.left + (line.wide - own if part.side == "left" else 0.0), wide=own)
        for line, own in zip(lines, wide, strict=True)
    ]


def _arrow(points: tuple[Point, ...], style: Style) -> list[Mark]:
    head = arrowhead(points[-2], points[-1], HEAD + style.width)
    back = ((head[1][0] + head[2][0]) / 2, (head[1][1] + head[2][1]) / 2)
    return [Stroke((*points[:-1], back), style.line, style.width, False, style.dash), Fill(head, style.line)]


def _sign(part: Sign, x: float, y: float) -> list[Mark]:
    marks: list[Mark] = []
    if part.plate:
        plate = tuple(round_points((x, y), part.size / 2 + 1.0, 0, 360))
        marks += [Fill(plate, "card"), Stroke(plate, part.role, 0.35, closed=True)]
    return marks + icon_marks(part.icon, x - part.size / 2, y - part.size / 2, part.size, part.role)


def _text_box(part: Text, at: Point, frame: Frame) -> tuple[float, float, float, float]:
    wide, high = text_size(part.words, TEXT_SIZES[part.size] * frame.text, part.bold, frame.measure)
    x, y = at
    gap = part.gap
    left = {"left": x - gap - wide, "right": x + gap}.get(part.side, x - wide / 2)
    low = {"top": y + gap, "bottom": y - gap - high}.get(part.side, y - high / 2)
    return left, low, wide, high
