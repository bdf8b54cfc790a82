"""Where headings break: against every way to break them, tried one by one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coach.tablet.widgets.wrap import even_width

WORDS = st.lists(st.integers(1, 12).map(lambda size: "m" * size), min_size=1, max_size=9)


def broken(words: list[str], width: float) -> list[str]:
    """The lines that a greedy setter makes, letters one wide."""
    lines: list[str] = []
    for word in words:
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += " " + word
        else:
            lines.append(word)
    return lines


@given(WORDS, st.integers(12, 60))
def test_a_heading_takes_no_more_lines_and_none_of_them_is_wider(words: list[str], width: int) -> None:
    even = even_width(words, len, 1, width)
    assert even <= width
    assert len(broken(words, even)) == len(broken(words, width))


@given(WORDS, st.integers(12, 60))
def test_the_longest_line_is_as_short_as_the_lines_allow(words: list[str], width: int) -> None:
    """Every whole width is tried; two letters are what rounding may leave."""
    count = len(broken(words, width))
    best = next(
        each for each in range(1, width + 1) if len(broken(words, each)) == count and max(map(len, words)) <= each
    )
    even = even_width(words, len, 1, width)
    assert even <= max(best, width / 2) + 2 or count == 1


def test_no_last_word_stands_alone() -> None:
    words = ["Cut", "the", "uprights", "to", "length", "from", "straight", "wood."]
    assert broken(words, 40) == ["Cut the uprights to length from straight", "wood."]
    even = broken(words, even_width(words, len, 1, 40))
    assert even == ["Cut the uprights to length", "from straight wood."]
