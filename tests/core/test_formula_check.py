"""What a formula may mean: names, kinds, dimensions, answers, arguments; every fault with its text, and all at once."""

from __future__ import annotations

import pytest

from coach.core.formula import Declared, Function, check, parse_formula
from coach.core.formula_faults import FAULTS
from coach.core.problems import FormulaError
from coach.core.units import KINDS, NUMBER, Dimension

NAMES = {
    "length": Declared("length"), "beam": Declared("length"), "weight": Declared("mass"), "vents": Declared("count"),
    "slope": Declared("angle"), "share": Declared("ratio"), "air": Declared("temperature"),
    "dew": Declared("temperature"),
    "drive": Declared("choice", ("outboard", "stern-drive", "inboard")), "on_trailer": Declared("yes_no"),
}
FUNCTIONS = {
    "rise": Function("rise", ("length", "angle"), "length", lambda run, angle: run, labels=("half_beam", "slope")),
    "tilt": Function("tilt", ("length", "length"), "angle", lambda run, up: 0.1),
    "vapour": Function("vapour", ("temperature",), "pressure", lambda t: 1),
    "half": Function("half", ("any",), lambda dimensions: dimensions[0], lambda value: value / 2),
    "fits": Function("fits", ("choice", "yes_no"), "yes_no", lambda drive, trailer: True),
}

GOOD = [
    ("2 * beam + 12 in", "length"), ("length * beam", "area"), ("weight / (length * beam)", "mass_per_area"),
    ("20 lb/ft * length", "force"), ("2 * 3 + vents", "count"), ("ceil(length / 7 ft) + 1", "count"),
    ("round_up(beam, 1 ft)", "length"), ("sqrt(length * beam)", "length"), ("hypot(beam / 2, 36 in)", "length"),
    ("max(beam, length, 8 ft)", "length"), ("abs(beam - length)", "length"), ("length^2 / beam", "length"),
    ("if(drive == outboard, 3 ft, 6 in)", "length"), ("if(on_trailer, 1, 2)", "count"), ("-beam", "length"),
    ("rise(beam / 2, 15 deg)", "length"), ("rise(beam / 2, slope)", "length"), ("tilt(beam, length)", "angle"),
    ("slope + 5 deg", "angle"), ("slope * 2", "angle"), ("2 * slope / 3", "angle"), ("half(beam)", "length"),
    ("half(slope)", "angle"), ("max(air, dew)", "temperature"), ("air + 3 K", "temperature"),
    ("air - 3 K", "temperature"),
    ("3 K + air", "temperature"), ("dew + (air - dew)", "temperature"), ("vapour(air)", "pressure"),
    ("vapour(20 °C)", "pressure"), ("if(on_trailer, air, 20 °C)", "temperature"), ("5 kg / 2 m3", "density"),
    ("on_trailer", "yes_no"), ("true", "yes_no"), ("not on_trailer and beam > 8 ft", "yes_no"),
    ("drive in [outboard, stern-drive]", "yes_no"), ("drive not in [inboard, outboard]", "yes_no"),
    ("drive == stern-drive", "yes_no"), ("length == (beam)", "yes_no"), ("length != beam + 1 ft", "yes_no"),
    ("slope > 15 deg", "yes_no"), ("slope / 2 < 10 deg", "yes_no"), ("slope / slope > 2", "yes_no"),
    ("air - dew > 3 K", "yes_no"), ("air > dew + 3 K", "yes_no"), ("air > 5 °C", "yes_no"),
    ("-5 °C < air", "yes_no"), ("air > 278 K", "yes_no"),
    ("(air - dew) / 2 < 2 K", "yes_no"), ("vents >= 4", "yes_no"), ("fits(drive, on_trailer)", "yes_no"),
    ("if(on_trailer, beam > 8 ft, length > 12 ft)", "yes_no"), ("share * length > 1 m", "yes_no"),
]


