"""The emergency cards: the five that issue from the work's dangers, each short enough to be read while it burns."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from coach import paths
from tests.procedures.readability import read, words

CARDS = ("burn", "fire-on-film", "fuel-smell", "gas-leak", "person-under-cover")
FOLDER = Path(paths.procedures()) / "cards"


def card(id: str) -> dict[str, object]:
    """The card's text, every scalar as it is written."""
    return yaml.load((FOLDER / f"{id}.yaml").read_text("utf-8"), yaml.BaseLoader)


def test_the_five_cards_are_there_and_no_others() -> None:
    assert tuple(sorted(path.stem for path in FOLDER.glob("*.yaml"))) == CARDS


@pytest.mark.parametrize("id", CARDS)
def test_a_card_has_nine_short_lines_at_most(id: str) -> None:
    found = card(id)
    lines = found["lines"]
    assert set(found) == {"card", "title", "lines"}
    assert found["card"] == id
    assert isinstance(lines, list)
    assert 1 <= len(lines) <= 9
    assert all(isinstance(line, str) and len(words(line)) <= 14 and line.endswith(".") for line in lines)
    assert read(lines).grade <= 5


@pytest.mark.parametrize("id", ["fire-on-film", "fuel-smell", "burn", "person-under-cover"])
def test_where_a_flame_may_burn_it_goes_out_first(id: str) -> None:
    assert str(card(id)["lines"][0]).startswith("Put the tool out")  # type: ignore[index]


@pytest.mark.parametrize("id", CARDS)
def test_every_card_says_when_to_call_the_emergency_number(id: str) -> None:
    assert any("emergency number" in str(line) for line in card(id)["lines"])  # type: ignore[attr-defined]
