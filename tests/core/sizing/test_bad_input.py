"""Every sizing function refuses what cannot be true: one QuantityError that names the measure and its range."""

from __future__ import annotations

import importlib
import inspect
import math
import pkgutil
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import coach.core.sizing
from coach.core.formula import evaluate, parse_formula
from coach.core.problems import QuantityError
from coach.core.quantity import Quantity, parse_quantity
from coach.core.sizing import film, girth, outline, snow, strap, upright, wind
from coach.core.sizing.registry import FUNCTIONS

# A true value for each argument label of the formula functions.
TRUE: dict[str, float] = {
    "half_beam": 1.2,
    "height": 0.8,
    "drop": 0.18,
    "slope": 0.4,
    "half_tape": 1.68,
    "tuck": 0.15,
    "width": 3.6,
    "over_ridge": 6.5,
    "below_each_end": 0.15,
    "behind_stern": 0.6,
    "reach": 0.5,
    "below_band": 0.9,
    "deck": 6.0,
    "edge_below": 0.15,
    "mast": 9.0,
    "bow_drop": 1.0,
    "stern_drop": 1.0,
    "first": 6.0,
    "second": 5.0,
    "lap": 0.3,
    "length": 5.8,
    "thickness": 0.0001778,
    "beam": 2.4,
    "allowance": 0.9,
    "run": 5.8,
    "bow_rise": 0.5,
    "stern_rise": 0.6,
    "perimeter": 14.0,
    "ridge": 1.0,
    "sole_below": 0.6,
    "pads": 0.02,
    "strap": 0.9,
    "windshield": 0.8,
    "clear": 0.25,
    "depth": 0.9,
    "tail": 0.45,
    "area": 12.0,
    "share": 150.0,
    "air": 283.15,
    "humidity": 0.7,
    "film_area": 45.0,
    "liquid": 273.15,
    "propane": 0.5,
    "along": 3.0,
    "below_end": 0.15,
    "ground": 1400.0,
    "load": 500.0,
    "span": 2.4,
    "sag": 0.2,
    "contents": 9.07,
    "gust": 7.0,
    "pull": 300.0,
}
NEVER = [math.nan, math.inf, -math.inf, -1.0, 1e308, Fraction(10) ** 400, -(10**30), "66", None, True, [1.2]]


def true_arguments(name: str) -> list[float]:
    return [TRUE[label] for label in FUNCTIONS[name].labels]


@pytest.mark.parametrize("name", FUNCTIONS)
def test_true_arguments_give_a_finite_number(name: str) -> None:
    result = FUNCTIONS[name].impl(*true_arguments(name))
    assert isinstance(result, int | float | Fraction) and not isinstance(result, bool)
    assert math.isfinite(result)


@pytest.mark.parametrize("value", NEVER, ids=lambda value: repr(value)[:12])
@pytest.mark.parametrize(("name", "position"), [(n, i) for n, f in FUNCTIONS.items() for i in range(len(f.labels))])
def test_an_impossible_argument_is_refused_by_name_and_range(name: str, position: int, value: object) -> None:
    arguments: list[Any] = list(true_arguments(name))
    arguments[position] = value
    with pytest.raises(QuantityError) as caught:
        FUNCTIONS[name].impl(*arguments)
    assert len(caught.value.problems) == 1
    problem = caught.value.problems[0]
    assert problem.code in ("U301", "U302", "U303")
    assert problem.slots["name"] and problem.slots["low"] and problem.slots["high"]
    for text in (problem.what, problem.why, problem.mend):
        assert "%" not in text % dict(problem.slots)


def test_every_bad_argument_is_told_at_once() -> None:
    with pytest.raises(QuantityError) as caught:
        girth.tape_low(math.nan, -1, 5)
    assert str(caught.value) == (
        "U302 half beam is not a finite number\n"
        "    why   a number that cannot be true gives a cover that does not fit\n"
        "    mend  measure the half beam again and check its unit: it lies from 0.25 to 6 m\n"
        "U303 height is -1 m, outside 0 to 8 m\n"
        "    why   a number that cannot be true gives a cover that does not fit\n"
        "    mend  measure the height again and check its unit: it lies from 0 to 8 m\n"
        "U303 drop is 5 m, outside 0 to 1 m\n"
        "    why   a number that cannot be true gives a cover that does not fit\n"
        "    mend  measure the drop again and check its unit: it lies from 0 to 1 m"
    )


