"""Formulas at work: values, missing values, what cannot be worked out, explanations, and conditions for the prover."""

from __future__ import annotations

import math
import time
from fractions import Fraction

import pytest

from coach.core.formula import (
    Declared, Function, Missing, atoms, check, evaluate, evaluate_with_atoms, explain, names_in, parse_formula,
)
from coach.core.formula_faults import FAULTS
from coach.core.formula_run import Value
from coach.core.problems import FormulaError, Problem, QuantityError
from coach.core.quantity import Quantity, parse_quantity, parse_rounding, show
from coach.core.units import KINDS

FILM = parse_formula("2 * ridge_to_edge + 2 * tuck")
DUNLIN: dict[str, Value] = {
    "length": parse_quantity("19 ft", "length"), "beam": parse_quantity("8 ft", "length"),
    "height": parse_quantity("36 in", "length"), "vents": Quantity(2), "slope": parse_quantity("15 deg", "angle"),
    "drive": "outboard", "on_trailer": True, "below": parse_quantity("-5 °C", "temperature"), "debit": Quantity(-3),
}


def lengths(**texts: str) -> dict[str, Quantity]:
    return {name: parse_quantity(text, "length") for name, text in texts.items()}


def value_of(text: str, functions: dict[str, Function] | None = None, **more: object) -> Quantity | bool:
    return evaluate(parse_formula(text), {**DUNLIN, **more}, functions or {})  # type: ignore[dict-item]


# -- values


def test_film_width_is_exact_and_goes_to_the_next_foot() -> None:
    # the trade's own example (common practice, no source): 66 in gives 144 in, a 12 ft roll
    assert check(FILM, {"ridge_to_edge": Declared("length"), "tuck": Declared("length")}, {}) == KINDS["length"]
    width = evaluate(FILM, lengths(ridge_to_edge="66 in", tuck="6 in"), {})
    assert isinstance(width, Quantity)
    assert width == parse_quantity("144 in", "length") == parse_quantity("12 ft", "length") and width.is_exact
    more = evaluate(FILM, lengths(ridge_to_edge="66 1/8 in", tuck="6 in"), {})
    assert isinstance(more, Quantity)
    assert show(parse_rounding("up to 1 ft").apply(more), "length") == "13 ft"


@pytest.mark.parametrize(("over", "width"), [("66.5", "145"), ("72", "156"), ("57", "126")])
def test_film_widths_of_the_check_table(over: str, width: str) -> None:  # facts-sizing section 11, computed
    got = evaluate(FILM, lengths(ridge_to_edge=f"{over} in", tuck="6 in"), {})
    assert got == parse_quantity(f"{width} in", "length")


@pytest.mark.parametrize(
    ("text", "due"),
    [
        ("hypot(beam / 2, height)", "60 in"),  # 48 and 36 in: the root stays exact
        ("sqrt((beam / 2)^2 + height^2)", "60 in"), ("hypot(60 in, 25 in)", "65 in"),
        ("round_up(length, 5 ft)", "20 ft"),
        ("max(beam, length, 20 ft)", "20 ft"), ("min(beam, 2 ft)", "2 ft"), ("abs(beam - length)", "11 ft"),
        ("-beam + length", "11 ft"), ("2 ft - 1 ft - 1/2 ft", "6 in"), ("beam / 2 / 2", "2 ft"),
        ("2 * beam^2 / beam", "16 ft"), ("-2^2 * beam + 33 ft", "1 ft"), ("if(on_trailer, beam, length)", "8 ft"),
        ("if(drive in [inboard, none], 0 ft, 3 ft)", "3 ft"), ("5 1/2 in + 1/8 in + 3/8 in", "6 in"),
        ("50 % * beam", "4 ft"), ("beam^-1 * beam^2", "8 ft"),
    ],
)
def test_exact_lengths(text: str, due: str) -> None:
    got = value_of(text)
    assert got == parse_quantity(due, "length") and isinstance(got, Quantity) and got.is_exact


@pytest.mark.parametrize(
    ("text", "due"),
    [("ceil(length / 7 ft)", 3), ("ceil(14 ft / 7 ft)", 2), ("floor(length / 7 ft) + vents", 4),
     ("floor(-1/2 ft / 1 ft)", -1),
     ("ceil(sqrt(2) * sqrt(2))", 2), ("floor(sqrt(2) * sqrt(2) * 2)", 4), ("round_up(vents, 4)", 4), ("2 + 3 * 4", 14)],
)
def test_counts_survive_float_noise(text: str, due: int) -> None:
    assert value_of(text) == Quantity(due)


