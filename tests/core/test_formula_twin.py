"""Formulas against slow twins: Python's own grammar over Quantity values, and pint.

Every random formula is written twice, as a formula and as Python, with the same brackets and none to spare. Python then
reads the precedence in its own way and Quantity objects check every dimension as they meet it. Our checker must accept
exactly what Python can work out, and both must give the same value.
"""

from __future__ import annotations

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coach.core.formula import (
    Declared, Formula, Function, Missing, atoms, check, evaluate, evaluate_with_atoms, explain, names_in, parse_formula,
)
from coach.core.formula_run import Value
from coach.core.formula_tree import walk
from coach.core.problems import FormulaError, QuantityError
from coach.core.quantity import Quantity, parse_any, show
from coach.core.units import KIND_OF, KINDS

VALUES: dict[str, Value] = {
    "length": parse_any("19 ft"), "beam": parse_any("2.44 m"), "tuck": parse_any("6 in"), "weight": parse_any("900 lb"),
    "vents": Quantity(2), "share": parse_any("0.25"), "drive": "outboard", "on_trailer": True, "has_mast": False,
}
DECLARED = {
    "length": Declared("length"), "beam": Declared("length"), "tuck": Declared("length"), "weight": Declared("mass"),
    "vents": Declared("count"), "share": Declared("ratio"), "drive": Declared("choice", ("outboard", "inboard")),
    "on_trailer": Declared("yes_no"), "has_mast": Declared("yes_no"),
}
LITERALS = ["2", "0.5", "6 in", "1/8 in", "12 ft", "0.15 m", "5 1/2 in", "3 kg", "10 sq ft", "4 lb/ft2"]

Pair = tuple[str, str]  # the formula, and the same in Python

leaves = st.sampled_from(
    [(text, f"q('{text}')") for text in LITERALS]
    + [(name, name) for name in ("length", "beam", "tuck", "weight", "vents")]
)
tests_of_names = st.sampled_from(
    [("on_trailer", "on_trailer"), ("has_mast", "has_mast"), ("true", "True"), ("false", "False"),
     ("drive == outboard", "drive == 'outboard'"), ("drive != inboard", "drive != 'inboard'"),
     ("drive in [outboard, inboard]", "drive in ['outboard', 'inboard']"), ("drive == inboard", "drive == 'inboard'")]
)


def joined(*parts: Pair | str) -> Pair:
    formula = "".join(part if isinstance(part, str) else part[0] for part in parts)
    python = "".join(part if isinstance(part, str) else part[1] for part in parts)
    return formula, python.replace("^", "**")


def in_line(left: Pair, operator: str, right: Pair) -> Pair:
    if operator == " / " and right[0][0].isdigit():  # 1 / 8 in is refused: it may be meant as an eighth of an inch
        return joined(left, operator, "(", right, ")")
    return joined(left, operator, right)


def bigger(numbers: st.SearchStrategy[Pair]) -> st.SearchStrategy[Pair]:
    operator = st.sampled_from([" + ", " - ", " * ", " / "])
    return st.one_of(
        st.builds(in_line, numbers, operator, numbers),
        st.builds(lambda a: joined("(", a, ")"), numbers),
        st.builds(lambda a: joined("-", a), numbers),
        st.builds(lambda a, power: joined("(", a, ")", f"^{power}"), numbers, st.integers(0, 3)),
        st.builds(lambda a, b: joined("min(", a, ", ", b, ")"), numbers, numbers),
        st.builds(lambda a: joined("abs(", a, ")"), numbers),
    )


numbers = st.recursive(leaves, bigger, max_leaves=6)


def joined_conditions(conditions: st.SearchStrategy[Pair]) -> st.SearchStrategy[Pair]:
    return st.one_of(
        st.builds(lambda a, op, b: joined(a, op, b), conditions, st.sampled_from([" and ", " or "]), conditions),
        st.builds(lambda a: joined("not ", a), conditions),
        st.builds(lambda a: joined("(", a, ")"), conditions),
    )


comparisons = st.builds(
    lambda a, op, b: joined(a, op, b), numbers, st.sampled_from([" < ", " <= ", " > ", " >= "]), numbers
)
conditions = st.recursive(st.one_of(tests_of_names, comparisons), joined_conditions, max_leaves=5)


def in_python(text: str) -> object:
    """The value that Python and Quantity give; a QuantityError where they cannot."""
    return eval(text, {"__builtins__": {}, "q": parse_any, "min": min, "abs": abs}, dict(VALUES))


@settings(max_examples=300)
@given(numbers)
def test_what_the_checker_accepts_works_out_to_the_same_and_what_it_refuses_cannot_be_worked_out(pair: Pair) -> None:
    formula = parse_formula(pair[0])
    try:
        due = in_python(pair[1])
    except QuantityError as error:
        assume(error.problems[0].code != "U403")  # a division by zero is nobody's dimension
        with pytest.raises(FormulaError) as caught:
            check(formula, DECLARED, {})
        assert {problem.code for problem in caught.value.problems} <= {"F203", "F204"}
        return
    assert isinstance(due, Quantity)
    assert check(formula, DECLARED, {}) == due.dimension
    got = evaluate(formula, VALUES, {})
    assert isinstance(got, Quantity)
    assert got.dimension == due.dimension
    if got.is_exact and due.is_exact:
        assert got == due
    else:
        assert float(got.value) == pytest.approx(float(due.value), rel=1e-9)


