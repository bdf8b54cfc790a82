"""Which files hold texts for people, which extractor takes them out, and into which catalogue they go.

Rules kept here:
 1. A text stands in one catalogue only: the first of DOMAINS that has it.
Knows nothing of: translations.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog

from coach.language import DOMAINS
from coach.language_tools.kv_texts import extract_kv
from coach.language_tools.python_texts import extract_python
from coach.language_tools.yaml_texts import extract_yaml

SAFETY, INTERFACE, PROCEDURES, ERRORS = DOMAINS
# What stands in the way of a flame, on the screen and in the record.
SAFETY_FILES = (
    "coach/core/gate.py",
    "coach/core/checks.py",
    "coach/core/session.py",
    "coach/core/session_flame.py",
    "coach/core/session_end.py",
    "coach/core/refusal.py",
    "coach/core/evidence.py",
    "coach/core/floors.py",
    "coach/view/gate.py",
    "coach/view/walk.py",
    "coach/tablet/widgets/caution.kv",
    "procedures/cards/*.yaml",
    "procedures/parts/heat-gate.yaml",
    "procedures/parts/flame-out.yaml",
    "procedures/parts/vent-reopened.yaml",
    "procedures/parts/after-flame.yaml",
)
INTERFACE_FILES = (
    "coach/tablet/**/*",
    "coach/view/**/*",
    "coach/sheet/**/*",
    "coach/terminal.py",
    "coach/cli.py",
    "coach/custody.py",
    "coach/language.py",
    "coach/demo.py",
    "coach/yard/loadtext.py",
    "coach/practice/*.py",
    "coach/core/sizing/notes.py",
    "coach/core/quantity_faults.py",
)
EXTRACTORS: dict[str, Callable[..., Iterator[Any]]] = {".py": extract_python, ".kv": extract_kv, ".yaml": extract_yaml}
NOT_TEXTS = ("coach/language_tools/", "procedures/yard/")


@dataclass(frozen=True)
class Text:
    """One text where it stands. words: the text, or one and many."""

    words: str | tuple[str, ...]
    file: str
    line: int
    where: str
    domain: str


def texts(root: Path) -> Iterator[Text]:
    """Every text of a checkout of the project, file by file.

    Raises:
        ValueError: a file holds a text that cannot be translated; says which file and line.
    """
    domains = _domains(root)
    for path in sorted((*root.glob("coach/**/*"), *root.glob("procedures/**/*"))):
        file = path.relative_to(root).as_posix()
        extract = EXTRACTORS.get(path.suffix)
        if extract is None or file.startswith(NOT_TEXTS):
            continue
        with path.open("rb") as opened:
            try:
                for line, _name, words, comments in extract(opened, (), (), {}):
                    yield Text(words, file, line, comments[0] if comments else "", domains.get(path) or _other(path))
            except ValueError as fault:
                raise ValueError(f"{file}: {fault}") from fault


def _domains(root: Path) -> dict[Path, str]:
    """The files that have a catalogue of their own."""
    found = {path: INTERFACE for pattern in INTERFACE_FILES for path in root.glob(pattern)}
    return found | {path: SAFETY for pattern in SAFETY_FILES for path in root.glob(pattern)}


def _other(path: Path) -> str:
    return PROCEDURES if path.suffix == ".yaml" else ERRORS


def templates(root: Path) -> dict[str, Catalog]:
    """The catalogue of each domain, without translations."""
    found = sorted(texts(root), key=lambda text: (DOMAINS.index(text.domain), text.file, text.line))
    owner: dict[str, str] = {}
    made = {domain: Catalog(project="Cover", version="coach", domain=domain, charset="utf-8") for domain in DOMAINS}
    for text in found:
        id = text.words if isinstance(text.words, str) else text.words[0]
        domain = owner.setdefault(id, text.domain)
        comments = [text.where] if text.where else []
        flags = {"python-format"} if "%(" in id else ()
        made[domain].add(text.words, locations=[(text.file, text.line)], auto_comments=comments, flags=flags)
    return made
