"""Takes the texts for people out of a Python file: what is passed to `_` and `n_`, and the English templates that the
core holds as plain strings.

Rules kept here:
 1. A file is read as a syntax tree and never run.
 2. A text is what is passed to `_` or `n_`, every template with a named slot, what follows a problem's code (`"G131"`)
    in a call or tuple, and what stands at known places of known rows and tables. Nothing else is.
 3. A template that is put together while the program runs (an f-string) cannot be translated and is an error. Where a
    string only fills a slot, an f-string is somebody's own word and is passed over.
Knows nothing of: catalogues. Called by Babel, by its name in pyproject.toml, and by `sources`.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Collection, Iterator, Mapping
from typing import IO, Any

Found = tuple[int, str, str | tuple[str, ...], list[str]]

CODE = re.compile(r"[A-Z]\d{3}")
SLOT = re.compile(r"%\([a-z_]+\)[sd]")
# Constants whose strings are shown, besides those that the same file passes to `_`: all strings in their values, never
# the keys of a mapping.
TABLES = frozenset(
    {
        "ACCEPT_MEANING",
        "ALWAYS",
        "CLEARS",
        "COUNTED",
        "FAULTS",
        "HANDS",
        "HEAT",
        "HINTS",
        "KIND_PHRASES",
    "MEASURED_AGAIN",
        "MARKS",
        "MEANING",
        "NAMES",
        "PLAIN",
        "QUESTIONS",
        "READ_MEANING",
        "RECORDED",
        "REVIEW_NOTES",
        "ROLE_WORDS",
        "SENTENCES",
        "SHORT",
        "SIGNERS",
        "SLIPS",
        "STATES",
        "STATE_LINES",
        "STATE_WORDS",
        "STOP_MEANING",
        "WORDS",
    }
)
# Constants that are rows of an id and more, the text last in each.
TEXT_LAST = frozenset({"NEEDED", "PICKS"})
# Calls that make a row of a table or a text: the places of their texts among the arguments.
ROWS: Mapping[str, tuple[int | str, ...]] = {
    "Safeguard": (1, 2, 3, 4, 8),
    "Field": (1, "options"),
    "Debt": (1, 2, 3),
    "_most": (4,),
    "_least": (4,),
    "Note": (2,),
    "Line": (0,),
    "LoadStage": (0,),
    "Phrase": (0,),
    "note": (2,),
    "_Slip": (2, 3),
    "text_reasons": (2,),
    "crew_reasons": (2,),
    "make": (5,),
    "add": (1, 2, 3),
    "Notice": (3,),
    "Problem": (1, 2, 3),
}
# Calls some of whose arguments fill a slot that is translated, or may come from elsewhere.
SLOT_ROWS: Mapping[str, tuple[int, ...]] = {
    "Reason": (2, 3, 4),
    "Doubt": (0,),
    "Range": (0,),
    "Fields": (2,),
    "list": (1,),
    "pairs": (1,),
    "words": (1,),
    "_each": (2,),
    "unknown_word": (2,),
    "unexpected": (0, 1),
    "take": (1, 2),
    "scalar": (2,),
    "wrong": (2,),
    "formula": (1,),
    "_bad": (0, 2),
    "objection": (1,),
    "agree": (4,),
    "contradiction": (0, 1, 2),
    "refer": (0,),
    "named": (2,),
    "_kernel_measure": (4,),
    "_Loss": (1,),
    "_bad_statement": (1,),
    "_locked": (0,),
    "_bad_signature": (2,),
    "_not_due": (1,),
    "damaged": (0,),
    "_pair": (0,),
}
# Keywords of any call whose strings fill a slot that is translated.
SLOT_KEYWORDS = ("due", "hint", "help")
# Arguments after the code that are ids and not texts, by the name of the call.
IDS_AFTER_CODE: Mapping[str, int] = {"Reason": 1, "refuse": 1, "Finding": 9, "flaw": 9, "_row": 2}
TEXT_KEYWORDS = ("what", "why", "mend")


def extract_python(
    fileobj: IO[bytes], keywords: Collection[str], comment_tags: Collection[str], options: Mapping[str, Any]
) -> Iterator[Found]:
    """The texts of a Python file as Babel takes them: line, function, text or (one, many), comments.

    Raises:
        SyntaxError: the file is no Python.
        ValueError: a template is an f-string.
    """
    tree = ast.parse(fileobj.read())
    yield from _Reading(tree).texts(tree)


class _Reading:
    """The reading of one file; it knows which strings a name stands for, and which of its constants are shown."""

    def __init__(self, tree: ast.Module) -> None:
        self._named: dict[str, list[ast.expr]] = {}
        self._tables = set(TABLES)
        self._apart: set[int] = set()  # plurals, taken with their one; and what is written for contributors
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and _name(node.func) == "_":
                self._tables |= {
                    name.id.lstrip("_") for name in ast.walk(node) if isinstance(name, ast.Name) and name.id.isupper()
                }
            elif isinstance(node, ast.Call) and _name(node.func) == "n_":
                self._apart |= {id(word) for word in node.args}
            elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
                self._apart.add(id(node.value))
            for name, value in _settings(node):
                if isinstance(value, (ast.Constant, ast.IfExp)):
                    self._named.setdefault(name, []).append(value)

    def texts(self, tree: ast.Module) -> Iterator[Found]:
        """Every text of the file."""
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                yield from self._call(node)
            elif isinstance(node, ast.Tuple):
                yield from self._coded(node.elts)
            elif isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
                names = {name.lstrip("_") for name in _targets(node)}
                if names & self._tables:
                    yield from self._found(node.value)
                elif names & TEXT_LAST and isinstance(node.value, ast.Tuple):
                    yield from (
                        found
                        for row in node.value.elts
                        if isinstance(row, ast.Tuple)
                        for found in self._found(row.elts[-1])
                    )
            elif (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and SLOT.search(node.value)
                and id(node) not in self._apart
            ):
                yield from self._found(node)

    def _call(self, node: ast.Call) -> Iterator[Found]:
        name = _name(node.func)
        if name == "_":
            yield from (found for argument in node.args[:1] for found in self._found(argument, names=False))
            return
        if name == "n_":
            words = [
                str(text.value).strip() for argument in node.args[:2] for text in self._strings(argument, False, False)
            ]
            if len(words) == 2:
                yield node.lineno, "n_", (words[0], words[1]), []
            return
        if (
            name == "_entry" and node.args and isinstance(node.args[0], ast.Attribute)
        ):  # a function that formulas may call
            yield node.lineno, "_", node.args[0].attr.replace("_", " "), []
        if name == "_yes":
            yield from (found for word in node.args if isinstance(word, ast.Dict) for found in self._found(word))
        for place in ROWS.get(name, ()):
            yield from self._row(node, place)
        for place in SLOT_ROWS.get(name, ()):
            yield from (found for word in node.args[place : place + 1] for found in self._found(word, slot=True))
        yield from (
            found for word in node.keywords if word.arg in SLOT_KEYWORDS for found in self._found(word.value, slot=True)
        )
        yield from self._coded(node.args, IDS_AFTER_CODE.get(name, 0))
        if any(_is_code(argument) for argument in node.args):
            yield from (
                found for word in node.keywords if word.arg in TEXT_KEYWORDS for found in self._found(word.value)
            )

    def _coded(self, arguments: list[ast.expr], skip: int = 0) -> Iterator[Found]:
        """The texts that follow a problem's code."""
        for place, argument in enumerate(arguments):
            if _is_code(argument):
                for later in arguments[place + 1 + skip :]:
                    if not isinstance(later, ast.Dict):  # the slots
                        yield from self._found(later)
                return

    def _row(self, node: ast.Call, place: int | str) -> Iterator[Found]:
        if isinstance(place, int):
            yield from (found for word in node.args[place : place + 1] for found in self._found(word))
            return
        for word in node.keywords:
            if word.arg == place and isinstance(word.value, ast.Tuple):
                for pair in word.value.elts:  # an option: its id and its label
                    if isinstance(pair, ast.Tuple) and len(pair.elts) == 2:
                        yield from self._found(pair.elts[1])

    def _found(self, node: ast.expr, slot: bool = False, names: bool = True) -> Iterator[Found]:
        """The texts that an expression may stand for. names: whether a name is looked up in the file."""
        for text in self._strings(node, slot, names):
            words = SLOT.sub("", str(text.value))
            if any(letter.isalpha() for letter in words) and not CODE.fullmatch(words):
                yield text.lineno, "_", str(text.value).strip(), []

    def _strings(self, node: ast.expr, slot: bool, names: bool) -> Iterator[ast.Constant]:
        if isinstance(node, ast.Constant):
            if isinstance(node.value, str):
                yield node
        elif isinstance(node, ast.JoinedStr):
            if not slot:
                raise ValueError(
                    f"line {node.lineno}: an f-string cannot be translated; use a template with named slots"
                )
        elif isinstance(node, ast.IfExp):
            yield from self._strings(node.body, slot, names)
            yield from self._strings(node.orelse, slot, names)
        elif isinstance(node, ast.Name) and names:
            for value in self._named.get(node.id, ()):
                yield from self._strings(value, slot, False)
        elif isinstance(node, (ast.Dict, ast.Tuple, ast.List)):
            for item in node.values if isinstance(node, ast.Dict) else node.elts:
                yield from self._strings(item, slot, names)


