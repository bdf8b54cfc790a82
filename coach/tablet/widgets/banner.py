"""The banner over every page of something that is not the real thing: what it is, the last news, and buttons."""

from __future__ import annotations

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import text  # noqa: F401  the .kv names its widgets

load(__file__)


class Banner(BoxLayout):
    """A coloured strip across. `title` says what this is, `words` the last news; `put` adds buttons at the right.

    In portrait the buttons stand under the words.
    """

    title = StringProperty("")
    words = StringProperty("")

    def put(self, button: Widget) -> None:
        """Add a button."""
        self.ids.right.add_widget(button)
