"""The bar that is always there: each safeguard in words and shape, or the first reason why heat is blocked.

Rules kept here:
 1. A state is told by word, shape and colour together: proven tick, missing ring, lapsed clock, withdrawn cross.
 2. With a reason set, the bar turns into that reason and the count of what is left.
 3. The whole bar is one target; `on_open` leads to the safeguards' own screen.
"""

from __future__ import annotations

from dataclasses import dataclass

from kivy.properties import BooleanProperty, ColorProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.tongue import tongue
from coach.tablet.widgets import body, icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)

SHAPES = {"proven": "tick", "missing": "hollow", "lapsed": "clock", "withdrawn": "cross", "unmet": "stop"}


@dataclass(frozen=True)
class Guard:
    """One safeguard as shown: `key`, its short name, and its state: proven, missing, lapsed, withdrawn or unmet."""

    key: str
    words: str
    state: str


def state_words(state: str) -> str:
    """The word of a state, translated."""
    _ = tongue._
    return {"proven": _("proven"), "missing": _("missing"), "lapsed": _("lapsed"), "withdrawn": _("lost"),
            "unmet": _("does not hold")}[state]


class GuardTile(Framed, BoxLayout):
    """One safeguard: its shape, its name, its state in a word."""

    words = StringProperty("")
    state = StringProperty("missing")
    state_word = StringProperty("")
    shape = StringProperty("hollow")
    fill = ColorProperty([0, 0, 0, 0])
    edge = ColorProperty([0, 0, 0, 0])
    inked = StringProperty("ink")


class SafeguardBar(ButtonBehavior, BoxLayout):
    """The bar. Events: `on_open`.

    `guards` a list of Guard; `reason` the first reason why heat is blocked ('' when it is not); `left` and `total`
    how many safeguards are still to be proven, of how many. `compact` shows the proven ones as one tile, for low
    screens.
    """

    guards = ListProperty([])
    reason = StringProperty("")
    left = NumericProperty(0)
    total = NumericProperty(0)
    compact = BooleanProperty(False)
    blocked = BooleanProperty(False)
    count_words = StringProperty("")

    __events__ = ("on_open",)

    def on_kv_post(self, base_widget: Widget) -> None:
        tongue.bind(_=self._build)
        for name in ("guards", "reason", "left", "total", "compact"):
            self.fbind(name, self._build)
        self._build()

    def on_open(self, *_: object) -> None:
        """The bar was tapped."""

    def on_release(self, *_: object) -> None:
        self.dispatch("on_open")

    def _build(self, *_: object) -> None:
        self.blocked = bool(self.reason)
        self.count_words = tongue._("%(left)d of %(total)d left") % {"left": self.left, "total": self.total}
        grid = self.ids.tiles
        grid.clear_widgets()
        for guard in [] if self.blocked else self._tiles():
            grid.add_widget(GuardTile(words=guard.words, state=guard.state, state_word=state_words(guard.state),
                                      shape=SHAPES[guard.state]))

    def _tiles(self) -> list[Guard]:
        proven = [guard for guard in self.guards if guard.state == "proven"]
        if not self.compact or len(proven) < 2:
            return list(self.guards)
        words = tongue.n_("%(count)d proven", "%(count)d proven", len(proven)) % {"count": len(proven)}
        together = Guard("", words, "proven")
        return [together, *(guard for guard in self.guards if guard.state != "proven")]
