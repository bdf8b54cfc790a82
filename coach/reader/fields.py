"""Reads one mapping of the tree, key by key, and says what was found where something else was due.

Rules kept here:
 1. A key that nobody asks for is refused, with the nearest key that exists: a slip must not be ignored.
 2. A value of the wrong kind is noted and read as nothing, so that one slip gives one fault.
 3. A word becomes a number or a yes here and nowhere else, and only in its one plain form.
Knows nothing of: what the values mean.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from coach.core.problems import Place, Problem, nearest
from coach.reader.faults import Faults, Phrase, Words, all_of, any_of, clip
from coach.reader.nodes import Mapping, Node, Scalar, Sequence, Unusable

ID = re.compile(r"[a-z][a-z0-9_-]{0,59}")
NAME = re.compile(r"[a-z][a-z0-9_]{0,59}")
_WHOLE = re.compile(r"0|[1-9][0-9]{0,8}")
MAX_TEXT = 2_000


def found(node: Node) -> Words:
    """What stands there, in an author's words."""
    if isinstance(node, Mapping):
        return Phrase("keys with values")
    if isinstance(node, Sequence):
        return Phrase("a list")
    if isinstance(node, Scalar) and not node.is_nothing:
        return f"'{clip(node.text)}'"
    return Phrase("nothing")


LIKELY = 0.75  # how near a word must be to one of only two that it is taken for a slip


def offer(word: str, known: Iterable[str]) -> Phrase:
    """How to mend an unknown word: the nearest known one, or all of them if none is near."""
    from difflib import SequenceMatcher

    words = list(known)
    near = nearest(word[:60].lower(), words)
    if near and (len(words) != 2 or SequenceMatcher(None, word.lower(), near).ratio() >= LIKELY):
        return Phrase("write '%(near)s'", {"near": near})
    if not words:
        return Phrase("declare it first, or delete it")
    if len(words) == 1:
        return Phrase("write '%(word)s', the only one there is, or delete it", {"word": words[0]})
    shown = words if len(words) <= 24 else [*words[:24], "..."]
    return Phrase("use one of: %(words)s", {"words": ", ".join(shown)})


