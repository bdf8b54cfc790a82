"""A field for the few things that are typed: names, a reason in one's own words."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.textinput import TextInput

from coach.tablet.kv import load
from coach.tablet.widgets import text  # noqa: F401  the .kv names their widgets

load(__file__)


class Entry(TextInput):
    """The input itself, in the theme's colours, at most `longest` characters."""

    longest = NumericProperty(200)

    def insert_text(self, substring: str, from_undo: bool = False) -> None:
        """Take what still fits."""
        room = int(self.longest) - len(self.text)
        super().insert_text(substring[:max(0, room)], from_undo)


class Field(BoxLayout):
    """A labelled field. Events: `on_done(text)` when the reader leaves it with the enter key (one line only).

    `label` over it, `text` what is typed, `hint` shown while empty, `trouble` what is wrong, `lines` its height.
    """

    label = StringProperty("")
    text = StringProperty("")
    hint = StringProperty("")
    trouble = StringProperty("")
    lines = NumericProperty(1)
    secret = BooleanProperty(False)
    longest = NumericProperty(200)

    __events__ = ("on_done",)

    def on_done(self, typed: str) -> None:
        """The enter key was used."""
