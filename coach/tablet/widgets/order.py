"""The order that takes the whole screen when a safeguard is lost at a flame: what the hands do, in the largest sentence.

Rules kept here:
 1. It stands on a page that is danger red all over (`PageBox.alarm`); the signal word and its sign come with it.
 2. The English follows it, small, where the language in use is not reviewed.
Source of the signal word and its colours: ANSI Z535.4; the panel is drawn by us.
"""

from __future__ import annotations

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets

load(__file__)


class OrderPanel(BoxLayout):
    """An order. `words` what the hands do now, `then` what they do next."""

    words = StringProperty("")
    then = StringProperty("")
