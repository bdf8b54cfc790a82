"""The plausible range of every measure that a sizing function takes, and the one way to refuse a number outside it.

Rules kept here:
 1. A number that is not finite, not a number at all, or outside its range gives a QuantityError that names the measure
    and the range; all bad arguments of one call are reported together.
 2. The ends belong to the range, and one part in 10^9 beyond them; below zero is below zero.
 3. The ranges are wide: they catch slips of the tape and of the unit, they are not limits of the trade.
Knows nothing of: units as typed (a front end shows the slots in the user's units), procedures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction

from coach.core.amount import Figures
from coach.core.problems import Phrase, Problem, QuantityError
from coach.core.quantity import KINDS, Quantity, Shown
from coach.core.sizing.constants import Number

NOISE = 1e-9  # relative, at the ends of a range: 100 lb as a float of kg is not too much for 100 lb


@dataclass(frozen=True)
class Range:
    """A measure's name, its SI unit, and the closed range in which a value is believed."""

    name: str
    unit: str
    low: Number
    high: Number
    least: float = field(init=False, repr=False, compare=False)
    most: float = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "least", float(self.low) * (1 - NOISE))
        object.__setattr__(self, "most", float(self.high) * (1 + NOISE))

    def holds(self, value: object) -> bool:
        """Whether `value` is a number of this range. Called for every argument of every number: kept quick."""
        if isinstance(value, Fraction):
            try:
                return self.least <= value.numerator / value.denominator <= self.most
            except OverflowError:
                return False
        if isinstance(value, bool) or not isinstance(value, float | int):
            return False
        return self.least <= value <= self.most

    def fault(self, value: object) -> Problem | None:
        """What is wrong with `value` as this measure, or None."""
        if self.holds(value):
            return None
        if isinstance(value, bool) or not isinstance(value, int | float | Fraction):
            return self._problem("U301", "%(name)s is not a number", value)
        if isinstance(value, float) and not math.isfinite(value):
            return self._problem("U302", "%(name)s is not a finite number", value)
        return self._problem("U303", "%(name)s is %(value)s, outside %(low)s to %(high)s", value)

    def _problem(self, code: str, what: str, value: object) -> Problem:
        slots = {
            "name": self.name,
            "value": _show(value, self.unit),
            "low": _show(self.low, ""),
            "high": _show(self.high, self.unit),
        }
        why = "a number that cannot be true gives a cover that does not fit"
        mend = "measure the %(name)s again and check its unit: it lies from %(low)s to %(high)s"
        return Problem(code, what, why, mend, None, slots)


def _show(value: object, unit: str) -> str | Figures:
    """A number for a message, short and with its unit; never fails."""
    if isinstance(value, bool) or not isinstance(value, int | float | Fraction):
        return repr(value)[:40]
    if isinstance(value, int | Fraction) and not -(10**15) <= value <= 10**15:
        return f"{'more than 1e15' if value > 0 else 'less than -1e15'} {unit}".rstrip()
    return Figures(f"{float(value):.6g}", unit)


def length_shown(value: Number) -> Shown:
    """A length in m for a message, shown in the reader's units."""
    return Shown(Quantity(value, KINDS["length"]), "length")


def force_shown(value: Number) -> Shown:
    """A force in N for a message, shown in the reader's units."""
    return Shown(Quantity(value, KINDS["force"]), "force")


def demand(*pairs: tuple[Range, object]) -> None:
    """Checks arguments against their ranges.

    Args:
        pairs: a range and the value it must hold, for each argument.

    Raises:
        QuantityError U301 (not a number), U302 (not finite), U303 (outside the range): every bad argument at once.
    """
    for range_, value in pairs:
        if not range_.holds(value):
            raise QuantityError(*[fault for each, found in pairs if (fault := each.fault(found)) is not None])


def contradiction(first: str, second: str, relation: str, **slots: object) -> QuantityError:
    """The error for two arguments that cannot both be true.

    Args:
        first, second: the names of the two measures.
        relation: how they should stand to each other, as a template over `slots`, for example 'less than the height'.

    Returns:
        A QuantityError U304 to raise.
    """
    what = "%(first)s and %(second)s disagree: %(first)s must be %(relation)s"
    why = "one of the two numbers is wrong, and each size that follows from them would be wrong too"
    mend = "measure the %(first)s and the %(second)s again"
    return QuantityError(Problem("U304", what, why, mend, None, {"first": first, "second": second, "relation": Phrase(relation, slots)}))


# The boat.
LENGTH = Range("length", "m", 2, 60)
BEAM = Range("beam", "m", Fraction(1, 2), 12)
HALF_BEAM = Range("half beam", "m", Fraction(1, 4), 6)
HEIGHT = Range("height", "m", 0, 8)
HALF_TAPE = Range("half tape", "m", Fraction(1, 4), 15)
DROP = Range("drop", "m", 0, 1)
TUCK = Range("tuck", "m", 0, 1)
ALLOWANCE = Range("allowance", "m", 0, 20)
DISTANCE = Range("distance", "m", 0, 60)
SPACING = Range("spacing", "m", Fraction(1, 4), 10)
SLOPE = Range("slope", "rad", 0, math.pi / 2)
RATIO = Range("ratio", "", 0, 1)
COUNT = Range("count", "", 0, 10_000)

# Film and stock.
FILM_WIDTH = Range("film width", "m", Fraction(1, 10), 40)
FILM_LENGTH = Range("film length", "m", Fraction(1, 10), 2000)
FILM_AREA = Range("film area", "m2", 0, 20_000)
PLAN_AREA = Range("plan area", "m2", 0, 1000)
THICKNESS = Range("thickness", "m", Fraction(1, 100_000), Fraction(1, 1000))
DENSITY = Range("density", "kg/m3", 800, 1100)
LAP = Range("lap", "m", 0, 1)
