"""A number that matters: its value large, what it is above it, why it is so below it, or what it waits for."""

from __future__ import annotations

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)


class NumberTile(Framed, BoxLayout):
    """A number. `label` what it is, `value` as it is shown, `why` how it came about, `take` what to fetch for it.

    `waits` names what it still waits for; while it holds something, no value is shown. `changed` marks a number that
    is new since the reader last saw it.
    """

    label = StringProperty("")
    value = StringProperty("")
    why = StringProperty("")
    waits = ListProperty([])
    changed = BooleanProperty(False)
    waiting = StringProperty("")