@pytest.mark.parametrize(("text", "due"), GOOD)
def test_formulas_that_mean_something(text: str, due: str) -> None:
    got = check(parse_formula(text), NAMES, FUNCTIONS, due=due)
    assert got == ("yes_no" if due == "yes_no" else KINDS[due])


def test_a_dimension_without_a_name_may_stand_in_between() -> None:
    assert check(parse_formula("length^4"), NAMES, FUNCTIONS) == Dimension(length=4)
    assert check(parse_formula("length^4 / beam^4"), NAMES, FUNCTIONS) == NUMBER


UNIT = "the same number means another size in another unit"
ONE_KIND = "only quantities of one kind go together"
SAME = "use two of the same kind"
SCALE = "20 °C and 20 °C are not 40 °C; only differences add up"
IN_KELVIN = "write a difference in K, such as temperature + 3 K"
NOT_SAME = "a difference of 3 K is not 3 °C"
DIFFERENCE = "write the difference in K, such as a - b > 3 K"
LOST = "it would be shown and used as what it is not"

# text, what it must give, code, what, column, why, mend
BAD = [
    ("lenght + 1 ft", None, "F201", "'lenght' is not a measure or number of this procedure",
     1, "its value would be unknown",
     "write length"),
    ("qqqq + 1 ft", None, "F201", "'qqqq' is not a measure or number of this procedure",
     1, "its value would be unknown",
     "declare it, or correct the name"),
    ("ris(beam)", None, "F202", "'ris' is not a known function", 1, "it cannot be worked out", "write rise"),
    ("zzzzzz(beam)", None, "F202", "'zzzzzz' is not a known function", 1, "it cannot be worked out",
     "use one of the functions that exist"),
    ("length + weight", None, "F203", "length is a length and weight is a mass: they cannot be added",
     10, ONE_KIND, SAME),
    ("2 * length - weight", None, "F203", "2 * length is a length and weight is a mass: they cannot be subtracted", 14,
     ONE_KIND, SAME),
    ("length > weight / 2", None, "F203", "length is a length and weight / 2 is a mass: they cannot be compared", 17,
     ONE_KIND, SAME),
    ("max(length, weight)", None, "F203", "length is a length and weight is a mass: they cannot be put together", 13,
     ONE_KIND, SAME),
    ("length * beam + length", None, "F203", "length * beam is an area and length is a length: they cannot be added",
     17,
     ONE_KIND, SAME),
    ("if(on_trailer, 1 ft, 2 kg)", None, "F203",
    
     "1 ft is a length and 2 kg is a mass: they cannot be taken one for the other", 22, ONE_KIND, SAME),
    ("length + 2", None, "F204", "2 is a plain number, a length is due", 10, UNIT, "write 2 in or 2 ft"),
    ("0 < length", None, "F204", "0 is a plain number, a length is due", 1, UNIT, "write 0 in or 0 ft"),
    ("weight > 500", None, "F204", "500 is a plain number, a mass is due", 10, UNIT, "write 500 lb or 500 kg"),
    ("length^4 > 1", None, "F204", "1 is a plain number, a length^4 is due", 12, UNIT, "write 1 with its unit"),
    ("slope > 15", None, "F204", "15 is a plain number, an angle is due", 9, UNIT, "write 15 deg"),
    ("rise(beam, 15)", None, "F204", "15 is a plain number, an angle is due", 12, UNIT, "write 15 deg"),
    ("rise(4, slope)", None, "F204", "4 is a plain number, a length is due", 6, UNIT, "write 4 in or 4 ft"),
    ("12", "length", "F204", "12 is a plain number, a length is due", 1, UNIT, "write 12 in or 12 ft"),
    ("15", "angle", "F204", "15 is a plain number, an angle is due", 1, UNIT, "write 15 deg"),
    ("air > 5", None, "F204", "5 is a plain number, a temperature is due", 7, UNIT, "write 5 °F or 5 °C"),
    ("2 ft + on_trailer", None, "F205", "on_trailer is a condition, a number is due", 8, "it cannot be calculated with",
     "use if(condition, number, number)"),
    ("if(on_trailer, 2 ft, beam > 1 ft)", None, "F205", "beam > 1 ft is a condition, a number is due", 27,
     "it cannot be calculated with", "use if(condition, number, number)"),
    ("length and on_trailer", None, "F206", "length is a length, a condition is due", 1, "it is neither true nor false",
     "compare it, such as length > 0 in"),
    ("not vents", None, "F206", "vents is a plain number, a condition is due", 5, "it is neither true nor false",
     "compare it, such as vents > 0"),
    ("drive == outbord", None, "F207", "'outbord' is not an answer to 'drive'", 10, "the condition could never hold",
     "write outboard"),
    ("drive in [outboard, qqq]", None, "F207", "'qqq' is not an answer to 'drive'",
     21, "the condition could never hold",
     "write one of: outboard, stern-drive, inboard"),
    ("rise(beam)", None, "F208", "rise takes 2 values, found 1", 1, "rise could not be worked out",
     "give rise(half_beam, slope)"),
    ("min(beam)", None, "F208", "min takes 2 values or more, found 1", 1, "min could not be worked out",
     "give min(one, other, ...)"),
    ("sqrt()", None, "F208", "sqrt takes 1 value, found 0", 1, "sqrt could not be worked out",
     "give sqrt(area or number)"),
    ("tilt(beam, weight)", None, "F209", "weight is a mass, tilt needs a length", 12, "tilt could not be worked out",
     "give tilt(length, length)"),
    ("rise(beam, length)", None, "F209", "length is a length, rise needs an angle", 12, "rise could not be worked out",
     "give rise(half_beam, slope)"),
    ("ceil(length)", None, "F209", "length is a length, ceil needs a plain number", 6, "ceil could not be worked out",
     "give ceil(length / step)"),
    ("fits(length, on_trailer)", None, "F209", "length is a length, fits needs a choice",
     6, "fits could not be worked out",
     "give fits(choice, yes_no)"),
    ("fits(drive, drive)", None, "F209", "drive is a choice, fits needs a condition",
     13, "fits could not be worked out",
     "give fits(choice, yes_no)"),
    ("vapour(air - dew)", None, "F209", "air - dew is a difference of temperatures, vapour needs a temperature", 12,
     "vapour could not be worked out", "give vapour(temperature)"),
    ("drive", None, "F210", "'drive' is a choice", 1, "a choice is neither a number nor true or false",
     "compare it with one of its answers: drive == outboard"),
    ("drive + 1 ft", None, "F210", "'drive' is a choice", 1, "a choice is neither a number nor true or false",
     "compare it with one of its answers: drive == outboard"),
    ("length == beam", None, "F211", "'length' is a length, not a choice",
     1, "only a choice is compared with a bare word",
     "write length == (beam) to compare two numbers"),
    ("length in [long]", None, "F211", "'length' is a length, not a choice", 1,
     "only a choice is compared with a bare word", "compare it with a number and its unit"),
    ("on_trailer == yes", None, "F211", "'on_trailer' is a condition, not a choice", 1,
     "only a choice is compared with a bare word", "write the name alone, or not and the name"),
    ("sqrt(length)", None, "F212", "length is a length, which has no square root here", 6,
     "only an area or a plain number has one", "check the formula"),
    ("length * beam", "length", "F213", "the formula gives an area, a length is due", 8, LOST,
     "correct the formula, or the kind of the number"),
    ("length", "yes_no", "F213", "the formula gives a length, a condition is due", 1, LOST, "compare it with a limit"),
    ("on_trailer", "mass", "F213", "the formula gives a condition, a mass is due", 1, LOST,
     "correct the formula, or the kind of the number"),
    ("length", "count", "F213", "the formula gives a length, a count is due", 1, LOST,
     "correct the formula, or the kind of the number"),
    ("air - dew", "temperature", "F213", "the formula gives a difference of temperatures, a temperature is due",
     5, LOST,
     "add it to a temperature"),
    ("air + dew", None, "F214", "air + dew calculates with a point on a temperature scale", 5, SCALE, IN_KELVIN),
    ("air + 20 °C", None, "F214", "air + 20 °C calculates with a point on a temperature scale", 5, SCALE, IN_KELVIN),
    ("air * 2", None, "F214", "air calculates with a point on a temperature scale", 1, SCALE, IN_KELVIN),
    ("-air", None, "F214", "air calculates with a point on a temperature scale", 2, SCALE, IN_KELVIN),
    ("(air - dew) - air", None, "F214", "air - dew - air calculates with a point on a temperature scale", 13, SCALE,
     IN_KELVIN),
    ("air - dew > 3 °C", None, "F215",
     "air - dew and 3 °C: one is a temperature, the other a difference of temperatures",
     13, NOT_SAME, DIFFERENCE),
    ("(air - dew) / 2 > 3 °C", None, "F215",
     "(air - dew) / 2 and 3 °C: one is a temperature, the other a difference of temperatures", 19, NOT_SAME,
     DIFFERENCE),
    ("max(air - dew, 3 °C)", None, "F215",
     "air - dew and 3 °C: one is a temperature, the other a difference of temperatures", 16, NOT_SAME, DIFFERENCE),
    ("length == true", None, "F216", "true is true or false already, and length == true compares it", 11,
     "only numbers and choices are compared", "write it alone, or with not before it"),
    ("on_trailer == true", None, "F216", "on_trailer is true or false already, and on_trailer == true compares it", 1,
     "only numbers and choices are compared", "write it alone, or with not before it"),
]


