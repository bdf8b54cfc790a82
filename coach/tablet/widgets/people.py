"""Tiles of people: who works, who watches, who signs. Picked from the crew, never typed."""

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
class Person:
    """One of the crew: `key`, name, role in words, and a reason why this person cannot be picked now ('' for none)."""

    key: str
    name: str
    role: str = ""
    barred: str = ""


def initials(name: str) -> str:
    """The first letters of the first and the last word of a name, in capitals."""
    words = name.split()
    return "".join(word[0] for word in (words[:1] + words[1:][-1:])).upper()


class PersonTile(Framed, ButtonBehavior, BoxLayout):
    """One person: initials in a disc, name, role; with `barred` the reason why not, and no touch."""

    key = StringProperty("")
    words = StringProperty("")
    role = StringProperty("")
    barred = StringProperty("")
    letters = StringProperty("")
    chosen = BooleanProperty(False)


class PersonTiles(Tiles):
    """The crew. Events: `on_choose(key)`. `people` a list of Person, `chosen` the key of the one who is chosen."""

    people = ListProperty([])
    chosen = StringProperty("")
    least = NumericProperty(56)

    __events__ = ("on_choose",)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("people", self._build)
        self.fbind("chosen", self._mark)
        self._build()

    def on_choose(self, key: str) -> None:
        """A person was tapped."""

    def _build(self, *_: object) -> None:
        self.clear_widgets()
        for person in self.people:
            tile = PersonTile(key=person.key, words=person.name, role=person.role, barred=person.barred,
                              letters=initials(person.name), disabled=bool(person.barred))
            tile.bind(on_release=lambda touched: self._take(touched.key))
            self.add_widget(tile)
        self._mark()

    def _mark(self, *_: object) -> None:
        for tile in self.children:
            tile.chosen = bool(self.chosen) and tile.key == self.chosen

    def _take(self, key: str) -> None:
        self.chosen = key
        self.dispatch("on_choose", key)