@pytest.mark.parametrize(
    ("text", "due"),
    [("on_trailer", True), ("not on_trailer", False), ("drive == outboard", True), ("drive != outboard", False),
     ("drive in [inboard, outboard]", True), ("drive not in [inboard, outboard]", False), ("beam > 8 ft", False),
     ("beam >= 8 ft", True), ("beam == (beam)", True), ("beam != 96 in", False), ("slope >= 15 deg", True),
     ("slope > 14.9 deg and slope < 15.1 deg", True), ("below < -4 °C", True), ("below == -5 °C", True),
     ("true or false and false", True), ("(true or false) and false", False), ("not true or true", True),
     ("if(on_trailer, beam > 9 ft, true)", False)],
)
def test_conditions(text: str, due: bool) -> None:
    assert value_of(text) is due


def test_only_what_is_needed_must_be_there() -> None:
    assert value_of("if(on_trailer, beam, gone)") == DUNLIN["beam"]
    assert value_of("on_trailer or gone > 2 ft") is True
    assert value_of("not on_trailer and gone > 2 ft") is False


@pytest.mark.parametrize(
    ("text", "names"),
    [("2 * a + beam * b", ("a", "b")), ("if(a > 1 ft, b, c)", ("a",)), ("if(on_trailer, b, c)", ("b",)),
     ("a > 1 ft and b > 1 ft", ("a",)), ("(on_trailer or gone > 2 ft) and a > 1 ft", ("a",)),
     ("on_trailer and max(a, b, beam) > c", ("a", "b", "c")),
     ("drive2 == one", ("drive2",))],
)
def test_missing_values_are_all_named_but_none_that_may_not_matter(text: str, names: tuple[str, ...]) -> None:
    with pytest.raises(Missing) as caught:
        value_of(text)
    assert caught.value.names == names
    assert str(caught.value) == ", ".join(names)


def test_a_value_of_another_kind_is_refused_before_any_arithmetic() -> None:
    with pytest.raises(FormulaError) as caught:
        evaluate(parse_formula("length + beam"), {"length": Quantity(5), "beam": DUNLIN["beam"]}, {})
    assert [problem.code for problem in caught.value.problems] == ["F203"]
    again = evaluate(parse_formula("length + beam"), DUNLIN, {})
    assert again == parse_quantity("27 ft", "length")
    with pytest.raises(TypeError, match="a value must be a Quantity, a string or a bool, not 5"):
        evaluate(parse_formula("length"), {"length": 5}, {})  # type: ignore[dict-item]


# -- registered functions


def out_of_range(value: object) -> object:
    raise QuantityError(Problem("U302", "too long", "slip", "measure again"))


def broken(value: object) -> object:
    raise ValueError("no such hull")


def length_function(impl: object, result: str = "length") -> dict[str, Function]:
    return {"work": Function("work", ("length",), result, impl)}  # type: ignore[arg-type]


def test_a_function_gets_exact_si_numbers_and_gives_one_back() -> None:
    half = length_function(lambda beam: beam / 2)
    assert value_of("work(beam) + 6 in", half) == parse_quantity("4 ft 6 in", "length")
    counted = value_of("work(beam)", length_function(lambda beam: math.ceil(beam), "count"))
    assert counted == Quantity(3) and isinstance(counted, Quantity) and counted.is_exact
    assert value_of("work(beam) and on_trailer", length_function(lambda beam: beam > 1, "yes_no")) is True


def test_the_functions_of_today_are_used_not_those_of_the_first_time() -> None:
    formula = parse_formula("work(beam)")
    once = evaluate(formula, DUNLIN, length_function(lambda beam: beam))
    twice = evaluate(formula, DUNLIN, length_function(lambda beam: 2 * beam))
    assert isinstance(once, Quantity) and twice == 2 * once
    with pytest.raises(FormulaError) as caught:
        evaluate(formula, DUNLIN, {})
    assert caught.value.problems[0].code == "F202"


def test_a_functions_own_refusal_is_passed_on_as_it_is() -> None:
    with pytest.raises(QuantityError) as caught:
        value_of("work(beam)", length_function(out_of_range))
    assert caught.value.problems[0].code == "U302"


# -- what cannot be worked out

