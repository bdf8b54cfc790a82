"""Reads the text of a formula into its tree.

    condition := number < number | name == option | name in [option, ...] | name | true | false
                 | not condition | condition and condition | condition or condition | (condition)
    number    := 6 in | 1/8 in | 2 | name | f(number, ...) | if(condition, number, number)
                 | -number | number + - * / number | number ^ whole | (number)

Rules kept here:
 1. Any text at all gives a tree or a FormulaError with one problem and its column; nothing else, and at once.
 2. There is no way from a formula to anything but its names and functions: no text, no attribute, no index.
 3. A tree is never deeper than MAX_DEPTH, so that every later walk over it is safe.
 4. A bare word to the right of `name ==` is an answer of a choice; another measure there is written in brackets.
Knows nothing of: which names, functions and answers exist (formula_check), values.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NoReturn

from coach.core.formula_faults import refuse, write
from coach.core.formula_tree import (
    PRECEDENCE, Arith, Call, Compare, If, Literal, Logic, Member, Name, Negate, Node, Not, Power, Truth, children,
    names_in, walk,
)
from coach.core.problems import Phrase, Place, Words, nearest
from coach.core.units import NUMBER, SYMBOLS_LONGEST_FIRST, UNITS

MAX_CHARACTERS = 2000
MAX_SHOWN = 150
MAX_DEPTH = 50
MAX_DIGITS = 15
MAX_POWER = 6
KEYWORDS = frozenset({"and", "or", "not", "in", "if", "true", "false"})

_UNIT_SYMBOLS = tuple(symbol for symbol in SYMBOLS_LONGEST_FIRST if not set(symbol) & set("\"'."))
_UNIT = "|".join(re.escape(s) + ("(?![A-Za-z0-9_])" if s[-1].isalnum() else "") for s in _UNIT_SYMBOLS)
_NUMBER = re.compile(
    rf"(?:(?P<whole>[0-9]+)\s+)?(?P<top>[0-9]+)/(?P<below>[0-9]+)\s*(?P<unit_a>{_UNIT})"
    rf"|(?P<decimal>[0-9]+\.?[0-9]*|\.[0-9]+)(?:\s*(?P<unit_b>{_UNIT}))?"
)
_WORD = re.compile(r"\w+")
_LATER_WORD = re.compile(r"\s*(\w+)")
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_SIGN = re.compile(r"<=|>=|==|!=|[-+*/^()\[\],<>]")
_OPTION_TAIL = re.compile(r"(?:-[a-z0-9_]+)+")
_COMPARISONS = frozenset({"<", "<=", ">", ">=", "==", "!="})
_HINTS = {
    "=": "write == to compare", "!": "write not, or != to compare", "&": "write and", "|": "write or",
    '"': "write in for inches and ft for feet", "'": "write in for inches and ft for feet",
    "×": "write *", "·": "write *", "÷": "write /", "≤": "write <=", "≥": "write >=", "≠": "write !=",
    "−": "write - from the keyboard", ".": "write a number such as 0.5, or a name without points",
    "%": "write a per cent sign only after a number",
}


@dataclass(frozen=True)
class Formula:
    """A formula that has been read: its text, its tree, and what it refers to. Equal if the texts are equal."""

    text: str
    tree: Node = field(compare=False)
    names: frozenset[str] = field(compare=False)
    functions: frozenset[str] = field(compare=False)
    column_offset: int = field(default=0, compare=False)
    plans: dict[object, object] = field(default_factory=dict, compare=False, repr=False)

    def __reduce__(self) -> tuple[object, ...]:
        return (_again, (self.text, self.column_offset))


def _again(text: str, column_offset: int) -> Formula:
    return parse_formula(text, column_offset=column_offset)


@dataclass(frozen=True)
class _Token:
    kind: str  # 'number', 'name', 'word' (of the language), 'sign', 'end'
    text: str
    at: int
    node: Literal | None = None
    end: int = 0


def parse_formula(text: str, *, column_offset: int = 0) -> Formula:
    """The formula that the text says.

    Args:
        text: at most 2000 characters, nested at most 50 levels.
        column_offset: added to every column, where the text stands further right in its line.

    Raises:
        FormulaError F101 to F114: one problem, with its column.
    """
    parser = _Parser(text, column_offset)
    tree = parser.whole()
    calls = frozenset(node.function for node in walk(tree) if isinstance(node, Call))
    return Formula(text, tree, names_in(tree), calls, column_offset)


def place_of(column: int, text: str = "", column_offset: int = 0) -> Place:
    """The place of a fault in a formula; the formula's own line is shown only where its columns are the line's."""
    shown = text if column_offset == 0 and "\n" not in text and len(text) <= MAX_SHOWN else ""
    return Place("formula", 1, column, source=shown)


class _Parser:
    """One pass over one text: tokens as they are needed, operators by their precedence."""

    def __init__(self, text: str, offset: int) -> None:
        self.text = text
        self.offset = offset
        self.depths: dict[int, int] = {}
        self.nesting = 0
        if len(text) > MAX_CHARACTERS:
            self.refuse("F102", 0, limit=MAX_CHARACTERS)
        self.token = self.scan(0)

    def whole(self) -> Node:
        if self.token.kind == "end":
            self.refuse("F101", 0)
        tree = self.expression(1)
        if self.token.kind != "end":
            self.unexpected("an operator or the end")
        return tree

    # -- tokens

    def refuse(self, code: str, at: int, **slots: object) -> NoReturn:
        raise refuse(code, place_of(at + 1 + self.offset, self.text, self.offset), **slots)

    def column(self, at: int) -> int:
        return at + 1 + self.offset

    def scan(self, at: int) -> _Token:
        text = self.text
        while at < len(text) and text[at] in " \t\r\n\u00a0":
            at += 1
        if at >= len(text):
            return _Token("end", "", at, None, at)
        if match := _NUMBER.match(text, at):
            return self.number(match)
        if match := _WORD.match(text, at):
            word = match[0]
            if not _NAME.fullmatch(word):
                small = re.sub(r"[^a-z0-9_]", "", word.lower()).lstrip("0123456789_")
                self.refuse("F109", at, found=word[:40], hint=write(small[:40]) if small else "write a name")
            return _Token("word" if word in KEYWORDS else "name", word, at, None, match.end())
        if match := _SIGN.match(text, at):
            return _Token("sign", match[0], at, None, match.end())
        self.refuse("F104", at, found=text[at], hint=_HINTS.get(text[at], "take it out"))

    def number(self, match: re.Match[str]) -> _Token:
        at, symbol = match.start(), match["unit_a"] or match["unit_b"] or ""
        written = match[0][: len(match[0]) - len(symbol)].strip()
        if sum(char.isdigit() for char in written) > MAX_DIGITS:
            self.refuse("F110", at, found=written[:40], limit=MAX_DIGITS)
        if match["below"] is None:
            value = Fraction(f"0{match['decimal']}0" if "." in written else written)
        elif int(match["below"]) == 0:
            self.refuse("F113", at, found=written)
        else:
            value = Fraction(int(match["whole"] or 0)) + Fraction(int(match["top"]), int(match["below"]))
        word = _LATER_WORD.match(self.text, match.end())
        if not symbol and word and word[1] not in KEYWORDS:
            self.unknown_unit(word, written)
        unit = UNITS[symbol] if symbol else None
        si = unit.to_si(value) if unit else value
        dimension = unit.dimension if unit else NUMBER
        literal = Literal(self.column(at), si, dimension, f"{written} {symbol}".strip(), symbol)
        return _Token("number", match[0], at, literal, match.end())

    def unknown_unit(self, word: re.Match[str], written: str) -> NoReturn:
        found = word[1][:40]
        near = nearest(found, [symbol for symbol in _UNIT_SYMBOLS if len(symbol) > 1])
        hint = Phrase("%(product)s, or a unit such as %(unit)s", {"product": f"{written} * {found}", "unit": f"{written} {near or 'in'}"})
        self.refuse("F106", word.start(1), found=found, number=written, hint=hint)

    def advance(self) -> _Token:
        token = self.token
        self.token = self.scan(token.end)
        return token

    def take(self, sign: str, due: str, hint: str) -> _Token:
        if self.token.text != sign or self.token.kind != "sign":
            self.unexpected(due, hint)
        return self.advance()

    def unexpected(self, due: Words, hint: Words = "") -> NoReturn:
        token = self.token
        found = Phrase("the end") if token.kind == "end" else f"'{token.text[:40]}'"
        if not hint:
            hint = {",": "use a point as the decimal mark", ")": "take the bracket out"}.get(token.text, write(due))
        self.refuse("F105", token.at, found=found, due=due, hint=hint)

    def made(self, node: Node, at: int) -> Node:
        depth = 1 + max((self.depths[id(child)] for child in children(node)), default=0)
        if depth > MAX_DEPTH:
            self.refuse("F103", at, limit=MAX_DEPTH)
        self.depths[id(node)] = depth
        if isinstance(node, Member):
            self.depths[id(node.name)] = 1
        return node

    # -- grammar

    def expression(self, least: int) -> Node:
        """An expression whose operators bind at least as tightly as `least`."""
        self.nesting += 1
        if self.nesting > MAX_DEPTH:
            self.refuse("F103", self.token.at, limit=MAX_DEPTH)
        left = self.prefix(least)
        while (precedence := self.operator()) and precedence >= least:
            left = self.infix(left, precedence)
        self.nesting -= 1
        return left

    def operator(self) -> int:
        """The precedence of the operator that comes next, 0 if none does."""
        token = self.token
        if token.kind == "word" and token.text in ("in", "not") or token.kind == "sign" and token.text in _COMPARISONS:
            return PRECEDENCE["compare"]
        if token.kind == "word" and token.text in ("and", "or") or token.kind == "sign" and token.text in "+-*/^":
            return PRECEDENCE[token.text]
        return 0

    def prefix(self, least: int) -> Node:
        token = self.token
        if token.kind == "sign" and token.text == "-":
            self.advance()
            if (literal := self.token.node) is not None and literal.unit and UNITS[literal.unit].is_affine:
                return self.below_zero(literal, token)
            return self.made(Negate(self.column(token.at), self.expression(PRECEDENCE["negate"])), token.at)
        if token.kind == "word" and token.text == "not":
            if least > PRECEDENCE["not"]:
                self.unexpected("a number")
            self.advance()
            return self.made(Not(self.column(token.at), self.expression(PRECEDENCE["not"])), token.at)
        return self.primary()

    def below_zero(self, literal: Literal, minus: _Token) -> Node:
        """-5 °C: the minus belongs to the number, for a point on a scale cannot be calculated with."""
        self.advance()
        unit, written = UNITS[literal.unit], f"-{literal.written}"
        value = unit.to_si(-unit.from_si(literal.value))  # type: ignore[arg-type]
        if value < 0:
            self.refuse("F114", minus.at, found=written)
        node = Literal(self.column(minus.at), value, literal.dimension, written, literal.unit)
        return self.made(node, minus.at)

    def primary(self) -> Node:
        token = self.token
        if token.kind == "number" and token.node is not None:
            self.advance()
            return self.made(token.node, token.at)
        if token.kind == "sign" and token.text == "(":
            self.advance()
            inner = self.expression(1)
            self.take(")", "')'", "close the bracket")
            return inner
        if token.kind == "word" and token.text in ("true", "false"):
            self.advance()
            return self.made(Truth(self.column(token.at), token.text == "true"), token.at)
        if token.kind == "name" or token.text == "if":
            self.advance()
            if self.token.kind == "sign" and self.token.text == "(":
                return self.call(token)
            if token.kind == "name":
                return self.made(Name(self.column(token.at), token.text), token.at)
            self.unexpected("'('", "write if(condition, number, number)")
        self.unexpected("a number or a name")

    def call(self, name: _Token) -> Node:
        self.advance()
        arguments: list[Node] = []
        if not (self.token.kind == "sign" and self.token.text == ")"):
            arguments.append(self.expression(1))
            while self.token.kind == "sign" and self.token.text == ",":
                self.advance()
                arguments.append(self.expression(1))
        self.take(")", "',' or ')'", "close the bracket")
        column = self.column(name.at)
        if name.text != "if":
            return self.made(Call(column, name.text, tuple(arguments)), name.at)
        if len(arguments) != 3:
            self.refuse("F208", name.at, function="if", due="3 values", found=len(arguments),
                        parameters="condition, number, number")
        return self.made(If(column, *arguments), name.at)

    def infix(self, left: Node, precedence: int) -> Node:
        bare = isinstance(left, Name) and self.text[left.column - 1 - self.offset:][:len(left.id)] == left.id
        op = self.advance()
        column = self.column(op.at)
        if precedence == PRECEDENCE["compare"]:
            node = self.comparison(left, op, bare)
            if self.operator() == PRECEDENCE["compare"]:
                self.refuse("F108", self.token.at)
            return self.made(node, op.at)
        if op.text == "^":
            return self.made(Power(column, left, self.power()), op.at)
        self.refuse_loose_fraction(left, op)
        right = self.expression(precedence + 1)
        make = Logic if op.kind == "word" else Arith
        return self.made(make(column, op.text, left, right), op.at)

    def refuse_loose_fraction(self, left: Node, op: _Token) -> None:
        """`1 / 8 in`: an eighth of an inch to a person, something per inch to the grammar."""
        right = self.token.node
        while isinstance(left, Arith):
            left = left.right
        if op.text != "/" or right is None or not right.unit or not isinstance(left, Literal) or left.unit:
            return
        both = f"{left.written}/{right.written}"
        if re.fullmatch(r"[0-9]+/[0-9]+ \D.*", both) and self.text[:op.at].rstrip().endswith(left.written):
            self.refuse("F111", op.at, found=f"{left.written} / {right.written}", divisor=right.written, joined=both)

    def power(self) -> int:
        negative = self.token.kind == "sign" and self.token.text == "-"
        if negative:
            self.advance()
        token = self.token
        node = token.node
        if node is None or node.unit or node.value not in range(MAX_POWER + 1):
            self.refuse("F107", token.at, found=token.text[:40] or "the end")
        self.advance()
        if self.token.kind == "sign" and self.token.text == "^":
            self.refuse("F107", self.token.at, found="^")
        return -int(node.value) if negative else int(node.value)

    def comparison(self, left: Node, op: _Token, bare: bool) -> Node:
        column = self.column(op.at)
        negated = op.text == "not"
        if negated:
            if not (self.token.kind == "word" and self.token.text == "in"):
                self.unexpected("'in'", "write not before the whole condition")
            self.advance()
        if op.text in ("in", "not"):
            if not isinstance(left, Name):
                self.refuse("F105", op.at, found=f"'{op.text}'", due="an operator", hint="write a choice before in")
            options, columns = self.options()
            return Member(column, left, options, negated, columns)
        if op.text in ("==", "!=") and bare and isinstance(left, Name) and self.token.kind == "name":
            token = self.token
            option = self.option()
            if self.operator() <= PRECEDENCE["compare"] and not (self.token.kind == "sign" and self.token.text == "("):
                return Member(column, left, (option,), op.text == "!=", (self.column(token.at),))
            self.token = token  # `a == b + 1 in` compares numbers after all
        return Compare(column, op.text, left, self.expression(PRECEDENCE["compare"] + 1))

    def options(self) -> tuple[tuple[str, ...], tuple[int, ...]]:
        self.take("[", "'['", "write the answers as [one, other]")
        options, columns = [], []
        while True:
            columns.append(self.column(self.token.at))
            options.append(self.option())
            if self.token.text != ",":
                break
            self.advance()
        self.take("]", "',' or ']'", "close the list of answers with ]")
        return tuple(options), tuple(columns)

    def option(self) -> str:
        """An answer of a choice; unlike other names it may hold hyphens."""
        token = self.token
        if token.kind == "word":
            self.refuse("F112", token.at, found=token.text)
        if token.kind != "name":
            self.unexpected("an answer of the choice")
        tail = _OPTION_TAIL.match(self.text, token.end)
        self.token = self.scan(tail.end() if tail else token.end)
        return self.text[token.at:tail.end() if tail else token.end]
