"""What is asked, the picture with it marked, the numbers that follow, and the keypad: all in sight at once.

Rules kept here:
 1. The question, the picture and whole numbers stand in sight without scrolling; numbers that find no room are left to
    the numbers page, never cut.
 2. Where even the least picture finds no room (running times above), the page grows and scrolls as any other.
Knows nothing of: measures, how numbers come about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.layout import Layout

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.widgets import icons, picture, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed
from coach.tablet.widgets.keypad import Keypad

load(__file__)

UNKNOWN = "?"


@dataclass(frozen=True)
class Figure:
    """One number: what it is, its value or '' while it waits, and what is wrong with it."""

    label: str
    value: str
    problem: str = ""


class FigureRow(BoxLayout):
    """A number's label over its value, or over what is wrong; `stale` tells that it is not of what stands typed."""

    label = StringProperty("")
    value = StringProperty("")
    problem = StringProperty("")
    stale = BooleanProperty(False)


class Figures(Framed, Layout):
    """Numbers one under the other, as many as find whole room; the widgets stay while their texts change."""

    stale = BooleanProperty(False)
    edge = NumericProperty(20)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("pos", "size", "children", "edge"):
            self.fbind(name, self._trigger_layout)

    def show(self, figures: Sequence[Figure], stale: bool = False) -> None:
        """Show these numbers, in their order."""
        while len(self.children) < len(figures):
            row = FigureRow(size_hint_y=None)
            row.bind(minimum_height=self._trigger_layout)
            self.add_widget(row)
        for row in self.children[: len(self.children) - len(figures)]:
            self.remove_widget(row)
        self.stale = stale
        for row, figure in zip(reversed(self.children), figures, strict=True):
            row.label, row.value, row.problem, row.stale = figure.label, figure.value or UNKNOWN, figure.problem, stale

    def do_layout(self, *_: object) -> None:
        """Rows from the top down; the first that finds no whole room, and all after it, are left out."""
        edge, top, room = self.edge, self.top - self.edge / 2, True
        for row in reversed(self.children):
            row.width, row.height = max(1, self.width - 2 * edge), row.minimum_height
            room = room and top - row.height >= self.y
            row.opacity = 1 if room else 0
            row.pos = self.x + edge, top - row.height
            top -= row.height


class Asking(BoxLayout):
    """The question with its picture and numbers, beside the keypad or above it.

    `ask`, `how` the question and how to measure; `trouble` what is wrong with what stands typed; `stale` the sentence
    that says that picture and numbers are not of what stands typed, '' where they are.
    """

    ask = StringProperty("")
    how = StringProperty("")
    trouble = StringProperty("")
    stale = StringProperty("")
    least = NumericProperty(100)
    pad = ObjectProperty(None)
    counts = BooleanProperty(True)

    def __init__(self, pad: Keypad, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.ids.place.add_widget(pad)
        pad.told = True
        self.pad = pad
        pad.bind(height=self._measure)
        for name in ("told", "place"):
            self.ids[name].bind(height=self._measure)
        theme.bind(mm=self._measure, portrait=self._measure)
        self._measure()

    @property
    def picture(self) -> picture.PictureView:
        """The picture."""
        found: picture.PictureView = self.ids.picture.__self__
        return found

    def show(self, figures: Sequence[Figure]) -> None:
        """Show these numbers; without any the picture takes their room."""
        self.counts = bool(figures)
        self.ids.figures.show(figures, bool(self.stale))

    def _measure(self, *_: object) -> None:
        """The height under which the page must scroll."""
        beside = self.ids.told.height + theme.gap + 42 * theme.mm
        self.least = beside + theme.gap + self.pad.height if theme.portrait else max(beside, self.pad.height)
