"""Whether an extinguisher's rating is enough, and near enough.

Knows nothing of: the yard's limits (policy), the form of a rating (coach.core.ratings).
Source: 2-A:20-B:C within 30 ft of the flame, International Fire Code 2018, 3504.2.6.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.problems import Problem, QuantityError
from coach.core.ratings import rating_numbers
from coach.core.sizing.constants import FOOT, Number
from coach.core.sizing.ranges import NOISE, Range, demand

REQUIRED = "2-A:20-B:C"
REACH = 30 * FOOT  # m from the flame
_AWAY = Range("distance to the extinguisher", "m", 0, 1000)


@dataclass(frozen=True)
class Rating:
    """A rating: relative size for solids (A), square feet of liquid for a novice (B), not conducting (C)."""

    solids: int
    liquids: int
    not_conducting: bool

    def __str__(self) -> str:
        parts = [f"{self.solids}-A"] if self.solids else []
        parts += [f"{self.liquids}-B"] if self.liquids else []
        return ":".join(parts + (["C"] if self.not_conducting else []))


def parse_rating(text: str) -> Rating:
    """The rating as printed on a label.

    Args:
        text: such as 2-A:20-B:C, 4A:80B:C or 20-B:C.

    Returns:
        The rating; a class that is not named counts as 0.

    Raises:
        QuantityError U320: not a rating.

    Source: UL 711 (meaning of the numbers from memory).
    """
    numbers = rating_numbers(text) if isinstance(text, str) else None
    if numbers is None:
        what = "%(found)s is not an extinguisher rating"
        why = "the rating says whether the extinguisher is big enough for this flame"
        mend = "copy the rating from the label, such as 2-A:20-B:C"
        raise QuantityError(Problem("U320", what, why, mend, None, {"found": repr(text)[:60]}))
    return Rating(*numbers)


def meets(rating: Rating, required: Rating) -> bool:
    """Whether a rating is at least what is required in every class.

    Args:
        rating: on the label.
        required: by the policy.

    Returns:
        True if each number is at least the required one and C is there when it is required.

    Raises:
        Nothing.

    Source: IFC 2018 3504.2.6 asks for 2-A:20-B:C or better; 1-A:20-B:C and 2-A:10-B:C fail.
    """
    enough = rating.solids >= required.solids and rating.liquids >= required.liquids
    return enough and (rating.not_conducting or not required.not_conducting)


def within_reach(away: Number, reach: Number = REACH) -> bool:
    """Whether the extinguisher stands near enough to the flame.

    Args:
        away: m, 0 to 1000.
        reach: m, 0 to 1000; shipped 30 ft.

    Returns:
        True at or under the reach.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: IFC 2018 3504.2.6, 30 ft = 9.144 m.
    """
    demand((_AWAY, away), (Range("reach", "m", 0, 1000), reach))
    return away <= reach + (NOISE if isinstance(away, float) else 0)
