"""What must hold for any boat: more of it never needs less, feet and metres agree, rounding is never short."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.sizing import (
    air,
    belly,
    constants,
    cylinder,
    film,
    girth,
    heat,
    outline,
    rounding,
    snow,
    strap,
    upright,
    wind,
)
from coach.core.sizing.constants import FOOT, INCH, Number

SIXTEENTH = INCH / 16


def sixteenths(low: Number, high: Number) -> st.SearchStrategy[Fraction]:
    """A tape reading between two lengths, in whole sixteenths of an inch."""
    return st.integers(math.ceil(low / SIXTEENTH), math.floor(high / SIXTEENTH)).map(lambda count: count * SIXTEENTH)


HALF_BEAMS = sixteenths(Fraction(3, 10), 5)
HEIGHTS = sixteenths(0, 4)
DROPS = sixteenths(0, Fraction(1, 2))
LENGTHS = sixteenths(3, 30)
BEAMS = sixteenths(1, 3)
MORE = sixteenths(0, 1)


@given(HALF_BEAMS, HEIGHTS, DROPS, MORE)
def test_more_beam_never_needs_less_film(half_beam: Fraction, height: Fraction, drop: Fraction, more: Fraction) -> None:
    for tape in (girth.tape_low, girth.tape_high):
        assert film.film_width(tape(half_beam + more, height, drop)) >= film.film_width(tape(half_beam, height, drop))


@given(HALF_BEAMS, HEIGHTS, DROPS, MORE)
def test_a_higher_ridge_never_needs_less_film(
    half_beam: Fraction, height: Fraction, drop: Fraction, more: Fraction
) -> None:
    for tape in (girth.tape_low, girth.tape_high):
        assert film.film_width(tape(half_beam, height + more, drop)) >= film.film_width(tape(half_beam, height, drop))


@given(HALF_BEAMS, HEIGHTS, DROPS)
def test_the_two_bounds_of_the_tape_are_in_order(half_beam: Fraction, height: Fraction, drop: Fraction) -> None:
    low, high = girth.tape_low(half_beam, height, drop), girth.tape_high(half_beam, height, drop)
    assert low <= high + 1e-12
    assert girth.tape_faults(low, half_beam, height, drop) == ()
    assert girth.tape_faults(high, half_beam, height, drop) == ()


@given(HALF_BEAMS, HEIGHTS, DROPS, sixteenths(Fraction(3, 10), 12))
def test_a_tape_is_refused_exactly_outside_its_bounds(
    half_beam: Fraction, height: Fraction, drop: Fraction, tape: Fraction
) -> None:
    low, high = girth.tape_low(half_beam, height, drop), girth.tape_high(half_beam, height, drop)
    faults = girth.tape_faults(tape, half_beam, height, drop)
    assert bool(faults) == (not low - girth.READING <= tape <= high + girth.READING)
    assert [fault.code for fault in faults] == ([] if not faults else ["U310" if tape < low else "U311"])


@given(st.lists(st.tuples(sixteenths(0, 3), sixteenths(0, 3)), min_size=2, max_size=8, unique=True))
def test_a_taut_line_is_between_the_straight_line_and_the_line_along_every_point(
    points: list[tuple[Fraction, Fraction]],
) -> None:
    ordered = sorted(points)
    assume(ordered[0][0] < ordered[-1][0])
    taut = girth.taut_girth(points)
    (x1, y1), (x2, y2) = ordered[0], girth.taut_line(points)[-1]
    assert math.hypot(x2 - x1, y2 - y1) - 1e-12 <= taut <= girth.drape(ordered) + 1e-12


@given(LENGTHS, BEAMS, MORE)
def test_a_bigger_boat_has_no_smaller_outline(length: Fraction, beam: Fraction, more: Fraction) -> None:
    for measure in (
        outline.outline_area,
        outline.outline_perimeter,
        outline.pointed_area,
        outline.pointed_perimeter,
        outline.rectangle_area,
        outline.rectangle_perimeter,
    ):
        assert measure(length + more, beam) >= measure(length, beam) * (1 - 1e-12)
        assert measure(length, min(beam + more, length)) >= measure(length, beam) * (1 - 1e-12)


@given(LENGTHS, MORE)
def test_a_longer_boat_never_takes_fewer_parts(length: Fraction, more: Fraction) -> None:
    for count in (
        upright.upright_count,
        belly.belly_band_count,
        belly.sail_band_count,
        belly.pontoon_band_count,
        lambda run: air.vent_count(run, Fraction(2)),
    ):
        assert count(length + more) >= count(length)


@given(LENGTHS, sixteenths(Fraction(1, 2), 3))
def test_no_bay_is_longer_than_its_spacing(length: Fraction, bay: Fraction) -> None:
    places = [Fraction(0), *upright.upright_positions(length, bay), length]
    assert max(b - a for a, b in pairwise(places)) <= bay
    bands = belly.belly_positions(length, Fraction(0), bay)
    assert all(b - a <= bay for a, b in pairwise(bands))
    assert bands[0] <= bay / 2 and length - bands[-1] <= bay / 2


@given(LENGTHS, st.fractions(min_value=Fraction(1, 10), max_value=Fraction(9, 10), max_denominator=100))
def test_no_belly_band_lies_ahead_of_the_windshield(length: Fraction, share: Fraction) -> None:
    windshield = length * share
    assert all(windshield < place < length for place in belly.belly_positions(length, windshield, 8 * FOOT))
    places = upright.upright_positions(length, 8 * FOOT, windshield)
    assert windshield in places
    assert list(places) == sorted(places) and places[-1] < length


@given(LENGTHS, BEAMS)
def test_vents_stand_on_the_boat_in_pairs(length: Fraction, beam: Fraction) -> None:
    count = air.vent_count(length, beam)
    spots = air.vent_positions(length, beam, count)
    assert count % 2 == 0 and len(spots) == count >= 4
    assert sorted(spots) == sorted((x, -y) for x, y in spots)
    assert all(0 < x < length and abs(y) <= beam / 4 + 1e-12 for x, y in spots)
    free = count * air.VENT_FREE
    assert free >= air.free_area_needed(outline.outline_area(length, beam))


@given(LENGTHS, BEAMS, HEIGHTS, sixteenths(1, 8))
def test_the_same_boat_in_feet_and_in_metres_is_the_same_boat(
    length: Fraction, beam: Fraction, height: Fraction, tape: Fraction
) -> None:
    """Once exact from sixteenths of an inch, once as the float that a metric tape would give."""
    pairs: tuple[tuple[Callable[..., Number], tuple[Fraction, ...]], ...] = (
        (film.film_width, (tape,)),
        (film.film_length, (length, 6 * INCH, height)),
        (outline.outline_perimeter, (length, beam)),
        (outline.outline_area, (length, beam)),
        (strap.cross_strap, (beam, height, 24 * INCH)),
        (girth.tape_low, (beam, height, 7 * INCH)),
        (heat.propane_expected, (length * beam,)),
        (air.free_area_needed, (length * beam,)),
    )
    for function, exact in pairs:
        metres = tuple(float(value) for value in exact)
        assert function(*metres) == pytest.approx(float(function(*exact)), rel=1e-12)
    assert upright.upright_count(float(length)) == upright.upright_count(length)
    assert belly.sail_band_count(float(length)) == belly.sail_band_count(length)
    assert film.film_width(tape).__class__ is Fraction


@given(sixteenths(Fraction(1, 4), Fraction(57, 10)))
def test_a_stocked_film_is_never_too_narrow_and_never_a_size_too_wide(tape: Fraction) -> None:
    width = film.film_width(tape)
    chosen = film.stocked_width(width)
    assert chosen >= width
    assert [other for other in film.USUAL_WIDTHS if width <= other < chosen] == []
    assert film.stocked_width(float(width)) == chosen


@given(sixteenths(Fraction(1, 4), 20), st.sampled_from([INCH / 8, INCH, FOOT, Fraction(1, 100)]))
def test_rounding_up_is_never_short_and_never_a_step_too_much(value: Fraction, step: Fraction) -> None:
    rounded = rounding.round_up(value, step)
    assert value <= rounded < value + step
    assert rounding.round_up(float(value), step) == rounded
    assert (rounded / step).denominator == 1


@given(sixteenths(6, 20))
def test_two_films_cover_the_width_and_no_pair_wastes_less(width: Fraction) -> None:
    widths = film.USUAL_WIDTHS[:8]
    try:
        first, second = film.two_films(width, widths)
    except QuantityError:
        assert width > 2 * max(widths) - film.WELDED_LAP
        return
    assert film.joined_width(first, second) >= width
    others = [a + b for a in widths for b in widths if a + b - film.WELDED_LAP >= width]
    assert first + second == min(others)


DEGREES = st.floats(0, 90).map(math.radians)
GROUNDS = st.floats(0, 10_000)


@given(GROUNDS, DEGREES, DEGREES, st.sampled_from(snow.CODES), st.booleans())
def test_a_steeper_cover_never_takes_more_snow(
    ground: float, one: float, other: float, code: str, slippery: bool
) -> None:
    policy = snow.SnowPolicy(code, slippery=slippery)
    flat, steep = sorted((one, other))
    assert policy.load(ground, steep) <= policy.load(ground, flat) + 1e-9


@given(GROUNDS, GROUNDS, DEGREES, st.sampled_from(snow.CODES))
def test_more_snow_on_the_ground_never_loads_less(one: float, other: float, slope: float, code: str) -> None:
    less, more = sorted((one, other))
    assert snow.SnowPolicy(code).load(less, slope) <= snow.SnowPolicy(code).load(more, slope) + 1e-9


@given(st.floats(10, 1000), st.floats(0.5, 8), st.floats(0.01, 0.5))
def test_halving_the_sag_doubles_the_pull(load: float, span: float, share: float) -> None:
    assume(0.002 <= share * span / 2)
    pull = strap.parabola_pull(load, span, share * span)
    assert strap.parabola_pull(load, span, share * span / 2) == pytest.approx(2 * pull)
    assert strap.parabola_tension(load, span, share * span) >= max(pull, load * span / 2)
    assert strap.sag_of(load, span, pull) == pytest.approx(share * span)
    assert span < strap.sagging_length(span, share * span) <= span * (1 + 2 * share)


@given(st.floats(0.2, 3), st.floats(0.2, 3))
def test_a_longer_upright_never_carries_more_and_never_more_than_euler_or_crushing(one: float, other: float) -> None:
    short, long = (upright.timber_column(length) for length in sorted((one, other)))
    assert long.allowed <= short.allowed * (1 + 1e-12)
    assert 0 < long.factor <= 1
    assert long.allowed <= min(long.buckling, long.crushing) * float(INCH) ** 2 * 5.25 * (1 + 1e-9)


@given(st.floats(0, 75), st.floats(0, 75))
def test_more_wind_is_never_a_lower_force(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert wind.beaufort(less) <= wind.beaufort(more)
    assert wind.sheet_force(10, less) <= wind.sheet_force(10, more)
    assert wind.beaufort_top(wind.beaufort(less)) >= less - 0.1  # between two printed classes lies a tenth


@given(st.floats(0.5, 60), st.integers(1, 6))
def test_a_gust_that_a_crew_can_hold_is_held(area: float, people: int) -> None:
    speed = wind.speed_to_hold(area, people)
    if speed <= 75:
        assert wind.sheet_force(area, speed) == pytest.approx(people * wind.HOLD)


@given(st.floats(223.2, 338.1), st.floats(223.2, 338.1))
def test_a_warmer_cylinder_never_stands_lower_and_never_gives_less(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert heat.vapour_pressure(cold) <= heat.vapour_pressure(warm)
    for left in (5, 20, 45):
        assert cylinder.draw_100_lb(left, cold) <= cylinder.draw_100_lb(left, warm) + 1e-9


@given(st.floats(0, 45.359), st.floats(0, 45.359), st.floats(224, 338))
def test_a_fuller_cylinder_never_gives_less(one: float, other: float, temperature: float) -> None:
    less, more = sorted((one, other))
    assert cylinder.draw_100_lb(less, temperature) <= cylinder.draw_100_lb(more, temperature) + 1e-9


@given(st.floats(0.05, 1), st.floats(233.2, 323.1))
def test_the_dew_point_is_never_above_the_air(humidity: float, temperature: float) -> None:
    dew = air.dew_point(temperature, humidity)
    assert dew <= temperature + 1e-9
    if 233.15 <= dew:
        ratio = air.saturation_pressure(dew) / air.saturation_pressure(temperature)
        assert ratio == pytest.approx(humidity, rel=1e-6)


@given(st.floats(0, 400), st.floats(1, 45))
def test_the_loaded_cylinders_hold_what_is_expected(propane: float, contents: float) -> None:
    count = heat.cylinders_to_load(propane, contents)
    assert (count - 1) * contents * heat.USABLE_SHARE >= propane * (1 - 1e-6) - 1e-6
    assert (count - 2) * contents * heat.USABLE_SHARE < propane + 1e-6


def test_exact_fractions_survive_a_whole_power_boat() -> None:
    width = film.film_width(66 * INCH)
    assert width == Fraction(36576, 10000) == 12 * FOOT == film.stocked_width(width)
    assert strap.cross_strap(96 * INCH, 36 * INCH, 24 * INCH) == 144 * INCH
    assert upright.cut_length(41 * INCH, 22 * INCH, constants.INCH) == 62 * INCH
    assert belly.belly_positions(19 * FOOT, 7 * FOOT, 8 * FOOT) == (10 * FOOT, 16 * FOOT)


@given(st.floats(6, 60), st.integers(1, 24), st.integers(0, 95), st.integers(1, 100))
def test_belly_bands_lie_clear_of_the_keel_each_in_a_place_of_its_own(
    length: float, count: int, front: int, long: int
) -> None:
    """front, long: the keel's front edge and its length, hundredths of the boat's length."""
    ahead, behind = front / 100 * length, min(1.0, (front + long) / 100) * length
    assume(front > 0 or behind < length)
    places = belly.belly_positions(length, 0.0, max(0.25, min(10.0, length / count)))
    clear = belly.clear_of_keel(places, length, ahead, behind)
    assert len(clear) == len(places)
    assert all(0 < x < length and not ahead < x < behind for x in clear)
    bay = min([*([ahead] if ahead else []), *([length - behind] if behind < length else [])]) / len(places)
    assert all(two - one >= 0.999 * bay for one, two in pairwise(clear)), "none nearer than the narrowest bay there can be"
    if not any(ahead < x < behind for x in places):
        assert clear == places
