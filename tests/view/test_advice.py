"""What stands beside the numbers: tapes that cannot be true, what an inch does, which notes belong to a procedure."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coach import paths
from coach.core.numbers import Value
from coach.core.quantity import parse_quantity
from coach.core.sizing import heat
from coach.core.sizing.registry import FUNCTIONS
from coach.reader.load import load_procedure
from coach.view.advice import notes_for, slip_lines, tape_lines

DUNLIN = {
    "boat_length": "19 ft", "beam": "8 ft", "ridge_height": "31 in", "edge_drop": "7 in", "ridge_to_edge": "66 in",
    "bow_to_stern": "21 ft 4 in", "drive_reach": "18 in", "drive_depth": "34 in", "band_to_keel": "40 in",
}


def measured(**other: str) -> dict[str, Value]:
    return {name: parse_quantity(text, "length") for name, text in {**DUNLIN, **other}.items()}


def test_a_slip_of_the_half_tape_is_doubled_in_the_width_and_may_cost_a_wider_roll() -> None:
    lines = {line.number: line for line in slip_lines(load_procedure("power-boat-trailer"), measured(), FUNCTIONS)}
    # the film lies over both sides: an inch of the half tape is two of the width, by definition
    assert (lines["film_width"].change, lines["film_width"].measures) == ("2 in", ("ridge_to_edge",))
    # 2 x 66 in + 12 in is 12 ft to the inch, the next stocked width is 14 ft
    assert lines["roll_width"].change == "2 ft"
    assert lines["film_length"].change == "1 in"
    assert "film_thickness" not in lines  # 19 ft is far from where the usual thickness changes


def test_a_slip_is_told_in_the_units_of_the_reader() -> None:
    lines = {line.number: line for line in slip_lines(load_procedure("power-boat-trailer"), measured(), FUNCTIONS, "metric")}
    assert lines["film_width"].change == "51 mm"


def test_a_boat_without_measures_has_nothing_to_slip() -> None:
    assert slip_lines(load_procedure("power-boat-trailer"), {}, FUNCTIONS) == ()


def test_a_true_tape_has_nothing_against_it() -> None:
    assert tape_lines(load_procedure("power-boat-trailer"), measured(), FUNCTIONS) == ()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        # sqrt(48^2 + 31^2) + 7 = 64.1 in and 48 + 31 + 7 = 86 in: triangle and box, as in girth.tape_faults
        ("132 in", "no taut film is longer than 86.0 in. Measure the half tape and the height again; it may be"),
        ("50 in", "the straight line alone is 64.1 in. Measure"),
    ],
)
def test_a_false_tape_says_which_two_disagree(typed: str, says: str) -> None:
    (line,) = tape_lines(load_procedure("power-boat-trailer"), measured(ridge_to_edge=typed), FUNCTIONS)
    assert says in line


def test_a_tape_out_of_any_range_is_said_and_harms_nothing() -> None:
    (line,) = tape_lines(load_procedure("power-boat-trailer"), measured(ridge_to_edge="300 ft"), FUNCTIONS)
    assert re.search(r"\bhalf tape\b", line, re.IGNORECASE)


@pytest.mark.parametrize("path", sorted(paths.procedures().glob("*.yaml")), ids=lambda path: path.stem)
def test_notes_stand_beside_what_is_worked_out(path: Path) -> None:
    procedure = load_procedure(path.stem)
    notes = notes_for(procedure, FUNCTIONS)
    called = {FUNCTIONS[name].impl for one in procedure.numbers.values() for name in one.formula.functions if name in FUNCTIONS}
    for_heat = any(impl.__module__ == heat.__name__ for impl in called)
    assert any("Never warm it with the tool" in note for note in notes) == for_heat
    assert len(set(notes)) == len(notes)


def test_a_slip_to_where_a_number_cannot_be_is_no_effect_and_no_fault() -> None:
    """An outboard that stands just behind the deck: an inch less is no place at all."""
    procedure = load_procedure("pontoon-boat")
    values = {"motor_reach": parse_quantity("0 in", "length"), "motor_depth": parse_quantity("30 in", "length")}
    (line,) = slip_lines(procedure, values, FUNCTIONS)
    assert line.number == "motor_extra"
