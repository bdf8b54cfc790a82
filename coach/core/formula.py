"""Formulas for everybody else: reading, checking, working out, explaining, and their conditions for the prover.

Rules kept here:
 1. An explanation is the formula itself with the values put in, so it can never tell another sum than was done.
 2. The atoms of a condition are its comparisons, choices and yes/no names; and, or, not, if only join them.
Knows nothing of: procedures, languages (words are put around the arithmetic by the front ends).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from coach.core.formula_check import check
from coach.core.formula_faults import refuse
from coach.core.formula_functions import BUILTINS, Builtin, Function
from coach.core.formula_parse import KEYWORDS, Formula, parse_formula, place_of
from coach.core.formula_run import Functions, Missing, Values, compiled, evaluate
from coach.core.formula_shape import Declared
from coach.core.formula_tree import (
    Arith, Call, Compare, If, Literal, Logic, Member, Name, Negate, Node, Not, Power, Truth, children, member_text,
    names_in, text_of,
)
from coach.core.quantity import Quantity, show, si_number
from coach.core.units import KIND_OF, KINDS, UNITS

__all__ = [
    "BUILTINS", "KEYWORDS", "Builtin", "Declared", "Formula", "Function", "Missing", "Node", "atoms", "check",
    "evaluate", "evaluate_with_atoms", "explain", "names_in", "parse_formula",
]

_SIGNS = {"*": "×", "/": "÷", "<=": "≤", ">=": "≥", "!=": "≠", "==": "=", "^2": "²", "^3": "³"}


def atoms(formula: Formula) -> tuple[Node, ...]:
    """Every atomic condition, once each, in the order in which they are written.

    An atom is a comparison, a choice test, a yes/no name, or a call that gives a yes/no. `atom.text` is its text and
    `names_in(atom)` what it reads. A formula that is a number has the atoms of the conditions inside its ifs.
    """
    return tuple(dict.fromkeys(_atoms(formula.tree, True)))


def _atoms(node: Node, is_condition: bool) -> Iterator[Node]:
    match node:
        case Logic() | Not():
            for child in children(node):
                yield from _atoms(child, True)
        case If():
            yield from _atoms(node.condition, True)
            yield from _atoms(node.yes, is_condition)
            yield from _atoms(node.no, is_condition)
        case Compare() | Member():
            yield node
        case Name() | Call() if is_condition:
            yield node
        case _:
            for child in children(node):
                yield from _atoms(child, False)


def evaluate_with_atoms(formula: Formula, truth: Mapping[Node, bool]) -> bool:
    """What a condition gives if its atoms are as `truth` says.

    Args:
        formula: a condition.
        truth: whether each atom holds; atoms that turn out not to matter may be missing.

    Raises:
        KeyError: an atom that matters is missing from `truth`.
    """
    return _holds(formula.tree, truth)


def _holds(node: Node, truth: Mapping[Node, bool]) -> bool:
    match node:
        case Truth():
            return node.value
        case Not():
            return not _holds(node.operand, truth)
        case Logic():
            left = _holds(node.left, truth)
            return left if left == (node.op == "or") else _holds(node.right, truth)
        case If():
            return _holds(node.yes if _holds(node.condition, truth) else node.no, truth)
        case _:
            return truth[node]


def explain(
    formula: Formula,
    values: Values,
    functions: Functions,
    *,
    kind: str | None = None,
    kinds: Mapping[str, str] | None = None,
    system: str = "us",
    decimal: str = ".",
    words: tuple[str, str] = ("yes", "no"),
    say: Callable[[str], str] = str,
) -> str:
    """The arithmetic with the values put in: `2 × 5' 6" + 2 × 6 in = 12 ft`.

    Args:
        formula, values, functions: as for `evaluate`.
        kind: the kind to show the result in; without it the dimension decides (a plain number is shown as such).
        kinds: the kind to show each name in, for angles and counts; without it the dimension decides.
        system: 'us' or 'metric'.
        decimal: the decimal mark, '.' or ','.
        words: how a condition's result is said.
        say: how a function's name is said, such as 'film length'.

    Returns:
        One line. An if shows only the branch that was taken; a condition ends in ': yes' or ': no'.

    Raises:
        Missing, FormulaError: as for `evaluate`; FormulaError F213 where the result is not of that kind.
    """
    result = evaluate(formula, values, functions)
    style = _Style(values, kinds or {}, system, decimal)
    tree = _taken(formula.tree, values, functions)
    shown = text_of(tree, style.leaf, lambda sign: _SIGNS.get(sign) or say(sign.replace("_", " ")))
    if isinstance(result, bool):
        return f"{shown}: {words[0] if result else words[1]}"
    if kind is not None and KINDS[kind] != result.dimension:
        raise refuse("F213", place_of(formula.tree.column, formula.text, formula.column_offset),
                     found_is=result.dimension.phrase, due=KINDS[kind].phrase,
                     hint="correct the formula, or the kind of the number")
    answer = style.quantity(result, kind)
    return answer if isinstance(tree, Name | Literal) else f"{shown} = {answer}"


@dataclass(frozen=True)
class _Style:
    """How leaves are written: in the user's units, names as their values."""

    values: Values
    kinds: Mapping[str, str]
    system: str
    decimal: str

    def quantity(self, quantity: Quantity, kind: str | None = None) -> str:
        kind = kind or KIND_OF.get(quantity.dimension)
        if kind is None:  # a step between, such as length^4, that no trade unit fits
            return f"{si_number(quantity):.6g} SI".replace(".", self.decimal)
        return show(quantity, kind, self.system, decimal=self.decimal)

    def leaf(self, node: Node) -> str:
        match node:
            case Literal() if node.unit and node.unit != "%":
                return self.quantity(Quantity(node.value, node.dimension), UNITS[node.unit].kind)
            case Literal():
                return node.written.replace(".", self.decimal)
            case Truth():
                return "true" if node.value else "false"
            case Member():
                text = member_text(node, str(self.values.get(node.name.id, node.name.id)))
                return text.replace("==", "=").replace("!=", "≠").replace("_", " ")
            case Name():
                value = self.values.get(node.id)
                if not isinstance(value, Quantity):
                    return node.id.replace("_", " ")
                text = self.quantity(value, self.kinds.get(node.id))
                return f"({text})" if text.startswith("-") else text
            case _:
                raise TypeError(f"{node!r} is not a leaf")


def _taken(node: Node, values: Values, functions: Functions) -> Node:
    """The tree with every if that was worked out replaced by the branch that was taken."""
    match node:
        case If():
            return _taken(node.yes if compiled(node.condition)(values, functions) else node.no, values, functions)
        case Logic() if bool(compiled(node.left)(values, functions)) == (node.op == "or"):
            return replace(node, left=_taken(node.left, values, functions))  # the right side was not worked out
        case Arith() | Compare() | Logic():
            return replace(node, left=_taken(node.left, values, functions), right=_taken(node.right, values, functions))
        case Negate() | Not():
            return replace(node, operand=_taken(node.operand, values, functions))
        case Power():
            return replace(node, base=_taken(node.base, values, functions))
        case Call():
            return replace(node, arguments=tuple(_taken(part, values, functions) for part in node.arguments))
        case _:
            return node
