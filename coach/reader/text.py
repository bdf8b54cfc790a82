"""Bytes to text with lines: what a file may consist of before anybody looks at its YAML.

Rules kept here:
 1. A file is UTF-8 (a byte order mark is allowed), at most MAX_BYTES, and not empty.
 2. Characters that are invisible, that control a terminal, that turn the direction of text, or that look like a plain
    space and are none, are refused: an author must see what the machine reads.
Knows nothing of: YAML, procedures.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cached_property

from coach.core.problems import Place
from coach.reader.faults import Faults

MAX_BYTES = 1_000_000
MAX_SOURCE = 200  # characters of an author's line that a message shows

_BLANKS = "\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000"
_CONTROLS = "\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f"
_HIDDEN = (
    "\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ud800-\udfff\ufeff\ufff9-\ufffb\ufffe\uffff"
    "\U000e0000-\U000e007f"
)
_REFUSED = re.compile(f"[\t{_BLANKS}{_CONTROLS}{_HIDDEN}]")
_UNSHOWABLE = re.compile(f"[\t{_CONTROLS}{_HIDDEN}]")
_BREAK = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True)
class Source:
    """A file's text in lines, for pointing into it."""

    file: str
    text: str
    lines: tuple[str, ...]

    @cached_property
    def shown(self) -> tuple[str, ...]:
        """The lines as a message shows them: not too long, and without what a screen could not show."""
        return tuple(_shown(line) for line in self.lines)

    def place(self, line: int, column: int, path: str = "") -> Place:
        """The place at a line and column that count from 0, with the author's own line if it can be shown."""
        source = self.shown[line] if column <= MAX_SOURCE and line < len(self.shown) else ""
        return Place(self.file, line + 1, column + 1, path, source)


def _shown(line: str) -> str:
    if len(line) > MAX_SOURCE:
        line = line[:MAX_SOURCE] + "..."
    return (line if line.isprintable() else _UNSHOWABLE.sub("\ufffd", line)).rstrip()


def hidden_character(text: str) -> str | None:
    """The name of the first character in a value that a screen could not show honestly, or None."""
    if text.isprintable():
        return None
    match = _UNSHOWABLE.search(text.replace("\n", " "))
    return character_name(match[0]) if match else None


def character_name(char: str) -> str:
    """A character in words: 'U+200B ZERO WIDTH SPACE'."""
    return f"U+{ord(char):04X} {unicodedata.name(char, 'control character')}"


def read_text(data: bytes, file: str, faults: Faults) -> Source | None:
    """The text of a file, or None with the faults noted."""
    if len(data) > MAX_BYTES:
        faults.add(
            "P101", "the file is larger than %(most)s bytes", "no procedure is that long, and reading it would stall",
            "split it into parts", Place(file), most=MAX_BYTES,
        )
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        _not_utf8(data, error.start, file, faults)
        return None
    source = Source(file, text, tuple(_BREAK.split(text)))
    before = len(faults.found)
    _check_characters(source, faults)
    return source if len(faults.found) == before else None


def _not_utf8(data: bytes, at: int, file: str, faults: Faults) -> None:
    start = max(data.rfind(b"\n", 0, at), data.rfind(b"\r", 0, at)) + 1
    ends = [end for end in (data.find(b"\n", at), data.find(b"\r", at)) if end >= 0]
    line = _BREAK.sub("", data[start : min(ends, default=len(data))].decode("utf-8", "replace"))
    number = len(_BREAK.split(data[:start].decode("latin-1"))) - 1
    column = len(data[start:at].decode("utf-8", "replace"))
    place = Source(file, "", ("",) * number + (line,)).place(number, column)
    faults.add(
        "P102", "byte %(byte)s is not UTF-8",
        "the file was saved in another encoding, so its letters cannot be trusted",
        "save the file again as UTF-8", place, byte=f"0x{data[at]:02X}",
    )


def _check_characters(source: Source, faults: Faults) -> None:
    """Notes the first refused character of every line that has one."""
    for number, line in enumerate(source.lines):
        match = None if line.isascii() and line.isprintable() else _REFUSED.search(line)
        if match:
            _refuse_character(match[0], source.place(number, match.start()), faults)


def _refuse_character(char: str, place: Place, faults: Faults) -> None:
    name = character_name(char)
    if char == "\t":
        faults.add(
            "P103", "a tab stands here", "a tab has no fixed width, so nobody can tell what it lines up with",
            "write spaces", place,
        )
    elif re.match(f"[{_BLANKS}]", char):
        faults.add(
            "P104", "a character that looks like a space and is none: %(name)s",
            "YAML does not take it as a space, so a key and its value run together", "write a plain space", place,
            name=name,
        )
    else:
        faults.add(
            "P105", "a character that cannot be seen: %(name)s", "what is read would differ from what is seen",
            "delete it", place, name=name,
        )