UNKNOWN = "the number stays unknown"
NO_RESULT = [
    ("length / (beam - 8 ft)", None, "F301", "length / (beam - 8 ft) divides by zero: beam - 8 ft is 0", 8,
     "there is no such number", "check the values that beam - 8 ft is worked out from"),
    ("(beam - 8 ft)^-1", None, "F301", "(beam - 8 ft)^-1 divides by zero: beam - 8 ft is 0", 14,
     "there is no such number", "check the values that beam - 8 ft is worked out from"),
    ("1 ft + sqrt(beam^2 - length^2)", None, "F302",
     "sqrt(beam^2 - length^2) takes the square root of a number below zero",
     8, "there is no such number", "check the values that it is worked out from"),
    ("sqrt(2) * (10^6)^6 * ((10^6)^6)^6 * ((10^6)^6)^6", None, "F303",
     "sqrt(2) * (10^6)^6 * ((10^6)^6)^6 * ((10^6)^6)^6 is too big to be a measurement", 35,
     "a slip of the hand is likely", "check the values that it is worked out from"),
    ("work(beam)", broken, "F304", "work could not work with its values: no such hull", 1, UNKNOWN,
     "check the values that go into it"),
    ("work(beam)", lambda beam: math.nan, "F304", "work could not work with its values: it gave nan", 1, UNKNOWN,
     "check the values that go into it"),
    ("work(beam)", lambda beam: True, "F304", "work could not work with its values: it gave True", 1, UNKNOWN,
     "check the values that go into it"),
    ("work(beam)", lambda beam: "long", "F304", "work could not work with its values: it gave 'long'", 1, UNKNOWN,
     "check the values that go into it"),
    ("work(beam)", lambda beam: 1 / 0, "F304", "work could not work with its values: division by zero", 1, UNKNOWN,
     "check the values that go into it"),
    ("round_up(length, beam - 8 ft)", None, "F305",
     "round_up(length, beam - 8 ft) rounds to a step that is not above zero", 1, "there is no next step",
     "give a step above zero"),
]


@pytest.mark.parametrize(("text", "impl", "code", "what", "column", "why", "mend"), NO_RESULT)
def test_what_cannot_be_worked_out_names_the_part_at_fault(
    text: str, impl: object, code: str, what: str, column: int, why: str, mend: str
) -> None:
    with pytest.raises(FormulaError) as caught:
        value_of(text, length_function(impl) if impl else {})
    marked = f"    1 | {text}\n      | {' ' * (column - 1)}^\n"
    assert str(caught.value) == f"formula:1:{column}: {code} {what}\n{marked}    why   {why}\n    mend  {mend}"


def test_every_code_of_a_result_is_in_the_table_above() -> None:
    assert {row[2] for row in NO_RESULT} == {code for code in FAULTS if code.startswith("F3")}


# -- explanations


@pytest.mark.parametrize(
    ("text", "us", "metric"),
    [
        ("length * beam", "19 ft × 8 ft = 152 ft²", "5,79 m × 2,44 m = 14,12 m²"),
        ("2 * (length + 6 in) / 4", "2 × (19 ft + 6 in) ÷ 4 = 9' 9\"", "2 × (5,79 m + 0,15 m) ÷ 4 = 2,97 m"),
        ("hypot(beam / 2, height)", "hypot(8 ft ÷ 2, 3 ft) = 5 ft", "hypot(2,44 m ÷ 2, 0,91 m) = 1,52 m"),
        ("round_up(length, 5 ft)", "round up(19 ft, 5 ft) = 20 ft", "round up(5,79 m, 1,52 m) = 6,10 m"),
        ("ceil(length / 7 ft) + vents", "ceil(19 ft ÷ 7 ft) + 2 = 5", "ceil(5,79 m ÷ 2,13 m) + 2 = 5"),
        ("beam + if(drive == outboard, 3 ft, 6 in)", "8 ft + 3 ft = 11 ft", "2,44 m + 0,91 m = 3,35 m"),
        ("length - (beam - 1 ft)", "19 ft - (8 ft - 1 ft) = 12 ft", "5,79 m - (2,44 m - 0,30 m) = 3,66 m"),
        ("(beam + 1 ft)^2", "(8 ft + 1 ft)² = 81 ft²", "(2,44 m + 0,30 m)² = 7,53 m²"),
        ("beam^2 * 0.5", "(8 ft)² × 0.5 = 32 ft²", "(2,44 m)² × 0,5 = 2,97 m²"), ("beam", "8 ft", "2,44 m"),
        ("2 - debit", "2 - (-3) = 5", "2 - (-3) = 5"), ("length^4", "(19 ft)^4 = 1124.8 SI", "(5,79 m)^4 = 1124,8 SI"),
        ("beam > 6 ft and not on_trailer", "8 ft > 6 ft and not on trailer: no",
         "2,44 m > 1,83 m and not on trailer: no"),
        ("beam >= 6 ft or gone > 2 ft", "8 ft ≥ 6 ft or gone > 2 ft: yes", "2,44 m ≥ 1,83 m or gone > 0,61 m: yes"),
        ("drive == outboard", "outboard = outboard: yes", "outboard = outboard: yes"),
        ("drive != outboard", "outboard ≠ outboard: no", "outboard ≠ outboard: no"),
        ("drive in [inboard, stern_drive]", "outboard in [inboard, stern drive]: no",
         "outboard in [inboard, stern drive]: no"),
        ("slope > 10 deg", "15° > 10°: yes", "15° > 10°: yes"), ("true", "true: yes", "true: yes"),
        ("true or if(1 / (2 - 2) > 1, true, false)", "true or if(1 ÷ (2 - 2) > 1, true, false): yes",
         "true or if(1 ÷ (2 - 2) > 1, true, false): yes"),
    ],
)
def test_an_explanation_is_the_formula_with_the_values_put_in(text: str, us: str, metric: str) -> None:
    formula = parse_formula(text)
    kinds = {"slope": "angle", "vents": "count"}
    assert explain(formula, DUNLIN, {}, kinds=kinds) == us
    assert explain(formula, DUNLIN, {}, kinds=kinds, system="metric", decimal=",") == metric


