"""Text that is never cut: paragraphs that wrap and grow, and big values that shrink to their place.

Rules kept here:
 1. A text is given as `words`, plain; markup and symbol runs are made here.
 2. A paragraph is as high as its text at the width that it has; a fitted value is as large as its width allows.
"""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel
from kivy.properties import NumericProperty, OptionProperty, StringProperty
from kivy.uix.label import Label

from coach.tablet.fonts import SYMBOLS, TEXT, marked, runs
from coach.tablet.kv import load

load(__file__)


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
        for name in ("words", "font_size", "bold"):
            self.fbind(name, self._set)
        self._set()

    def _set(self, *_: object) -> None:
        self.text = marked(self.words)
        self.natural = natural_width(self.words, self.font_size, self.bold)


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


@lru_cache(maxsize=512)
def natural_width(words: str, size: float, bold: bool = False) -> int:
    """Width in pixels of the longest line of a text, without wrapping."""
    if not words:
        return 0
    return 1 + max(sum(_run(run, own, size, bold) for own, run in runs(line)) for line in words.split("\n"))


def _run(run: str, own: bool, size: float, bold: bool) -> int:
    ruler = CoreLabel(font_name=TEXT if own else SYMBOLS, font_size=size, bold=bold)
    wide: int = ruler.get_extents(run)[0]
    return wide
