"""The bar at the top of every screen: where one is, the way back, and at most a few signs at the right."""

from __future__ import annotations

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets.buttons import IconButton

load(__file__)


class TopBar(BoxLayout):
    """Title bar. Events: `on_back`, `on_pick(key)` for one of `picks`.

    `title` and `under` are the two lines of text; `can_go_back` shows the way back; `picks` is a list of
    (key, icon, words) for the signs at the right; `gate` True on screens with the larger targets.
    """

    title = StringProperty("")
    under = StringProperty("")
    can_go_back = BooleanProperty(True)
    picks = ListProperty([])
    gate = BooleanProperty(False)

    __events__ = ("on_back", "on_pick")

    def on_back(self, *_: object) -> None:
        """The way back was tapped."""

    def on_pick(self, key: str) -> None:
        """One of the signs at the right was tapped."""

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("picks", self._build)
        self.fbind("gate", self._build)
        self._build()

    def _build(self, *_: object) -> None:
        self.ids.right.clear_widgets()
        for key, icon, words in self.picks:
            button = IconButton(icon=icon, words=words, gate=self.gate)
            button.bind(on_act=lambda _, chosen=key: self.dispatch("on_pick", chosen))
            self.ids.right.add_widget(button)
