"""Surfaces: the card that groups what belongs together, and thin rules between groups."""

from __future__ import annotations

from kivy.properties import ColorProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import text  # noqa: F401  the .kv names its widgets
from coach.tablet.widgets.frame import Framed

load(__file__)


class Card(Framed, BoxLayout):
    """A raised sheet, as high as what is in it. `title` stands above the content, `fill` and `edge` are its colours."""

    title = StringProperty("")
    fill = ColorProperty([1, 1, 1, 1])
    edge = ColorProperty([0, 0, 0, 0])


class Rule(Widget):
    """A thin line across."""
