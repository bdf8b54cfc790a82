"""Text to a tree of nodes that know their place: the small, strict part of YAML that our files may use.

Rules kept here:
 1. Every scalar stays the text its author wrote; nothing is a number, a date or a yes before a schema asks for it.
 2. Anchors, aliases, tags, directives, merge keys, duplicate keys and a second document are refused.
 3. Any bytes at all give a tree or faults, in bounded time: depth and number of nodes are capped, nothing recurses.
Knows nothing of: procedures, policies; they read the tree with `fields`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from coach.core.problems import Place
from coach.reader.faults import Faults, clip
from coach.reader.syntax import note_syntax
from coach.reader.text import Source, hidden_character, read_text

MAX_DEPTH = 20
MAX_NODES = 60_000
_STUCK_COMMENT = re.compile(r"[|>][-+0-9]*#")
LOADER: type = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # some builds of the library lack its C part


@dataclass(frozen=True)
class Scalar:
    """A text with its place. span: first and last line and column, from 0; plain: written without quotes."""

    text: str
    place: Place
    plain: bool
    span: tuple[int, int, int, int]
    source: Source = field(repr=False, compare=False)

    @property
    def is_nothing(self) -> bool:
        """Whether no value was written at all, as after `why:`."""
        return self.plain and not self.text

    def at(self, index: int) -> Place:
        """The place of the text's character `index` in the file, if it can be told; else where the text begins.

        Quotes, line folding and indentation are seen through: the n-th visible character of the text is the n-th
        visible character between the scalar's ends, unless an escape stands there.
        """
        wanted = len("".join(self.text[:index].split()))
        marks = self._visible()
        if "".join(char for char, _, _ in marks) != "".join(self.text.split()) or not marks:
            return self.place
        if wanted < len(marks):
            _, line, column = marks[wanted]
        else:
            _, line, column = marks[-1]
            column += 1
        return self.source.place(line, column, self.place.path)

    def _visible(self) -> list[tuple[str, int, int]]:
        line, column, last_line, last_column = self.span
        marks = []
        for number in range(line, min(last_line + 1, len(self.source.lines))):
            row = self.source.lines[number]
            start = column if number == line else 0
            end = last_column if number == last_line else len(row)
            marks += [(row[at], number, at) for at in range(start, min(end, len(row))) if not row[at].isspace()]
        if self.plain or not marks:
            return marks
        if marks[0][0] in "|>":
            return [mark for mark in marks if mark[1] > line]
        return marks[1:-1]


@dataclass(frozen=True)
class Sequence:
    """A list with its place."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True)
class Mapping:
    """Keys with their values, in the author's order."""

    entries: dict[str, tuple[Scalar, Node]]
    place: Place


@dataclass(frozen=True)
class Unusable:
    """A value that was refused; its fault is noted, so nothing more is said of it."""

    place: Place


Node = Scalar | Sequence | Mapping | Unusable


@dataclass
class _Open:
    """A list or mapping whose end has not been read."""

    place: Place
    is_mapping: bool
    items: list[Node] = field(default_factory=list)
    entries: dict[str, tuple[Scalar, Node]] = field(default_factory=dict)
    key: Scalar | None = None
    drops_value: bool = False
    is_flow: bool = False

    @property
    def awaits_key(self) -> bool:
        return self.is_mapping and self.key is None and not self.drops_value

    def child_path(self) -> str:
        before = f"{self.place.path} > " if self.place.path else ""
        if not self.is_mapping:
            return f"{before}item {len(self.items) + 1}"
        return f"{before}{self.key.text[:60]}" if self.key else self.place.path

    def closed(self) -> Node:
        if self.is_mapping:
            return Mapping(self.entries, self.place)
        return Sequence(tuple(self.items), self.place)


def read_tree(data: bytes, file: str, faults: Faults) -> Node | None:
    """The tree of a file, or None if no tree can be made. What is wrong is noted in `faults`, all of it.

    Args:
        data: the file's bytes, any bytes.
        file: the name to be shown in places.
    """
    source = read_text(data, file, faults)
    if source is None:
        return None
    builder = _Builder(source, faults)
    try:
        for event in yaml.parse(source.text, Loader=LOADER):
            if not builder.take(event):
                return None
    except (yaml.YAMLError, ValueError) as error:  # ValueError: an escape beyond Unicode, in the pure Python scanner
        note_syntax(error, source, faults)
        return None
    if builder.root is None:
        faults.add(
            "P106", "the file is empty", "nothing can be read from it", "write the file, or restore it from a copy",
            Place(file),
        )
    return builder.root