@pytest.mark.parametrize(
    ("work", "text"),
    [
        (lambda: outline.outline_area(5, 6), "beam and length disagree: beam must be not more than the length"),
        (
            lambda: outline.transom_half_breadth(5, 2, 6),
            "distance from the bow and length disagree: distance from the bow must be not more than the length",
        ),
        (lambda: film.joined_width(0.5, 0.4, 0.4), "lap and film width disagree: lap must be less than the film width"),
        (lambda: strap.parabola_pull(100, 2, 1.5), "sag and span disagree: sag must be not more than half the span"),
        (
            lambda: upright.cut_length(0.1, 0, 0.2),
            "pads and upright disagree: pads must be thinner than the upright is long",
        ),
        (
            lambda: upright.tributary_runs(6, [4, 2]),
            "upright and next upright disagree: upright must be nearer to the bow than the next, and inside the length",
        ),
        (
            lambda: snow.asce_slope_factor(0.5, 1.15),
            "thermal factor and slope factor disagree: thermal factor must be 1.0, 1.1 or 1.2",
        ),
        (lambda: wind.at_height(5, 10, 2, 1.5), "roughness length is 1.5 m, outside 0.0001 to 1 m"),
        (lambda: film.stocked_width(12.3), "a film 40' 4 1/4\" wide is needed, and the widest is 40 ft"),
        (lambda: outline.simpson([1, 2], 1), "2 ordinates were given, and the rule needs an odd number, three or more"),
        (lambda: girth.drape([(0, 0)]), "a line needs two points or more, and 1 were given"),
    ],
)
def test_numbers_that_cannot_both_be_true(work: Callable[[], object], text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        work()
    problem = caught.value.problems[0]
    assert problem.what % dict(problem.slots) == text


@pytest.mark.parametrize("typed", ["1e309 m", "-5 ft", "nan m", "inf", "", "5 kg", "1,5 ft 3", "12 ft 3 m"])
def test_what_no_length_can_be_never_reaches_a_number(typed: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(typed, "length")


def test_a_formula_refuses_a_boat_that_cannot_be_with_the_measure_named() -> None:
    formula = parse_formula("film_width(ridge_to_edge, 6 in)")
    values: Mapping[str, Quantity] = {"ridge_to_edge": parse_quantity("66 ft", "length")}
    with pytest.raises(QuantityError) as caught:
        evaluate(formula, values, FUNCTIONS)
    problem = caught.value.problems[0]
    assert problem.what % dict(problem.slots) == "half tape is 20.1168 m, outside 0.25 to 15 m"


def test_a_formula_keeps_film_width_exact() -> None:
    formula = parse_formula("stocked_width(film_width(ridge_to_edge, 6 in))")
    result = evaluate(formula, {"ridge_to_edge": parse_quantity("66 in", "length")}, FUNCTIONS)
    assert isinstance(result, Quantity) and result.value == Fraction(36576, 10000)


@given(st.sampled_from(sorted(FUNCTIONS)), st.data())
def test_any_numbers_at_all_give_a_finite_number_or_a_quantity_error(name: str, data: st.DataObject) -> None:
    number = st.one_of(st.floats(), st.integers(), st.fractions(), st.floats(0, 400))
    arguments = data.draw(st.tuples(*[number for _ in FUNCTIONS[name].labels]))
    try:
        result = FUNCTIONS[name].impl(*arguments)
    except QuantityError as error:
        assert str(error)
        return
    assert isinstance(result, int | float | Fraction) and math.isfinite(result)


MODULES = [
    importlib.import_module(f"coach.core.sizing.{found.name}")
    for found in pkgutil.iter_modules(coach.core.sizing.__path__)
]
PUBLIC = [
    function
    for module in MODULES
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if function.__module__ == module.__name__ and not name.startswith("_")
]
# they check or shape arguments, or word a message, and have no source of their own
PLUMBING = {"demand", "contradiction", "ceil_of", "length_shown", "force_shown"}


@pytest.mark.parametrize("function", PUBLIC, ids=lambda function: function.__qualname__)
def test_every_public_function_says_units_range_errors_and_source(function: Callable[..., object]) -> None:
    doc = inspect.getdoc(function) or ""
    assert doc.splitlines()[0].endswith(".")
    if function.__name__ in PLUMBING:
        return
    for part in ("Args:", "Returns:", "Raises:", "Source:"):
        assert part in doc, f"{function.__qualname__} has no {part}"
    arguments = doc.split("Args:")[1].split("Returns:")[0]
    for name in inspect.signature(function).parameters:
        assert name in arguments, f"{function.__qualname__} does not tell of {name}"
