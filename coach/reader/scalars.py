"""Reads one word of any of our files as a quantity: procedures, drills, the yard's policy, skills and stock.

Rules kept here:
 1. A fault is noted at the word's place, and nothing is guessed.
Knows nothing of: which file it is, formulas.
"""

from __future__ import annotations

from coach.core.problems import QuantityError
from coach.core.quantity_entry import parse_quantity
from coach.core.quantity_value import Quantity
from coach.reader.faults import Faults
from coach.reader.nodes import Scalar


def read_quantity(faults: Faults, scalar: Scalar | None, kind: str) -> Quantity | None:
    """The quantity that a scalar says, None if it is not there or faulty (noted)."""
    if scalar is None:
        return None
    try:
        return parse_quantity(scalar.text, kind)
    except QuantityError as error:
        for problem in error.problems:
            faults.note(problem.at(scalar.place))
        return None
