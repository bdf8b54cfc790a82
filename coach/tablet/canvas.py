"""Draws a laid-out drawing with Kivy: strokes, fills and labels in pixels, in the colours of the theme in use.

Rules kept here:
 1. Nothing is laid out here; places come from `coach.view.paper`, in millimetres from the lower left corner.
"""

from __future__ import annotations

from collections.abc import Iterable

from kivy.core.text.markup import MarkupLabel
from kivy.graphics import Color, InstructionGroup, Mesh, Rectangle
from kivy.graphics.tesselator import Tesselator
from kivy.utils import get_color_from_hex

from coach.tablet.fonts import TEXT, marked
from coach.tablet.strokes import add_line
from coach.tablet.theme import theme
from coach.tablet.widgets.text import natural_width
from coach.view.drawing import Point
from coach.view.marks import PLATE_EDGE, Fill, Label, Mark, Stroke, dashes
from coach.view.paper import Sheet


def measure(words: str, size: float, bold: bool) -> float:
    """Width of a text in millimetres, at a font size in millimetres, as the screen will draw it."""
    return natural_width(words, max(1, round(size * theme.mm)), bold) / theme.mm


def draw(group: InstructionGroup, sheet: Sheet, left: float, low: float) -> None:
    """Draw a sheet into a group of instructions, its lower left corner at a place in pixels. Clears the group first."""
    draw_marks(group, sheet.marks, left, low)


def draw_marks(group: InstructionGroup, marks: Iterable[Mark], left: float, low: float) -> None:
    """Draw marks into a group, as `draw` does a whole sheet. Clears the group first."""
    group.clear()
    for mark in marks:
        if isinstance(mark, Fill):
            _fill(group, mark, left, low)
        elif isinstance(mark, Stroke):
            _stroke(group, mark, left, low)
        else:
            _label(group, mark, left, low)


def _colour(role: str, opacity: float = 1.0) -> Color:
    red, green, blue, _ = get_color_from_hex(getattr(theme.palette, role))
    return Color(red, green, blue, opacity)


def _placed(points: tuple[Point, ...], left: float, low: float) -> list[Point]:
    unit = theme.mm
    return [(left + x * unit, low + y * unit) for x, y in points]


def _fill(group: InstructionGroup, mark: Fill, left: float, low: float) -> None:
    shape = Tesselator()
    shape.add_contour([value for point in _placed(mark.points, left, low) for value in point])
    if not shape.tesselate():
        return
    group.add(_colour(mark.role, mark.opacity))
    for vertices, indices in shape.meshes:
        group.add(Mesh(vertices=vertices, indices=indices, mode="triangle_fan"))


def _stroke(group: InstructionGroup, mark: Stroke, left: float, low: float) -> None:
    group.add(_colour(mark.role))
    half = max(0.55, mark.width * theme.mm / 2)
    if mark.dash is None:
        add_line(group, _placed(mark.points, left, low), half, mark.closed)
        return
    for piece in dashes(mark.points, mark.dash, mark.closed):
        add_line(group, _placed(piece, left, low), half, round_ends=False)


def _label(group: InstructionGroup, mark: Label, left: float, low: float) -> None:
    unit = theme.mm
    size = max(1, round(mark.size * unit))
    label = MarkupLabel(text=marked(mark.words), font_name=TEXT, font_size=size, bold=mark.bold)
    label.refresh()
    texture = label.texture
    if texture is None:
        return
    x = round(left + (mark.left + mark.wide / 2) * unit - texture.width / 2)
    y = round(low + (mark.low + mark.high / 2) * unit - texture.height / 2)
    if mark.plate:
        edge = PLATE_EDGE.get(mark.plate, 0.5) * unit
        group.add(_colour(mark.plate))
        group.add(Rectangle(pos=(x - edge, y), size=(texture.width + 2 * edge, texture.height)))
    group.add(_colour(mark.role))
    group.add(Rectangle(texture=texture, pos=(x, y), size=texture.size))
