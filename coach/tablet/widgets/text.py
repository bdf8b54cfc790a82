"""Text that is never cut: paragraphs that wrap and grow, and big values that shrink to their place.

Rules kept here:
 1. A text is given as `words`, plain; markup and symbol runs are made here.
 2. A paragraph is as high as its text at the width that it has; a fitted value is as large as its width allows.
 3. The lines of a heading are about equally long; no last word stands alone.
"""

from __future__ import annotations

import re
from functools import lru_cache

from kivy.core.text import Label as CoreLabel
from kivy.properties import NumericProperty, OptionProperty, StringProperty
from kivy.uix.label import Label

from coach.tablet.fonts import SYMBOLS, TEXT, marked, runs
from coach.tablet.kv import load
from coach.tablet.widgets.wrap import even_width

load(__file__)


HEADINGS = ("lead", "title")
SHORT = re.compile(r"(?<!\S)(\w) (?=\S)")


class Paragraph(Label):
    """Text that wraps at its width and is as high as it needs.

    `words` the plain text; `size_name` note, body, lead, title, order, number or clock; `tone` the name of a colour role.
    `natural` is the width that it would have without wrapping, in pixels.
    """

    words = StringProperty("")
    size_name = OptionProperty("body", options=["note", "body", "lead", "title", "order", "number", "clock"])
    tone = StringProperty("ink")

    natural = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("words", "font_size", "bold", "size_name"):
            self.fbind(name, self._set)
        self._set()

    def _set(self, *_: object) -> None:
        self.text = marked(self._kept())
        self.natural = natural_width(self.words, self.font_size, self.bold)

    def _kept(self) -> str:
        """The words, and in a heading no line ends in a word of one letter."""
        return SHORT.sub("\\1\u00a0", self.words) if self.size_name in HEADINGS else self.words

    def spare(self, width: float, natural: float, size_name: str, size: float) -> tuple[float, float, float, float]:
        """The padding that makes the lines of a heading equally long; none for other texts."""
        if size_name not in HEADINGS or natural <= width or "\n" in self.words:
            return 0, 0, 0, 0
        words = self._kept().split(" ")
        even = even_width(
            words, lambda word: natural_width(word, size, self.bold), natural_width(" ", size, self.bold), width
        )
        left = (width - even) / 2 if self.halign == "center" else 0
        return left, 0, width - even - left, 0


class Fitted(Label):
    """One line that is set as large as `largest`, and smaller where its width asks for it, never under `smallest`.

    Where even the smallest is too wide, it wraps, so that nothing is cut.
    """

    words = StringProperty("")
    tone = StringProperty("ink")
    largest = NumericProperty(60)
    smallest = NumericProperty(20)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("width", "words", "largest", "smallest", "bold"):
            self.fbind(name, self._fit)
        self._fit()

    def _fit(self, *_: object) -> None:
        self.text = marked(self.words)
        if not self.words or self.width <= 1:
            return
        wide = natural_width(self.words, self.largest, self.bold)
        size = self.largest if wide <= self.width else int(self.largest * self.width / wide)
        while size > self.smallest and natural_width(self.words, size, self.bold) > self.width:
            size -= 1
        self.font_size = max(self.smallest, size)


@lru_cache(maxsize=4096)
def natural_width(words: str, size: float, bold: bool = False) -> int:
    """Width in pixels of the longest line of a text, without wrapping."""
    if not words:
        return 0
    return 1 + max(sum(_run(run, own, size, bold) for own, run in runs(line)) for line in words.split("\n"))


def _run(run: str, own: bool, size: float, bold: bool) -> int:
    ruler = CoreLabel(font_name=TEXT if own else SYMBOLS, font_size=size, bold=bold)
    wide: int = ruler.get_extents(run)[0]
    return wide
