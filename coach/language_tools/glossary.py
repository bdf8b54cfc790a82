"""The agreed words for what is dangerous (locale/glossary.yaml), and whether a translation keeps them.

Rules kept here:
 1. A term found as a whole word in an English text must be there in the translation in one of its agreed forms: the
    word itself, or a form listed beside it (plural, verb). Capitals do not matter; a form that ends in * may go on.
 2. A longer term is looked for before a shorter one that it holds: 'fire watch' before 'fire'.
Knows nothing of: catalogues.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import yaml

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
FILE = "glossary.yaml"


@dataclass(frozen=True)
class Term:
    """A term. english: the forms that are looked for; words: by language, the agreed word first, then its other forms."""

    english: tuple[str, ...]
    words: Mapping[str, tuple[str, ...]]
    note: str


@dataclass(frozen=True)
class Glossary:
    """All terms and signal words."""

    terms: tuple[Term, ...]
    signals: Mapping[str, Mapping[str, str]]

    @staticmethod
    def load(folder: Path) -> Glossary:
        """The glossary of a locale folder.

        Raises:
            OSError: there is no file; KeyError or yaml.YAMLError: it is not as it should be.
        """
        plain = yaml.safe_load((folder / FILE).read_text(encoding="utf-8"))
        terms = tuple(
            Term(
                tuple(item["en"]),
                {code: tuple(words) for code, words in item.items() if code not in ("en", "note")},
                item.get("note", ""),
            )
            for item in plain["terms"]
        )
        return Glossary(terms, plain["signals"])

    def word(self, signal: str, code: str) -> str:
        """The agreed form of a signal word."""
        return str(self.signals[signal][code])

    @cached_property
    def _patterns(self) -> tuple[tuple[re.Pattern[str], Term, str], ...]:
        pairs = [(form, term) for term in self.terms for form in term.english]
        pairs.sort(key=lambda pair: -len(pair[0]))
        return tuple((re.compile(rf"\b{re.escape(form)}\b", re.IGNORECASE), term, form) for form, term in pairs)

    def faults(self, text: str, to: str, code: str) -> Iterator[str]:
        """Terms of the English that are not said with an agreed word."""
        rest = _SLOT.sub(" ", text)  # the name of a slot is no word that anybody reads
        for pattern, term, form in self._patterns:
            rest, count = pattern.subn(" ", rest)
            if count and not any(_form(word).search(to) for word in term.words[code]):
                yield f"'{form}' must be said as {' or '.join(term.words[code])}"


_SLOT = re.compile(r"%\(\w+\)[sd]")


def _form(word: str) -> re.Pattern[str]:
    """A word as it is looked for; one that ends in * may go on."""
    plain = re.escape(word.removesuffix("*"))
    return re.compile(rf"\b{plain}" + ("" if word.endswith("*") else r"\b"), re.IGNORECASE)
