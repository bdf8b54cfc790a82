"""A drawing on the screen: the marks of its sheet are really drawn, where the sheet says, in the theme's colours."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.tablet.strokes import _pieces
from coach.tablet.theme import theme
from coach.tablet.widgets.picture import PictureView
from coach.view.drawing import Drawing, Line, Polygon, Text
from coach.view.marks import Label, Stroke
from tests.tablet.driver import Driver, Window

FLAG = Drawing(
    "flag",
    "a film, a strap across, a word",
    (
        Polygon(((0, 0), (4, 0), (4, 2), (2, 1), (0, 2)), "timber"),
        Line((0, 0.5), (4, 0.5), "ridge"),
        Text((2, 1.8), "notch", role="bad"),
    ),
)


def colour_at(pixels: bytes, x: float, y: float) -> str:
    """The colour of a place of the window, '#rrggbb' in capitals."""
    place = (round(y) * int(Window.width) + round(x)) * 3
    return f"#{pixels[place : place + 3].hex().upper()}"


@pytest.mark.parametrize("dark", [False, True], ids=["day", "dark"])
def test_strokes_and_fills_are_where_the_sheet_says(dark: bool) -> None:
    with Driver((800, 500), dark=dark) as drive:
        view = drive.show(PictureView(drawing=FLAG))
        pixels, palette = drive.pixels(), theme.palette
        strap = next(mark for mark in view.sheet.marks if isinstance(mark, Stroke) and mark.role == "strap")
        edge = view.margin * theme.mm
        middle = edge + (strap.points[0][0] + strap.points[1][0]) / 2 * theme.mm, edge + strap.points[0][1] * theme.mm
        metre = view.sheet.scale * theme.mm
        assert colour_at(pixels, *middle) == palette.strap.upper()
        assert colour_at(pixels, middle[0] - metre, middle[1] + 0.6 * metre) == palette.timber.upper()
        # The notch of the outline is not filled: the outline is not convex.
        assert colour_at(pixels, middle[0] + 0.1 * metre, middle[1] + 0.85 * metre) == palette.card.upper()


def test_a_new_drawing_or_none_replaces_the_old_one() -> None:
    with Driver((800, 500)) as drive:
        view = drive.show(PictureView(drawing=FLAG))
        view.drawing = None
        drive.settle()
        assert view.sheet is None
        pixels = drive.pixels()
        assert colour_at(pixels, 400, 250) == theme.palette.card.upper()
        assert colour_at(pixels, 400, 120) == theme.palette.card.upper()


def test_texts_are_measured_with_the_font_that_draws_them() -> None:
    with Driver((800, 500)) as drive:
        view = drive.show(PictureView(drawing=FLAG))
        label = next(mark for mark in view.sheet.marks if isinstance(mark, Label))
        pixels = drive.pixels()
        edge = view.margin * theme.mm
        ink = [
            x
            for x in range(800)
            for y in range(round(edge + label.low * theme.mm), round(edge + (label.low + label.high) * theme.mm))
            if colour_at(pixels, x, y) == theme.palette.bad.upper()
        ]
        assert min(ink) == pytest.approx(edge + label.left * theme.mm, abs=6)
        assert max(ink) == pytest.approx(edge + (label.left + label.wide) * theme.mm, abs=6)


def test_a_line_is_broken_at_sharp_corners_only() -> None:
    assert _pieces([(0, 0), (10, 0), (20, 5)]) == [[(0, 0), (10, 0), (20, 5)]]
    assert _pieces([(0, 0), (10, 0), (0, 1)]) == [[(0, 0), (10, 0)], [(10, 0), (0, 1)]]


def test_a_screenshot_is_the_window_as_png(tmp_path: Path) -> None:
    with Driver((320, 200)) as drive:
        drive.show(PictureView(drawing=FLAG))
        path = drive.screenshot(tmp_path / "shots" / "flag.png")
    data = path.read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")) == (320, 200)
