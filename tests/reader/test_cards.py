"""Emergency cards: the shipped ones, and what a card may not be."""

from __future__ import annotations

import pytest

from coach.core.problems import ProcedureError
from coach.reader.cards import emergency_cards, read_card


def test_the_shipped_cards_load_with_fire_first() -> None:
    cards = emergency_cards()
    assert [card.id for card in cards] == ["fire-on-film", "gas-leak", "burn", "fuel-smell", "person-under-cover"]
    assert all(1 <= len(card.lines) <= 9 for card in cards)


def test_ten_lines_are_refused() -> None:
    lines = "\n".join(f"  - Line {number}." for number in range(10))
    with pytest.raises(ProcedureError) as caught:
        read_card(f"card: long\ntitle: Long\nlines:\n{lines}\n".encode(), "long.yaml")
    assert "P230 a card with 10 lines, 1 to 9 are due" in str(caught.value)


def test_a_card_in_a_file_of_another_name_is_refused() -> None:
    with pytest.raises(ProcedureError) as caught:
        read_card(b"card: burn\ntitle: Burn\nlines: [Put the tool out.]\n", "fire.yaml")
    assert "the card is called 'burn' in a file called 'fire.yaml'" in str(caught.value)
