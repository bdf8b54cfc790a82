"""Rounding for the trade and roots that stay exact.

Rules kept here:
 1. Rounding up is never short: a Fraction is rounded exactly, a float is allowed the noise of its own arithmetic
    (one part in 10^12 of the step count plus 10^-9 of a step, under a nanometre on a foot) and no more.
 2. The root of a Fraction whose root is a Fraction is that Fraction, so 48 and 36 give 60 and not 59.999.
"""

from __future__ import annotations

import math
from fractions import Fraction

from coach.core.sizing.constants import Number
from coach.core.sizing.ranges import Range, demand

NANO = 10**9  # nanometres in a metre
_STEP = Range("step", "m", Fraction(1, 100_000), 100)
_VALUE = Range("value", "m", 0, 1_000_000)
_UNDER_ROOT = Range("value under the root", "", 0, 10**12)


def steps_up(value: Number, step: Number) -> int:
    """The least whole number of steps that is not less than the value.

    Args:
        value: what is needed, 0 to 1e6 (any unit).
        step: the size of one step in the same unit, 1e-5 to 100.

    Returns:
        The count; exact for whole numbers and Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition; rounding up because a film or strap may be long but never short.
    """
    demand((_VALUE, value), (_STEP, step))
    return ceil_of(value / step if isinstance(value, float) or isinstance(step, float) else Fraction(value) / step)


def ceil_of(count: Number) -> int:
    """A count rounded up; exact for a Fraction, forgiving float noise of 1e-9 for a float. Finite numbers only."""
    if isinstance(count, float):
        return math.ceil(count - 1e-9 - abs(count) * 1e-12)
    return math.ceil(count)


def round_up(value: Number, step: Number) -> Number:
    """The value rounded up to a whole number of steps.

    Args:
        value: what is needed, 0 to 1e6 (any unit).
        step: the size of one step in the same unit, 1e-5 to 100.

    Returns:
        A multiple of `step`, at least `value` (less a float's own noise).

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    return steps_up(value, step) * step


def nanometres(value: Number, up: bool) -> int:
    """A length in whole nanometres, so that cutting is done in whole numbers.

    Args:
        value: m, finite.
        up: up for a piece, down for stock, so that nothing comes out short.

    Returns:
        Nanometres; a float within a thousandth of a nanometre (or its own noise) of a whole one is that one.

    Raises:
        QuantityError U301 to U303: not a number, or beyond 1e6 m.

    Source: definition.
    """
    demand((_VALUE, value))
    scaled = Fraction(value) * NANO
    if isinstance(value, float):
        near = round(scaled)
        if abs(scaled - near) <= max(1e-3, near * 1e-12):
            return near
    return math.ceil(scaled) if up else math.floor(scaled)


def root(value: Number) -> Number:
    """The square root; a Fraction or whole number with a rational root gives that root exactly.

    Args:
        value: 0 or more, finite.

    Returns:
        The root, a Fraction where it is rational and `value` was not a float.

    Raises:
        QuantityError U303: a negative value.

    Source: definition.
    """
    demand((_UNDER_ROOT, value))
    if isinstance(value, float):
        return math.sqrt(value)
    exact = Fraction(value)
    above, below = math.isqrt(exact.numerator), math.isqrt(exact.denominator)
    if above * above == exact.numerator and below * below == exact.denominator:
        return Fraction(above, below)
    return math.sqrt(exact)


def hypotenuse(across: Number, up: Number) -> Number:
    """The long side of a right triangle, exact where it is rational (48, 36 gives 60).

    Args:
        across, up: the short sides, 0 to 1e6, same unit.

    Returns:
        sqrt(across^2 + up^2).

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Pythagoras; checks (48,36) 60, (60,25) 65, (51,30) 59.1692.
    """
    demand((_VALUE, across), (_VALUE, up))
    if isinstance(across, float) or isinstance(up, float):
        return math.hypot(across, up)
    # Over the common denominator both squares are whole, and so is the root if it is rational.
    below = across.denominator * up.denominator
    square = (across.numerator * up.denominator) ** 2 + (up.numerator * across.denominator) ** 2
    whole = math.isqrt(square)
    return Fraction(whole, below) if whole * whole == square else math.sqrt(square / below**2)
