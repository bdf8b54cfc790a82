"""What exchange finds is kept in English and read back, so that every language can show it."""

from __future__ import annotations

import pytest

from coach.core.problems import Phrase, Problem
from coach.record.found import found, told_otherwise, words_of
from coach.record.refusals import forked, is_practice


@pytest.mark.parametrize("problem", [forked("dunlin-1"), is_practice("dunlin-1")])
def test_a_file_that_tells_another_history_is_read_back_with_its_reason(problem: Problem) -> None:
    words = words_of(told_otherwise("dunlin-1", problem, "", 0).text)
    assert isinstance(words, Phrase)
    inner = words.slots["problem"]
    assert isinstance(inner, Phrase)
    assert (words.slots["code"], inner.template, inner.slots) == (problem.code, problem.what, {"job": "dunlin-1"})


@pytest.mark.parametrize("code", ["X302", "X303", "X304"])
def test_what_a_list_takes_back_is_read_back_whole(code: str) -> None:
    slots = {"tablet": "0123456789ab", "job": "dunlin-1", "had": "16", "now": "3", "number": "7"}
    text = found(code, "dunlin-1", slots, "", 0).text
    words = words_of(text)
    assert isinstance(words, Phrase) and str(words) == text
    assert words.slots == {name: slots[name] for name in words.slots} and len(words.slots) >= 2


@pytest.mark.parametrize("text", ["", "two copies of one tablet", "X301 says nothing that we know"])
def test_a_sentence_of_another_version_is_shown_as_it_was_kept(text: str) -> None:
    assert str(words_of(text)) == text
