"""A sheet over the screen that asks one thing: a title, a scrolling body, and buttons at its foot.

Rules kept here:
 1. A tap beside it never answers for the person: it only closes when `can_leave` is set, and then as 'left'.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.modalview import ModalView
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import body, buttons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.frame import Framed

load(__file__)


class DialogSheet(Framed, BoxLayout):
    """The sheet itself; the toolkit's own view draws the dark veil over the rest of the screen."""


class Dialog(ModalView):
    """The sheet. Events: `on_answer(key)`, and it closes; key '' when it was left without an answer.

    `title` what is asked, `words` one explanation; further widgets are added with `put`, buttons with `offer`.
    """

    title = StringProperty("")
    words = StringProperty("")
    can_leave = BooleanProperty(True)

    __events__ = ("on_answer",)

    def on_answer(self, key: str) -> None:
        """A button was used, or the sheet was left."""

    def put(self, widget: Widget) -> None:
        """Add a widget to the body."""
        self.ids.body.add_widget(widget)

    def offer(self, key: str, words: str, kind: str = "secondary", icon: str = "", hold: float = 0) -> BigButton:
        """Add a button to the foot; using it answers with its key."""
        button = BigButton(words=words, kind=kind, icon=icon, hold=hold)
        button.bind(on_act=lambda *_: self.answer(key))
        self.ids.foot.add_widget(button)
        return button

    def answer(self, key: str) -> None:
        """Close, and tell the answer."""
        self.dismiss(animation=False)
        self.dispatch("on_answer", key)

    def on_touch_down(self, touch: object) -> bool:
        inside = bool(self.collide_point(*touch.pos))  # type: ignore[attr-defined]
        if not inside and self.can_leave:
            self.answer("")
            return True
        return bool(super().on_touch_down(touch)) or True