def test_film_width_is_explained_in_the_users_units() -> None:
    values = lengths(ridge_to_edge="66 in", tuck="6 in")
    assert explain(FILM, values, {}, kind="length") == "2 × 5' 6\" + 2 × 6 in = 12 ft"
    metric = lengths(ridge_to_edge="1.68 m", tuck="0.15 m")
    assert explain(FILM, metric, {}, kind="length", system="metric") == "2 × 1.68 m + 2 × 0.15 m = 3.66 m"


def test_the_words_of_a_condition_and_the_kind_of_a_result_can_be_chosen() -> None:
    assert explain(parse_formula("on_trailer"), DUNLIN, {}, words=("oui", "non")) == "on trailer: oui"
    assert explain(parse_formula("slope * 2"), DUNLIN, {}, kind="angle", kinds={"slope": "angle"}) == "15° × 2 = 30°"
    with pytest.raises(FormulaError) as caught:
        explain(parse_formula("beam * 2"), DUNLIN, {}, kind="mass")
    assert caught.value.problems[0].code == "F213"


# -- conditions for the prover


def test_atoms_are_the_conditions_that_and_or_not_and_if_join() -> None:
    formula = parse_formula(
        "not (drive == outboard) and (beam > 8 ft or on_trailer) and if(drive == outboard, length > 2 * beam, true)"
    )
    found = atoms(formula)
    assert [atom.text for atom in found] == ["drive == outboard", "beam > 8 ft", "on_trailer", "length > 2 * beam"]
    assert [sorted(names_in(atom)) for atom in found] == [["drive"], ["beam"], ["on_trailer"], ["beam", "length"]]


def test_atoms_of_a_number_are_those_of_its_ifs() -> None:
    text = "1 ft + if(on_trailer and length > 20 ft, 3 ft, min(beam, if(drive == outboard, beam, 0 ft)))"
    formula = parse_formula(text)
    assert [atom.text for atom in atoms(formula)] == ["on_trailer", "length > 20 ft", "drive == outboard"]


def test_a_condition_can_be_worked_out_from_its_atoms() -> None:
    formula = parse_formula("not a > 1 ft and (b or true) or if(b, a > 1 ft, false)")
    above, b = atoms(formula)
    table = {(x, y): evaluate_with_atoms(formula, {above: x, b: y}) for x in (True, False) for y in (True, False)}
    assert table == {(True, True): True, (True, False): False, (False, True): True, (False, False): True}
    assert evaluate_with_atoms(parse_formula("b or a > 1 ft"), {b: True}) is True  # what is settled asks for no more
    with pytest.raises(KeyError):
        evaluate_with_atoms(formula, {b: True})


# -- time


def test_forty_numbers_are_worked_out_in_well_under_two_milliseconds() -> None:
    texts = ["2 * length + 2 * beam", "length + 2 * beam + if(drive == outboard, 3 ft, 6 in)",
             "ceil(length / beam) + 1", "round_up(beam * 2 + 12 in, 1 ft)", "hypot(beam / 2, height)",
             "max(length, 12 ft) * beam"]
    formulas = [parse_formula(texts[at % len(texts)]) for at in range(40)]
    times = []
    for _ in range(10):
        begin = time.perf_counter()
        for formula in formulas:
            evaluate(formula, DUNLIN, {})
        times.append(time.perf_counter() - begin)
    assert min(times) < 0.002


def test_a_formula_keeps_only_a_few_ways_of_working_it_out() -> None:
    formula = parse_formula("work(length)")
    for step in range(100):
        functions = length_function(lambda length, step=step: length * step)
        assert evaluate(formula, DUNLIN, functions) == DUNLIN["length"] * step
    assert len(formula.plans) <= 32


def test_exact_fractions_stay_fractions() -> None:
    got = value_of("length / 3 + beam / 7")
    assert isinstance(got, Quantity) and got.value == Fraction(19 * 3048, 30000) + Fraction(8 * 3048, 70000)
