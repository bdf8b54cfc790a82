"""The banner over every page of something that is not the real thing: what it is, the last news, and buttons."""

from __future__ import annotations

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.widgets import text  # noqa: F401  the .kv names its widgets

load(__file__)


class Banner(BoxLayout):
    """A coloured strip across. `title` says what this is, `words` the last news; `put` adds buttons at the right.

    In portrait the buttons stand under the words.
    """

    title = StringProperty("")
    words = StringProperty("")

    def __init__(self, **kwargs: object) -> None:
        self._wide: list[tuple[Widget, float]] = []
        super().__init__(**kwargs)
        theme.bind(portrait=self._fit)

    def put(self, button: Widget, wide: float = 0) -> None:
        """Add a button. wide: its width in landscape, mm; in portrait it takes what is left. 0: the button's own."""
        self.ids.right.add_widget(button)
        if wide:
            self._wide.append((button, wide))
            self._fit()

    def _fit(self, *_args: object) -> None:
        for button, wide in self._wide:
            button.size_hint_x = 1 if theme.portrait else None
            if not theme.portrait:
                button.width = wide * theme.mm
