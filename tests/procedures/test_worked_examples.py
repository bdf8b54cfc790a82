"""One boat worked through each procedure's numbers: what a foreman would find with tape, paper and the same rules.

Expected values by hand from the formulas of the trade (common practice, no source) unless said otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from coach.core.model import Procedure
from coach.core.numbers import compute, truth
from coach.core.quantity import Quantity, parse_quantity, show
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.reader.load import load_procedure
from coach.view.boat import PICTURES, boat_picture
from coach.view.measures import number_lines
from coach.yard.policy_file import demo_policy
from tests.procedures.boat import Boat
from tests.procedures.boats import BOATS
from tests.procedures.power_boats import DUNLIN

Answers = Mapping[str, str]
BOAT = pytest.mark.parametrize("boat", [pytest.param(boat, id=boat.name) for boat in BOATS])


def given(procedure: Procedure, answers: Answers) -> dict[str, Quantity | str | bool]:
    """Answers as the kernel holds them; an empty one is not given."""
    values: dict[str, Quantity | str | bool] = {}
    for id, text in answers.items():
        if not text:
            continue
        kind = procedure.measures[id].kind
        values[id] = text == "yes" if kind == "yes_no" else text if kind in ("choice", "expiry") else parse_quantity(text, kind)
    return values


@BOAT
def test_the_numbers_are_those_of_paper_and_pencil(boat: Boat) -> None:
    procedure = load_procedure(boat.procedure)
    found = compute(procedure, given(procedure, boat.answers), FUNCTIONS)
    shown = {name: show(found[name].value, procedure.numbers[name].kind, "us") for name in boat.numbers}
    assert shown == boat.numbers


@BOAT
def test_every_number_can_be_worked_out_and_every_check_holds(boat: Boat) -> None:
    procedure = load_procedure(boat.procedure)
    values = given(procedure, boat.answers)
    assert [name for name, one in compute(procedure, values, FUNCTIONS).items() if one.value is None] == []
    assert [check.id for check in procedure.checks if truth(check.holds, procedure, values, FUNCTIONS) is False] == []


@BOAT
def test_the_answers_lie_in_the_plausible_range(boat: Boat) -> None:
    procedure = load_procedure(boat.procedure)
    values = given(procedure, boat.answers)
    for name, value in values.items():
        measure = procedure.measures[name]
        if isinstance(value, Quantity):
            assert measure.low is not None and measure.high is not None
            assert measure.low <= value <= measure.high, name
        elif measure.options:
            assert value in [option.id for option in measure.options], name


@BOAT
def test_a_step_can_show_all_that_it_names_before_and_after_the_tape(boat: Boat) -> None:
    procedure = load_procedure(boat.procedure)
    values = given(procedure, boat.answers)
    for step in procedure.steps:
        if step.shows and step.id not in boat.skipped:
            before = number_lines(procedure, {}, FUNCTIONS, "us", step.shows)
            after = number_lines(procedure, values, FUNCTIONS, "us", step.shows)
            assert [line.id for line in before] == [line.id for line in after] == list(step.shows)
            assert [line.id for line in after if not line.shown or line.waits or line.problem] == []


@BOAT
def test_every_picture_of_the_boat_can_be_drawn_before_and_after_the_tape(boat: Boat) -> None:
    rules = Rules(load_procedure(boat.procedure), demo_policy(), FUNCTIONS)
    values = given(rules.procedure, boat.answers)
    assert [name for name in PICTURES if boat_picture(rules, {}, name) is None] == []
    assert [name for name in PICTURES if boat_picture(rules, values, name) is None] == []


def test_a_measure_that_a_step_shows_is_shown_as_it_was_answered() -> None:
    procedure = load_procedure("sailing-boat-mast-up")
    waiting, known = (
        number_lines(procedure, values, FUNCTIONS, "us", ("wires",))[0]
        for values in ({}, given(procedure, {"wires": "11"}))
    )
    assert (waiting.shown, waiting.waits_for) == ("", ("wires",))
    assert (known.title, known.shown) == ("How many wires and lines will go through the film?", "11")


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
    values = given(procedure, {**DUNLIN.answers, measure: text})
    failed = {
        one.id: one for one in procedure.checks if truth(one.holds, procedure, values, FUNCTIONS) is False
    }
    assert check in failed
    assert measure in failed[check].measures
    assert "disagree" in failed[check].says
