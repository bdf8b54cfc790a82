"""What an expression is: a number of some dimension, a condition, or a choice; and what a name is declared to be.

Rules kept here: a count, a ratio and an angle are all plain numbers; only an angle is remembered as one, because its
bare number would be in radians, and only a temperature is told from a difference of temperatures.
Knows nothing of: trees, values.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.units import KINDS, NUMBER, Dimension

TEMPERATURE = KINDS["temperature"]


@dataclass(frozen=True)
class Declared:
    """What a formula may assume of a name: a kind of KINDS, 'choice' (with its options) or 'yes_no'."""

    kind: str
    options: tuple[str, ...] = ()


@dataclass(frozen=True)
class Shape:
    """What an expression is. sort: 'number', 'condition' or 'choice'. `point` is True for a point on a temperature
    scale, False for a difference, None where it may be either (or is no temperature). `angle`: known to be an angle."""

    sort: str
    dimension: Dimension = NUMBER
    options: tuple[str, ...] = ()
    point: bool | None = None
    angle: bool = False

    @property
    def phrase(self) -> str:
        """In words, with an article."""
        if self.sort != "number":
            return f"a {self.sort}"
        if self.angle:
            return "an angle"
        return "a difference of temperatures" if self.point is False else self.dimension.phrase


CONDITION = Shape("condition")


def shape_for(declared: Declared) -> Shape:
    """The shape of a declared name."""
    if declared.kind == "yes_no":
        return CONDITION
    if declared.kind in ("choice", "expiry"):  # a day is compared by the kernel alone; the reader and prover refuse it
        return Shape("choice", options=declared.options)
    dimension = KINDS[declared.kind]
    return Shape("number", dimension, point=True if dimension == TEMPERATURE else None, angle=declared.kind == "angle")
