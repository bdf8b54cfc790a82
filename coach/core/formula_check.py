"""Checks what a formula means, before any value is known: names, kinds, dimensions, answers, arguments.

Rules kept here:
 1. Every fault of the formula is reported, not the first only; one fault never hides or begets another.
 2. A bare number is never taken for a length: it needs a unit wherever a dimension is due.
 3. A point on a temperature scale is not a difference: 20 °C + 20 °C and a - b > 3 °C are refused.
 4. An angle is a plain number of radians inside, so a bare number beside an angle is refused: 15 deg, never 15.
Knows nothing of: values, how results are rounded and shown.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from coach.core.formula_faults import fault, write
from coach.core.formula_functions import BUILTINS, Builtin, Function
from coach.core.formula_parse import Formula, place_of
from coach.core.formula_shape import CONDITION, TEMPERATURE, Declared, Shape, shape_for
from coach.core.formula_tree import (
    Arith, Call, Compare, If, Literal, Logic, Member, Name, Negate, Node, Not, Power, Truth,
)
from coach.core.problems import FormulaError, Phrase, Problem, Words, nearest
from coach.core.units import KIND_OF, LIKELY, NUMBER, UNITS, Dimension, phrase_of

def check(
    formula: Formula, declared: Mapping[str, Declared], functions: Mapping[str, Function], *, due: str | None = None
) -> str | Dimension:
    """What the formula gives: a dimension for a number, 'yes_no' for a condition.

    Args:
        formula: as parsed.
        declared: every name the formula may use.
        functions: every function it may call besides the language's own.
        due: what it must give, a kind of KINDS or 'yes_no'; None leaves that open.

    Raises:
        FormulaError F201 to F215: every fault at once, each with its column.
    """
    shape, problems = shape_of(formula, {name: shape_for(one) for name, one in declared.items()}, functions, due)
    if problems:
        raise FormulaError(*problems)
    assert shape is not None  # unknown only after a fault
    return "yes_no" if shape.sort == "condition" else shape.dimension


def shape_of(
    formula: Formula, shapes: Mapping[str, Shape | None], functions: Mapping[str, Function], due: str | None = None
) -> tuple[Shape | None, list[Problem]]:
    """The formula's shape, and every fault in it. A name whose shape is None fits everywhere."""
    checker = _Checker(formula, shapes, functions)
    shape = checker.of(formula.tree)
    if shape is not None:
        checker.whole(shape, due)
    return shape, checker.problems


