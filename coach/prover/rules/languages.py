"""Texts that are missing in a language: a person would read English in the middle of their own."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings, texts


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """One problem a language, with how many texts are missing and the first of them."""
    for language, translate in around.translations.items():
        missing = {text: place for text, place in texts(procedure) if _has_words(text) and translate(text) == text}
        if missing:
            first, place = next(iter(missing.items()))
            shown = first if len(first) <= 60 else f"{first[:57]}..."
            yield Problem(
                "V507", "%(count)s texts are not translated into '%(language)s', the first is '%(first)s'",
                "a person would read English in the middle of their own language", "add them to the catalogue of that language",
                place, {"count": len(missing), "language": language, "first": shown},
            )


def _has_words(text: str) -> bool:
    return any(character.isalpha() for character in text)
