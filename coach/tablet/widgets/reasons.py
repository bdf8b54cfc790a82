"""The list of reasons why something may not be done now: each says what, why, and offers the one act that clears it."""

from __future__ import annotations

from dataclasses import dataclass

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import buttons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.body import Tiles

load(__file__)


@dataclass(frozen=True)
class ReasonLine:
    """One reason as shown: what is missing, why it matters, the words on the button that clears it ('' for none), and
    the English beside it where the language in use is not reviewed."""

    key: str
    what: str
    why: str = ""
    button: str = ""
    english: str = ""


class ReasonRow(BoxLayout):
    """One reason. Events: `on_clear`."""

    key = StringProperty("")
    what = StringProperty("")
    why = StringProperty("")
    button = StringProperty("")
    english = StringProperty("")
    place = NumericProperty(1)
    gate = BooleanProperty(False)

    __events__ = ("on_clear",)

    def on_clear(self, *_: object) -> None:
        """The button was used."""


class ReasonList(Tiles):
    """All reasons, in the order in which a person clears them. Events: `on_clear(key)`. `reasons` of ReasonLine."""

    reasons = ListProperty([])
    gate = BooleanProperty(False)

    __events__ = ("on_clear",)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("reasons", self._build)
        self.fbind("gate", self._build)
        self._build()

    def on_clear(self, key: str) -> None:
        """The button of one reason was used."""

    def _build(self, *_: object) -> None:
        self.clear_widgets()
        for place, reason in enumerate(self.reasons, 1):
            row = ReasonRow(key=reason.key, what=reason.what, why=reason.why, button=reason.button, english=reason.english,
                            place=place, gate=self.gate)
            row.bind(on_clear=lambda touched: self.dispatch("on_clear", touched.key))
            self.add_widget(row)
