"""Formulas: the film's width as the trade works it out, exactly, and explained."""

from __future__ import annotations

import pytest

from coach.core.formula import Declared, Missing, check, evaluate, explain, parse_formula
from coach.core.quantity import parse_quantity, parse_rounding, show
from coach.core.units import KINDS

FILM = parse_formula("2 * ridge_to_edge + 2 * tuck")


def lengths(**texts: str) -> dict:
    return {name: parse_quantity(text, "length") for name, text in texts.items()}


def test_film_width_is_exact_and_goes_to_the_next_foot() -> None:
    assert check(FILM, {"ridge_to_edge": Declared("length"), "tuck": Declared("length")}, {}) == KINDS["length"]
    width = evaluate(FILM, lengths(ridge_to_edge="66 in", tuck="6 in"), {})
    assert width == parse_quantity("12 ft", "length") and width.is_exact
    more = evaluate(FILM, lengths(ridge_to_edge="66 1/8 in", tuck="6 in"), {})
    assert show(parse_rounding("up to 1 ft").apply(more), "length") == "13 ft"


def test_film_width_is_explained_in_the_users_units() -> None:
    values = lengths(ridge_to_edge="66 in", tuck="6 in")
    assert explain(FILM, values, {}, kind="length") == "2 × 5' 6\" + 2 × 6 in = 12 ft"
    metric = lengths(ridge_to_edge="1.68 m", tuck="0.15 m")
    assert explain(FILM, metric, {}, kind="length", system="metric", decimal=",") == "2 × 1,68 m + 2 × 0,15 m = 3,66 m"


def test_missing_values_are_all_named() -> None:
    with pytest.raises(Missing) as caught:
        evaluate(FILM, {}, {})
    assert caught.value.names == ("ridge_to_edge", "tuck")
