"""Drawings laid out on paper: everything fits and is apart, at any size; the same marks go to the screen and to SVG."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from math import hypot
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.sheet.svg import svg
from coach.view.drawing import (
    STYLES,
    Arc,
    Arrow,
    Circle,
    Dimension,
    Drawing,
    Group,
    Legend,
    Line,
    Polygon,
    Polyline,
    Sign,
    Text,
    group,
    leaves,
    words_in,
)
from coach.view.icons import ICONS, Ring
from coach.view.marks import TEXT_SIZES, Fill, Label, Stroke, broken, dashes, rough_width
from coach.view.palette import DARK, DAY, Palette
from coach.view.paper import Sheet, lay
from coach.view.pictures import moves
from coach.view.pictures.craft import Craft
from coach.view.pictures.cross_section import cross_section
from coach.view.pictures.plan import plan
from coach.view.pictures.side import side

SVG = "{http://www.w3.org/2000/svg}"

SHIPPED: dict[str, Callable[[], Drawing]] = {
    "cross-section": lambda: cross_section(1.22, 1.05, 0.18, 1.79, 0.15),
    "cross-section-unknown": cross_section,
    "cross-section-asked": lambda: cross_section(1.22, only="ridge_to_edge"),
    "plan": lambda: plan(
        5.8, 2.4, uprights=(2.1, 4.2), belly=(3.0, 4.9), vents=((1.2, 0.5), (4.6, -0.6)), door=(5.2, 0.5)
    ),
    "plan-marked": lambda: plan(9.5, 3.1, uprights=(2.1, 4.2, 6.5), mark="uprights"),
    "plan-unknown": plan,
    "plan-pointed": lambda: plan(8.0, 2.5, form="pointed"),
    "plan-pontoon": lambda: plan(7.0, 2.5, form="rectangle"),
    "side": lambda: side(5.8, uprights=((2.1, 1.0), (4.2, 1.0)), ridge_stern=0.8, edge_drop=0.18),
    "side-unknown": side,
    "side-stands": lambda: side(7.2, craft=Craft(support="stands", drive=""), windshield=None),
    **{name: getattr(moves, name) for name in ("flame_level", "bottom_up", "u_door", "pleat", "swing")},
}


def reach(sheet: Sheet) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of everything on the sheet, mm."""
    xs, ys = [], []
    for mark in sheet.marks:
        if isinstance(mark, Label):
            xs += [mark.left, mark.left + mark.wide]
            ys += [mark.low, mark.low + mark.high]
        else:
            xs += [x for x, _ in mark.points]
            ys += [y for _, y in mark.points]
    return min(xs), min(ys), max(xs), max(ys)


def labels(sheet: Sheet) -> list[Label]:
    """The texts on the sheet."""
    return [mark for mark in sheet.marks if isinstance(mark, Label)]


def on_one_another(one: Label, two: Label) -> bool:
    """Whether two texts cover one another."""
    across = min(one.left + one.wide, two.left + two.wide) - max(one.left, two.left)
    along = min(one.low + one.high, two.low + two.high) - max(one.low, two.low)
    return across > 0.3 and along > 0.5


@pytest.mark.parametrize("paper", [(180, 100), (110, 70), (70, 95), (115, 60)], ids=str)
@pytest.mark.parametrize("name", SHIPPED)
def test_every_shipped_picture_fits_its_paper_with_its_texts_apart(name: str, paper: tuple[float, float]) -> None:
    sheet = lay(SHIPPED[name](), *paper)
    left, low, right, top = reach(sheet)
    assert (left >= -0.5, low >= -0.5, right <= paper[0] + 0.5, top <= paper[1] + 0.5) == (True,) * 4
    crowded = [(one.words, two.words) for one, two in combinations(labels(sheet), 2) if on_one_another(one, two)]
    assert crowded == []


@pytest.mark.parametrize("name", SHIPPED)
def test_every_role_and_sign_of_a_shipped_picture_exists(name: str) -> None:
    for mark in lay(SHIPPED[name](), 150, 100).marks:
        assert getattr(DAY, mark.role).startswith("#")