@pytest.mark.parametrize(("text", "due", "code", "what", "column", "why", "mend"), BAD)
def test_a_fault_says_what_why_and_how_to_mend_it_where_it_stands(
    text: str, due: str | None, code: str, what: str, column: int, why: str, mend: str
) -> None:
    with pytest.raises(FormulaError) as caught:
        check(parse_formula(text), NAMES, FUNCTIONS, due=due)
    marked = f"    1 | {text}\n      | {' ' * (column - 1)}^\n"
    assert str(caught.value) == f"formula:1:{column}: {code} {what}\n{marked}    why   {why}\n    mend  {mend}"


def test_every_code_of_a_meaning_is_in_the_table_above() -> None:
    assert {row[2] for row in BAD} == {code for code in FAULTS if code.startswith("F2")}


def test_all_faults_are_told_at_once_and_none_twice() -> None:
    text = "if(length and drive == outbord, lenght + ris(wieght, 2 ft + 3 kg), tilt(2, vents) + 4)"
    with pytest.raises(FormulaError) as caught:
        check(parse_formula(text), NAMES, FUNCTIONS, due="length")
    found = [(problem.code, problem.place.column) for problem in caught.value.problems if problem.place]
    assert found == [
        ("F206", 4), ("F207", 24), ("F201", 33), ("F202", 42), ("F201", 46), ("F203", 61), ("F204", 73), ("F209", 76),
        ("F204", 85),
    ]


def test_columns_are_shifted_to_the_line_of_the_file() -> None:
    with pytest.raises(FormulaError) as caught:
        check(parse_formula("beam + 2", column_offset=30), NAMES, FUNCTIONS)
    assert caught.value.problems[0].place is not None and caught.value.problems[0].place.column == 38


def test_a_function_of_an_unknown_kind_cannot_be_registered() -> None:
    with pytest.raises(ValueError, match="function odd speaks of a kind that does not exist"):
        Function("odd", ("lenght",), "length", abs)
    with pytest.raises(ValueError, match="function odd speaks of a kind that does not exist"):
        Function("odd", ("length",), "choice", abs)
