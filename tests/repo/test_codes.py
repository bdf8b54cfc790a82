"""Each code stands for one meaning: a person who reads it out, and whoever looks it up, find one place that says it."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CODE = re.compile(r"[A-Z]\d{3}")
SAYS = {"Problem", "Reason", "_no"}  # calls that say what is wrong, whatever form their texts have
JUDGES = {"_row"}  # names a refusal by its code, to say what a trainee tried: the refusal itself stands in the core
# Codes that are said in more than one place, each with why it is one meaning all the same.
KNOWN: dict[str, str] = {
    "G026": "nothing is open: to hang on a tag, or to clear",
    "G086": "outside what is right: a number or a count",
    "G088": "not what is due: counted, or measured",
    "P105": "a character that cannot be seen: in the file, or by its escape",
    "P120": "why the file is not YAML, for what the library says in many ways",
    "P204": "a value of another kind than is due: one alone, or one in place of a list",
    "R401": "another program writes: to this device's ledger, or to the office's",
    "R402": "the disk is full: here, or at the office",
    "R403": "no right to write: the disk, or the file",
    "R406": "the ledger did not take it: here, or at the office",
    "R408": "written by a newer version: here, or at the office",
    "U300": "neither yes nor no: at a measure, or at the gate",
}


def is_code(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value) is not None


def is_text(node: ast.expr) -> bool:
    """A constant of more than one word, or one of two of them."""
    if isinstance(node, ast.IfExp):
        return is_text(node.body) or is_text(node.orelse)
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value


def said(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Every code that is said with its words, and the line: in a call, a row of a table, or under its key."""
    for node in ast.walk(tree):
        name, row = "", []
        if isinstance(node, ast.Call):
            function = node.func
            name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
            row = node.args
        elif isinstance(node, ast.Tuple):
            row = node.elts
        elif isinstance(node, ast.Dict):
            for key, value in zip(node.keys, node.values, strict=True):
                if key is not None and is_code(key) and isinstance(value, ast.Tuple) and any(map(is_text, value.elts)):
                    yield str(key.value), key.lineno  # type: ignore[attr-defined]
        for place, word in enumerate(row):
            if is_code(word) and name not in JUDGES and (name in SAYS or any(map(is_text, row[place + 1 :]))):
                yield str(word.value), word.lineno  # type: ignore[attr-defined]


def places() -> dict[str, list[str]]:
    found: defaultdict[str, list[str]] = defaultdict(list)
    for path in sorted((ROOT / "coach").rglob("*.py")):
        for code, line in said(ast.parse(path.read_text(encoding="utf-8"))):
            found[code].append(f"{path.relative_to(ROOT)}:{line}")
    return found


def test_each_code_is_said_in_one_place_with_one_meaning() -> None:
    found = places()
    assert len(found) > 400
    assert {code: lines for code, lines in found.items() if len(lines) > 1 and code not in KNOWN} == {}
    assert {code for code in KNOWN if len(found[code]) < 2} == set(), "they stand in one place now"


def test_a_code_that_is_said_twice_is_found_in_every_form() -> None:
    source = """
def one(): return Problem("A101", what, why, mend)
def two(): return _no("A101", id, "there is no step", "why", "mend")
ROWS = {"A102": ("nothing was typed", "why", "mend")}
WORDS = {5: ("A102", "the disk is full", "free some space")}
refuse("A103", found=text, hint="write a number")
made = (_row("Do", "A104", ORDER, "early", "tried to end it"), "A104" in codes)
"""
    assert sorted(code for code, _line in said(ast.parse(source))) == ["A101", "A101", "A102", "A102"]
