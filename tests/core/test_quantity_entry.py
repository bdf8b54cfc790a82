"""What people type: every form that is read, and every refusal with its whole text."""

from __future__ import annotations

import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.quantity import parse_any, parse_quantity, parse_rounding
from coach.core.quantity_faults import FAULTS
from coach.core.units import KINDS, UNITS

INCH = Fraction(254, 10000)

# Forms: common practice, no source (facts-sizing section 10).
# 5' 6 1/2" = 66.5 in = 1689.1 mm by definition of the inch.
SIXTY_SIX_AND_A_HALF = [
    "5' 6 1/2\"", "5'6-1/2\"", "5 ft 6.5 in", "66 1/2", '66.5"', "66-1/2 in", "5′ 6 ½″", "5’6½”", "66½ in", "5' 6 1/2",
    "5'-6 1/2\"", "5 ft. 6 1/2 in.", "66.5 inches", "5 feet 6½ inches", "168.91 cm", "1689.1 mm", "1.6891 m", "66½",
    "5 FT 6 1/2 IN", "5ft6.5in", "5' 6 1/2''", " 66.5 ", "66.50", "5' - 6 1/2\"", "66 1/2\u00a0in",
    "1 yd 2 ft 6 1/2 in",
    "1 m 68 cm 9.1 mm", "66 1 / 2 in", "66 1⁄2 in", "66–1/2 in", "+66.5",
]


@pytest.mark.parametrize("text", SIXTY_SIX_AND_A_HALF)
def test_every_form_of_one_length_is_the_same_exact_length(text: str) -> None:
    assert parse_quantity(text, "length", default_unit="in").value == Fraction(133, 2) * INCH


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("1.68 m", "length", "1.68"), ("168 cm", "length", "1.68"), ("1689 mm", "length", "1.689"),
        ("7 mil", "length", "0.0001778"),
        ("12 foot", "length", "3.6576"), (".5 in", "length", "0.0127"), ("5. in", "length", "0.127"),
        ("0", "count", "0"),
        ("4", "count", "4"), ("4.0", "count", "4"), ("32 °F", "temperature", "273.15"),
        ("-40 F", "temperature", "233.15"),
        ("-40 °C", "temperature", "233.15"), ("0 K", "temperature", "0"), ("20º C", "temperature", "293.15"),
        ("70 %", "ratio", "0.7"), ("-0.5", "ratio", "-0.5"), ("3/4", "ratio", "0.75"),
        ("5 lb 8 oz", "mass", "2.494758035"),
        ("1 h 30 min", "duration", "5400"), ("400 lb", "force", "1779.2886461042"), ("1 kN", "force", "1000"),
        ("2.5 m²", "area", "2.5"), ("144 sq in", "area", "0.09290304"), ("40 MPH", "speed", "17.8816"),
        ("20 KN", "force", "20000"),
        ("20 KN", "speed", "463/45"), ("-0 in", "length", "0"), ("1 l/s", "flow", "0.001"),
        ("7 day", "duration", "604800"),
    ],
)
def test_values_of_other_kinds(text: str, kind: str, si: str) -> None:
    assert parse_quantity(text, kind).value == Fraction(si)


@pytest.mark.parametrize("text", ["15 deg", "15°", "15 degrees", "15º"])
def test_degrees_are_radians_inside(text: str) -> None:
    assert parse_quantity(text, "angle").value == pytest.approx(0.2617993877991494, rel=1e-15)  # pi / 12


@pytest.mark.parametrize(("text", "si"), [("1,68 m", "1.68"), ("1.68 m", "1.68"), ("1,234 m", "1.234"), ("168", "1.68"),
                                          ("5' 6,5\"", "1.6891")])
def test_a_decimal_comma_where_the_language_has_one(text: str, si: str) -> None:
    assert parse_quantity(text, "length", default_unit="cm", decimal=",").value == Fraction(si)


ONLY = "only a number can be worked with"
SLIP = "a slip of the hand is likely"
AMBIGUOUS = "one reading may be a thousand times the other"
ANOTHER = "a value of another kind gives a wrong size"
UNIT_WHY = "the same number means another size in another unit"
LENGTH_EXAMPLE = "5' 6 1/2\" or 1.68 m"
FIT = "the bigger unit comes first, and only the last part may have a fraction"
UNKNOWN = "the size of an unknown unit cannot be guessed"

