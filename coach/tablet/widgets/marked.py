"""One line of a list that is read, not touched: a sign or a time before it, and the text hanging beside that."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets

load(__file__)


class MarkedLine(BoxLayout):
    """A line. `mark` a short text before it or `icon` a sign, `words` the line, `note` what stands under it in small.

    `wide` is the mark's column in millimetres, so that the lines of a list begin under one another.
    """

    mark = StringProperty("")
    icon = StringProperty("")
    words = StringProperty("")
    note = StringProperty("")
    tone = StringProperty("ink")
    mark_tone = StringProperty("ink")
    bold = BooleanProperty(False)
    wide = NumericProperty(9)
