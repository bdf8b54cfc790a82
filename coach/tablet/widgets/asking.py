"""What is asked, the picture with it marked, the numbers that follow, and the keypad: all in sight at once.

Rules kept here:
 1. The question, the picture and whole numbers stand in sight without scrolling; numbers that find no room are left to
    the numbers page, never cut.
 2. Where running times above leave too little room (`tight`), the keys keep their size and stay in sight: in landscape
    what stands typed and the big key go beside the numbers; what is wrong is said in the place of how to measure; then
    how to measure goes, then the picture. Only where that is not enough the page grows and scrolls as any other.
 3. What is typed moves nothing: no part comes or goes by a key.
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
PICTURE, SMALL_PICTURE = 42.0, 22.0  # mm, the least height of a picture; where room is short
FIGURE, FIGURE_COLUMN = 19.0, 34.0  # mm, the height that one number wants; the width where several stand side by side
ENTRY = 36.0  # mm, the width of what stands typed and the big key beside the numbers


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
    """Numbers one under the other, as many as find whole room; the widgets stay while their texts change.

    With `wide` they stand in as many columns as there is width for.
    """

    stale = BooleanProperty(False)
    wide = BooleanProperty(False)
    edge = NumericProperty(20)

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("pos", "size", "children", "edge", "wide"):
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
        edge, gap = self.edge, theme.gap
        across = max(1, self.width - 2 * edge)
        columns = max(1, int((across + gap) // (FIGURE_COLUMN * theme.mm + gap))) if self.wide else 1
        every, top, room = self.children[::-1], self.top - edge / 2, True
        own = (across - (columns - 1) * gap) / columns
        for start in range(0, len(every), columns):
            line = every[start : start + columns]
            for place, row in enumerate(line):
                row.width, row.x = own, self.x + edge + place * (own + gap)
            high = max(row.minimum_height for row in line)
            room = room and top - high >= self.y
            for row in line:
                row.height, row.opacity, row.y = high, 1 if room else 0, top - high
            top -= high


class Asking(BoxLayout):
    """The question with its picture and numbers, beside the keypad or above it.

    `ask`, `how` the question and how to measure; `trouble` what is wrong with what stands typed; `stale` the sentence
    that says that picture and numbers are not of what stands typed, '' where they are. `room` is the height that the
    page has for it, `least` the one under which the page must scroll. `tight`: the room is short; `lean`: so short that
    how to measure goes; `pictured`: there is height for the picture; `told_least`: the height of what is told.
    """

    ask = StringProperty("")
    how = StringProperty("")
    trouble = StringProperty("")
    stale = StringProperty("")
    room = NumericProperty(0)
    least = NumericProperty(100)
    pad = ObjectProperty(None)
    counts = BooleanProperty(True)
    tight = BooleanProperty(False)
    lean = BooleanProperty(False)
    pictured = BooleanProperty(True)
    told_least = NumericProperty(0)

    def __init__(self, pad: Keypad, **kwargs: object) -> None:
        super().__init__(**kwargs)
        self.ids.place.add_widget(pad)
        pad.told = True
        self.pad = pad
        self._row = self.ids.row.__self__
        for name in ("ask", "how", "trouble", "stale"):
            self.ids[f"{name}_line"].bind(texture_size=self._measure)
        pad.bind(height=self._measure)
        pad.ids.typed.bind(height=self._measure)
        pad.ids.enter.bind(own_height=self._measure)
        self._row.bind(height=self._deepen)
        self.bind(room=self._measure, counts=self._measure, tight=self._deal)
        theme.bind(mm=self._measure, portrait=self._turn)
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

    def _line(self, name: str) -> float:
        line = self.ids[f"{name}_line"]
        return float(line.texture_size[1]) if line.words else 0.0

    def _measure(self, *_: object) -> None:
        """How much the parts want, which of them there is room for, and the height under which the page must scroll."""
        gap, mm, ask, how = theme.gap, theme.mm, self._line("ask"), self._line("how")
        below = gap + self.pad.height if theme.portrait else 0
        keys = 0 if theme.portrait else 4 * theme.touch + 3 * gap
        easy = ask + how + gap + PICTURE * mm + below
        easy = easy if theme.portrait else max(easy, self.pad.piled())
        self.tight = 0 < self.room < easy - 1
        if not self.tight:
            self.lean, self.pictured, self.told_least, self.least = False, True, 0, easy
            return
        parts = self.pad.ids
        entry = 0 if theme.portrait else parts.typed.height + gap + parts.enter.own_height
        row = max(entry, FIGURE * mm if self.counts else 0)
        wrong = self._line("trouble") + self._line("stale")
        self.lean = self.room < ask + max(how, wrong) + gap + row + below
        told = ask + (wrong if self.lean else max(how, wrong))
        self.told_least = told
        self.pictured = self.room - told - gap - below >= SMALL_PICTURE * mm
        self.least = max(told + gap + row + below, keys)

    def _turn(self, *_: object) -> None:
        self._measure()
        self._deal()

    def _deal(self, *_: object) -> None:
        """What stands typed goes beside the numbers, or back to its keys."""
        pad, slot = self.pad, self.ids.entry
        apart = self.tight and not theme.portrait
        if apart == pad.apart:
            return
        if not apart:
            slot.clear_widgets()
        pad.apart = apart
        if apart:
            slot.add_widget(pad.column)
        slot.width = ENTRY * theme.mm if apart else 0
        self._deepen()

    def _deepen(self, *_: object) -> None:
        self.pad.deep = self._row.height