# text, kind, decimal mark, code, what, why, mend
REFUSED = [
    ("", "length", ".", "U101", "nothing was typed", "the next numbers are worked out from it",
     f"type {LENGTH_EXAMPLE}"),
    ("  ", "mass", ".", "U101", "nothing was typed", "the next numbers are worked out from it", "type 12 lb or 12 kg"),
    ("nan", "length", ".", "U102", "'nan' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("inf", "ratio", ".", "U102", "'inf' is not a number", ONLY, "type 0.7 or 70 %"),
    ("1e309 in", "length", ".", "U102", "'1e309 in' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("∞", "length", ".", "U102", "'∞' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("--5 in", "length", ".", "U102", "'--5 in' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("5 ft -", "length", ".", "U102", "'5 ft -' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("5 ft -- 6 in", "length", ".", "U102", "'5 ft -- 6 in' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("1.2.3 in", "length", ".", "U102", "'1.2.3 in' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("٣ in", "length", ".", "U102", "'٣ in' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("5 $", "length", ".", "U102", "'5 $' is not a number", ONLY, f"type {LENGTH_EXAMPLE}"),
    ("66", "length", ".", "U103", "66 has no unit, and a length needs a unit", UNIT_WHY, "write 66 in, 66 ft or 66 m"),
    ("15", "angle", ".", "U103", "15 has no unit, and an angle needs a unit", UNIT_WHY, "write 15 deg"),
    ("5 kg", "length", ".", "U104", "kg is a mass, a length is due", ANOTHER, "write 5 in, 5 ft or 5 m"),
    ("20 kN", "speed", ".", "U104", "kN is a force, a speed is due", ANOTHER, "write 20 kn"),
    ("5 m", "duration", ".", "U104", "m is a length, a duration is due", ANOTHER, "write 5 min, 5 h or 5 s"),
    ("12°", "temperature", ".", "U104", "° is an angle, a temperature is due", ANOTHER, "write 12 °F or 12 °C"),
    ("4 in", "count", ".", "U104", "in is a length, a count is due", ANOTHER, "write 4"),
    ("50 %", "count", ".", "U104", "% is a ratio, a count is due", ANOTHER, "write 50"),
    ("6 inchs", "length", ".", "U105", "'inchs' is not a known unit", UNKNOWN, "write 6 inches"),
    ("6 qqq", "length", ".", "U105", "'qqq' is not a known unit", UNKNOWN, "write 6 in, 6 ft or 6 m"),
    ("-5 in", "length", ".", "U106", "-5 in is below 0 in", "no length can be that low",
     "type a value of 0 in or more"),
    ("-1", "count", ".", "U106", "-1 is below 0", "no count can be that low", "type a value of 0 or more"),
    ("-300 °C", "temperature", ".", "U106", "-300 °C is below -273.15 °C",
     "no temperature can be that low", "type a value of -273.15 °C or more"),
    ("1,234 in", "length", ".", "U107", "the ',' in 1,234 can be read in two ways", AMBIGUOUS, "write 1.234 or 1234"),
    ("1,5 in", "length", ".", "U107", "the ',' in 1,5 can be read in two ways", AMBIGUOUS, "write 1.5 or 15"),
    ("1.234 m", "length", ",", "U107", "the '.' in 1.234 can be read in two ways", AMBIGUOUS, "write 1,234 or 1234"),
    ("1.234,5 mm", "length", ",", "U107", "the '.' in 1.234,5 can be read in two ways", AMBIGUOUS,
     "write 1234,5 or 12345"),
    ("1,234,567 mm", "length", ".", "U107", "the ',' in 1,234,567 can be read in two ways", AMBIGUOUS,
     "write 1234.567 or 1234567"),
    ("5 ft 20 cm", "length", ".", "U108", "5 ft 20 cm mixes metric and US units", "mixed units hide a slip of the hand",
     f"write it in one system, such as {LENGTH_EXAMPLE}"),
    ("1" * 16 + " in", "length", ".", "U109", "'1111111111111111' has more digits than a measurement can have", SLIP,
     "type at most 15 digits"),
    ("5 in" + " " * 61, "length", ".", "U110", "'5 in                ...' is longer than 64 characters",
     "no measurement is that long", f"type {LENGTH_EXAMPLE}"),
    ("2.5", "count", ".", "U111", "2.5 is not a whole number", "things are counted in whole numbers", "type 2 or 3"),
    ("5 in 3 ft", "length", ".", "U112", "the parts of '5 in 3 ft' do not fit together", FIT,
     f"write it like {LENGTH_EXAMPLE}"),
    ("5.5 ft 6 in", "length", ".", "U112", "the parts of '5.5 ft 6 in' do not fit together", FIT,
     f"write it like {LENGTH_EXAMPLE}"),
    ("5 6 1/2", "length", ".", "U112", "the parts of '5 6 1/2' do not fit together", FIT,
     f"write it like {LENGTH_EXAMPLE}"),
    ("5 m 6", "length", ".", "U112", "the parts of '5 m 6' do not fit together", FIT,
     f"write it like {LENGTH_EXAMPLE}"),
    ("5' 14\"", "length", ".", "U113", "14 in is as much as one ft or more",
     "after ft only a smaller part can follow, so a slip of the hand is likely", "check the number and write it again"),
    ("1/0 in", "length", ".", "U114", "the fraction 1/0 has a zero below the line", "nothing can be divided by zero",
     f"type {LENGTH_EXAMPLE}"),
    ("5' 12\"", "length", ".", "U113", "12 in is as much as one ft or more",
     "after ft only a smaller part can follow, so a slip of the hand is likely", "check the number and write it again"),
    ("5 8/8 in", "length", ".", "U115", "the fraction 8/8 after 5 is one or more",
     "after a whole number only a part of one can follow, so a slip of the hand is likely",
     "check the number and write it again"),
    ("5 11/8 in", "length", ".", "U115", "the fraction 11/8 after 5 is one or more",
     "after a whole number only a part of one can follow, so a slip of the hand is likely",
     "check the number and write it again"),
]


@pytest.mark.parametrize(("text", "kind", "decimal", "code", "what", "why", "mend"), REFUSED)
def test_every_refusal_says_what_why_and_how_to_mend_it(
    text: str, kind: str, decimal: str, code: str, what: str, why: str, mend: str
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, kind, decimal=decimal)
    assert str(caught.value) == f"{code} {what}\n    why   {why}\n    mend  {mend}"


def test_every_code_of_a_typed_value_is_in_the_table_above() -> None:
    assert {row[3] for row in REFUSED} == {code for code in FAULTS if code.startswith("U1")}


def test_what_a_refusal_offers_is_itself_understood() -> None:
    """The offers of a missing or wrong unit can be typed as they stand."""
    for kind in KINDS:
        with pytest.raises(QuantityError) as caught:
            parse_quantity("7 K" if kind != "temperature" else "7 kg", kind)
        offers = str(caught.value.problems[0].slots["offer"])
        for offer in offers.replace(" or ", ", ").split(", "):
            parse_quantity(offer, kind)


typed = st.one_of(
    st.text(max_size=70),
    st.lists(st.sampled_from([*UNITS, *"0123456789.,-/ '\"½″", "12", "1/2", " "]), max_size=12).map("".join),
)


@given(typed, st.sampled_from(sorted(KINDS)), st.sampled_from([".", ","]), st.sampled_from([None, "in", "°C", "deg"]))
def test_any_text_gives_a_quantity_or_one_problem(text: str, kind: str, decimal: str, default: str | None) -> None:
    if default is not None and UNITS[default].kind != kind:
        default = None
    try:
        quantity = parse_quantity(text, kind, default_unit=default, decimal=decimal)
    except QuantityError as error:
        assert len(error.problems) == 1 and error.problems[0].code in FAULTS
        assert str(error)
    else:
        assert quantity.dimension == KINDS[kind]
        assert quantity.is_exact or kind == "angle"
        assert quantity.value >= 0 or kind in ("angle", "ratio")


@given(typed)
def test_any_step_or_rounding_gives_a_value_or_one_problem(text: str) -> None:
    for work in (parse_any, parse_rounding, lambda step: parse_rounding(f"up to {step}")):
        try:
            work(text)
        except QuantityError as error:
            assert len(error.problems) == 1 and str(error)


@pytest.mark.parametrize("text", ["1 " * 32, "1-" * 32, "1/" * 32, "1," * 32, " " * 64, "'" * 64, "- " * 32,
"1 -1" * 16])
def test_no_text_takes_long(text: str) -> None:
    begin = time.perf_counter()
    with pytest.raises(QuantityError):
        parse_quantity(text, "length")
    assert time.perf_counter() - begin < 0.1
