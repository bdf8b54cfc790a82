"""Quantities: arithmetic, rounding for the trade, text for records, and how they are shown."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.quantity import Quantity, Rounding, as_text, from_text, parse_quantity, parse_rounding, show, si_number
from coach.core.quantity_faults import FAULTS
from coach.core.units import KINDS, NUMBER, UNITS, Dimension

INCH = Fraction(254, 10000)
LENGTH = KINDS["length"]


def inches(number: Fraction | float) -> Quantity:
    return Quantity(number * INCH if isinstance(number, Fraction | int) else number * 0.0254, LENGTH)


def refusal(work: Callable[[], object]) -> str:
    with pytest.raises(QuantityError) as caught:
        work()
    assert len(caught.value.problems) == 1
    return str(caught.value)


# -- arithmetic


def test_film_width_is_exact_and_goes_to_the_next_foot() -> None:
    # the trade's own example (common practice, no source): 66 in over the ridge gives 144 in, a 12 ft roll
    take = parse_rounding("up to 1 ft")
    half, tuck = parse_quantity("66 in", "length"), parse_quantity("6 in", "length")
    assert 2 * half + 2 * tuck == parse_quantity("144 in", "length") == parse_quantity("12 ft", "length")
    assert show(take.apply(2 * half + 2 * tuck), "length") == "12 ft"
    more = parse_quantity("66 1/8 in", "length")
    assert show(take.apply(2 * more + 2 * tuck), "length") == "13 ft"


def test_dimensions_go_through_arithmetic() -> None:
    wide, long = inches(96), inches(228)
    assert (wide * long).dimension == KINDS["area"]
    assert (wide / long).dimension == NUMBER
    assert (wide**3).dimension == KINDS["volume"]
    assert (Quantity(10, KINDS["force"]) / (wide * long)).dimension == KINDS["pressure"]
    assert wide < long and long > wide and long >= 2 * wide and abs(-wide) == wide
    assert (wide - long).value == -132 * INCH


def test_exact_stays_exact_and_a_float_stays_a_float() -> None:
    assert (inches(1) / 3).is_exact
    assert not (inches(1) * 0.5).is_exact
    assert Quantity(3).value == Fraction(3) and isinstance(Quantity(3).value, Fraction)


def test_a_value_with_too_many_digits_becomes_a_float() -> None:
    tiny = Quantity(Fraction(1, 3**400))
    assert not tiny.is_exact and tiny.value == pytest.approx(3.0**-400)


ARITHMETIC_FAULTS = [
    ("U401", lambda: inches(1) + Quantity(1, KINDS["mass"]), "a length and a mass cannot be added"),
    ("U401", lambda: inches(1) - 2, "a length and a plain number cannot be subtracted"),
    ("U401", lambda: inches(1) < Quantity(1, KINDS["area"]), "a length and an area cannot be compared"),
    ("U402", lambda: Quantity(math.inf), "a value that is not finite"),
    ("U402", lambda: Quantity(math.nan, LENGTH), "a value that is not finite"),
    ("U402", lambda: Quantity(1e300) * 1e300, "a value that is not finite"),
    ("U402", lambda: Quantity(10.0**300) ** 6, "a value that is not finite"),
    ("U402", lambda: Quantity(Fraction(10**400)), "a value that is not finite"),
    ("U403", lambda: inches(1) / inches(0), "a division by zero"),
    ("U403", lambda: inches(0) ** -1, "a division by zero"),
    ("U404", lambda: Quantity("5"), "'5' is not a quantity's value"),  # type: ignore[arg-type]
    ("U404", lambda: Quantity(True), "'True' is not a quantity's value"),
    ("U405", lambda: inches(1) ** 7, "the power 7 is not a small whole number"),
]


@pytest.mark.parametrize(("code", "work", "what"), ARITHMETIC_FAULTS)
def test_arithmetic_that_means_nothing_is_refused(code: str, work: Callable[[], object], what: str) -> None:
    _, why, mend = FAULTS[code]
    assert refusal(work) == f"{code} {what}\n    why   {why}\n    mend  {mend}"


# -- rounding


@pytest.mark.parametrize(
    ("text", "value", "rounded"),
    [
        ("up to 1 ft", "144 in", "12 ft"), ("up to 1 ft", "144 1/8 in", "13 ft"),
        ("up to 1/8 in", "1.68 m", "66 1/4 in"),
        ("nearest 5 mm", "167.7 cm", "1.675 m"), ("nearest 5 mm", "167.75 cm", "1.68 m"),
        ("down to 1 in", "66 7/8 in", "66 in"),
        ("up to 1 in", "0 in", "0 in"), ("up to 6 in", "6 in", "6 in"), ("nearest 1 in", "1/2 in", "1 in"),
    ],
)
def test_rounding_for_the_trade(text: str, value: str, rounded: str) -> None:
    got = parse_rounding(text).apply(parse_quantity(value, "length"))
    assert got == parse_quantity(rounded, "length")


def test_counts_are_rounded_too() -> None:
    assert parse_rounding("up to 1").apply(Quantity(Fraction(13, 4))).value == 4


def test_float_noise_never_takes_the_next_step_up() -> None:
    up = parse_rounding("up to 1 ft")
    noisy = Quantity(sum([0.1] * 10) * 0.3048 * 12, LENGTH)  # 11.999999999999998 ft
    assert show(up.apply(noisy), "length") == "12 ft"
    assert show(up.apply(Quantity(12 * 0.3048 * (1 + 4e-10), LENGTH)), "length") == "12 ft"
    assert show(up.apply(Quantity(12 * 0.3048 * (1 + 1e-7), LENGTH)), "length") == "13 ft"


@given(st.fractions(-10**6, 10**6, max_denominator=10**6), st.fractions(Fraction(1, 1000), 1000, max_denominator=1000))
def test_rounding_up_is_never_short_and_never_a_step_too_far(value: Fraction, step: Fraction) -> None:
    size = Quantity(step, LENGTH)
    up = Rounding("up", size).apply(Quantity(value, LENGTH))
    down = Rounding("down", size).apply(Quantity(value, LENGTH))
    near = Rounding("nearest", size).apply(Quantity(value, LENGTH))
    assert 0 <= up.value - value < step and 0 <= value - down.value < step
    assert abs(near.value - value) <= step / 2
    assert up.value % step == down.value % step == near.value % step == 0


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e3))
def test_rounding_floats_up_is_never_short_beyond_noise(value: float, step: float) -> None:
    up = Rounding("up", Quantity(step, LENGTH)).apply(Quantity(value, LENGTH))
    noise = 2e-9 * max(abs(value), step)
    assert -noise <= up.value - value < step + noise


ROUNDING_FAULTS = [
    ("U201", lambda: parse_rounding("up 1 ft"), "'up 1 ft' is not a rounding"),
    ("U201", lambda: parse_rounding(""), "'' is not a rounding"),
    ("U201", lambda: parse_rounding("up to " + "1" * 99), "'up to " + "1" * 58 + "' is not a rounding"),
    ("U202", lambda: parse_rounding("up to 0 ft"), "the rounding step 0 m is not above zero"),
    ("U203", lambda: parse_rounding("nearest 1 °C"), "°C has a zero of its own"),
]


@pytest.mark.parametrize(("code", "work", "what"), ROUNDING_FAULTS)
def test_a_rounding_that_means_nothing_is_refused(code: str, work: Callable[[], object], what: str) -> None:
    _, why, mend = FAULTS[code]
    assert refusal(work) == f"{code} {what}\n    why   {why}\n    mend  {mend}"


def test_rounding_to_a_step_of_another_kind_is_refused() -> None:
    assert refusal(lambda: parse_rounding("up to 1 ft").apply(Quantity(5))) == (
        "U204 a plain number cannot be rounded to a step of a length\n"
        "    why   the step must be of the same kind\n"
        "    mend  give a step that is a plain number"
    )


def test_the_step_itself_is_read_like_any_quantity() -> None:
    assert "U105 'xyz' is not a known unit" in refusal(lambda: parse_rounding("up to 1 xyz"))
    assert parse_rounding("up to 5 lb").step == parse_quantity("5 lb", "mass")
    assert parse_rounding("nearest ½ in").step == inches(Fraction(1, 2))


# -- text for records

dimensions = st.builds(Dimension, *[st.integers(-4, 4)] * 4)
values = st.one_of(st.fractions(), st.floats(allow_nan=False, allow_infinity=False))


@given(values, dimensions)
def test_text_for_records_gives_back_the_same_quantity(value: Fraction | float, dimension: Dimension) -> None:
    quantity = Quantity(value, dimension)
    again = from_text(as_text(quantity))
    assert again == quantity and again.is_exact == quantity.is_exact
    assert math.copysign(1, again.value) == math.copysign(1, quantity.value)


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (inches(66), "1.6764 m"), (Quantity(Fraction(1, 3), LENGTH), "1/3 m"), (Quantity(4), "4"),
        (Quantity(-0.25, KINDS["temperature"]), "~-0.25 K"), (parse_quantity("30 deg", "angle"), "~0.5235987755982988"),
        (parse_quantity("1 psf", "pressure"), "8896443230521/185806080000 m-1 kg s-2"),
        (Quantity(Fraction(-1, 8), KINDS["area"]), "-0.125 m2"), (Quantity(1e300), "~1e+300"),
    ],
)
def test_text_for_records(quantity: Quantity, text: str) -> None:
    assert as_text(quantity) == text
    assert from_text(text) == quantity


@pytest.mark.parametrize(
    "text",
    ["", "m", "1.50 m", "01 m", "1 m1", "1  m", "1 s m", "2/4 m", "1/0 m", "nan", "~inf", "~1 m", "1 m m", "1_0 m",
    "٣ m",
     "1e5 m", "+1 m", "1 m\n", "1" * 700, "~1e999"],
)
def test_a_record_that_was_not_written_by_us_is_refused(text: str) -> None:
    assert refusal(lambda: from_text(text)) == (
        f"U501 '{text[:60]}' is not a stored quantity\n"
        "    why   the record cannot be read for certain\n"
        "    mend  restore the record from an export that verifies"
    )


@given(st.text(max_size=40))
def test_reading_any_record_text_never_breaks(text: str) -> None:
    try:
        assert as_text(from_text(text)) == text
    except QuantityError as error:
        assert error.problems[0].code == "U501"


def test_si_number_is_a_plain_float() -> None:
    assert si_number(inches(66)) == 1.6764
    assert si_number(Quantity(2.5)) == 2.5


# -- how quantities are shown


@pytest.mark.parametrize(
    ("number", "us", "metric"),
    [  # checks of facts-sizing section 10 (computed from the inch) and rules of this project
        (Fraction(133, 2), "5' 6 1/2\"", "1.69 m"), (144, "12 ft", "3.66 m"), (8, "8 in", "0.20 m"),
        (Fraction(383, 32), "1 ft", "0.30 m"),  # 11 31/32 in: carried, never 32/32
        (Fraction(767, 32), "2 ft", "0.61 m"), (Fraction(191, 8), "23 7/8 in", "0.61 m"), (12, "1 ft", "0.30 m"),
        (Fraction(1153, 8), "12' 0 1/8\"", "3.66 m"), (66, "5' 6\"", "1.68 m"), (0, "0 in", "0 mm"),
        (Fraction(1, 2), "1/2 in", "13 mm"), (Fraction(7, 1000), "7 mil", "178 µm"),
        (Fraction(1, 16), "1/8 in", "2 mm"),
        (-30, "-2' 6\"", "-0.76 m"), (Fraction(35, 8), "4 3/8 in", "0.11 m"),
    ],
)
def test_lengths_are_shown_as_the_trade_writes_them(number: Fraction, us: str, metric: str) -> None:
    assert show(inches(Fraction(number)), "length", "us") == us
    assert show(inches(Fraction(number)), "length", "metric") == metric


@pytest.mark.parametrize(
    ("text", "kind", "us", "metric"),
    [
        ("101.3 sq ft", "area", "101.3 ft²", "9.41 m²"), ("97.3 in2", "area", "97.3 in²", "627.7 cm²"),
        ("20 lb", "mass", "20 lb", "9.1 kg"), ("2 oz", "mass", "0.1 lb", "57 g"),
        ("320 lbf", "force", "320 lbf", "1.42 kN"),
        ("50 lbf", "force", "50 lbf", "222 N"), ("20 psf", "pressure", "20 psf", "0.96 kPa"),
        ("12.1 mph", "speed", "12.1 mph", "5.4 m/s"), ("50 °F", "temperature", "50 °F", "10 °C"),
        ("-40 °C", "temperature", "-40 °F", "-40 °C"), ("15 deg", "angle", "15°", "15°"), ("4", "count", "4", "4"),
        ("70 %", "ratio", "0.7", "0.7"), ("0.333333", "ratio", "0.333", "0.333"),
        ("90 min", "duration", "1 h 30 min", "1 h 30 min"),
        ("90 s", "duration", "1 min 30 s", "1 min 30 s"), ("30 min", "duration", "30 min", "30 min"),
        ("45 s", "duration", "45 s", "45 s"),
        ("2 h", "duration", "2 h", "2 h"), ("200000 BTU/h", "power", "200000 BTU/h", "58.6 kW"),
        ("5 gal", "volume", "5 gal", "18.93 L"),
        ("100 BTU", "energy", "100 BTU", "106 kJ"), ("1 kWh", "energy", "3412 BTU", "3.6 MJ"),
        ("20 lb/ft", "force_per_length", "20 lb/ft", "292 N/m"),
        ("100 lb/ft", "force_per_length", "100 lb/ft", "1.46 kN/m"),
        ("25.5 pcf", "density", "25.5 lb/ft³", "408 kg/m³"),
        ("163.576 g/m2", "mass_per_area", "4.8 oz/yd²", "164 g/m²"), ("100 cfm", "flow", "100 cfm", "47.2 L/s"),
    ],
)
def test_other_kinds_are_shown_in_both_systems(text: str, kind: str, us: str, metric: str) -> None:
    quantity = parse_quantity(text, kind)
    assert show(quantity, kind, "us") == us
    assert show(quantity, kind, "metric") == metric


def test_a_step_and_a_decimal_comma_change_what_is_shown() -> None:
    sixteenth = parse_quantity("1/16 in", "length")
    assert show(inches(Fraction("66.46875")), "length", step=sixteenth) == "5' 6 1/2\""  # half goes up
    assert show(inches(Fraction("66.4375")), "length", step=sixteenth) == "5' 6 7/16\""
    assert show(inches(66), "length", "metric", decimal=",") == "1,68 m"
    assert show(inches(66), "length", "metric", step=parse_quantity("5 mm", "length")) == "1.675 m"


def test_a_program_fault_is_not_shown_to_anybody() -> None:
    with pytest.raises(ValueError, match="cannot be shown as mass in us"):
        show(inches(1), "mass")
    with pytest.raises(ValueError, match="cannot be shown as length in imperial"):
        show(inches(1), "length", "imperial")


@given(st.fractions(0, 100, max_denominator=10**6))
def test_a_shown_us_length_reads_back_within_half_a_step(metres: Fraction) -> None:
    shown = show(Quantity(metres, LENGTH), "length")
    again = parse_quantity(shown, "length")
    assert "32/32" not in shown and "8/8" not in shown
    half_step = Fraction(1, 20000) if shown.endswith("mil") else Fraction(1, 16)
    assert abs(again.value - metres) <= half_step * INCH
    assert (metres == 0) == (again.value == 0) or metres < INCH / 20000


@given(st.sampled_from(sorted(UNITS)), st.fractions(0, 1000, max_denominator=64))
def test_every_unit_can_be_shown(symbol: str, number: Fraction) -> None:
    unit = UNITS[symbol]
    quantity = Quantity(unit.to_si(number), unit.dimension)
    for system in ("us", "metric"):
        assert show(quantity, unit.kind, system)[-1] not in " .,"
