"""A quantity: an SI value with its dimension, its arithmetic, and its exact text for records.

Rules kept here:
 1. A value is an exact Fraction unless an inexact step (a root, a sine, a degree of angle) made it a float.
 2. No value is NaN or infinite.
 3. Adding or comparing different dimensions is an error, never a guess.
 4. The text for records gives back the same value, exact or float, to the last bit.
Knows nothing of: kinds, what people type, how values are shown.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from coach.core.problems import QuantityError
from coach.core.quantity_faults import refuse
from coach.core.units import NUMBER, Dimension

_MAX_BITS = 512  # an exact value with more bits than this has no use as a measurement and becomes a float
_MAX_TEXT = 600
_MAX_POWER = 6


@dataclass(frozen=True)
class Quantity:
    """A value in SI units with its dimension.

    Raises:
        QuantityError U402, U404: the value is not finite, or not a number.
    """

    value: Fraction | float
    dimension: Dimension = NUMBER

    def __post_init__(self) -> None:
        value = self.value
        if isinstance(value, int) and not isinstance(value, bool):
            value = Fraction(value)
            object.__setattr__(self, "value", value)
        if isinstance(value, Fraction):
            if max(value.numerator.bit_length(), value.denominator.bit_length()) > _MAX_BITS:
                object.__setattr__(self, "value", _as_float(value))
        elif not isinstance(value, float):
            raise refuse("U404", found=value)
        elif not math.isfinite(value):
            raise refuse("U402")

    @property
    def is_exact(self) -> bool:
        """Whether the value is an exact fraction."""
        return isinstance(self.value, Fraction)

    def __add__(self, other: Quantity | Fraction | float) -> Quantity:
        right = self._same(other, "added")
        return Quantity(self.value + right.value, self.dimension)

    def __sub__(self, other: Quantity | Fraction | float) -> Quantity:
        right = self._same(other, "subtracted")
        return Quantity(self.value - right.value, self.dimension)

    def __mul__(self, other: Quantity | Fraction | float) -> Quantity:
        right = _quantity(other)
        return Quantity(_guarded(lambda: self.value * right.value), self.dimension * right.dimension)

    __rmul__ = __mul__

    def __truediv__(self, other: Quantity | Fraction | float) -> Quantity:
        right = _quantity(other)
        if right.value == 0:
            raise refuse("U403")
        return Quantity(_guarded(lambda: self.value / right.value), self.dimension / right.dimension)

    def __pow__(self, power: int) -> Quantity:
        if not isinstance(power, int) or isinstance(power, bool) or abs(power) > _MAX_POWER:
            raise refuse("U405", found=power)
        if power < 0 and self.value == 0:
            raise refuse("U403")
        return Quantity(_guarded(lambda: self.value**power), self.dimension**power)

    def __neg__(self) -> Quantity:
        return Quantity(-self.value, self.dimension)

    def __abs__(self) -> Quantity:
        return -self if self.value < 0 else self

    def __lt__(self, other: Quantity) -> bool:
        return self.value < self._same(other, "compared").value

    def __le__(self, other: Quantity) -> bool:
        return self.value <= self._same(other, "compared").value

    def __gt__(self, other: Quantity) -> bool:
        return self.value > self._same(other, "compared").value

    def __ge__(self, other: Quantity) -> bool:
        return self.value >= self._same(other, "compared").value

    def _same(self, other: Quantity | Fraction | float, act: str) -> Quantity:
        right = _quantity(other)
        if right.dimension != self.dimension:
            raise refuse("U401", left=self.dimension.phrase, right=right.dimension.phrase, act=act)
        return right


def _quantity(other: Quantity | Fraction | float) -> Quantity:
    if isinstance(other, Quantity):
        return other
    return Quantity(other)


def _as_float(value: Fraction) -> float:
    try:
        return float(value)
    except OverflowError:
        raise refuse("U402") from None


def _guarded(work: Callable[[], Fraction | float]) -> Fraction | float:
    try:
        return work()
    except OverflowError:
        raise refuse("U402") from None


def si_number(quantity: Quantity) -> float:
    """The SI value as a float, for JSON and for drawing. Not exact: records use `as_text`."""
    return _as_float(quantity.value) if isinstance(quantity.value, Fraction) else quantity.value


_BASE = ("m", "kg", "s", "K")
_STORED = re.compile(r"(?P<float>~)?(?P<number>-?[0-9][0-9.e+/-]*)(?P<unit>(?: (?:m|kg|s|K)(?:-?[1-9][0-9]?)?)*)")


def as_text(quantity: Quantity) -> str:
    """The quantity as exact text for records, in SI base units.

    Exact values are decimals where those end ('1.6764 m'), else a fraction ('1/3 m'). A float carries a tilde and its
    shortest exact form ('~0.5235987755982988'). `from_text` gives back an equal quantity of the same exactness.
    """
    powers = zip(_BASE, quantity.dimension.exponents)
    units = [f"{unit}{power if power != 1 else ''}" for unit, power in powers if power]
    value = quantity.value
    number = _exact_text(value) if isinstance(value, Fraction) else f"~{value!r}"
    return " ".join([number, *units])


def _exact_text(value: Fraction) -> str:
    rest, places = value.denominator, 0
    twos = (rest & -rest).bit_length() - 1
    rest >>= twos
    fives = 0
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    places = max(twos, fives)
    if rest != 1 or places > 40:
        return f"{value.numerator}/{value.denominator}"
    if places == 0:
        return str(value.numerator)
    digits = str(abs(value.numerator) * 10**places // value.denominator).rjust(places + 1, "0")
    return f"{'-' if value < 0 else ''}{digits[:-places]}.{digits[-places:]}"


@lru_cache(maxsize=1024)  # a fold reads the same few texts again and again
def from_text(text: str) -> Quantity:
    """The quantity that `as_text` wrote.

    Raises:
        QuantityError U501: the text is not exactly what `as_text` writes.
    """
    match = _STORED.fullmatch(text) if len(text) <= _MAX_TEXT else None
    if match is None:
        raise refuse("U501", found=text[:60])
    exponents = dict.fromkeys(_BASE, 0)
    for part in match["unit"].split():
        unit = part.rstrip("-0123456789")
        exponents[unit] += int(part[len(unit):] or 1)
    try:
        value = float(match["number"]) if match["float"] else Fraction(match["number"])
        quantity = Quantity(value, Dimension(*exponents.values()))
    except (ValueError, ArithmeticError, QuantityError):
        raise refuse("U501", found=text[:60]) from None
    if as_text(quantity) != text:  # one value, one text: anything else was not written by us
        raise refuse("U501", found=text[:60])
    return quantity
