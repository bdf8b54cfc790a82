"""Works a formula out: a tree becomes nested functions over plain SI numbers, once for each set of kinds it meets.

Rules kept here:
 1. The dimensions of the values are checked by formula_check before a single number is touched.
 2. A value that is not needed (the other branch of an if, the rest of a settled and/or) may be missing.
 3. A value too big, a division by zero or the root of a negative is a FormulaError that names the part at fault.
Knows nothing of: what the result is for, rounding, text shown to people.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from coach.core.formula_check import shape_of
from coach.core.formula_faults import refuse
from coach.core.formula_functions import BUILTINS, Function, Raw
from coach.core.formula_parse import Formula, place_of
from coach.core.formula_shape import CONDITION, Shape
from coach.core.formula_tree import (
    Arith, Call, Compare, If, Literal, Logic, Member, Name, Negate, Node, Not, Power, Truth, children,
)
from coach.core.problems import CoachError, FormulaError, Place
from coach.core.quantity import Quantity
from coach.core.units import NUMBER, Dimension

Value = Quantity | str | bool
Values = Mapping[str, Value]
Functions = Mapping[str, Function]
Work = Callable[[Values, Functions], Raw]

_MAX_PLANS = 32
_MAX_BITS = 4096  # an exact power bigger than this goes on as a float, so that no formula can fill the memory
_COMPARE: Mapping[str, Callable[[Raw, Raw], bool]] = {
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "==": operator.eq, "!=": operator.ne,
}


class Missing(Exception):
    """Values that a formula needs and that are not there yet. `names`, sorted: every one known to be needed."""

    def __init__(self, names: frozenset[str]) -> None:
        self.names: tuple[str, ...] = tuple(sorted(names))
        super().__init__(", ".join(self.names))


@dataclass(frozen=True)
class _Plan:
    work: Work
    dimension: Dimension | None  # None: a condition


def evaluate(formula: Formula, values: Values, functions: Functions) -> Quantity | bool:
    """The formula's value.

    Args:
        formula: as parsed.
        values: a Quantity for a number, a string for a choice, a bool for a yes/no; what is missing is left out.
        functions: the functions it may call.

    Returns:
        A Quantity, or a bool for a condition.

    Raises:
        Missing: a value that is needed is not there.
        FormulaError F2xx: the values are not of kinds that fit; F3xx: they give no result.
        CoachError: as a registered function raised it, such as a QuantityError for a value out of its range.
    """
    plan = _plan(formula, values, functions)
    try:
        result = _result(plan, formula, values, functions)
    except OverflowError:
        raise refuse("F303", _whole(formula), found=formula.tree.text) from None
    if plan.dimension is None:
        return bool(result)
    if isinstance(result, float) and not math.isfinite(result):
        raise refuse("F303", _whole(formula), found=formula.tree.text)
    return Quantity(result, plan.dimension)  # type: ignore[arg-type]


def _result(plan: _Plan, formula: Formula, values: Values, functions: Functions) -> Raw:
    try:
        return plan.work(values, functions)
    except KeyError:
        raise Missing(needed(formula.tree, values, functions)) from None


def needed(tree: Node, values: Values, functions: Functions) -> frozenset[str]:
    """The missing names that the node needs for certain, as far as the present values tell."""
    match tree:
        case Name():
            return frozenset() if tree.id in values else frozenset({tree.id})
        case If():
            first = needed(tree.condition, values, functions)
            if first:
                return first
            branch = tree.yes if compiled(tree.condition)(values, functions) else tree.no
            return needed(branch, values, functions)
        case Logic():
            first = needed(tree.left, values, functions)
            if first or bool(compiled(tree.left)(values, functions)) == (tree.op == "or"):
                return first
            return needed(tree.right, values, functions)
        case _:
            return frozenset().union(*(needed(child, values, functions) for child in children(tree)))


def _whole(formula: Formula) -> Place:
    return place_of(formula.tree.column, formula.text, formula.column_offset)


def _plan(formula: Formula, values: Values, functions: Functions) -> _Plan:
    given = [values.get(name) for name in formula.names]
    key = (
        *[value.dimension if isinstance(value, Quantity) else type(value) for value in given],
        *[functions.get(name) for name in formula.functions],
    )
    plan = formula.plans.get(key)
    if plan is None:
        shapes = {name: _shape(values.get(name)) for name in formula.names}
        shape, problems = shape_of(formula, shapes, functions)
        if problems:
            raise FormulaError(*problems)
        if len(formula.plans) >= _MAX_PLANS:
            formula.plans.clear()
        dimension = None if shape is not None and shape.sort == "condition" else shape.dimension if shape else NUMBER
        plan = formula.plans[key] = _Plan(compiled(formula.tree, formula), dimension)
    return plan  # type: ignore[return-value]


def _shape(value: Value | None) -> Shape | None:
    if value is None:
        return None
    if isinstance(value, Quantity):
        return Shape("number", value.dimension)
    if isinstance(value, bool):
        return CONDITION
    if not isinstance(value, str):
        raise TypeError(f"a value must be a Quantity, a string or a bool, not {value!r}")
    return Shape("choice")


def compiled(node: Node, formula: Formula | None = None) -> Work:
    """The node as a function of the values; a missing value shows as a KeyError."""
    return _COMPILERS[type(node)](node, formula)


def _place(node: Node, formula: Formula | None) -> Place:
    return place_of(node.column, formula.text, formula.column_offset) if formula else place_of(node.column)


def _constant(node: Literal | Truth, formula: Formula | None) -> Work:
    value = node.value
    return lambda values, functions: value


def _name(node: Name, formula: Formula | None) -> Work:
    id = node.id

    def read(values: Values, functions: Functions) -> Raw:
        value = values[id]
        return value.value if isinstance(value, Quantity) else value

    return read


def _negate(node: Negate, formula: Formula | None) -> Work:
    operand = compiled(node.operand, formula)
    return lambda values, functions: -operand(values, functions)  # type: ignore[operator]


def _arith(node: Arith, formula: Formula | None) -> Work:
    left, right = compiled(node.left, formula), compiled(node.right, formula)
    if node.op == "+":
        return lambda values, functions: left(values, functions) + right(values, functions)  # type: ignore[operator]
    if node.op == "-":
        return lambda values, functions: left(values, functions) - right(values, functions)  # type: ignore[operator]
    if node.op == "*":
        return lambda values, functions: left(values, functions) * right(values, functions)  # type: ignore[operator]

    def divide(values: Values, functions: Functions) -> Raw:
        above, below = left(values, functions), right(values, functions)
        if below == 0:
            raise refuse("F301", _place(node, formula), found=node.text, divisor=node.right.text)
        return above / below  # type: ignore[operator]

    return divide


def _power(node: Power, formula: Formula | None) -> Work:
    base, exponent = compiled(node.base, formula), node.exponent

    def power(values: Values, functions: Functions) -> Raw:
        value = base(values, functions)
        if exponent < 0 and value == 0:
            raise refuse("F301", _place(node, formula), found=node.text, divisor=node.base.text)
        if isinstance(value, Fraction):
            bits = max(value.numerator.bit_length(), value.denominator.bit_length())
            if bits * abs(exponent) > _MAX_BITS:
                value = float(value)
        return value**exponent  # type: ignore[operator]

    return power


def _compare(node: Compare, formula: Formula | None) -> Work:
    left, right, holds = compiled(node.left, formula), compiled(node.right, formula), _COMPARE[node.op]
    return lambda values, functions: holds(left(values, functions), right(values, functions))


def _member(node: Member, formula: Formula | None) -> Work:
    id, options, negated = node.name.id, frozenset(node.options), node.negated
    return lambda values, functions: (values[id] in options) != negated


def _not(node: Not, formula: Formula | None) -> Work:
    operand = compiled(node.operand, formula)
    return lambda values, functions: not operand(values, functions)


def _logic(node: Logic, formula: Formula | None) -> Work:
    left, right = compiled(node.left, formula), compiled(node.right, formula)
    if node.op == "and":
        return lambda values, functions: left(values, functions) and right(values, functions)
    return lambda values, functions: left(values, functions) or right(values, functions)


def _if(node: If, formula: Formula | None) -> Work:
    condition, yes, no = (compiled(part, formula) for part in (node.condition, node.yes, node.no))
    return lambda values, functions: (yes if condition(values, functions) else no)(values, functions)


def _call(node: Call, formula: Formula | None) -> Work:
    arguments = tuple(compiled(argument, formula) for argument in node.arguments)
    builtin = BUILTINS.get(node.function)
    if builtin is not None:
        return _builtin(node, formula, arguments, builtin.impl)

    def call(values: Values, functions: Functions) -> Raw:
        given = [argument(values, functions) for argument in arguments]
        function = functions[node.function]
        try:
            result = function.impl(*given)
        except CoachError:
            raise
        except (ArithmeticError, ValueError, TypeError, LookupError) as error:
            detail = str(error) or type(error).__name__
            raise refuse("F304", _place(node, formula), function=node.function, detail=detail) from error
        return _trusted(result, node, formula, function)

    return call


def _trusted(result: object, node: Call, formula: Formula | None, function: Function) -> Raw:
    """A function's result, if it is what the function said it gives."""
    if function.result == "yes_no" or isinstance(result, bool):
        fits = function.result == "yes_no" and isinstance(result, bool)
    else:
        fits = isinstance(result, Fraction | int) or isinstance(result, float) and math.isfinite(result)
    if not fits:
        detail = f"it gave {result!r:.40}"
        raise refuse("F304", _place(node, formula), function=node.function, detail=detail)
    if isinstance(result, int) and not isinstance(result, bool):
        return Fraction(result)
    return result  # type: ignore[return-value]


def _builtin(
    node: Call, formula: Formula | None, arguments: tuple[Work, ...], impl: Callable[..., Fraction | float]
) -> Work:
    code = "F305" if node.function == "round_up" else "F302"

    def call(values: Values, functions: Functions) -> Raw:
        given = [argument(values, functions) for argument in arguments]
        try:
            return impl(*given)
        except ValueError:
            raise refuse(code, _place(node, formula), found=node.text) from None

    return call


_COMPILERS: Mapping[type[Node], Callable[..., Work]] = {
    Literal: _constant, Truth: _constant, Name: _name, Negate: _negate, Arith: _arith, Power: _power,
    Compare: _compare, Member: _member, Not: _not, Logic: _logic, If: _if, Call: _call,
}
