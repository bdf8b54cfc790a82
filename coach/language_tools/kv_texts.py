"""Takes the texts out of a Kivy language file: what is passed to `tr._` and `tr.n_`.

Rules kept here:
 1. Only the call itself is read, from its name to its closing bracket; the rest of the line may be any expression.
Knows nothing of: catalogues, Kivy. Called by Babel, by its name in pyproject.toml, and by `sources`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from io import BytesIO
from typing import IO, Any

from coach.language_tools.python_texts import Found, extract_python

_CALL = re.compile(r"(?<![\w.])(?:tr|app)\.(?:_|n_)\(")


def extract_kv(
    fileobj: IO[bytes], keywords: Collection[str], comment_tags: Collection[str], options: Mapping[str, Any]
) -> Iterator[Found]:
    """The texts of a .kv file as Babel takes them: line, function, text or (one, many), comments.

    Raises:
        ValueError: a call is not closed, or its text is an f-string.
    """
    text = fileobj.read().decode("utf-8")
    for match in _CALL.finditer(text):
        line = text.count("\n", 0, match.start()) + 1
        call = BytesIO(_balanced(text, match.start(), line).encode())
        for _line, name, words, comments in extract_python(call, keywords, comment_tags, options):
            yield line, name, words, comments


def _balanced(text: str, start: int, line: int) -> str:
    """The call from its first letter to the bracket that closes it."""
    depth, quote, place = 0, "", start
    while place < len(text):
        letter = text[place]
        if quote:
            if letter == "\\":
                place += 1
            elif letter == quote:
                quote = ""
        elif letter in "'\"":
            quote = letter
        elif letter in "([{":
            depth += 1
        elif letter in ")]}":
            depth -= 1
            if depth == 0:
                return text[start : place + 1]
        place += 1
    raise ValueError(f"line {line}: a call of tr._ is not closed")
