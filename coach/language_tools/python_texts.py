"""Takes the texts for people out of a Python file: what is passed to `_` and `n_`, and the English templates that the
core holds as plain strings.

Rules kept here:
 1. A file is read as a syntax tree and never run.
 2. A text is what is passed to `_` or `n_`, every template with a named slot, what follows a problem's code (`"G131"`)
    in a call or tuple, and what stands at known places of known rows and tables. Nothing else is.
 3. A template that is put together while the program runs (an f-string) cannot be translated and is an error.
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
# Constants of a module whose strings are shown: all strings in their values, never the keys of a mapping.
TABLES = frozenset({
    "ACCEPT_MEANING", "ALWAYS", "COUNTED", "FAULTS", "HANDS", "HEAT", "MARKS", "MEANING", "PICKS", "PLAIN", "RECORDED", "REVIEW_NOTES",
    "ROLE_WORDS", "SENTENCES", "SHORT", "SIGNERS", "STATES", "STATE_LINES", "STATE_WORDS", "STOP_MEANING", "WORDS",
})
# Rows of tables: the places of their texts among the arguments, by the name that makes the row.
ROWS: Mapping[str, tuple[int | str, ...]] = {
    "Safeguard": (1, 2, 3, 4, 8), "Field": (1, "options"), "Debt": (1, 2, 3), "_most": (4,), "_least": (4,), "Note": (2,),
    "Line": (0,), "LoadStage": (0,), "Phrase": (0,), "Doubt": (0,), "note": (2,),
}
# Arguments after the code that are ids and not texts, by the name of the call.
IDS_AFTER_CODE: Mapping[str, int] = {"Reason": 1, "_no": 1, "Finding": 9, "flaw": 9, "make": 9}
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
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            yield from _call(node)
        elif isinstance(node, ast.Tuple):
            yield from _coded(node.elts)
        elif isinstance(node, (ast.Assign, ast.AnnAssign)):
            yield from _table(node)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and SLOT.search(node.value):
            yield from _texts(node)


def _call(node: ast.Call) -> Iterator[Found]:
    name = _name(node.func)
    if name == "_" and node.args:
        for text in _strings(node.args[0]):
            yield text.lineno, "_", str(text.value).strip(), []
    elif name == "n_":
        words = [str(text.value).strip() for arg in node.args[:2] for text in _strings(arg)]
        if len(words) == 2:
            yield node.lineno, "n_", (words[0], words[1]), []
    elif name in ROWS:
        yield from _row(node, ROWS[name])
    elif name == "_yes":
        yield from (found for word in node.args if isinstance(word, ast.Dict) for found in _texts(word))
    if name not in ("_", "n_"):
        yield from _coded(node.args, IDS_AFTER_CODE.get(name, 0))
        if any(_is_code(arg) for arg in node.args):
            yield from (found for word in node.keywords if word.arg in TEXT_KEYWORDS for found in _texts(word.value))


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


def _coded(arguments: list[ast.expr], skip: int = 0) -> Iterator[Found]:
    """The texts that follow a problem's code."""
    for place, argument in enumerate(arguments):
        if _is_code(argument):
            for later in arguments[place + 1 + skip:]:
                if not isinstance(later, ast.Dict):  # the slots
                    yield from _texts(later)
            return


def _row(node: ast.Call, places: tuple[int | str, ...]) -> Iterator[Found]:
    for place in places:
        if isinstance(place, str):
            for word in node.keywords:
                if word.arg == place:
                    yield from _labels(word.value)
        elif place < len(node.args):
            yield from _texts(node.args[place])


def _labels(node: ast.expr) -> Iterator[Found]:
    """The labels of options: the second of each pair."""
    if isinstance(node, ast.Tuple):
        for pair in node.elts:
            if isinstance(pair, ast.Tuple) and len(pair.elts) == 2:
                yield from _texts(pair.elts[1])


def _table(node: ast.Assign | ast.AnnAssign) -> Iterator[Found]:
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    names = [target.id.lstrip("_") for target in targets if isinstance(target, ast.Name)]
    if node.value is not None and any(name in TABLES for name in names):
        yield from _texts(node.value)


def _texts(node: ast.expr) -> Iterator[Found]:
    for text in _strings(node):
        words = SLOT.sub("", str(text.value))
        if any(letter.isalpha() for letter in words) and not CODE.fullmatch(words):
            yield text.lineno, "_", str(text.value).strip(), []


def _strings(node: ast.expr) -> Iterator[ast.Constant]:
    """The strings that an expression may stand for. Raises ValueError for an f-string."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node
    elif isinstance(node, ast.JoinedStr):
        raise ValueError(f"line {node.lineno}: an f-string cannot be translated; use a template with named slots")
    elif isinstance(node, ast.IfExp):
        yield from _strings(node.body)
        yield from _strings(node.orelse)
    elif isinstance(node, ast.Dict):
        for value in node.values:
            yield from _strings(value)
    elif isinstance(node, (ast.Tuple, ast.List)):
        for item in node.elts:
            yield from _strings(item)
