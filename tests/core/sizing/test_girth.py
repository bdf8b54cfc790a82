"""Which two numbers of a tape disagree, and which slip of typing it looks like."""

from __future__ import annotations

from fractions import Fraction

import pytest

from coach.core.sizing.constants import INCH, Number
from coach.core.sizing.girth import Slip, drape, half_tape_over, likely_slips, tape_faults, taut_line

BEAM, RIDGE, DROP = 51 * INCH, 30 * INCH, 7 * INCH  # 66.169 in to 88 in


def texts(half_tape: Number, half_beam: Number = BEAM, height: Number = RIDGE, drop: Number = DROP) -> list[str]:
    return [str(fault) for fault in tape_faults(half_tape, half_beam, height, drop)]


@pytest.mark.parametrize("inches", [Fraction(6617, 100), 70, 75, 88, Fraction(6605, 100)])
def test_a_true_tape_is_let_through_up_to_its_reading(inches: Number) -> None:
    assert texts(inches * INCH) == []


def test_a_tape_a_little_short_of_the_straight_line() -> None:
    assert texts(66 * INCH) == [
        (
            "U310 half tape and half beam disagree: the tape is 66.0 in, and the straight line alone is 66.2 in\n"
            "    why   the film would be cut from a number that cannot be true\n"
            "    mend  measure the half tape and the half beam again"
        )
    ]


def test_a_tape_shorter_than_half_the_beam() -> None:
    assert texts(52 * INCH) == [
        (
            "U310 half tape and half beam disagree: the tape is 52.0 in, and the straight line alone is 66.2 in\n"
            "    why   the film would be cut from a number that cannot be true\n"
            "    mend  measure the half tape and the half beam again"
        )
    ]


def test_a_ridge_that_stands_higher_than_the_tape_is_long() -> None:
    assert texts(45 * INCH, 30 * INCH, 60 * INCH)[0].splitlines()[0] == (
        "U310 half tape and height disagree: the tape is 45.0 in, and the straight line alone is 74.1 in"
    )


def test_the_whole_tape_typed_for_the_half() -> None:
    assert texts(144 * INCH) == [
        (
            "U311 half tape and height disagree: the tape is 144.0 in, and no taut film is longer than 88.0 in\n"
            "    why   the film would be cut from a number that cannot be true\n"
            "    mend  measure the half tape and the height again; it may be the half tape, the whole typed for the half"
        )
    ]


def test_the_whole_beam_typed_for_the_half() -> None:
    fault = tape_faults(72 * INCH, 102 * INCH, RIDGE, DROP)[0]
    assert (fault.slots["first"], fault.slots["second"]) == ("half tape", "half beam")
    assert str(fault.slots["slip"]) == "the half beam, the whole typed for the half"


def test_a_height_typed_in_feet_for_inches() -> None:
    tall = likely_slips(72 * INCH, BEAM, 8, DROP)
    assert Slip("height", "inches typed as feet", Fraction(2, 3)) in tall


def test_centimetres_typed_as_inches() -> None:
    slips = likely_slips(180 * INCH, BEAM, RIDGE, DROP)
    assert ("half tape", "centimetres typed as inches") in [(slip.measure, slip.slip) for slip in slips]


def test_a_hollow_between_tower_and_rail_is_bridged() -> None:
    tower = [(0, Fraction(2)), (Fraction(1, 2), Fraction(2)), (Fraction(3, 5), Fraction(1, 5)), (Fraction(6, 5), 0)]
    assert taut_line(tower) == ((0, 2), (Fraction(1, 2), 2), (Fraction(6, 5), 0))
    assert half_tape_over(tower, Fraction(1, 5)) < drape(tower) + Fraction(1, 5)
    assert float(half_tape_over(tower, Fraction(1, 5))) == pytest.approx(0.5 + (0.7**2 + 2**2) ** 0.5 + 0.2)


def test_a_point_below_the_line_changes_nothing_and_one_above_lengthens_it() -> None:
    straight = half_tape_over([(0, 1.0), (1.0, 0)], 0)
    assert half_tape_over([(0, 1.0), (0.5, 0.4), (1.0, 0)], 0) == straight
    assert half_tape_over([(0, 1.0), (0.5, 0.6), (1.0, 0)], 0) > straight
