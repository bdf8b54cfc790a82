"""The keypad for a PIN: digits only, shown as dots, with leading zeros kept.

Rules kept here:
 1. What is keyed is never shown and is dropped as soon as it is handed on.
 2. The pad judges nothing; `trouble` shows what the screen made of the PIN.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import buttons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.keypad import Key

load(__file__)

ROWS = ("789", "456", "123")
LONGEST = 12


class PinPad(BoxLayout):
    """The pad. Events: `on_enter(pin)` with the big key, which opens from `least` digits on.

    `label` what is asked, `why` a sentence over it, `trouble` what is wrong, `enter_words` the big key's words, `count` how
    many digits are in. In landscape the keys stand beside the field, in portrait under it and larger;
    `close` keeps them small, on a sheet over a page.
    """

    label = StringProperty("")
    why = StringProperty("")
    close = BooleanProperty(False)
    trouble = StringProperty("")
    enter_words = StringProperty("")
    least = NumericProperty(4)
    count = NumericProperty(0)

    __events__ = ("on_enter",)

    def __init__(self, **kwargs: object) -> None:
        self._digits = ""
        super().__init__(**kwargs)

    def on_enter(self, pin: str) -> None:
        """The big key was tapped."""

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("orientation", self._place_enter)
        self._place_enter()
        for name in [*"".join(ROWS), "clear", "0", "erase"]:
            key = Key(types=name, words={"clear": "C"}.get(name, name), icon="erase" if name == "erase" else "",
                      quiet=not name.isdigit())
            key.bind(on_release=lambda touched: self.press(touched.types))
            self.ids.pad.add_widget(key)

    def _place_enter(self, *_: object) -> None:
        """The big key stands under the field where the keys are beside it, else under the keys."""
        key = self.ids.enter
        key.parent.remove_widget(key)
        (self if self.orientation == "vertical" else self.ids.left).add_widget(key)

    def press(self, key: str) -> None:
        """One key: a digit, erase or clear."""
        self.trouble = ""
        if key.isdigit():
            self._digits = (self._digits + key)[:LONGEST]
        else:
            self._digits = self._digits[:-1] if key == "erase" else ""
        self.count = len(self._digits)

    def enter(self) -> None:
        """Hand the PIN on, and forget it."""
        pin, self._digits, self.count = self._digits, "", 0
        self.dispatch("on_enter", pin)
