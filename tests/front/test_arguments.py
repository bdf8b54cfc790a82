"""What the library of the command line says by itself is said in the language in use, in help and in faults.

Source: the library's own texts, read from its source as it is installed.
"""

from __future__ import annotations

import argparse
import ast
import gettext
import inspect
import re
from collections.abc import Iterator

import pytest

from coach import cli, language
from coach.arguments import build_parser
from coach.language import PSEUDO
from tests.language.pseudo import escaped, pseudo

# What is typed, and what stands for it: the same in every language.
TYPED = re.compile(r"--?\w[\w-]*|\{[^}]*\}|'[^']*'|\b[A-Z][A-Za-z-]*(?:=[A-Z]+)?\b|\bYYYY-Www\b")
COMMANDS = tuple(cli.COMMANDS) + ("send", "receive")
FAULTS = {
    "no-such": ["dance"], "missing": ["new"], "value missing": ["review", "--job"], "ambiguous": ["review", "--w", "x"],
    "unknown": ["list", "--dance"], "no value": ["review", "--json=3"], "no number": ["crew", "--run", "x"],
    "too few": ["office", "postgresql://host/name"], "choice": ["keys", "dance"],
}  # fmt: skip


def library_texts() -> set[str]:
    """The words of the library that go through gettext, cut at their slots, of more than three letters."""
    found = set()
    for node in ast.walk(ast.parse(inspect.getsource(argparse))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_":
            text = node.args[0]
            if isinstance(text, ast.Constant) and isinstance(text.value, str):
                found |= {part.strip(" :()") for part in re.split(r"%(?:\(\w+\))?[rs]", text.value)}
    return {part for part in found if len(part) > 3}


class Everything(dict[str, str]):
    """Translations of any text."""

    def get(self, text: str, _otherwise: object = None) -> str:  # type: ignore[override]
        return pseudo(text)


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The command line in the tests' own language, into which all is translated that asks for it; a wide terminal."""
    monkeypatch.setenv("COLUMNS", "500")
    monkeypatch.setattr(cli, "language_of", lambda _given: PSEUDO)
    texts = language.Texts(Everything(), {}, lambda count: int(count != 1))
    with monkeypatch.context() as changed:
        changed.setattr(language, "catalogue", lambda _code, _folder=None: texts)
        yield
    language.use("en")


def english_left(text: str) -> list[str]:
    left = [part for part in library_texts() if part in text]
    return left + escaped(TYPED.sub(" ", text), ("drill", "procedure", "address", "folders", "coach", "archive", "act", *COMMANDS))


def test_the_librarys_texts_are_found() -> None:
    assert {"usage", "options", "positional arguments", "expected one argument", "invalid choice"} <= library_texts()
    assert "options" in english_left("options:\n  -h, --help  «shóów»")


@pytest.mark.usefixtures("elsewhere")
def test_no_word_of_the_library_is_left_in_any_help(capsys: pytest.CaptureFixture[str]) -> None:
    for words in ([], *([command] for command in COMMANDS if command not in ("tablet", "exchange"))):
        assert cli.main([*words, "--help"]) == 0
        said = capsys.readouterr().out
        assert pseudo("show this help and exit") in said
        assert english_left(said) == [], words


@pytest.mark.usefixtures("elsewhere")
@pytest.mark.parametrize("name", FAULTS)
def test_no_word_of_the_library_is_left_in_a_fault(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(FAULTS[name]) == 2
    said = capsys.readouterr().err
    assert "C117 " in said
    assert english_left(said) == []


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["dance"], "C117 COMMAND: 'dance': take one of: 'demo', 'walk', "),
        (["new"], "C117 these words are missing: id\n"),
        (["review", "--w", "x"], "C117 --w: take one of: --who, --week\n"),
        (["list", "--dance"], "C117 these words are not known: --dance\n"),
        (["review", "--json=3"], "C117 --json: '3': it takes no value\n"),
        (["crew", "--run", "x"], "C117 --run: 'x' is no whole number above zero\n"),
    ],
)
def test_each_fault_in_english(words: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(words) == 2
    assert says in capsys.readouterr().err


def test_the_library_has_its_own_words_again_afterwards() -> None:
    build_parser().parse_args(["list"])
    assert vars(argparse)["_"] is gettext.gettext
