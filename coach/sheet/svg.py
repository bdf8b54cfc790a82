"""A drawing as inline SVG text for a sheet of paper: the same layout as on the screen, in the day palette.

Rules kept here:
 1. The text is a whole <svg> element without scripts, styles from outside or links; it can be pasted into HTML.
 2. Every text and name is escaped; the drawing's title is the <title>, for people who do not see it.
Knows nothing of: files, the rest of the sheet.  Proved by: tests/view/test_drawing.py.
"""

from __future__ import annotations

from html import escape

from coach.view.drawing import Drawing, Point
from coach.view.marks import PLATE_EDGE, Fill, Label, Measure, Stroke, rough_width
from coach.view.palette import DAY, Palette
from coach.view.paper import lay

# Letters sit this share of the font size above the foot of their box.
BASELINE = 0.29


def svg(drawing: Drawing, width: float = 180.0, height: float = 100.0, palette: Palette = DAY,
        measure: Measure = rough_width) -> str:
    """The drawing as an <svg> element of `width` by `height` millimetres."""
    sheet = lay(drawing, width, height, measure)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width)}mm" height="{_number(height)}mm" '
        f'viewBox="0 0 {_number(width)} {_number(height)}" role="img" aria-label="{escape(drawing.title)}" '
        'font-family="B612, Verdana, sans-serif" stroke-linecap="round" stroke-linejoin="round">',
        f"<title>{escape(drawing.title)}</title>",
    ]
    for mark in sheet.marks:
        if isinstance(mark, Fill):
            lines.append(_fill(mark, height, palette))
        elif isinstance(mark, Stroke):
            lines.append(_stroke(mark, height, palette))
        else:
            lines.append(_label(mark, height, palette))
    return "\n".join([*lines, "</svg>"])


def _fill(mark: Fill, height: float, palette: Palette) -> str:
    opacity = f' fill-opacity="{_number(mark.opacity)}"' if mark.opacity < 1 else ""
    return f'<polygon points="{_points(mark.points, height)}" fill="{_colour(palette, mark.role)}"{opacity}/>'


def _stroke(mark: Stroke, height: float, palette: Palette) -> str:
    tag = "polygon" if mark.closed else "polyline"
    dash = ""
    if mark.dash:
        dash = f' stroke-dasharray="{_number(mark.dash[0])} {_number(mark.dash[1])}" stroke-linecap="butt"'
    return (
        f'<{tag} points="{_points(mark.points, height)}" fill="none" stroke="{_colour(palette, mark.role)}" '
        f'stroke-width="{_number(mark.width)}"{dash}/>'
    )


def _label(mark: Label, height: float, palette: Palette) -> str:
    plate, edge = "", PLATE_EDGE.get(mark.plate, 0.5)
    if mark.plate:
        plate = (
            f'<rect x="{_number(mark.left - edge)}" y="{_number(height - mark.low - mark.high)}" '
            f'width="{_number(mark.wide + 2 * edge)}" height="{_number(mark.high)}" '
            f'fill="{_colour(palette, mark.plate)}"/>\n'
        )
    weight = ' font-weight="bold"' if mark.bold else ""
    x, y = mark.left + mark.wide / 2, height - mark.low - BASELINE * mark.size
    return (
        f'{plate}<text x="{_number(x)}" y="{_number(y)}" font-size="{_number(mark.size)}" text-anchor="middle" '
        f'fill="{_colour(palette, mark.role)}"{weight}>{escape(mark.words)}</text>'
    )


def _points(points: tuple[Point, ...], height: float) -> str:
    return " ".join(f"{_number(x)},{_number(height - y)}" for x, y in points)


def _colour(palette: Palette, role: str) -> str:
    colour: str = getattr(palette, role)
    return colour


def _number(value: float) -> str:
    """A number with two digits at most, without a needless point."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")
