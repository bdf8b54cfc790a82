"""Reads the translations out of a .po file, as fast as the first page of a tablet needs them.

Rules kept here:
 1. What is read is what Babel reads. A file in the form that `coach.language_tools` writes is read here, in a tenth of
    the time, since nobody asks places and comments of it; any other file is left to Babel, whole, faults and all.
 2. A guess (fuzzy) is no translation, and an empty one is none. No text of this program has a context, so a translation
    that is for one context only is none either.
Knows nothing of: which files there are, what is shown where there is no translation.
Called by: language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

# Lines of quoted text; the comments of an entry, none of which may say that it is a guess or in conflict.
_QUOTED = r'("[^"\\\n]*(?:\\.[^"\\\n]*)*"(?:\n"[^"\\\n]*(?:\\.[^"\\\n]*)*")*)'
_COMMENTS = r"(?:#(?![-~]|,[^\n]*fuzzy)[^\n]*\n)*"
_SINGLE = re.compile(rf"{_COMMENTS}msgid {_QUOTED}\nmsgstr {_QUOTED}")
_PLURAL = re.compile(rf"{_COMMENTS}msgid {_QUOTED}\nmsgid_plural {_QUOTED}((?:\nmsgstr\[\d\] {_QUOTED})+)")
_FORM = re.compile(rf"\nmsgstr\[(\d)\] {_QUOTED}")
_OUT_OF_USE = re.compile(r"#~[^\n]*(?:\n#~[^\n]*)*")
_HEAD_PLURALS = re.compile(r"^Plural-Forms: nplurals=(\d); plural=([^;]+);$", re.MULTILINE)
_HEAD_CHARSET = "Content-Type: text/plain; charset=utf-8\n"
_ESCAPED = re.compile(r'\\([\\abfnrtv"])')
_ESCAPES = {"a": "\a", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t", "v": "\v"}


@dataclass(frozen=True)
class Translations:
    """What a file translates. many: by (one, many), a form for each number that `plural` gives for a count.
    plural: the rule of the language, in C, as gettext writes it."""

    single: Mapping[str, str]
    many: Mapping[tuple[str, str], tuple[str, ...]]
    plural: str


def read(path: Path, language: str | None) -> Translations:
    """The translations of a file.

    Args:
        path: the .po file.
        language: as Babel names it, for a file that does not say its plural forms; None if Babel does not know it.

    Raises:
        OSError: it cannot be read.
        PoFileError (of Babel), ValueError: it is no catalogue.
    """
    data = path.read_bytes()
    return _plain(data) or _by_babel(data, language)


def _plain(data: bytes) -> Translations | None:
    """What is in a file of the form that Babel writes; None of any other form."""
    try:
        head, *blocks = data.decode("utf-8").strip("\n").split("\n\n")
    except UnicodeDecodeError:
        return None
    found = _SINGLE.fullmatch(head)
    if found is None or found[1] != '""':
        return None
    said = _text(found[2])
    plurals = _HEAD_PLURALS.search(said)
    if plurals is None or _HEAD_CHARSET not in said:
        return None
    single: dict[str, str] = {}
    many: dict[tuple[str, str], tuple[str, ...]] = {}
    seen, entries = {""}, 1
    for block in blocks:
        if found := _SINGLE.fullmatch(block):
            one = _text(found[1])
            if words := _text(found[2]):
                single[one] = words
        elif found := _PLURAL.fullmatch(block):
            one = _text(found[1])
            forms = [(int(number), _text(quoted)) for number, quoted in _FORM.findall(found[3])]
            if [number for number, _words in forms] != list(range(int(plurals[1]))):
                return None
            if all(words for _number, words in forms):
                many[one, _text(found[2])] = tuple(words for _number, words in forms)
        elif _OUT_OF_USE.fullmatch(block):
            continue
        else:
            return None
        seen.add(one)
        entries += 1
    return Translations(single, many, plurals[2]) if len(seen) == entries else None  # the same text twice: Babel says


def _text(quoted: str) -> str:
    """The text of lines in quotes."""
    text = quoted[1:-1].replace('"\n"', "")
    return _ESCAPED.sub(lambda found: _ESCAPES.get(found[1], found[1]), text) if "\\" in text else text


def _by_babel(data: bytes, language: str | None) -> Translations:
    from io import BytesIO

    from babel.messages.pofile import read_po

    catalogue = read_po(BytesIO(data), locale=language, ignore_obsolete=True, abort_invalid=True)
    single: dict[str, str] = {}
    many: dict[tuple[str, str], tuple[str, ...]] = {}
    for message in catalogue:
        if not message.id or message.fuzzy or message.context is not None:
            continue
        if isinstance(message.id, str):
            if message.string:
                single[message.id] = str(message.string)
        elif isinstance(message.string, tuple | list) and all(message.string):
            many[message.id[0], message.id[1]] = tuple(message.string)
    return Translations(single, many, catalogue.plural_expr)
