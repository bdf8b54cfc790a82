"""Reads the emergency cards: a title and at most nine short lines each.

    card: burn
    title: Burn
    lines:
      - Put the tool out.

Rules kept here:
 1. A card has one to nine lines; more cannot be read in an emergency.
 2. A card with a fault is an error of the program's data, said with its place; it is never shown in part.
Knows nothing of: screens.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from coach import paths
from coach.core.problems import ProcedureError
from coach.reader.faults import Faults
from coach.reader.fields import Fields
from coach.reader.files import read_bytes
from coach.reader.nodes import Scalar, read_tree

MOST_LINES = 9
KEYS = ("card", "title", "lines")


@dataclass(frozen=True)
class EmergencyCard:
    """One card."""

    id: str
    title: str
    lines: tuple[str, ...]


def read_card(data: bytes, file: str) -> EmergencyCard:
    """The card that the bytes of a file say. Raises ProcedureError: every fault, with its place."""
    faults = Faults(ProcedureError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    fields = Fields(tree, faults, "a card", KEYS)
    id = fields.scalar("card", required=True, due="the card's id")
    title = fields.text("title", required=True)
    lines = tuple(item.text for item in fields.list("lines", "lines") if isinstance(item, Scalar))
    if fields.usable and not 1 <= len(lines) <= MOST_LINES:
        faults.add("P230", "a card with %(count)s lines, 1 to %(most)s are due", "more cannot be read in an emergency",
                   "keep what saves people first", fields.place, count=len(lines), most=MOST_LINES)
    if id is not None and id.text != Path(file).stem:
        faults.add("P231", "the card is called '%(id)s' in a file called '%(file)s'", "a card is found by its file",
                   "give both one name", id.place, id=id.text, file=Path(file).name)
    faults.stop_if_any()
    return EmergencyCard(id.text if id else "", title, lines)


def emergency_cards(folder: Path | None = None) -> tuple[EmergencyCard, ...]:
    """All cards, what burns first. Raises ProcedureError: a card has a fault."""
    place = folder or paths.procedures() / "cards"
    cards = [read_card(read_bytes(path, path.name), path.name) for path in sorted(place.glob("*.yaml"))]
    first = ("fire-on-film", "gas-leak", "burn", "fuel-smell", "person-under-cover")
    return tuple(sorted(cards, key=lambda card: (first.index(card.id) if card.id in first else len(first), card.id)))