class _Builder:
    """Takes events one by one and builds the tree with a stack of its own."""

    def __init__(self, source: Source, faults: Faults) -> None:
        self.source = source
        self.faults = faults
        self.root: Node | None = None
        self.stack: list[_Open] = []
        self.nodes = 0
        self.documents = 0

    def take(self, event: Any) -> bool:
        """Takes one event; False if reading must end here."""
        if isinstance(event, yaml.DocumentStartEvent):
            return self._document(event)
        if isinstance(event, yaml.AliasEvent):
            self._alias(event)
        elif isinstance(event, yaml.ScalarEvent):
            self._add(self._scalar(event))
        elif isinstance(event, yaml.SequenceStartEvent | yaml.MappingStartEvent):
            self._refuse_marks(event)
            is_mapping = isinstance(event, yaml.MappingStartEvent)
            self.stack.append(_Open(self._place(event), is_mapping, is_flow=bool(event.flow_style)))
            return self._within_depth()
        elif isinstance(event, yaml.SequenceEndEvent | yaml.MappingEndEvent):
            self._add(self.stack.pop().closed())
        return self._within_number(event)

    def _document(self, event: Any) -> bool:
        self.documents += 1
        place = self._place(event)
        if event.version or event.tags:
            self.faults.add(
                "P107", "a line that begins with % speaks to the YAML reader", "this format has no directives",
                "delete that line", place,
            )
        if self.documents > 1:
            self.faults.add(
                "P108", "a second document begins here", "one file holds one procedure, part or policy; the rest "
                "would be left out unseen", "delete the line with '---', or move what follows to a file of its own",
                place,
            )
        return self.documents == 1

    def _within_depth(self) -> bool:
        if len(self.stack) <= MAX_DEPTH:
            return True
        self.faults.add(
            "P109", "values are nested deeper than %(most)s levels",
            "no procedure needs that, and reading it would stall",
            "take out the brackets or the indentation that nobody needs", self.stack[-1].place, most=MAX_DEPTH,
        )
        return False

    def _within_number(self, event: Any) -> bool:
        self.nodes += 1
        if self.nodes <= MAX_NODES:
            return True
        self.faults.add(
            "P110", "the file holds more than %(most)s values", "no procedure is that long, and reading it would stall",
            "split it into parts", self._place(event), most=MAX_NODES,
        )
        return False

    def _place(self, event: Any) -> Place:
        mark = event.start_mark
        return self.source.place(mark.line, mark.column, self.stack[-1].child_path() if self.stack else "")

    def _scalar(self, event: Any) -> Scalar:
        self._refuse_marks(event)
        start, end = event.start_mark, event.end_mark
        plain = not event.style
        place = self._place(event)
        if plain and not event.value and self.stack and self.stack[-1].key:
            place = self.stack[-1].key.place
        self._refuse_text(event, place)
        return Scalar(event.value, place, plain, (start.line, start.column, end.line, end.column), self.source)

    def _refuse_text(self, event: Any, place: Place) -> None:
        """Notes characters that cannot be seen, and texts that two builds of the YAML library read differently."""
        name = hidden_character(event.value)
        if name:
            self.faults.add(
                "P105", "a character that cannot be seen: %(name)s", "what is read would differ from what is seen",
                "take its escape out of the text", place, name=name,
            )
        why = "some builds of the YAML library read it otherwise than others"
        if not event.style and "?" in event.value and self.stack and self.stack[-1].is_flow:
            what = "a question mark in a text without quotes inside brackets"
            self.faults.add("P117", what, why, "put the text in quotes", place)
        line, column = event.start_mark.line, event.start_mark.column
        if event.style in ("|", ">") and _STUCK_COMMENT.match(self.source.lines[line], column):
            what = "a comment that touches the mark of a text over several lines"
            self.faults.add("P118", what, why, "write a space before the '#'", place)

    def _alias(self, event: Any) -> None:
        place = self._place(event)
        self.faults.add(
            "P111", "a text begins with '*', which YAML takes as an alias: *%(name)s",
            "aliases copy values unseen, so this format has none", "write the value itself, or put the text in quotes",
            place, name=clip(event.anchor),
        )
        self._add(Unusable(place))

    def _refuse_marks(self, event: Any) -> None:
        """Notes an anchor or a tag. (A tag of '!' on a quoted text counts: the author wrote it.)"""
        if event.anchor is not None:
            self.faults.add(
                "P112", "a text begins with '&', which YAML takes as an anchor: &%(name)s",
                "anchors are for aliases, and this format has none", "delete it, or put the text in quotes",
                self._place(event), name=clip(event.anchor),
            )
        if event.tag is not None:
            self.faults.add(
                "P113", "a text begins with '!', which YAML takes as a tag: %(name)s",
                "tags change what a value is, and this format has none", "delete it, or put the text in quotes",
                self._place(event), name=clip(event.tag),
            )

    def _add(self, node: Node) -> None:
        if not self.stack:
            self.root = node
            return
        parent = self.stack[-1]
        if not parent.is_mapping:
            parent.items.append(node)
        elif parent.awaits_key:
            self._take_key(parent, node)
        else:
            if parent.key:
                parent.entries[parent.key.text] = (parent.key, node)
            parent.key, parent.drops_value = None, False

    def _take_key(self, parent: _Open, node: Node) -> None:
        """Takes a key, or refuses it and has its value dropped."""
        if not isinstance(node, Scalar) or not node.text:
            if not isinstance(node, Unusable):
                self.faults.add(
                    "P114", "a key must be a word", "a value without a word before its colon has no meaning here",
                    "write a word before the colon", node.place,
                )
            parent.drops_value = True
        elif node.text == "<<":
            self.faults.add(
                "P115", "'<<' would merge another mapping in", "merging copies values unseen, so this format has none",
                "write the keys out", node.place,
            )
            parent.drops_value = True
        elif node.text in parent.entries:
            first = parent.entries[node.text][0].place
            self.faults.add(
                "P116", "the key '%(key)s' stands here for the second time, first in line %(line)s",
                "only one of the two could count, and nobody would see which", "delete one of them",
                node.place, key=clip(node.text), line=first.line,
            )
            parent.drops_value = True
        else:
            parent.key = node