def _targets(node: ast.AST) -> list[str]:
    """The names that an assignment sets; none for anything else."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
    return [target.id for target in targets if isinstance(target, ast.Name)]


def _settings(node: ast.AST) -> Iterator[tuple[str, ast.expr]]:
    """Each name that an assignment or a loop over a written table sets, with the expression that it is set to."""
    if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
        yield from ((name, node.value) for name in _targets(node))
        target = node.targets[0] if isinstance(node, ast.Assign) else node.target
        yield from _pairs(target, node.value)
    elif isinstance(node, ast.For) and isinstance(node.iter, (ast.Tuple, ast.List)):
        for row in node.iter.elts:
            yield from _pairs(node.target, row)


def _pairs(target: ast.expr, value: ast.expr) -> Iterator[tuple[str, ast.expr]]:
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
        yield from (
            (name.id, item) for name, item in zip(target.elts, value.elts, strict=False) if isinstance(name, ast.Name)
        )


def _name(function: ast.expr) -> str:
    """The last name of what is called: `_` for `_`, `language._` and `tr._`."""
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def _is_code(node: ast.expr) -> bool:
    if isinstance(node, ast.JoinedStr):
        first = node.values[0] if node.values else None
        return isinstance(first, ast.Constant) and re.fullmatch(r"[A-Z]\d{1,2}", str(first.value)) is not None
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value) is not None
