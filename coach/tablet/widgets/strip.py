"""The slim strip of what runs at a job: a line for each time, and a key where one calls for somebody.

Rules kept here:
 1. It is told what runs; it reads no clock and keeps no time.
 2. A state is told by sign and words, colour only repeats it. A time that calls is a key of full size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kivy.properties import BooleanProperty, ListProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.widgets import body, icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)


@dataclass(frozen=True)
class RunningCell:
    """One time as shown: what is timed, its figures, its sign, whether it calls, and how urgent that is."""

    key: str
    words: str
    figures: str
    icon: str = "clock"
    calls: bool = False
    role: str = "plain"


class RunningLine(BoxLayout):
    """A time that runs: `icon`, `words`, `figures`."""

    key = StringProperty("")
    icon = StringProperty("clock")
    words = StringProperty("")
    figures = StringProperty("")


class CallingKey(Framed, ButtonBehavior, BoxLayout):
    """A time that calls for somebody. Events: `on_act`."""

    key = StringProperty("")
    icon = StringProperty("alert")
    words = StringProperty("")
    figures = StringProperty("")
    role = OptionProperty("caution", options=["caution", "danger", "safe"])

    __events__ = ("on_act",)

    def on_act(self, *_: object) -> None:
        """The key was tapped."""

    def on_release(self, *_: object) -> None:
        self.dispatch("on_act")


class Above(BoxLayout):
    """What stands above a page's body: bar and strip, side by side in landscape where `together` allows it.

    `spaced`: something lies between this and the title bar's signs, so that it keeps no distance of its own.
    """

    together = BooleanProperty(False)
    spaced = BooleanProperty(False)
    filled = BooleanProperty(False)  # with nothing to show it takes no room

    def add_widget(self, widget: Widget, *args: object, **kwargs: object) -> None:
        """Add a bar or a strip, and follow whether it shows anything."""
        super().add_widget(widget, *args, **kwargs)
        widget.bind(height=self._look)
        self._look()

    def _look(self, *_: object) -> None:
        self.filled = any(child.height > 0 for child in self.children)


class TimerStrip(BoxLayout):
    """The strip; nothing is drawn while nothing runs. Events: `on_take(key)` when a time that calls was tapped."""

    cells = ListProperty([])

    __events__ = ("on_take",)

    def __init__(self, **kwargs: object) -> None:
        self._shape: list[tuple[str, bool, str]] = []
        super().__init__(**kwargs)

    def on_take(self, key: str) -> None:
        """A time that calls was tapped."""

    def take(self, cells: Sequence[RunningCell]) -> None:
        """Show these times; only figures and words change while the same ones run."""
        shape = [(cell.key, cell.calls, cell.role) for cell in cells]
        if shape != self._shape:
            self._shape = shape
            self._build(cells)
        for made, cell in zip(reversed(self.ids.grid.children), cells, strict=True):
            made.figures, made.words, made.icon = cell.figures, cell.words, cell.icon
        self.cells = list(cells)

    def _build(self, cells: Sequence[RunningCell]) -> None:
        grid = self.ids.grid
        grid.clear_widgets()
        for cell in cells:
            if cell.calls:
                made = CallingKey(key=cell.key, icon=cell.icon, words=cell.words, figures=cell.figures, role=cell.role)
                made.bind(on_act=lambda touched, *_: self.dispatch("on_take", touched.key))
            else:
                made = RunningLine(key=cell.key, icon=cell.icon, words=cell.words, figures=cell.figures)
            grid.add_widget(made)
