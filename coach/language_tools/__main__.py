"""The translator's commands: update, status, todo, fill and check, over a checkout of the project.

Rules kept here:
 1. Exit status 0: fine; 1: something is missing or wrong; 2: misuse of the command.
 2. Nothing is taken in that check would refuse.
Knows nothing of: how catalogues are read or judged.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from coach.language import DOMAINS
from coach.language_tools import catalogues
from coach.language_tools.catalogues import CODES, Key, Words
from coach.language_tools.checks import faults_of
from coach.language_tools.glossary import Glossary
from coach.language_tools.sources import templates

ROOT = Path(__file__).resolve().parents[2]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="python -m coach.language_tools", description="Keeps the translations in locale/ in step."
    )
    parser.add_argument("--root", type=Path, default=ROOT, help="the checkout (default: the one this code lies in)")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _many(
        commands,
        "update",
        _update,
        "take every text out of the sources and write the catalogues anew; translations are kept",
    )
    _many(commands, "status", _status, "how many texts each catalogue has, and how many are translated")
    _many(commands, "check", _check, "everything that is wrong: missing, slots, signal words, plural forms, glossary")
    todo = _one(commands, "todo", _todo, "the texts still to be translated, one JSON object a line")
    todo.add_argument("--domain", choices=DOMAINS, default=None, help="one catalogue only")
    todo.add_argument("--limit", type=int, default=None, metavar="N", help="no more than N texts")
    fill = _one(commands, "fill", _fill, "take translations in: the lines of todo with 'to' added")
    fill.add_argument("file", help="file of JSON lines, or - for the standard input")
    given = parser.parse_args(arguments)
    command: Callable[[argparse.Namespace], int] = given.command
    return command(given)


def _many(commands: Any, name: str, command: Callable[[argparse.Namespace], int], about: str) -> None:
    made = commands.add_parser(name, help=about)
    made.add_argument(
        "codes", nargs="*", choices=(*CODES, []), metavar="CODE", help=f"of {', '.join(CODES)} (default: all)"
    )
    made.set_defaults(command=command)


def _one(commands: Any, name: str, command: Callable[[argparse.Namespace], int], about: str) -> argparse.ArgumentParser:
    made: argparse.ArgumentParser = commands.add_parser(name, help=about)
    made.add_argument("code", choices=CODES, help="the language")
    made.set_defaults(command=command)
    return made


def _update(given: argparse.Namespace) -> int:
    made = templates(given.root)
    for code in given.codes or CODES:
        catalogues.update(given.root / "locale", made, code)
    return _status(given, made)


def _status(given: argparse.Namespace, made: Any = None) -> int:
    made = made or templates(given.root)
    complete = True
    for code in given.codes or CODES:
        lacking = list(catalogues.missing(given.root / "locale", made, code))
        for domain in DOMAINS:
            count = len(made[domain])
            gone = sum(where == domain for where, _message in lacking)
            print(f"{code:6} {domain:11} {count - gone:5} of {count:5} translated")
        complete = complete and not lacking
    return 0 if complete else 1


def _todo(given: argparse.Namespace) -> int:
    found = catalogues.missing(given.root / "locale", templates(given.root), given.code)
    wanted = ((domain, message) for domain, message in found if given.domain in (None, domain))
    for domain, message in islice(wanted, given.limit):
        text = {"text": message.id} if isinstance(message.id, str) else {"text": message.id[0], "many": message.id[1]}
        place = " ".join((*(f"{file}:{line}" for file, line in message.locations[:2]), *message.auto_comments[:1]))
        print(json.dumps({"domain": domain, "at": place, **text}, ensure_ascii=False))
    return 0


def _fill(given: argparse.Namespace) -> int:
    made = templates(given.root)
    known = {catalogues.key_of(message) for catalogue in made.values() for message in catalogue if message.id}
    glossary = Glossary.load(given.root / "locale")
    taken: dict[Key, Words] = {}
    wrong = 0
    for number, line in enumerate(_lines(given.file), 1):
        key, words = line
        faults = ["no such text"] if key not in known else faults_of(key, words, given.code, glossary)
        for fault in faults:
            wrong += 1
            print(f"line {number}: {fault}: {key!r}", file=sys.stderr)
        if not faults:
            taken[key] = words
    catalogues.update(given.root / "locale", made, given.code, taken)
    print(f"{len(taken)} taken in, {wrong} faults")
    return 1 if wrong else 0


def _lines(file: str) -> list[tuple[Key, Words]]:
    """The translations of a file. Raises ValueError (of JSON) or KeyError for a line that is none."""
    text = sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8")
    found: list[tuple[Key, Words]] = []
    for line in filter(str.strip, text.splitlines()):
        item = json.loads(line)
        key = (item["text"], item["many"]) if item.get("many") else item["text"]
        to = item["to"]
        found.append((key, tuple(to) if isinstance(to, list) else to))
    return found


def _check(given: argparse.Namespace) -> int:
    made = templates(given.root)
    folder = given.root / "locale"
    glossary = Glossary.load(folder)
    found = 0
    for code in given.codes or CODES:
        for domain, message in catalogues.missing(folder, made, code):
            found += 1
            print(f"{code} {domain}: missing: {message.id!r}")
        for key, words in catalogues.translations(folder, code).items():
            for fault in faults_of(key, words, code, glossary):
                found += 1
                print(f"{code}: {fault}: {key!r} -> {words!r}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
