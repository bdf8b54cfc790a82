"""Ratings as labels print them, and cylinders in the cold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.sizing import cylinder, heat
from coach.core.sizing.constants import BTU_PER_HOUR, POUND
from coach.core.sizing.extinguisher import Rating, meets, parse_rating


@pytest.mark.parametrize(
    ("label", "rating"),
    [
        ("2-A:20-B:C", Rating(2, 20, True)),
        ("4A:80B:C", Rating(4, 80, True)),
        ("20-B:C", Rating(0, 20, True)),
        ("3-a:40-b:c", Rating(3, 40, True)),
        ("2A20BC", Rating(2, 20, True)),
        ("1-A", Rating(1, 0, False)),
    ],
)
def test_labels_are_read(label: str, rating: Rating) -> None:
    assert parse_rating(label) == rating
    assert parse_rating(str(rating)) == rating


@pytest.mark.parametrize("label", ["", "ABC extinguisher", "2-A;20-B", "-2-A:20-B:C", "2-A:2-A", "A" * 500, "20"])
def test_what_is_no_rating_is_refused(label: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_rating(label)
    assert caught.value.problems[0].mend == "copy the rating from the label, such as 2-A:20-B:C"


@given(st.integers(0, 40), st.integers(0, 640), st.booleans(), st.integers(0, 40), st.integers(0, 640), st.booleans())
def test_better_in_every_class_meets(a: int, b: int, c: bool, more_a: int, more_b: int, other_c: bool) -> None:
    assert meets(Rating(a + more_a, b + more_b, c or other_c), Rating(a, b, c))
    assert meets(Rating(a, b, c), Rating(a + 1, b, c)) is False
    assert meets(Rating(a, b, False), Rating(a, b, True)) is False


def test_a_small_cylinder_gives_less_than_the_large_and_cannot_feed_a_usual_tool_in_the_cold() -> None:
    """Ours, an estimate by wetted area; that the 20 lb line of the table is not a 20 lb cylinder is the point."""
    for kelvin in (255.4, 266.5, 277.6, 288.7):
        small = cylinder.draw_estimate(cylinder.SMALL, 1, kelvin)
        assert small < cylinder.draw_100_lb(100 * POUND, kelvin)
        assert small < heat.USUAL_TOOL
    assert cylinder.draw_estimate(cylinder.SMALL, 0, 280) == 0
    same = cylinder.draw_estimate(cylinder.LARGE, 0.5, 266.483)
    assert same == pytest.approx(94_000 * BTU_PER_HOUR, rel=1e-3)


def test_below_its_boiling_point_a_cylinder_gives_nothing() -> None:
    assert cylinder.draw_100_lb(100 * POUND, 230) == 0
    assert heat.minutes_to_starve(9, 8, 230, 200_000, 50_000) == 0


def test_a_cylinder_starves_sooner_when_it_is_colder_or_emptier() -> None:
    """Energy balance by hand: (9 x 2490 + 8 x 470) x (273.15 - 253.15) J over 374 870 J/kg x 58 614 W / 50.12 MJ/kg."""
    least = heat.vapour_pressure(253.15)
    minutes = heat.minutes_to_starve(9, 8, 273.15, least, 58_614)
    assert minutes == pytest.approx((9 * 2490 + 8 * 470) * 20 / (374_870 * 58_614 / 50.1206e6) / 60, rel=1e-3)
    assert heat.minutes_to_starve(9, 8, 263.15, least, 58_614) < minutes
    assert heat.minutes_to_starve(4, 8, 273.15, least, 58_614) < minutes
    assert heat.minutes_to_starve(0.5, 8, 330, least, 58_614) == pytest.approx(float(heat.burn_time(0.5, 58_614)) / 60)


def test_the_wetted_wall_of_a_full_small_cylinder() -> None:
    assert cylinder.wetted_area(cylinder.SMALL, 0) == 0
    assert cylinder.wetted_area(cylinder.SMALL, 1) == pytest.approx(0.30, abs=0.005)