@given(
    half=st.floats(0.4, 3),
    ridge=st.floats(0.2, 3),
    drop=st.floats(0.05, 0.4),
    wide=st.floats(60, 250),
    high=st.floats(60, 200),
)
@settings(max_examples=60, deadline=None)
def test_a_cross_section_of_any_boat_fits_any_paper(
    half: float, ridge: float, drop: float, wide: float, high: float
) -> None:
    sheet = lay(cross_section(half, ridge, drop, half + ridge), wide, high)
    left, low, right, top = reach(sheet)
    assert left >= -0.5
    assert low >= -0.5
    assert right <= wide + 0.5
    assert top <= high + 0.5
    assert sheet.scale > 0


def test_the_scale_is_the_largest_that_fits() -> None:
    square = Drawing("square", "a square", (Polygon(((0, 0), (2, 0), (2, 2), (0, 2)), "part"),))
    sheet = lay(square, 100, 60)
    edge = STYLES["part"].width
    assert sheet.scale == pytest.approx((60 - edge) / 2, rel=1e-6)


def test_places_of_the_picture_are_the_boat_s_own() -> None:
    drawing = cross_section(1.22, 1.05, 0.18, 1.79)
    lines = [part for part in leaves(drawing.parts) if isinstance(part, Dimension)]
    spans = {part.words: hypot(part.end[0] - part.start[0], part.end[1] - part.start[1]) for part in lines}
    assert spans == {
        "ridge height\n1.05 m": pytest.approx(1.05),
        "half beam\n1.22 m": pytest.approx(1.22),
        "film edge\n0.18 m": pytest.approx(0.18),
    }
    film = next(part for part in group(drawing, "film") if isinstance(part, Polyline))
    assert film.points[0][1] == film.points[-1][1] == -0.18
    assert words_in(drawing)[3] == "ridge to film edge\n1.79 m"


def test_what_is_not_measured_is_grey_and_shows_a_question_mark() -> None:
    drawing = cross_section(half_beam=1.22)
    shown = [part for part in leaves(drawing.parts) if isinstance(part, Dimension)]
    assert [(part.words, part.known) for part in shown] == [
        ("ridge height\n?", False),
        ("half beam\n1.22 m", True),
        ("film edge\n?", False),
    ]
    assert {part.style for part in group(drawing, "film") if isinstance(part, Polyline)} == {"unknown"}
    assert {part.style for part in group(drawing, "hull") if isinstance(part, Polygon)} == {"hull", "timber"}


def test_only_the_measure_that_is_asked_for_is_shown() -> None:
    assert words_in(cross_section(1.2, 1.0, 0.18, only="half_beam")) == ["1.20 m"]
    assert words_in(cross_section(1.2, 1.0, 0.18, only="ridge_to_edge")) == ["?"]
    asked = [part for part in leaves(cross_section(1.2, only="beam").parts) if isinstance(part, Dimension)]
    assert [(part.words, part.asked, part.end[0] - part.start[0]) for part in asked] == [("2.40 m", True, 2.4)]


def test_the_asked_value_is_large_on_a_dark_tag() -> None:
    for only in ("half_beam", "ridge_to_edge"):
        (label,) = labels(lay(cross_section(1.2, 1.0, 0.18, 1.8, only=only), 70, 60))
        assert (label.size, label.role, label.plate) == (TEXT_SIZES["lead"], "primary_ink", "primary")


def test_a_distance_too_short_for_its_arrowheads_has_them_outside_and_pointing_at_it() -> None:
    drawing = Drawing("short", "short", (Line((-1, 0), (1, 0)), Dimension((0, 0), (0, 0.02), "2 cm", -0.01, beside=True)))
    heads = [mark.points for mark in lay(drawing, 80, 60).marks if isinstance(mark, Fill)]
    (low, *low_back), (high, *high_back) = sorted(heads)
    assert all(y < low[1] for _x, y in low_back) and all(y > high[1] for _x, y in high_back)
    assert high[1] - low[1] < 2.6


