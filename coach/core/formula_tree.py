"""The tree of a formula: one frozen class a form, and how a tree is written as text.

Rules kept here:
 1. Two nodes are equal if they mean the same, wherever they stand: columns do not count.
 2. `text_of` puts back exactly the brackets that the meaning needs.
Knows nothing of: values, kinds, functions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from coach.core.units import Dimension

PRECEDENCE = {"or": 1, "and": 2, "not": 3, "compare": 4, "+": 5, "-": 5, "*": 6, "/": 6, "negate": 7, "^": 8}
_LEAF = 9


@dataclass(frozen=True)
class Node:
    """Any part of a formula. `column` counts from 1 in the formula's text, plus the offset given to the parser."""

    column: int = field(compare=False)

    @property
    def text(self) -> str:
        """The node written as a formula."""
        return text_of(self)


@dataclass(frozen=True)
class Literal(Node):
    """A number with its unit: SI value, dimension, as written ('6 in'), unit symbol ('' for a plain number)."""

    value: Fraction | float
    dimension: Dimension
    written: str
    unit: str = ""


@dataclass(frozen=True)
class Truth(Node):
    """`true` or `false`."""

    value: bool


@dataclass(frozen=True)
class Name(Node):
    """A measure or number of the procedure."""

    id: str


@dataclass(frozen=True)
class Negate(Node):
    """-operand."""

    operand: Node


@dataclass(frozen=True)
class Arith(Node):
    """left + - * / right."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True)
class Power(Node):
    """base ^ whole number."""

    base: Node
    exponent: int


@dataclass(frozen=True)
class Call(Node):
    """function(arguments)."""

    function: str
    arguments: tuple[Node, ...]


@dataclass(frozen=True)
class If(Node):
    """if(condition, yes, no): only the branch that holds is worked out."""

    condition: Node
    yes: Node
    no: Node


@dataclass(frozen=True)
class Compare(Node):
    """left < <= > >= == != right, of numbers."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True)
class Member(Node):
    """A choice is (or, negated, is not) one of the options: `drive == outboard`, `drive in [a, b]`."""

    name: Name
    options: tuple[str, ...]
    negated: bool
    columns: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Not(Node):
    """not operand."""

    operand: Node


@dataclass(frozen=True)
class Logic(Node):
    """left and/or right, worked out from the left; the right only where it can still matter."""

    op: str
    left: Node
    right: Node


def children(node: Node) -> tuple[Node, ...]:
    """The parts of a node, in the order in which they are written."""
    match node:
        case Arith() | Compare() | Logic():
            return (node.left, node.right)
        case Negate() | Not():
            return (node.operand,)
        case Power():
            return (node.base,)
        case Call():
            return node.arguments
        case If():
            return (node.condition, node.yes, node.no)
        case Member():
            return (node.name,)
        case _:
            return ()


def walk(node: Node) -> Iterator[Node]:
    """The node and everything in it, in the order in which it is written."""
    yield node
    for child in children(node):
        yield from walk(child)


def names_in(node: Node) -> frozenset[str]:
    """The measures and numbers that the node reads."""
    return frozenset(part.id for part in walk(node) if isinstance(part, Name))


def _precedence(node: Node) -> int:
    match node:
        case Logic() | Arith():
            return PRECEDENCE[node.op]
        case Not():
            return PRECEDENCE["not"]
        case Compare() | Member():
            return PRECEDENCE["compare"]
        case Negate():
            return PRECEDENCE["negate"]
        case Power():
            return PRECEDENCE["^"]
        case _:
            return _LEAF


def _plain_leaf(node: Node) -> str:
    match node:
        case Literal():
            return node.written
        case Truth():
            return "true" if node.value else "false"
        case Name():
            return node.id
        case Member():
            return member_text(node, node.name.id)
        case _:
            raise TypeError(f"{node!r} is not a leaf")


def member_text(node: Member, name: str) -> str:
    """`drive == outboard`, `drive not in [outboard, inboard]`."""
    if len(node.options) == 1:
        return f"{name} {'!=' if node.negated else '=='} {node.options[0]}"
    return f"{name} {'not in' if node.negated else 'in'} [{', '.join(node.options)}]"


def text_of(
    node: Node, leaf: Callable[[Node], str] = _plain_leaf, sign: Callable[[str], str] = str, inner: int = 0
) -> str:
    """The node as text.

    Args:
        node: what to write.
        leaf: how to write literals, names, truths and memberships.
        sign: how to write an operator or a function's name.
        inner: the precedence of what stands around it; brackets are put where this binds tighter.
    """

    def part(child: Node, least: int) -> str:
        return text_of(child, leaf, sign, least)

    own = _precedence(node)
    match node:
        case Logic() | Arith():
            left, right = part(node.left, own), part(node.right, own + 1)
            if node.op == "/" and left[-1].isdigit() and isinstance(node.right, Literal) and node.right.unit:
                right = f"({right})"  # 1 / 8 in would be taken for an eighth of an inch
            text = f"{left} {sign(node.op)} {right}"
        case Compare():
            right = part(node.right, own + 1)
            if node.op in ("==", "!=") and isinstance(node.left, Name) and isinstance(node.right, Name):
                right = f"({right})"  # a bare word there would be read as an answer
            text = f"{part(node.left, own + 1)} {sign(node.op)} {right}"
        case Not():
            text = f"{sign('not')} {part(node.operand, own)}"
        case Negate():
            text = f"-{part(node.operand, own)}"
        case Power():
            base = part(node.base, own + 1)
            text = f"{f'({base})' if ' ' in base and base[-1] != ')' else base}{sign(f'^{node.exponent}')}"
        case Call():
            text = f"{sign(node.function)}({', '.join(part(argument, 0) for argument in node.arguments)})"
        case If():
            text = f"if({part(node.condition, 0)}, {part(node.yes, 0)}, {part(node.no, 0)})"
        case _:
            text = leaf(node)
    return f"({text})" if own < inner else text
