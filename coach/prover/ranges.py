"""Whether a comparison could ever be true, or false, judged by intervals over the plausible ranges of the measures.

Rules kept here:
 1. An interval is never too narrow: what is not understood (a function, a choice) is 'anything'.
 2. The answer 'no' is certain; the answer 'yes' only says that intervals cannot rule it out.
Knows nothing of: steps, states, search.
"""

from __future__ import annotations

import math

from coach.core.formula import Node
from coach.core.formula_tree import Arith, Call, Compare, If, Literal, Name, Negate, Power
from coach.core.model import Procedure
from coach.core.quantity import KINDS

Interval = tuple[float, float]
ANYTHING: Interval = (-math.inf, math.inf)
_SLACK = 1e-9


def can_be(procedure: Procedure, atom: Node, wanted: bool) -> bool:
    """Whether intervals leave room for this truth of an atom."""
    if not isinstance(atom, Compare):
        return True
    low, high = _minus(interval(procedure, atom.left), interval(procedure, atom.right))
    holds, fails = _truths(atom.op, low, high)
    return holds if wanted else fails


def _truths(op: str, low: float, high: float) -> tuple[bool, bool]:
    """Whether `difference op 0` can hold, and whether it can fail, for a difference between low and high."""
    below, above = low < _SLACK, high > -_SLACK
    nearly = below and above
    if op in ("<", "<="):
        return below, above
    if op in (">", ">="):
        return above, below
    certain = low == high == 0
    return (nearly, not certain) if op == "==" else (not certain, nearly)


def interval(procedure: Procedure, node: Node, depth: int = 0) -> Interval:
    """The interval of a part of a formula; `depth` counts the numbers passed through."""
    match node:
        case Literal():
            return float(node.value), float(node.value)
        case Name():
            return _named(procedure, node.id, depth)
        case Negate():
            low, high = interval(procedure, node.operand, depth)
            return -high, -low
        case Arith():
            return _arith(node.op, interval(procedure, node.left, depth), interval(procedure, node.right, depth))
        case Power() if node.exponent >= 0:
            found = (1.0, 1.0)
            for _ in range(node.exponent):
                found = _times(found, interval(procedure, node.base, depth))
            return found
        case If():
            yes, no = interval(procedure, node.yes, depth), interval(procedure, node.no, depth)
            return min(yes[0], no[0]), max(yes[1], no[1])
        case Call() if node.function in ("min", "max"):
            parts = [interval(procedure, argument, depth) for argument in node.arguments]
            pick = min if node.function == "min" else max
            return pick(low for low, _ in parts), pick(high for _, high in parts)
        case _:
            return ANYTHING


def _named(procedure: Procedure, id: str, depth: int) -> Interval:
    measure = procedure.measures.get(id)
    if measure is not None and measure.kind in KINDS:
        low = float(measure.low.value) if measure.low else -math.inf
        return low, float(measure.high.value) if measure.high else math.inf
    number = procedure.numbers.get(id)
    if number is None or depth > 50:
        return ANYTHING
    low, high = interval(procedure, number.formula.tree, depth + 1)
    step = float(number.rounding.step.value) if number.rounding else 0.0
    return low - step, high + step


def _arith(op: str, left: Interval, right: Interval) -> Interval:
    if op == "+":
        return left[0] + right[0], left[1] + right[1]
    if op == "-":
        return _minus(left, right)
    if op == "*":
        return _times(left, right)
    if right[0] <= 0 <= right[1]:
        return ANYTHING
    return _times(left, (1 / right[1], 1 / right[0]))


def _minus(left: Interval, right: Interval) -> Interval:
    return left[0] - right[1], left[1] - right[0]


def _times(left: Interval, right: Interval) -> Interval:
    ends = [0.0 if 0 in (a, b) else a * b for a in left for b in right]
    return min(ends), max(ends)