def test_positions_of_the_plan_are_distances_from_the_bow() -> None:
    drawing = plan(6.0, 2.4, uprights=(2.0, 4.0), vents=((1.0, 0.4),), belly=(3.0,), door=(5.0, 0.6))
    assert [part.centre for part in group(drawing, "uprights") if isinstance(part, Circle)] == [(4.0, 0.0), (2.0, 0.0)]
    assert [part.at for part in group(drawing, "vents") if isinstance(part, Sign)] == [(5.0, 0.4)]
    strap = group(drawing, "straps")[1]
    assert isinstance(strap, Line)
    assert (strap.start, strap.end) == ((2.0, -1.2), (2.0, 1.2))  # behind the entry the boat is as wide as its beam
    assert all(
        abs(x - 1.0) <= 0.3 + 1e-9
        for part in group(drawing, "door")
        if isinstance(part, Polyline)
        for x, _ in part.points
    )
    with pytest.raises(KeyError, match="mast"):
        group(drawing, "mast")


def test_marked_distances_are_written_at_their_places() -> None:
    drawing = plan(6.0, 2.4, uprights=(4.0, 2.0), mark="uprights", show=lambda value: f"{value * 100:.0f} cm")
    marks = [part for part in group(drawing, "marks") if isinstance(part, Dimension)]
    assert [(part.words, part.start[0], part.end[0]) for part in marks] == [("200 cm", 4.0, 6.0), ("400 cm", 2.0, 6.0)]


def test_the_ridge_of_the_side_view_goes_over_every_upright() -> None:
    drawing = side(6.0, uprights=((4.0, 0.9), (2.0, 1.1)), ridge_stern=0.6)
    ridge = next(part for part in group(drawing, "frame") if isinstance(part, Polyline))
    assert ridge.points[1:] == ((4.0, 1.1), (2.0, 0.9), (0.0, 0.6))


def test_a_short_distance_has_its_value_beside_it_not_on_it() -> None:
    parts = (Line((0, 0), (2, 0)), Dimension((1, 0), (1, 0.02), "0.02 m", 3.0, beside=True))
    label = labels(lay(Drawing("short", "short", parts), 100, 60))[0]
    line = next(
        mark
        for mark in lay(Drawing("short", "short", parts), 100, 60).marks
        if isinstance(mark, Stroke) and mark.role == "tape" and mark.width == STYLES["tape"].width
    )
    assert label.left + label.wide < min(x for x, _ in line.points)


def test_long_texts_are_broken_at_spaces_and_never_inside_a_word() -> None:
    words = "bord du film sous le plat-bord de chaque côté"
    lines = broken(words, 4.2, False, 30, rough_width).split("\n")
    assert " ".join(lines) == words
    assert all(rough_width(line, 4.2, False) <= 30 or " " not in line for line in lines)
    assert len(lines) > 2


@given(length=st.floats(1, 200), on=st.floats(0.5, 5), off=st.floats(0.5, 5))
def test_dashes_cover_their_share_of_a_line(length: float, on: float, off: float) -> None:
    pieces = dashes(((0.0, 0.0), (length, 0.0)), (on, off))
    drawn = sum(piece[-1][0] - piece[0][0] for piece in pieces)
    whole, rest = divmod(length, on + off)
    assert drawn == pytest.approx(whole * on + min(rest, on), abs=1e-6)


def test_dashes_follow_corners_and_close() -> None:
    pieces = dashes(((0, 0), (3, 0), (3, 3)), (4.0, 1.0), closed=False)
    assert pieces == [((0, 0), (3, 0), (3.0, 1.0)), ((3.0, 2.0), (3, 3))]
    closed = dashes(((0, 0), (2, 0), (2, 2), (0, 2)), (100.0, 1.0), closed=True)
    assert closed == [((0, 0), (2, 0), (2, 2), (0, 2), (0, 0))]


@pytest.mark.parametrize("name", SHIPPED)
def test_every_picture_is_well_formed_svg_with_every_mark(name: str) -> None:
    drawing = SHIPPED[name]()
    root = ElementTree.fromstring(svg(drawing, 160, 110))
    sheet = lay(drawing, 160, 110)
    assert root.attrib["viewBox"] == "0 0 160 110"
    assert root.find(f"{SVG}title").text == drawing.title  # type: ignore[union-attr]
    assert [each.text for each in root.iter(f"{SVG}text")] == [label.words for label in labels(sheet)]
    strokes = [mark for mark in sheet.marks if isinstance(mark, Stroke)]
    fills = [mark for mark in sheet.marks if isinstance(mark, Fill)]
    assert len(list(root.iter(f"{SVG}polyline"))) == sum(not mark.closed for mark in strokes)
    assert len(list(root.iter(f"{SVG}polygon"))) == sum(mark.closed for mark in strokes) + len(fills)


