"""The tests' own language 'xx': every English text accented, 40 % longer and in brackets, made when the tests run.

What is shown in it and still has a plain vowel in a word has escaped translation; what is cut in it will be cut in
another language.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from coach import language, paths
from coach.language import PSEUDO
from coach.language_tools.catalogues import Key, Words, key_of, update
from coach.language_tools.checks import COMMANDS
from coach.language_tools.sources import templates

ROOT = Path(__file__).resolve().parents[2]
LONGER, WORD_LONGER = 1.4, 0.2
_ACCENTED = str.maketrans("aeiouyAEIOUY", "áéíóúýÁÉÍÓÚÝ")
_KEPT = re.compile(r"%\(\w+\)[sd]|" + "|".join(re.escape(word) for word in COMMANDS))
_PLAIN = re.compile(r"[A-Za-z]*[aeiouyAEIOUY][A-Za-z]*")


def pseudo(text: str) -> str:
    """An English text in the language xx; slots and commands stay as they are."""
    parts, at = [], 0
    for kept in _KEPT.finditer(text):
        parts += [_accented(text[at : kept.start()]), kept[0]]
        at = kept.end()
    parts.append(_accented(text[at:]))
    return f"«{''.join(parts)}»"


def _accented(text: str) -> str:
    """Every vowel accented, words a fifth longer by doubled vowels, and more little words at the end up to LONGER."""
    made = "".join(_word(word) if word.strip() else word for word in re.split(r"(\s+)", text.translate(_ACCENTED)))
    tail = ""
    while text.strip() and len(made) + len(tail) < len(text) * LONGER:
        tail += " úú"
    return made.rstrip() + tail + made[len(made.rstrip()) :]


def _word(word: str) -> str:
    spare = round(len(word) * WORD_LONGER)
    made = ""
    for letter in word:
        made += letter
        if spare > 0 and letter in "áéíóúýÁÉÍÓÚÝ":
            made += letter.lower()
            spare -= 1
    return made


def write_pseudo(folder: Path, root: Path = ROOT) -> None:
    """Write the catalogues of xx into a locale folder."""
    made = templates(root)
    words: dict[Key, Words] = {}
    for catalogue in made.values():
        for message in catalogue:
            if message.id:
                key = key_of(message)
                words[key] = pseudo(key) if isinstance(key, str) else (pseudo(key[0]), pseudo(key[1]))
    update(folder, made, PSEUDO, words)


@contextmanager
def speaking(folder: Path) -> Iterator[None]:
    """The program can speak xx, whose catalogues stand in a folder (`write_pseudo`), and counts it as reviewed.

    English again afterwards; tests of screens use `tests.tablet.screens.speaking_pseudo`, which tells the screens too.
    """
    kept, reviewed = paths.locale, dict(language.REVIEWED)
    paths.locale = lambda: folder
    language.REVIEWED[PSEUDO] = True
    language.catalogue.cache_clear()
    try:
        yield
    finally:
        paths.locale = kept
        language.REVIEWED.clear()
        language.REVIEWED.update(reviewed)
        language.catalogue.cache_clear()
        language.use("en")


def escaped(text: str, allowed: Iterable[str]) -> list[str]:
    """The words of a shown text that are plain English still. allowed: names, citations and other texts of their own."""
    for own in sorted(allowed, key=len, reverse=True):
        text = text.replace(own, " ")
    return [word for word in _PLAIN.findall(text) if len(word) > 2]
