"""What a slipped tape does: each number worked again with each measure a little more and a little less.

Knows nothing of: which numbers they are; it is given a function from measures to numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from coach.core.problems import CoachError
from coach.core.sizing.constants import INCH, Number
from coach.core.sizing.ranges import Range, demand

SLIP = INCH  # of the tape; ours
_SLIP = Range("slip", "m", 0, 1)


@dataclass(frozen=True)
class SlipEffect:
    """A number with one measure a slip less and a slip more; None where that measure is no longer possible."""

    measure: str
    number: str
    less: Number | None
    more: Number | None


def slip_effects(
    numbers_of: Callable[[Mapping[str, Number]], Mapping[str, Number]],
    measures: Mapping[str, Number],
    slip: Number = SLIP,
) -> tuple[SlipEffect, ...]:
    """What each number becomes when one measure at a time is out by the slip.

    Args:
        numbers_of: works all numbers from all measures; may refuse with a CoachError, or leave a number out that these
            measures do not give.
        measures: m, by name.
        slip: m, 0 to 1.

    Returns:
        An effect for each measure and number that changes, as differences from the true number, m (or the number's
        own unit).

    Raises:
        QuantityError U301 to U303: a slip outside its range. CoachError of `numbers_of` for the measures themselves.

    Source: definition: a film's width doubles the half tape's error.
    """
    demand((_SLIP, slip))
    base = numbers_of(measures)
    effects = []
    for name in measures:
        worked = [_worked(numbers_of, {**measures, name: measures[name] + way * slip}) for way in (-1, 1)]
        for number, value in base.items():
            less, more = (
                None if result is None or number not in result else result[number] - value for result in worked
            )
            if less != 0 or more != 0:
                effects.append(SlipEffect(name, number, less, more))
    return tuple(effects)


def _worked(
    numbers_of: Callable[[Mapping[str, Number]], Mapping[str, Number]], measures: Mapping[str, Number]
) -> Mapping[str, Number] | None:
    """The numbers, or None where the slipped measure is outside what is possible: that is the answer, not a failure."""
    try:
        return numbers_of(measures)
    except CoachError:
        return None
