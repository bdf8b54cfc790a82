"""Rows of a list that lead somewhere, small badges, and a counter for things that are counted.

Rules kept here:
 1. A badge is a word in a frame with a sign; its colour only repeats what the word says.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.widgets import buttons, icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed
from coach.tablet.widgets.text import natural_width

load(__file__)

# mm: what a row's parts take of its width beside the words, as the .kv has them; the length of a line that reads well,
# and the width under which a badge never stands beside the lines.
BADGE, BADGE_SIGN, ICON, NEXT, LINES_END = 4.0, 9.6, 12.0, 7.0, 2.0
READABLE, NARROW = 50.0, 110.0

ROLES = ["safe", "danger", "warning", "caution", "notice", "plain"]


class Badge(Framed, BoxLayout):
    """A word in a frame: `words`, `icon`, and `role` safe, danger, warning, caution, notice or plain."""

    words = StringProperty("")
    icon = StringProperty("")
    role = OptionProperty("plain", options=ROLES)


class ListRow(Framed, ButtonBehavior, BoxLayout):
    """A row that leads on. Events: `on_act`.

    `words` and `note` are its lines, `icon` a sign before them, `badge`, `badge_icon` and `badge_role` its badge.
    `under`: the badge stands under the lines, for beside it they would find too little room.
    """

    key = StringProperty("")
    words = StringProperty("")
    note = StringProperty("")
    icon = StringProperty("")
    badge = StringProperty("")
    badge_icon = StringProperty("")
    badge_role = OptionProperty("plain", options=ROLES)
    under = BooleanProperty(False)

    __events__ = ("on_act",)

    def on_kv_post(self, base_widget: Widget) -> None:
        for name in ("width", "words", "note", "icon", "badge", "badge_icon"):
            self.fbind(name, self._place)
        theme.bind(note=self._place)
        self._place()

    def _place(self, *_: object) -> None:
        """Beside the badge the lines want their whole length, or as much as reads well in several lines."""
        if not self.badge:
            self.under = False
            return
        taken = natural_width(self.badge, theme.note, bold=True) + sum(self.padding[::2])
        taken += (BADGE_SIGN if self.badge_icon else BADGE) * theme.mm
        taken += ((ICON if self.icon else 0) + NEXT + LINES_END) * theme.mm
        lines = max(natural_width(self.words, theme.body, bold=True), natural_width(self.note, theme.note))
        wanted = min(lines, READABLE * theme.mm)
        self.under = self.width < NARROW * theme.mm or self.width - taken < wanted

    def on_act(self, *_: object) -> None:
        """The row was tapped."""

    def on_release(self, *_: object) -> None:
        self.dispatch("on_act")


class Counter(BoxLayout):
    """A count with a key less and a key more. Events: `on_counted(value)`. `value` stays within `least` and `most`.

    `stacked`: the label has a word that finds no room beside the keys, and stands over them.
    """

    label = StringProperty("")
    value = NumericProperty(0)
    least = NumericProperty(0)
    most = NumericProperty(99)
    stacked = BooleanProperty(False)
    widest = NumericProperty(0)  # pixels of the label's widest word
    keys = NumericProperty(0)  # pixels that the keys take

    __events__ = ("on_counted",)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("label", self._measure)
        theme.bind(body=self._measure)
        self._measure()

    def _measure(self, *_: object) -> None:
        self.widest = max((natural_width(word, theme.body, bold=True) for word in self.label.split()), default=0)

    def on_counted(self, value: int) -> None:
        """The value changed by a key."""

    def step(self, by: int) -> None:
        """Count up or down, within the bounds."""
        value = max(self.least, min(self.most, int(self.value) + by))
        if value != self.value:
            self.value = value
            self.dispatch("on_counted", value)