class Fields:
    """A mapping whose keys are known beforehand. `about` names it for messages: 'a step'; `refused` are keys that the
    caller refuses itself, in better words."""

    def __init__(
        self, node: Node, faults: Faults, about: Words, known: tuple[str, ...], refused: tuple[str, ...] = ()
    ) -> None:
        self.faults = faults
        self.about = about
        self.place = node.place
        self.entries: dict[str, tuple[Scalar, Node]] = {}
        self.usable = isinstance(node, Mapping)
        self.lacks: list[str] = []
        self.lacking: Problem | None = None
        if isinstance(node, Mapping):
            self.entries = node.entries
            for key, _ in node.entries.values():
                if key.text not in known and key.text not in refused:
                    self._unknown(key, known)
        elif not isinstance(node, Unusable):
            faults.add(
                "P202", "%(found)s stands where %(about)s is due", "without its keys nothing can be read from it",
                "write it as keys with values: %(keys)s", node.place, found=found(node), about=about,
                keys=", ".join(known[:6]),
            )

    def _unknown(self, key: Scalar, known: tuple[str, ...]) -> None:
        self.faults.add(
            "P201", "%(about)s has no key '%(key)s'",
            "it would be passed over, and what was meant by it would be missing",
            "%(offer)s", key.place, about=self.about, key=clip(key.text), offer=offer(key.text, known),
        )

    def has(self, key: str) -> bool:
        """Whether the key was written."""
        return key in self.entries

    def node(self, key: str) -> Node | None:
        """The value as it stands, or None."""
        entry = self.entries.get(key)
        return entry[1] if entry else None

    def place_of(self, key: str) -> Place:
        """The place of the key's value, or of the mapping if the key is missing."""
        entry = self.entries.get(key)
        return entry[1].place if entry else self.place

    def scalar(self, key: str, required: bool = False, due: Words = "a text") -> Scalar | None:
        """The value as a text with its place, or None with a fault noted if it had to be there."""
        node = self.node(key)
        if node is None:
            if required and self.usable:
                self.missing(key)
            return None
        if isinstance(node, Scalar) and node.text.strip():
            return node
        if not isinstance(node, Unusable):
            self.wrong(key, node, due)
        return None

    def missing(self, key: str) -> None:
        """Notes that a key is not there; all keys that a mapping lacks make one fault."""
        self.lacks.append(f"'{key}'")
        mend = "add %(keys)s, each with a colon and its value" if len(self.lacks) > 1 else "add %(keys)s, with a colon and its value"
        problem = Problem(
            "P203", "%(about)s lacks %(keys)s", "every one needs it, and it cannot be guessed",
            mend, self.place, {"about": self.about, "keys": all_of(self.lacks)},
        )
        self.faults.note(problem, instead_of=self.lacking)
        self.lacking = problem

    def wrong(self, key: str, node: Node, due: Words) -> None:
        """Notes that a value is of another kind than is due."""
        self.faults.add(
            "P204", "'%(key)s' is %(found)s, expected %(due)s", "the reader guesses nothing",
            "after '%(key)s:' write %(due)s", node.place, key=key, found=found(node), due=due,
        )

    def text(self, key: str, required: bool = False) -> str:
        """A text for people, '' if it is not there."""
        scalar = self.scalar(key, required)
        if scalar is None:
            return ""
        if len(scalar.text) > MAX_TEXT:
            self.faults.add(
                "P205", "'%(key)s' is %(count)s characters long, expected %(most)s at most",
                "nobody reads that on a tablet in the cold", "say it shorter", scalar.place, key=key,
                count=len(scalar.text), most=MAX_TEXT,
            )
        return " ".join(scalar.text[:MAX_TEXT].split())

    def word(self, key: str, known: Iterable[str], required: bool = False) -> str:
        """One of the known words, '' if it is missing or another."""
        words = tuple(known)
        scalar = self.scalar(key, required, Phrase("one of %(words)s", {"words": any_of(words)}) if len(words) < 8 else "a word")
        if scalar is None:
            return ""
        if scalar.text in words:
            return scalar.text
        unknown_word(self.faults, scalar, f"'{key}'", words)
        return ""

    def id(self, key: str, required: bool = False, pattern: re.Pattern[str] = ID) -> Scalar | None:
        """An id with its place; a faulty one is noted and given all the same, so that what refers to it finds it."""
        scalar = self.scalar(key, required, "an id")
        if scalar is not None:
            check_id(self.faults, scalar, pattern)
        return scalar

    def flag(self, key: str) -> bool:
        """true or false, false if it is not there."""
        scalar = self.scalar(key, due="true or false")
        if scalar is None:
            return False
        if scalar.text not in ("true", "false"):
            self.wrong(key, scalar, "true or false")
        return scalar.text == "true"

    def whole(self, key: str, low: int, high: int, required: bool = False) -> int | None:
        """A whole number between low and high, both included; None if it is missing or another."""
        due = Phrase("a whole number from %(low)s to %(high)s", {"low": low, "high": high})
        scalar = self.scalar(key, required, due)
        if scalar is None:
            return None
        if _WHOLE.fullmatch(scalar.text) and low <= int(scalar.text) <= high:
            return int(scalar.text)
        self.wrong(key, scalar, due)
        return None

    def list(self, key: str, due: Words) -> tuple[Node, ...]:
        """The items of a list, () if it is not there."""
        node = self.node(key)
        if node is None or isinstance(node, Unusable):
            return ()
        if isinstance(node, Scalar) and node.text.strip() and "," not in node.text:
            self.faults.add(
                "P204", "'%(key)s' is %(found)s, expected %(due)s", "the reader guesses nothing",
                "write it in brackets: %(key)s: [%(word)s]", node.place,
                key=key, found=found(node), due=Phrase("a list of %(due)s", {"due": due}), word=clip(node.text.strip()),
            )
            return ()
        if not isinstance(node, Sequence):
            self.wrong(key, node, Phrase("a list of %(due)s", {"due": due}))
            return ()
        return node.items

    def words(self, key: str, due: Words, required: bool = False) -> tuple[Scalar, ...]:
        """A list of ids with their places; a repeated one is noted and left out. required: one must be there."""
        if required and self.usable and not self.has(key):
            self.missing(key)
        node = self.node(key)
        if required and isinstance(node, Sequence) and not node.items:
            self.faults.add(
                "P215", "'%(key)s' is an empty list", "at least one is needed", "name the %(due)s", node.place,
                key=key, due=due,
            )
        kept: dict[str, Scalar] = {}
        for item in self.list(key, due):
            if not isinstance(item, Scalar) or not item.text.strip():
                if not isinstance(item, Unusable):
                    self.wrong(key, item, Phrase("a list of %(due)s", {"due": due}))
            elif item.text in kept:
                self.faults.add(
                    "P206", "'%(word)s' stands twice in '%(key)s'", "once is meant, or something else was meant",
                    "delete one of them", item.place, word=clip(item.text), key=key,
                )
            elif check_id(self.faults, item):
                kept[item.text] = item
        return tuple(kept.values())

    def pairs(self, key: str, due: Words) -> tuple[tuple[Scalar, Node], ...]:
        """The keys and values of a mapping, () if it is not there."""
        node = self.node(key)
        if node is None or isinstance(node, Unusable):
            return ()
        if not isinstance(node, Mapping):
            self.wrong(key, node, due)
            return ()
        return tuple(node.entries.values())


def check_id(faults: Faults, scalar: Scalar, pattern: re.Pattern[str] = ID) -> bool:
    """Whether a scalar is an id; notes it if not. With NAME as the pattern: an id that formulas may read."""
    if pattern.fullmatch(scalar.text):
        return True
    joint = "_" if pattern is NAME else "-"
    near = re.sub(r"[^a-z0-9_-]+", joint, scalar.text[:60].lower()).strip("-_").lstrip("0123456789-_")
    near = near.replace("-", "_") if pattern is NAME else near
    faults.add(
        "P207", "'%(id)s' is not an id" if pattern is ID else "'%(id)s' is not an id that a formula can read",
        "ids are lower case letters, digits, '_' and '-', begin with a letter, and have at most 60 characters"
        if pattern is ID
        else "such ids are lower case letters, digits and '_', begin with a letter, and have at most 60 characters",
        "write '%(near)s'" if near else "choose a word", scalar.place, id=clip(scalar.text), near=near,
    )
    return False


def unknown_word(faults: Faults, scalar: Scalar, about: Words, known: tuple[str, ...]) -> None:
    """Notes a word that is none of the known ones."""
    faults.add(
        "P208", "unknown word '%(word)s' for %(about)s", "it means nothing here, and the reader guesses nothing",
        "%(offer)s", scalar.place, word=clip(scalar.text), about=about, offer=offer(scalar.text, known),
    )

