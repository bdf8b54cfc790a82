"""A photo as evidence: the picture from its file, or an empty place that asks for it."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, still, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)


class PhotoTile(Framed, ButtonBehavior, BoxLayout):
    """A photo. Events: `on_take` when it is tapped. `source` the path of its file ('' for none yet), `words` what it
    shows, `note` where and when, `high` the picture's height in millimetres."""

    source = StringProperty("")
    words = StringProperty("")
    note = StringProperty("")
    taken = BooleanProperty(False)
    high = NumericProperty(40)

    __events__ = ("on_take",)

    def on_take(self, *_: object) -> None:
        """The tile was tapped: take the photo, or take it again."""

    def on_release(self, *_: object) -> None:
        self.dispatch("on_take")
