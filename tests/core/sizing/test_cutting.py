"""Cutting pieces from stock: published instances with known optimum, integer programmes as a twin, and properties."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy
import pytest
import scipy.optimize
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.sizing.constants import FOOT, INCH
from coach.core.sizing.cutting import CutPlan, cut_plan, first_fit_decreasing, lower_bound_of, worst_of_first_fit

INSTANCES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "cutting_instances.yaml").read_text())


def pieces_of(instance: dict[str, Any]) -> list[Fraction]:
    """The pieces in hundredths of their own unit, so that they are lengths that a yard has."""
    sizes = instance.get("pieces") or [size for size, count in instance["counts"] for _ in range(count)]
    return [Fraction(size, 100) for size in sizes]


def stands(plan: CutPlan, pieces: Sequence[Fraction], stock: Fraction) -> bool:
    """Whether every piece is cut exactly once and nothing is longer than its stock."""
    cut = sorted(index for group in plan.bins for index in group)
    return cut == list(range(len(pieces))) and all(left >= 0 for left in plan.left(pieces, stock))


@pytest.mark.parametrize("instance", INSTANCES, ids=[instance["name"] for instance in INSTANCES])
def test_published_instance(instance: dict[str, Any]) -> None:
    pieces, stock = pieces_of(instance), Fraction(instance["stock"], 100)
    first_fit, plan = first_fit_decreasing(pieces, stock), cut_plan(pieces, stock)
    assert stands(first_fit, pieces, stock) and stands(plan, pieces, stock)
    assert first_fit.count == instance["first_fit"] <= worst_of_first_fit(instance["optimum"])
    assert plan.count == instance["optimum"]
    assert plan.bound <= instance["optimum"]


def test_the_plan_says_proven_only_where_its_bound_is_reached() -> None:
    proven = {i["name"]: cut_plan(pieces_of(i), Fraction(i["stock"], 100)).is_proven for i in INSTANCES}
    assert proven == {
        "paper rolls 5600": True,
        "GAMS cutstock": False,
        "u120_00": True,
        "u120_01": True,
        "u120_08": True,
        "u120_19": True,
    }


def least_by_integer_programme(sizes: Sequence[int], capacity: int) -> int:
    """The optimum by an assignment model solved with HiGHS."""
    n, bins = len(sizes), first_fit_decreasing([Fraction(size) for size in sizes], Fraction(capacity)).count
    cost = numpy.concatenate([numpy.zeros(n * bins), numpy.ones(bins)])
    once = numpy.zeros((n, n * bins + bins))
    fits = numpy.zeros((bins, n * bins + bins))
    for i in range(n):
        once[i, i * bins : (i + 1) * bins] = 1
        for b in range(bins):
            fits[b, i * bins + b] = sizes[i]
    for b in range(bins):
        fits[b, n * bins + b] = -capacity
    constraints = [
        scipy.optimize.LinearConstraint(once, 1, 1),
        scipy.optimize.LinearConstraint(fits, -numpy.inf, 0),
    ]
    result = scipy.optimize.milp(cost, constraints=constraints, integrality=numpy.ones_like(cost), bounds=(0, 1))
    return round(result.fun)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(10, 100), min_size=1, max_size=10))
def test_small_lists_are_cut_with_the_fewest_lengths(sizes: list[int]) -> None:
    pieces = [Fraction(size) for size in sizes]
    plan = cut_plan(pieces, Fraction(100))
    assert stands(plan, pieces, Fraction(100))
    assert plan.is_proven
    assert plan.count == plan.bound == least_by_integer_programme(sizes, 100)


@settings(deadline=None)
@given(st.lists(st.integers(1, 200), max_size=80), st.integers(200, 400))
def test_a_plan_is_never_worse_than_first_fit_nor_better_than_its_bound(sizes: list[int], capacity: int) -> None:
    pieces, stock = [Fraction(size) for size in sizes], Fraction(capacity)
    plan, first_fit = cut_plan(pieces, stock), first_fit_decreasing(pieces, stock)
    assert stands(plan, pieces, stock)
    assert first_fit.bound <= plan.bound <= plan.count <= first_fit.count
    assert first_fit.count <= worst_of_first_fit(plan.count)
    assert plan.bound >= lower_bound_of(sorted(sizes, reverse=True), capacity)


@given(st.lists(st.integers(10, 100), max_size=20))
def test_the_same_list_in_another_order_takes_as_many(sizes: list[int]) -> None:
    forth, back = [Fraction(size) for size in sizes], [Fraction(size) for size in reversed(sizes)]
    plan = cut_plan(forth, Fraction(100))
    assert plan.count == cut_plan(back, Fraction(100)).count
    assert plan == cut_plan(forth, Fraction(100))


def test_uprights_from_eight_foot_timber() -> None:
    pieces = [length * INCH for length in (62, 58, 34, 34, 31, 38, 47, 49)]
    plan = cut_plan(pieces, 8 * FOOT)
    assert plan.count == 4 and plan.is_proven
    assert Counter(map(len, plan.bins)) == {2: 4}


def test_pieces_as_floats_fill_a_length_to_the_last_nanometre() -> None:
    assert cut_plan([1.2192, 1.2192], 2.4384).count == 1
    assert cut_plan([1.2192, 1.2192 + 1e-6], 2.4384).count == 2
    assert cut_plan([0.1] * 10, 1.0).count == 1


def test_pieces_over_half_a_length_share_none() -> None:
    """L2 by hand: three of 6 on 10 take 3, though 18/10 rounds to 2; with 4s beside them still 3; a 5 more makes 4."""
    assert lower_bound_of([6, 6, 6], 10) == 3
    assert lower_bound_of([6, 6, 6, 4, 4, 4], 10) == 3
    assert lower_bound_of([6, 6, 6, 5], 10) == 4


def test_nothing_to_cut_takes_nothing() -> None:
    assert cut_plan([], 5) == CutPlan((), 0, True)


def test_a_piece_that_fits_no_length_is_named() -> None:
    with pytest.raises(QuantityError) as caught:
        cut_plan([2.0, 3.5], 3.0)
    assert str(caught.value) == (
        "U330 a piece of 11' 5 3/4\" does not fit a stock length of 9' 10 1/8\"\n"
        "    why   a piece is cut whole\n"
        "    mend  order a longer stock length, or join two pieces"
    )


def test_the_search_ends_on_a_list_made_to_stall_it() -> None:
    pieces = [Fraction(1000 + 7 * i % 501, 1000) for i in range(60)]
    plan = cut_plan(pieces, Fraction(10), steps=500)
    assert stands(plan, pieces, Fraction(10))
