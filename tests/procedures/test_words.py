"""The words of the trade: each has a plain meaning, a picture that exists, and a word that the procedures use."""

from __future__ import annotations

import pytest

from coach import paths
from coach.core.problems import ProcedureError
from coach.reader.words import read_words, trade_words
from coach.view.boat import PICTURES, typical_picture
from tests.procedures.readability import read, words

WORDS = trade_words(PICTURES)


@pytest.mark.parametrize("word", WORDS, ids=lambda word: word.id)
def test_a_word_is_explained_in_short_sentences(word) -> None:  # type: ignore[no-untyped-def]
    assert word.means.endswith(".")
    assert len(words(word.means)) <= 30
    assert word.picture == "" or typical_picture(word.picture) is not None


def test_they_read_as_easily_as_the_procedures() -> None:
    """Flesch-Kincaid grade 7 at most, 15 words a sentence on average, as for the steps (readability.py)."""
    found = read([word.means for word in WORDS])
    assert found.grade <= 7
    assert found.words / found.sentences <= 15


def test_every_word_is_one_that_a_hire_meets_in_a_procedure() -> None:
    met = "\n".join(path.read_text("utf-8") for path in paths.procedures().rglob("*.yaml") if path.parent.name != "words").lower()
    strangers = [word.name for word in WORDS if word.name.lower().split()[0].rstrip("s") not in met]
    assert strangers == []


def test_a_fault_is_said_with_its_place() -> None:
    text = b"words:\n  rub-rail:\n    name: Rub rail\n    meens: The bumper.\n    picture: crosssection\n"
    with pytest.raises(ProcedureError) as caught:
        read_words(text, "words.yaml", PICTURES)
    told = "\n".join(str(problem) for problem in caught.value.problems)
    assert "words.yaml:4:5" in told and "'meens'" in told and "'means'" in told
    assert "words.yaml:5:14" in told and "'cross-section'" in told
