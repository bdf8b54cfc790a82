"""One boat worked through each procedure's numbers: what a foreman would find with tape, paper and the same rules.

Expected values by hand from the formulas of the trade (common practice, no source) unless said otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from coach.core.model import Procedure
from coach.core.numbers import compute, truth
from coach.core.quantity import Quantity, parse_quantity, show
from coach.core.sizing.registry import FUNCTIONS
from coach.reader.load import load_procedure

Answers = Mapping[str, str]

# Dunlin: 19 ft, petrol outboard, one fuel vent, on its own trailer.
DUNLIN = {
    "fuel": "petrol", "fuel_vents": "1", "place": "outdoors", "tools_out": "9", "drive": "outboard",
    "guide_posts": "no",
    "boat_length": "19 ft", "beam": "8 ft", "edge_drop": "7 in", "ridge_height": "30 in", "windshield": "yes",
    "windshield_height": "18 in", "ridge_to_edge": "66 in", "bow_to_stern": "24 ft", "bow_rise": "20 in",
    "stern_rise": "34 in", "sole_below": "18 in", "band_to_keel": "30 in", "drive_reach": "30 in",
    "drive_depth": "36 in",
}
EXAMPLES: dict[str, tuple[Answers, dict[str, str]]] = {
    "power-boat-trailer": (
        DUNLIN,
        {
            # 2 x 66 in + 2 x 6 in = 144 in
            "film_width": "12 ft", "roll_width": "12 ft",
            # 30 in + 36 in = 66 in; 24 ft + 2 x 6 in + 5 ft 6 in = 30 ft 6 in
            "drive_extra": "5' 6\"", "film_length": "31 ft",
            # atan(30/48) = 32.0 degrees
            "ridge_slope": "32°",
            # 37 in + 18 in - 1 in = 54 in; two uprights at 19 ft
            "uprights": "2", "upright_height": "4' 6\"",
            # 2 x sqrt(48^2 + 37^2) = 121.2 in, + 36 in = 157.2 in
            "cross_strap_each": "14 ft",
            # sqrt(114^2 + 20^2) + sqrt(114^2 + 34^2) = 115.7 + 119.0 in, + 36 in = 270.7 in = 22.6 ft
            "ridge_strap": "23 ft",
            # 8 ft + 2 x 30 in + 18 in = 14 ft 6 in
            "belly_bands": "2", "belly_band_each": "15 ft",
            # 2 cross straps and the ridge: 3; the band: 1; belly bands: 2
            "frame_buckles": "3", "buckles": "6", "staples": "8", "vents": "4",
        },
    ),
}


def given(procedure: Procedure, answers: Answers) -> dict[str, Quantity | str | bool]:
    """Answers as the kernel holds them."""
    values: dict[str, Quantity | str | bool] = {}
    for id, text in answers.items():
        kind = procedure.measures[id].kind
        values[id] = text == "yes" if kind == "yes_no" else text if kind == "choice" else parse_quantity(text, kind)
    return values


@pytest.mark.parametrize("id", EXAMPLES)
def test_the_numbers_are_those_of_paper_and_pencil(id: str) -> None:
    procedure = load_procedure(id)
    answers, expected = EXAMPLES[id]
    found = compute(procedure, given(procedure, answers), FUNCTIONS)
    shown = {name: show(found[name].value, procedure.numbers[name].kind, "us") for name in expected}
    assert shown == expected


@pytest.mark.parametrize("id", EXAMPLES)
def test_every_number_can_be_worked_out_and_every_check_holds(id: str) -> None:
    procedure = load_procedure(id)
    values = given(procedure, EXAMPLES[id][0])
    assert [name for name, one in compute(procedure, values, FUNCTIONS).items() if one.value is None] == []
    assert [check.id for check in procedure.checks if truth(check.holds, procedure, values, FUNCTIONS) is not True] == []


@pytest.mark.parametrize("id", EXAMPLES)
def test_the_example_answers_lie_in_the_plausible_range(id: str) -> None:
    procedure = load_procedure(id)
    values = given(procedure, EXAMPLES[id][0])
    for name, value in values.items():
        measure = procedure.measures[name]
        if isinstance(value, Quantity):
            assert measure.low is not None and measure.high is not None
            assert measure.low <= value <= measure.high, name
        elif measure.options:
            assert value in [option.id for option in measure.options], name


def test_film_width_is_known_from_one_measure_alone() -> None:
    procedure = load_procedure("power-boat-trailer")
    found = compute(procedure, {"ridge_to_edge": parse_quantity("66 in", "length")}, FUNCTIONS)
    assert found["film_width"].value is not None
    assert float(found["film_width"].value.value) == 3.6576
    assert found["film_length"].waits == ("drive_reach", "drive_depth", "bow_to_stern")


@pytest.mark.parametrize(
    ("measure", "text", "check"),
    [
        # a straight line of 56.6 in and 7 in of drop is 63.6 in; the box is 85 in
        ("ridge_to_edge", "5 ft", "tape_not_too_short"),
        ("ridge_to_edge", "132 in", "tape_not_too_long"),
        ("windshield_height", "31 in", "ridge_clears_windshield"),
        ("bow_to_stern", "18 ft", "along_not_too_short"),
        ("bow_to_stern", "31 ft", "along_not_too_long"),
        ("boat_length", "8 ft", "longer_than_wide"),
        ("fuel", "electric", "no_tank_no_vent"),
    ],
)
def test_two_numbers_that_disagree_are_named(measure: str, text: str, check: str) -> None:
    procedure = load_procedure("power-boat-trailer")
    values = given(procedure, {**DUNLIN, measure: text})
    failed = {
        one.id: one for one in procedure.checks if truth(one.holds, procedure, values, FUNCTIONS) is False
    }
    assert check in failed
    assert measure in failed[check].measures
    assert "disagree" in failed[check].says
