"""The functions a formula may call: what a registered function is, and the few that are always there.

Rules kept here:
 1. A function gets plain SI numbers (exact fractions where they are exact), strings for choices, bools for yes/no.
 2. Roots stay exact where they can: the root of 36 in² + 48 in² is 60 in, not 59.999.
Knows nothing of: trees, names, units as typed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from coach.core.quantity import steps
from coach.core.units import KINDS, Dimension

Raw = Fraction | float | str | bool


@dataclass(frozen=True, eq=False)
class Function:
    """A function that formulas may call by name.

    Attributes:
        name: as written in a formula.
        parameters: the kind of each argument: one of KINDS, 'any' (any number), 'choice' or 'yes_no'.
        result: a kind of KINDS, 'yes_no', or a callable that gives the dimension from the arguments' dimensions.
        impl: gets the arguments in SI, returns an SI number (or a bool where the result is 'yes_no').
        doc: one line for authors.
        labels: a word for each argument, for messages; the kinds are used without them.
    """

    name: str
    parameters: tuple[str, ...]
    result: str | Callable[[tuple[Dimension, ...]], Dimension]
    impl: Callable[..., object]
    doc: str = ""
    labels: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        known = {*KINDS, "any", "choice", "yes_no"}
        results = {self.result} if isinstance(self.result, str) else set()
        if not {*self.parameters} <= known or not results <= known - {"any", "choice"}:
            raise ValueError(f"function {self.name} speaks of a kind that does not exist")

    @property
    def written(self) -> str:
        """The arguments as an author would write them: 'half_beam, height'."""
        return ", ".join(self.labels or self.parameters)


@dataclass(frozen=True)
class Builtin:
    """A function of the language. rule: 'same' (all of one dimension, which is the result's), 'number' (plain numbers),
    'root' (the result is the root of the argument) or 'keep' (any one dimension, which is the result's)."""

    rule: Literal["same", "number", "root", "keep"]
    least: int
    most: int
    written: str
    impl: Callable[..., Fraction | float]
    doc: str


def root(value: Fraction | float) -> Fraction | float:
    """The square root of a number of 0 or more; exact where it is rational.

    Raises:
        ValueError: the value is below zero.
    """
    if isinstance(value, float):
        return math.sqrt(value)
    if value < 0:
        raise ValueError("below zero")
    top, below = math.isqrt(value.numerator), math.isqrt(value.denominator)
    if top * top == value.numerator and below * below == value.denominator:
        return Fraction(top, below)
    return math.sqrt(value)


def _round_up(value: Fraction | float, step: Fraction | float) -> Fraction | float:
    if step <= 0:
        raise ValueError("step")
    return steps(value / step, "up") * step


BUILTINS: Mapping[str, Builtin] = {
    "min": Builtin("same", 2, 20, "one, other, ...", min, "the least of them"),
    "max": Builtin("same", 2, 20, "one, other, ...", max, "the greatest of them"),
    "ceil": Builtin("number", 1, 1, "number", lambda value: Fraction(steps(value, "up")), "the next whole number up"),
    "floor": Builtin("number", 1, 1, "number", lambda value: Fraction(steps(value, "down")), "the whole number below"),
    "round_up": Builtin("same", 2, 2, "value, step", _round_up, "the value, up to a whole number of steps"),
    "sqrt": Builtin("root", 1, 1, "area or number", root, "the square root"),
    "hypot": Builtin("same", 2, 2, "one side, other side",
                     lambda one, other: root(one * one + other * other), "the long side of a right triangle"),
    "abs": Builtin("keep", 1, 1, "value", abs, "the value without its sign"),
}
