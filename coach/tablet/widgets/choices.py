"""Tiles to choose from: one of several, or as many as hold; what is chosen is told by shape and frame."""

from __future__ import annotations

from dataclasses import dataclass

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.frame import Framed

load(__file__)


@dataclass(frozen=True)
class Choice:
    """One thing to choose: `key` for the program, `words` and a `note` for the person, a sign where it helps."""

    key: str
    words: str
    note: str = ""
    icon: str = ""


class ChoiceTile(Framed, ButtonBehavior, BoxLayout):
    """One tile. `chosen` fills its ring with a tick and thickens its frame."""

    key = StringProperty("")
    words = StringProperty("")
    note = StringProperty("")
    icon = StringProperty("")
    chosen = BooleanProperty(False)
    many = BooleanProperty(False)
    gate = BooleanProperty(False)


class ChoiceTiles(Tiles):
    """The tiles. Events: `on_choose(key)` at each tap.

    `options` a list of Choice; `chosen` the list of chosen keys, kept here; `many` allows more than one;
    `gate` True on screens with the larger targets and gaps.
    """

    options = ListProperty([])
    chosen = ListProperty([])
    many = BooleanProperty(False)
    gate = BooleanProperty(False)
    least = NumericProperty(56)

    __events__ = ("on_choose",)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("options", self._build)
        self.fbind("gate", self._build)
        self.fbind("chosen", self._mark)
        self._build()

    def on_choose(self, key: str) -> None:
        """A tile was tapped."""

    def _build(self, *_: object) -> None:
        self.clear_widgets()
        for option in self.options:
            tile = ChoiceTile(key=option.key, words=option.words, note=option.note, icon=option.icon, many=self.many,
                              gate=self.gate)
            tile.bind(on_release=lambda touched: self._take(touched.key))
            self.add_widget(tile)
        self._mark()

    def _mark(self, *_: object) -> None:
        for tile in self.children:
            tile.chosen = tile.key in self.chosen

    def _take(self, key: str) -> None:
        if not self.many:
            self.chosen = [key]
        elif key in self.chosen:
            self.chosen = [each for each in self.chosen if each != key]
        else:
            self.chosen = [*self.chosen, key]
        self.dispatch("on_choose", key)