@settings(max_examples=300)
@given(conditions)
def test_conditions_work_out_as_in_python(pair: Pair) -> None:
    formula = parse_formula(pair[0])
    try:
        assert check(formula, DECLARED, {}) == "yes_no"
    except FormulaError:
        return  # Python leaves out what is settled, so it cannot judge these
    try:
        due = in_python(pair[1])
    except QuantityError as error:
        assert error.problems[0].code == "U403"
        with pytest.raises(FormulaError) as caught:
            evaluate(formula, VALUES, {})
        assert caught.value.problems[0].code == "F301"
        return
    assert evaluate(formula, VALUES, {}) is due
    truth = {atom: evaluate(parse_formula(atom.text), VALUES, {}) for atom in atoms(formula) if not _fails(atom.text)}
    assert evaluate_with_atoms(formula, truth) is due  # type: ignore[arg-type]


def _fails_check(formula: Formula) -> bool:
    try:
        check(formula, DECLARED, {})
    except FormulaError:
        return True
    return False


def _fails(text: str) -> bool:
    try:
        evaluate(parse_formula(text), VALUES, {})
    except FormulaError:
        return True
    return False


@given(st.one_of(numbers, conditions))
def test_a_tree_written_out_reads_back_as_the_same_tree(pair: Pair) -> None:
    tree = parse_formula(pair[0]).tree
    assert parse_formula(tree.text).tree == tree


@given(st.one_of(numbers, conditions), st.sampled_from(["us", "metric"]))
def test_an_explanation_ends_in_the_value(pair: Pair, system: str) -> None:
    formula = parse_formula(pair[0])
    try:
        value = evaluate(formula, VALUES, {})
    except FormulaError:
        return
    text = explain(formula, VALUES, {}, system=system)
    if isinstance(value, bool):
        assert text.endswith(": yes" if value else ": no")
    elif value.dimension in KIND_OF:
        assert text.split(" = ")[-1] == show(value, KIND_OF[value.dimension], system)


@given(st.one_of(numbers, conditions), st.sets(st.sampled_from(sorted(VALUES))))
def test_missing_names_are_asked_for_until_the_formula_can_be_worked_out(pair: Pair, known: set[str]) -> None:
    """Every name asked for is missing and in the formula, and adding what is asked for always gets there."""
    formula = parse_formula(pair[0])
    if _fails_check(formula):
        return
    values = {name: VALUES[name] for name in known}
    for _ in range(len(VALUES) + 1):
        try:
            got = evaluate(formula, values, {})
        except Missing as missing:
            assert missing.names and set(missing.names) <= formula.names - values.keys()
            values |= {name: VALUES[name] for name in missing.names}
        except FormulaError as error:
            assert error.problems[0].code == "F301"
            return
        else:
            assert got == evaluate(formula, VALUES, {})
            return
    raise AssertionError("never worked out")


# -- pint: the dimension of the result and its value, worked out by another library

PINT: pint.UnitRegistry = pint.UnitRegistry()
IN_PINT = {"length": PINT.Quantity(19, "ft"), "beam": PINT.Quantity(2.44, "m"), "tuck": PINT.Quantity(6, "in"),
           "weight": PINT.Quantity(900, "lb"), "vents": PINT.Quantity(2, "")}
WORKED = [
    ("2 * beam + 2 * tuck", lambda v: 2 * v["beam"] + 2 * v["tuck"]),
    ("length * beam / vents", lambda v: v["length"] * v["beam"] / v["vents"]),
    ("weight / (length * beam)", lambda v: v["weight"] / (v["length"] * v["beam"])),
    ("sqrt((beam / 2)^2 + length^2)", lambda v: ((v["beam"] / 2) ** 2 + v["length"] ** 2) ** 0.5),
    ("hypot(beam, length) - 3 ft", lambda v: (v["beam"] ** 2 + v["length"] ** 2) ** 0.5 - PINT.Quantity(3, "ft")),
    ("20 lb/ft * length^2 / (8 * tuck)", lambda v: PINT.Quantity(20, "lbf/ft") * v["length"] ** 2 / (8 * v["tuck"])),
    ("-(length - beam)^3 / 10 m", lambda v: -((v["length"] - v["beam"]) ** 3) / PINT.Quantity(10, "m")),
    ("1 / tuck^-2", lambda v: 1 / v["tuck"] ** -2),
]


@pytest.mark.parametrize(("text", "work"), WORKED)
def test_worked_formulas_agree_with_pint(text: str, work) -> None:  # type: ignore[no-untyped-def]
    got = evaluate(parse_formula(text), VALUES, {})
    assert isinstance(got, Quantity)
    due = work(IN_PINT).to_base_units()
    names = ("[length]", "[mass]", "[time]", "[temperature]")
    assert {name: power for name, power in zip(names, got.dimension.exponents) if power} == dict(due.dimensionality)
    assert float(got.value) == pytest.approx(due.magnitude, rel=1e-12)


@given(st.one_of(numbers, conditions))
def test_names_of_a_formula_are_the_names_in_its_tree(pair: Pair) -> None:
    formula = parse_formula(pair[0])
    assert formula.names == names_in(formula.tree) <= VALUES.keys()
    assert all(node.column <= len(formula.text) for node in walk(formula.tree))


def test_a_checked_call_gets_what_it_was_promised() -> None:
    got: list[object] = []

    def keep(length: object, drive: object, trailer: object) -> object:
        got.extend((length, drive, trailer))
        return length

    functions = {"keep": Function("keep", ("length", "choice", "yes_no"), "length", keep)}
    formula = parse_formula("keep(length, drive, on_trailer) + 1 ft")
    assert check(formula, DECLARED, functions) == KINDS["length"]
    assert evaluate(formula, VALUES, functions) == parse_any("20 ft")
    assert got == [parse_any("19 ft").value, "outboard", True]
