"""Quantities for everybody else: the public face of reading, showing, rounding and storing them.

Rules kept here:
 1. Feet and inches are rounded first and split after, so that 11 31/32 in is 1 ft and never 32/32.
 2. Rounding up is never short: exact for exact values; for floats one part in 10^9 is taken as noise.
Knows nothing of: languages (the decimal mark is passed in), procedures, where values come from.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from coach.core.quantity_entry import MAX_CHARACTERS, first_unit, parse_any, parse_quantity
from coach.core.quantity_faults import refuse
from coach.core.quantity_show import Shown, show
from coach.core.quantity_value import Quantity, as_text, from_text, si_number
from coach.core.units import KINDS, UNITS, Dimension, Unit

__all__ = [
    "KINDS", "UNITS", "Dimension", "Quantity", "Rounding", "Shown", "Unit", "as_text", "from_text", "parse_any",
    "parse_quantity", "parse_rounding", "show", "si_number", "steps",
]

NOISE = 1e-9  # relative: what float arithmetic may add or take without meaning it
_ROUNDING = re.compile(r"(?P<direction>up to|down to|nearest)\s+(?P<step>\S.*)", re.DOTALL)


def steps(ratio: Fraction | float, direction: Literal["up", "down", "nearest"]) -> int:
    """A plain number as a whole number of steps.

    Args:
        ratio: any finite number. A float within one part in 10^9 of a whole number is that number.
        direction: 'up' (never less), 'down' (never more) or 'nearest' (a half goes up).

    Returns:
        The whole number.
    """
    if isinstance(ratio, float):
        whole = round(ratio)
        if abs(ratio - whole) <= NOISE * max(1.0, abs(ratio)):
            return whole
    if direction == "up":
        return math.ceil(ratio)
    return math.floor(ratio if direction == "down" else ratio + Fraction(1, 2))


@dataclass(frozen=True)
class Rounding:
    """How the trade takes a number: up, down or nearest, to whole steps.

    Raises:
        QuantityError U202: the step is not above zero.
    """

    direction: Literal["up", "down", "nearest"]
    step: Quantity

    def __post_init__(self) -> None:
        if self.step.value <= 0:
            raise refuse("U202", found=as_text(self.step))

    def apply(self, quantity: Quantity) -> Quantity:
        """The quantity in whole steps; exact if the step is exact.

        Raises:
            QuantityError U204: the quantity is of another kind than the step.
        """
        if quantity.dimension != self.step.dimension:
            raise refuse("U204", found_is=quantity.dimension.phrase, due=self.step.dimension.phrase)
        return Quantity(self.step.value * steps(quantity.value / self.step.value, self.direction), self.step.dimension)


def parse_rounding(text: str) -> Rounding:
    """A rounding as a procedure says it: 'up to 1 ft', 'up to 1/8 in', 'nearest 5 mm', 'down to 1 in', 'up to 1'.

    Raises:
        QuantityError U201 to U203, or U1xx for the step's number and unit.
    """
    match = _ROUNDING.fullmatch(text.strip()) if len(text) <= MAX_CHARACTERS else None
    if match is None:
        raise refuse("U201", found=text[:MAX_CHARACTERS])
    unit = first_unit(match["step"])
    if unit is not None and unit.is_affine:
        raise refuse("U203", unit=unit.symbol)
    direction: Literal["up", "down", "nearest"] = match["direction"].split()[0]  # type: ignore[assignment]
    return Rounding(direction, parse_any(match["step"]))
