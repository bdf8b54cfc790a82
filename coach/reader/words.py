"""Reads the words of the trade: a name, what it means, and the picture that shows it.

    words:
      rub-rail:
        name: Rub rail
        means: The bumper strip round the hull where it is widest.
        picture: cross-section

Rules kept here:
 1. A file with a fault is an error of the program's data, said with its place; it is never shown in part.
Knows nothing of: screens, which pictures there are beyond their names.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from coach import paths
from coach.core.problems import ProcedureError
from coach.reader.faults import Faults
from coach.reader.fields import Fields, check_id
from coach.reader.files import read_bytes
from coach.reader.nodes import read_tree

KEYS = ("name", "means", "picture")


@dataclass(frozen=True)
class TradeWord:
    """One word. picture: its name, or '' where words are enough."""

    id: str
    name: str
    means: str
    picture: str


def read_words(data: bytes, file: str, pictures: Collection[str]) -> tuple[TradeWord, ...]:
    """The words that the bytes of a file say, in their order. Raises ProcedureError: every fault, with its place."""
    faults = Faults(ProcedureError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    top = Fields(tree, faults, "the words of the trade", ("words",))
    if top.usable and not top.has("words"):
        top.missing("words")
    found = []
    for id, node in top.pairs("words", "words by their ids"):
        check_id(faults, id)
        fields = Fields(node, faults, f"'{id.text}'", KEYS)
        picture = fields.word("picture", pictures) if fields.has("picture") else ""
        found.append(TradeWord(id.text, fields.text("name", required=True), fields.text("means", required=True), picture))
    faults.stop_if_any()
    return tuple(found)


def trade_words(pictures: Collection[str], folder: Path | None = None) -> tuple[TradeWord, ...]:
    """The shipped words. Raises ProcedureError: the file has a fault."""
    path = (folder or paths.procedures() / "words") / "words.yaml"
    return read_words(read_bytes(path, path.name), path.name, pictures)
