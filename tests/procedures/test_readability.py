"""The measure of readability itself: syllables against words counted by hand, the grade against a worked sum."""

from __future__ import annotations

import pytest

from tests.procedures.readability import Reading, read, sentences, syllables, words

# As the CMU Pronouncing Dictionary has them (words of the trade that it lacks: counted by hand).
COUNTED = {
    1: "film band hem weld tape strap hull knife flame gloves tool taped pulled cleat ridge gauge hose yard square",
    2: "vapour buckle buckles upright boatyard timber trailer propane marker petrol edges welded sections centre",
    3: "cylinder ventilate battery photograph carefully instructions heavier",
    4: "extinguisher combustible supervisor",
}


@pytest.mark.parametrize(("word", "count"), [(word, count) for count, line in COUNTED.items() for word in line.split()])
def test_syllables_are_those_of_a_speaker(word: str, count: int) -> None:
    assert syllables(word) == count


def test_a_sentence_ends_at_its_mark_and_not_inside_a_number() -> None:
    assert sentences("Cut 1.5 in off. Then stop! Why? Because") == ["Cut 1.5 in off", "Then stop", "Why", "Because"]


def test_words_keep_their_apostrophe_and_numbers_count() -> None:
    assert words("The film's edge, 6 in down.") == ["The", "film's", "edge", "6", "in", "down"]


def test_the_grade_is_the_published_formula() -> None:
    # Kincaid and others, 1975: 0.39 x 10 + 11.8 x 1.5 - 15.59 = 6.01
    assert Reading(words=100, sentences=10, syllables=150).grade == pytest.approx(6.01)


def test_several_texts_are_read_as_one() -> None:
    assert read(["Tape it.", "Pull the band tight."]) == Reading(words=6, sentences=2, syllables=6)