class _Checker:
    """One walk over one formula. Every method gives a shape, or None where a fault has already been reported."""

    def __init__(
        self, formula: Formula, shapes: Mapping[str, Shape | None], functions: Mapping[str, Function]
    ) -> None:
        self.formula = formula
        self.shapes = shapes
        self.functions = functions
        self.problems: list[Problem] = []

    def fault(self, code: str, node: Node, column: int | None = None, **slots: object) -> None:
        at = node.column if column is None else column
        place = place_of(at, self.formula.text, self.formula.column_offset)
        self.problems.append(fault(code, place, **slots))

    def of(self, node: Node) -> Shape | None:
        return _RULES[type(node)](self, node)

    # -- what stands alone

    def literal(self, node: Literal) -> Shape:
        if not node.unit:
            return Shape("number", node.dimension)
        unit = UNITS[node.unit]
        return Shape("number", node.dimension, point=True if unit.is_affine else None, angle=unit.kind == "angle")

    def truth(self, node: Truth) -> Shape:
        return CONDITION

    def name(self, node: Name) -> Shape | None:
        if node.id in self.shapes:
            return self.shapes[node.id]
        near = nearest(node.id, list(self.shapes))
        self.fault("F201", node, found=node.id, hint=write(near) if near else "declare it, or correct the name")
        return None

    # -- numbers

    def number(self, node: Node) -> Shape | None:
        """The node's shape, which must be a number."""
        shape = self.of(node)
        if shape is None or shape.sort == "number":
            return shape
        if shape.sort == "choice":
            self.choice_alone(node, shape)
        else:
            self.fault("F205", node, found=node.text, found_is=shape.phrase)
        return None

    def choice_alone(self, node: Node, shape: Shape) -> None:
        offer = f"{node.text} == {shape.options[0] if shape.options else 'answer'}"
        self.fault("F210", node, found=node.text, offer=offer)

    def free(self, node: Node) -> Shape | None:
        """A number that may be multiplied: not a point on a temperature scale."""
        shape = self.number(node)
        if shape is not None and shape.point:
            self.fault("F214", node, found=node.text)
            return None
        return shape

    def negate(self, node: Negate) -> Shape | None:
        return self.free(node.operand)

    def power(self, node: Power) -> Shape | None:
        shape = self.free(node.base)
        return Shape("number", shape.dimension**node.exponent) if shape else None

    def arith(self, node: Arith) -> Shape | None:
        if node.op in "*/":
            left, right = self.free(node.left), self.free(node.right)
            if left is None or right is None:
                return None
            both = left.dimension * right.dimension if node.op == "*" else left.dimension / right.dimension
            angle = left.angle != right.angle and (left.angle or node.op == "*") and both == NUMBER
            return Shape("number", both, point=False if both == TEMPERATURE else None, angle=angle)
        left, right = self.number(node.left), self.number(node.right)
        act = "added" if node.op == "+" else "subtracted"
        if left is None or right is None or not self.agree(node.left, left, node.right, right, act):
            return None
        if left.dimension != TEMPERATURE:
            return left if left.angle else right
        return self.temperatures(node, left, right)

    def temperatures(self, node: Arith, left: Shape, right: Shape) -> Shape | None:
        """A point and a difference make a point, two points only a difference."""
        if node.op == "+" and left.point and right.point or node.op == "-" and right.point and left.point is False:
            self.fault("F214", node, found=node.text)
            return None
        if node.op == "-" and left.point and right.point:
            return replace(left, point=False)
        points = {left.point, right.point}
        return replace(left, point=True if True in points else False if False in points else None)

    def agree(self, left_node: Node, left: Shape, right_node: Node, right: Shape, act: str) -> bool:
        """Whether two numbers are of one dimension; if not, the fault is reported."""
        if left.dimension == right.dimension and left.angle == right.angle:
            return True
        for bare, other in ((left_node, right), (right_node, left)):
            if _is_bare(bare):
                self.bare(bare, "angle" if other.angle else other.dimension)
                return False
        if left.dimension == right.dimension:
            return True
        self.fault("F203", right_node, left=left_node.text, left_is=left.phrase, right=right_node.text,
                   right_is=right.phrase, act=act)
        return False

    def bare(self, node: Node, due: Dimension | str) -> None:
        """The fault of a bare number where a dimension (or a kind) is due."""
        kind = due if isinstance(due, str) else KIND_OF.get(due)
        units = LIKELY[kind] if kind else ()
        offer = " or ".join(f"{node.text} {unit}" for unit in units[:2]) or Phrase("%(number)s with its unit", {"number": node.text})
        phrase = due.phrase if isinstance(due, Dimension) else phrase_of(due)
        self.fault("F204", node, found=node.text, due=phrase, offer=offer)

    # -- conditions

    def condition(self, node: Node) -> bool:
        """Whether the node is a condition (or already at fault); if not, the fault is reported."""
        shape = self.of(node)
        if shape is None or shape.sort == "condition":
            return shape is not None
        if shape.sort == "choice":
            self.choice_alone(node, shape)
            return False
        kind = KIND_OF.get(shape.dimension, "ratio")
        offer = f"0 {LIKELY[kind][0]}" if shape.dimension != NUMBER and LIKELY[kind] else "0"
        self.fault("F206", node, found=node.text, found_is=shape.phrase, offer=offer)
        return False

    def negation(self, node: Not) -> Shape:
        self.condition(node.operand)
        return CONDITION

    def logic(self, node: Logic) -> Shape:
        self.condition(node.left)
        self.condition(node.right)
        return CONDITION

    def compare(self, node: Compare) -> Shape:
        sides = [(side, self.of(side)) for side in (node.left, node.right)]
        for side, shape in sides:
            if shape and shape.sort == "choice":
                self.choice_alone(side, shape)
        settled = [side for side, shape in sides if shape and shape.sort == "condition"]
        if settled:  # beside `== true` the other side is the one to mend
            wrong = next((side for side in settled if not isinstance(side, Truth)), settled[0])
            self.fault("F216", wrong, found=wrong.text, whole=node.text)
        (_, left), (_, right) = sides
        if not left or not right or not left.sort == right.sort == "number":
            return CONDITION
        if self.agree(node.left, left, node.right, right, "compared"):
            self.same_point(node.left, left, node.right, right)
        return CONDITION

    def same_point(self, left_node: Node, left: Shape, right_node: Node, right: Shape) -> bool:
        if None in (left.point, right.point) or left.point == right.point:
            return True
        self.fault("F215", right_node, left=left_node.text, right=right_node.text)
        return False

    def member(self, node: Member) -> Shape:
        shape = self.name(node.name)
        if shape is None:
            return CONDITION
        if shape.sort != "choice":
            numeric = shape.sort == "number"
            other = node.options[0]
            op = "!=" if node.negated else "=="
            hint: Words = "compare it with a number and its unit" if numeric else "write the name alone, or not and the name"
            if numeric and other in self.shapes:
                hint = Phrase("write %(comparison)s to compare two numbers", {"comparison": f"{node.name.id} {op} ({other})"})
            self.fault("F211", node.name, name=node.name.id, found_is=shape.phrase, hint=hint)
            return CONDITION
        columns = node.columns or (node.column,) * len(node.options)
        for option, column in zip(node.options, columns):
            if shape.options and option not in shape.options:
                near = nearest(option, shape.options)
                hint = write(near) if near else Phrase("write one of: %(words)s", {"words": ", ".join(shape.options)})
                self.fault("F207", node, column, found=option, name=node.name.id, hint=hint)
        return CONDITION

    def choose(self, node: If) -> Shape | None:
        self.condition(node.condition)
        yes, no = self.of(node.yes), self.of(node.no)
        if yes is None or no is None:
            return yes or no
        if "choice" in (yes.sort, no.sort):
            self.choice_alone(*((node.yes, yes) if yes.sort == "choice" else (node.no, no)))
            return None
        if yes.sort == no.sort == "condition":
            return CONDITION
        if yes.sort != no.sort:
            wrong, shape = (node.yes, yes) if yes.sort == "condition" else (node.no, no)
            self.fault("F205", wrong, found=wrong.text, found_is=shape.phrase)
            return None
        if not self.agree(node.yes, yes, node.no, no, "taken one for the other"):
            return None
        if not self.same_point(node.yes, yes, node.no, no):
            return None
        return yes if yes.point is not None else no

    # -- calls

    def call(self, node: Call) -> Shape | None:
        builtin = BUILTINS.get(node.function)
        if builtin is not None:
            return self.builtin(node, builtin)
        function = self.functions.get(node.function)
        if function is not None:
            return self.registered(node, function)
        near = nearest(node.function, [*BUILTINS, *self.functions])
        hint = write(near) if near else "use one of the functions that exist"
        self.fault("F202", node, found=node.function, hint=hint)
        for argument in node.arguments:
            self.of(argument)
        return None

    def counted(self, node: Call, least: int, most: int, written: str) -> bool:
        if least <= len(node.arguments) <= most:
            return True
        values = "1 value" if least == 1 else Phrase("%(count)s values", {"count": least})
        self.fault("F208", node, function=node.function, due=values if least == most else Phrase("%(values)s or more", {"values": values}),
                   found=len(node.arguments), parameters=written)
        return False

    def builtin(self, node: Call, builtin: Builtin) -> Shape | None:
        take = self.number if node.function in ("min", "max") else self.free
        shapes = [take(argument) for argument in node.arguments]
        if not self.counted(node, builtin.least, builtin.most, builtin.written) or None in shapes:
            return None
        first = shapes[0]
        assert first is not None
        if builtin.rule == "number" and first.dimension != NUMBER:
            self.fault("F209", node.arguments[0], found=node.arguments[0].text, found_is=first.phrase,
                       function=node.function, due="a plain number", parameters="length / step")
            return None
        if builtin.rule == "root":
            half = first.dimension.root()
            if half is None:
                self.fault("F212", node.arguments[0], found=node.arguments[0].text, found_is=first.phrase)
            return Shape("number", half) if half is not None else None
        for argument, shape in zip(node.arguments[1:], shapes[1:]):
            assert shape is not None
            if not self.agree(node.arguments[0], first, argument, shape, "put together"):
                return None
            if not self.same_point(node.arguments[0], first, argument, shape):
                return None
        return next((shape for shape in shapes if shape and shape.point is not None), first)

    def registered(self, node: Call, function: Function) -> Shape | None:
        shapes = [self.of(argument) for argument in node.arguments]
        least = len(function.parameters)
        if not self.counted(node, least, least, function.written):
            return None
        fits = [self.fits(node, argument, shape, kind, function)
                for argument, shape, kind in zip(node.arguments, shapes, function.parameters)]
        if isinstance(function.result, str):  # the result is known even where an argument is at fault
            return shape_for(Declared(function.result))
        if not all(fits) or None in shapes:
            return None
        return Shape("number", function.result(tuple(shape.dimension for shape in shapes if shape)))

    def fits(self, node: Call, argument: Node, shape: Shape | None, kind: str, function: Function) -> bool:
        if shape is None:
            return False
        due = Shape("number", shape.dimension) if kind == "any" else shape_for(Declared(kind))
        if shape.sort == due.sort == "number" and _is_bare(argument) and (due.angle or due.dimension != NUMBER):
            self.bare(argument, kind)
            return False
        if shape.sort == due.sort and shape.dimension == due.dimension and not (due.point and shape.point is False):
            return True
        phrase = "a condition" if kind == "yes_no" else phrase_of(kind)
        self.fault("F209", argument, found=argument.text, found_is=shape.phrase, function=function.name, due=phrase,
                   parameters=function.written)
        return False

    # -- the whole

    def whole(self, shape: Shape, due: str | None) -> None:
        tree = self.formula.tree
        if shape.sort == "choice":
            self.choice_alone(tree, shape)
        elif due == "yes_no":
            if shape.sort != "condition":
                self.fault("F213", tree, found_is=shape.phrase, due="a condition", hint="compare it with a limit")
        elif due is not None:
            self.number_due(tree, shape, due)

    def number_due(self, tree: Node, shape: Shape, due: str) -> None:
        wanted = shape_for(Declared(due))
        if shape.sort == "number" and _is_bare(tree) and (wanted.angle or wanted.dimension != NUMBER):
            self.bare(tree, due)
        elif shape.sort != "number" or shape.dimension != wanted.dimension:
            self.fault("F213", tree, found_is=shape.phrase, due=phrase_of(due),
                       hint="correct the formula, or the kind of the number")
        elif wanted.point and shape.point is False:
            self.fault("F213", tree, found_is=shape.phrase, due="a temperature", hint="add it to a temperature")


def _is_bare(node: Node) -> bool:
    return isinstance(node, Literal) and not node.unit


_RULES: Mapping[type[Node], Callable[..., Shape | None]] = {
    Literal: _Checker.literal, Truth: _Checker.truth, Name: _Checker.name, Negate: _Checker.negate,
    Arith: _Checker.arith, Power: _Checker.power, Call: _Checker.call, If: _Checker.choose,
    Compare: _Checker.compare, Member: _Checker.member, Not: _Checker.negation, Logic: _Checker.logic,
}
