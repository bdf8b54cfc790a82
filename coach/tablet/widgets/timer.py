"""The face of a running time: the rest as a ring and as large figures; it is told the time, it reads no clock."""

from __future__ import annotations

from kivy.properties import NumericProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets

load(__file__)


def figures(seconds: float) -> str:
    """Seconds as minutes and seconds, from an hour on with hours: 59:07, 1:00:00. Never shows less than is left."""
    whole = max(0, int(-(-seconds // 1)))
    hours, rest = divmod(whole, 3600)
    minutes, last = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{last:02d}" if hours else f"{minutes}:{last:02d}"


class TimerFace(BoxLayout):
    """A time that runs down. `left` and `total` in seconds; `label` what is timed; `note` what must be done meanwhile.

    `state` running, held (stands still, with a reason in the note) or over.
    """

    left = NumericProperty(0)
    total = NumericProperty(1)
    label = StringProperty("")
    note = StringProperty("")
    state = OptionProperty("running", options=["running", "held", "over"])
    shown = StringProperty("")

    figures = staticmethod(figures)
