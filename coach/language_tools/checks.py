"""What is wrong with one translation, whatever it says: slots, signal words, plural forms, agreed words, commands.

Rules kept here:
 1. Every slot of the English stands in the translation, and no other.
 2. A signal word of the English stands there in its agreed form, in capitals.
 3. A term of the glossary in a safety text is said with its agreed word.
Knows nothing of: files.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.language_tools.catalogues import Key, Words
from coach.language_tools.glossary import SIGNALS, Glossary

_SLOT = re.compile(r"%\((\w+)\)([sd])")
_PER_CENT = re.compile(r"%(?!\(\w+\)[sd])")
# What is typed at the terminal is the same in every language.
COMMANDS = (
    "'light'",
    "'out'",
    "'reset'",
    "'resume'",
    "'quit'",
    "NAME=VALUE",
    "--boat",
    "--by",
    "policy.yaml",
    "coach walk",
)
PLURAL_FORMS = {"es": 2, "fr": 2, "pt_BR": 2, "ht": 2}


def faults_of(key: Key, words: Words, code: str, glossary: Glossary) -> list[str]:
    """Every fault of a translation, in words; empty if there is none."""
    if isinstance(key, tuple):
        if not isinstance(words, tuple) or len(words) != PLURAL_FORMS[code] or not all(words):
            return [f"needs {PLURAL_FORMS[code]} plural forms"]
        return [fault for form in words for fault in _faults(key[1], form, code, glossary)]
    if not isinstance(words, str) or not words.strip():
        return ["no translation"]
    return list(_faults(key, words, code, glossary))


def _faults(text: str, to: str, code: str, glossary: Glossary) -> Iterator[str]:
    slots, have = sorted(set(_SLOT.findall(text))), sorted(set(_SLOT.findall(to)))
    if slots != have:
        yield f"slots {_shown(have)}, expected {_shown(slots)}"
    if slots and len(_PER_CENT.findall(to)) != len(_PER_CENT.findall(text)):
        yield "a per cent sign more or less than in the English"
    if to != to.strip():
        yield "blanks at its ends"
    for signal in SIGNALS:
        if re.search(rf"\b{signal}\b", text) and glossary.word(signal, code) not in to:
            yield f"the signal word {signal} must be {glossary.word(signal, code)}"
    yield from (f"{word} must stand as it is" for word in COMMANDS if word in text and word not in to)
    yield from glossary.faults(text, to, code)


def _shown(slots: list[tuple[str, str]]) -> str:
    return " ".join(f"%({name}){kind}" for name, kind in slots) or "none"
