"""The film of the practice boat as shapes: the sections cover it, a spot's power is shared out whole."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as some

from coach.practice.film import COLD, COLUMNS, HOLED, ROWS, Film, Flame
from coach.practice.film_work import PARTS
from coach.view.drawing import Line, Polygon, Polyline, leaves
from coach.view.practice_film import FilmShape, boat_behind, film_look, film_shape, hole, wrinkles
from tests.practice.by_hand import prepared

SHAPE = FilmShape(5.8, 0.18, 0.76, 0.46)


def whole_area(shape: FilmShape) -> float:
    """The area under the ridge line down to the hem, by the trapezium rule over the ridge's own corners."""
    heights = [shape.ridge(n / COLUMNS) + shape.edge for n in range(COLUMNS + 1)]
    return sum((a + b) / 2 * shape.length / COLUMNS for a, b in pairwise(heights))


def test_the_sections_cover_the_film_once() -> None:
    assert sum(SHAPE.area(section) for section in range(ROWS * COLUMNS)) == pytest.approx(whole_area(SHAPE))


def test_the_bow_is_to_the_right_and_the_hem_under_the_rail() -> None:
    assert SHAPE.at(0, 0) == (5.8, -0.18)
    assert SHAPE.at(COLUMNS, 0) == (0.0, -0.18)
    assert SHAPE.at(COLUMNS, ROWS) == (0.0, 0.46)


@given(some.integers(0, ROWS * COLUMNS - 1), some.floats(0.1, 0.6), some.floats(0, 8))
def test_a_spot_gives_its_whole_power_to_the_film(section: int, distance: float, wind: float) -> None:
    flame = Flame(distance, wind=wind)
    given_ = SHAPE.heated(SHAPE.centre(section), flame)
    power = sum(flux * SHAPE.area(each) for each, flux in given_.items())
    assert power == pytest.approx(flame.flux * 3.141592653589793 * flame.radius**2)
    assert given_[section] * SHAPE.area(section) == max(flux * SHAPE.area(each) for each, flux in given_.items())


def test_a_spot_beside_the_boat_heats_nothing() -> None:
    assert SHAPE.heated((5.8 / 2, 3.0), Flame(0.25)) == {}
    assert not SHAPE.touches((5.8 / 2, 3.0))
    assert not SHAPE.touches((-1.0, 0.0))
    assert SHAPE.touches(SHAPE.centre(0))


def test_the_shape_follows_the_boat_that_was_measured() -> None:
    run = prepared("gust-at-the-sides").run("ana")
    shape = film_shape(run.rules, run.job.state.measures)
    assert shape.length == pytest.approx(19 * 0.3048)
    assert shape.high == pytest.approx(30 * 0.0254)
    assert film_shape(run.rules, {}) == FilmShape(5.8, 0.18, 0.76, pytest.approx(0.46))  # type: ignore[arg-type]


def test_looks_are_the_films_own_states() -> None:
    film = Film(air=6.0)
    part = PARTS["shrink-sides"]
    assert film_look(film, part).wanted == frozenset(part.sections)
    section = part.sections[0]
    for _step in range(100):
        film.warm(section, 60_000, 0.1)
    look = film_look(film, part)
    assert section not in look.wanted
    assert look.by_look[HOLED] == (section,) or section in look.by_look["burning"]
    assert len(look.by_look[COLD]) == ROWS * COLUMNS - 1
    assert film_look(film, None).wanted == frozenset()


def test_wrinkles_lie_within_their_own_row_and_stand_still() -> None:
    one, same = wrinkles(SHAPE, 30), wrinkles(SHAPE, 30)
    assert one == same
    row, column = divmod(30, COLUMNS)
    for start, end in one:
        for x, y in (start, end):
            assert SHAPE.at(column + 1.5, 0)[0] <= x <= SHAPE.at(column - 0.5, 0)[0]
            assert SHAPE.at(column, row)[1] - 0.2 <= y <= SHAPE.at(column, row + 1)[1] + 0.2


def points_of(part: object) -> tuple[tuple[float, float], ...]:
    """The points of a part that is a line of some kind."""
    if isinstance(part, Line):
        return part.start, part.end
    assert isinstance(part, Polyline | Polygon)
    return part.points


def test_heights_alone_are_drawn_larger() -> None:
    true, tall = boat_behind(SHAPE), boat_behind(SHAPE, 2.5)
    for one, other in zip(leaves(true.parts), leaves(tall.parts), strict=True):
        assert [(x, 2.5 * y) for x, y in points_of(one)] == list(points_of(other))


def test_a_hole_lies_around_the_middle_of_its_section() -> None:
    for section in (0, 30, ROWS * COLUMNS - 1):
        edge, (x, y) = hole(SHAPE, section), SHAPE.centre(section)
        assert edge == hole(SHAPE, section)
        assert min(a for a, _b in edge) < x < max(a for a, _b in edge)
        assert min(b for _a, b in edge) < y < max(b for _a, b in edge)


def test_the_boat_behind_has_its_ground_and_its_band() -> None:
    drawing = boat_behind(SHAPE)
    ground = drawing.parts[0]
    assert isinstance(ground, Line)
    assert ground.style == "ground"
    band = next(part for part in drawing.parts if isinstance(part, Polyline) and part.style == "band")
    assert band.points == (SHAPE.at(0, 0), SHAPE.at(COLUMNS, 0))