def test_svg_turns_the_paper_upright_and_escapes_texts() -> None:
    drawing = Drawing("odd", 'A "title" & <more>', (Line((0, 0), (0, 1)), Text((0, 0), "a < b & c", "right")))
    text = svg(drawing, 50, 40)
    assert "a &lt; b &amp; c" in text
    assert "<more>" not in text
    root = ElementTree.fromstring(text)
    first = root.find(f"{SVG}polyline").attrib["points"].split()  # type: ignore[union-attr]
    assert float(first[0].split(",")[1]) > float(first[1].split(",")[1])  # the place with y = 0 lies lower on paper


@pytest.mark.parametrize("palette", [DAY, DARK], ids=["day", "dark"])
def test_svg_uses_the_palette_s_colours_only(palette: Palette) -> None:
    root = ElementTree.fromstring(svg(SHIPPED["plan"](), palette=palette))
    used = {
        each.attrib[name]
        for each in root.iter()
        for name in ("fill", "stroke")
        if each.attrib.get(name, "none") != "none"
    }
    assert used <= set(vars(palette).values())
    assert palette.strap in used


def test_a_legend_that_is_too_wide_takes_more_rows_and_breaks_its_words() -> None:
    legend = tuple(Legend(f"entry number {number} of the legend", "film") for number in range(4))
    sheet = lay(Drawing("legend", "a legend", (Line((0, 0), (1, 1)),), legend), 40, 90)
    assert all(label.left + label.wide <= 40.5 for label in labels(sheet))
    assert len({round(label.low, 2) for label in labels(sheet)}) > 4


def test_an_arrow_ends_at_its_last_point_and_arcs_are_round() -> None:
    drawing = Drawing("arrow", "arrow", (Arrow(((0, 0), (1, 0))), Arc((0.5, 0.0), 0.25, 0, 180), Circle((0.5, 0), 0.5)))
    sheet = lay(drawing, 100, 80)
    tips = [mark.points[0] for mark in sheet.marks if isinstance(mark, Fill)]
    circle = next(mark for mark in sheet.marks if isinstance(mark, Stroke) and mark.closed)
    assert tips[0][0] == pytest.approx(max(x for x, _ in circle.points), abs=0.05)
    centre = sum(x for x, _ in circle.points[:-1]) / (len(circle.points) - 1)
    assert {round(hypot(x - centre, y - tips[0][1]), 3) for x, y in circle.points} == {round(0.5 * sheet.scale, 3)}


def test_groups_are_found_at_any_depth_and_empty_ones_are_found_too() -> None:
    inner = Group("inner", (Text((0, 0), "here"),))
    drawing = Drawing("deep", "deep", (Group("outer", (inner, Group("empty", ()))),))
    assert group(drawing, "inner") == inner.parts
    assert group(drawing, "empty") == ()


def test_the_four_states_of_a_safeguard_differ_in_shape_alone() -> None:
    shapes = [ICONS[name] for name in ("tick", "hollow", "clock", "cross")]
    assert len(set(shapes)) == 4
    assert sum(any(isinstance(part, Ring) for part in shape) for shape in shapes) == 2


@pytest.mark.parametrize("name", ICONS)
def test_every_sign_stays_on_its_grid(name: str) -> None:
    for part in ICONS[name]:
        points = (
            [(part.x - part.radius, part.y - part.radius), (part.x + part.radius, part.y + part.radius)]
            if isinstance(part, Ring)
            else list(part.points)
        )
        assert all(0 <= value <= 24 for point in points for value in point)


@pytest.mark.parametrize("form", ["transom", "pointed", "rectangle"])
def test_a_plan_of_any_length_is_drawn_to_its_last_station(form: str) -> None:
    """In floats a share of the length may come out a hair beyond it: 126 in x 40 / 40 does."""
    for inches in range(96, 720, 6):
        assert plan(inches * 127 / 5000, 1.2, form=form).parts
