"""How far the job is: a measuring tape whose stretches are the stages; done is filled, the present one is named."""

from __future__ import annotations

from dataclasses import dataclass

from kivy.clock import Clock
from kivy.graphics import Color, Line, Rectangle
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.tongue import tongue
from coach.tablet.widgets import text  # noqa: F401  the .kv names its widgets

load(__file__)


@dataclass(frozen=True)
class StageMark:
    """One stage: its name, steps done, steps in all (1 or more)."""

    words: str
    done: int
    total: int


class TapeMeasure(Widget):
    """The tape: one stretch a stage, as long as its share of the steps, one tick a step; `thin` leaves the ticks out."""

    stages = ListProperty([])
    current = NumericProperty(0)
    thin = BooleanProperty(False)

    def __init__(self, **kwargs: object) -> None:
        self._again = Clock.create_trigger(self._draw, -1)
        super().__init__(**kwargs)
        for name in ("pos", "size", "stages", "current"):
            self.fbind(name, lambda *_: self._again())
        theme.bind(dark=self._changed)
        self._again()

    def _changed(self, *_: object) -> None:
        self._again()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        steps = sum(stage.total for stage in self.stages)
        if not steps:
            return
        unit, x = self.width / steps, self.x
        with self.canvas:
            Color(rgba=theme.card if self.thin else theme.wash)
            Rectangle(pos=self.pos, size=self.size)
            for place, stage in enumerate(self.stages):
                self._stage(stage, x, unit, place == self.current)
                x += stage.total * unit

    def _stage(self, stage: StageMark, x: float, unit: float, here: bool) -> None:
        Color(rgba=theme.good if stage.done >= stage.total else theme.primary)
        Rectangle(pos=(x, self.y), size=(stage.done * unit, self.height))
        for step in () if self.thin else range(1, stage.total):
            Color(rgba=theme.card if step < stage.done else theme.line)
            Line(points=(x + step * unit, self.y, x + step * unit, self.y + self.height * 0.45), width=0.09 * theme.mm)
        Color(rgba=theme.ink)
        Line(points=(x, self.y, x, self.top), width=0.2 * theme.mm)
        if here:
            Line(rectangle=(x, self.y, stage.total * unit, self.height), width=0.3 * theme.mm)


class StageLine(BoxLayout):
    """The tape as a line over a step: what is done is filled, the present stage is framed."""

    stages = ListProperty([])
    current = NumericProperty(0)


class ProgressByStage(BoxLayout):
    """The tape and a line of words under it. `stages` a list of StageMark, `current` the place of the present one."""

    stages = ListProperty([])
    current = NumericProperty(0)
    words = StringProperty("")

    def on_kv_post(self, base_widget: Widget) -> None:
        tongue.bind(_=self._say)
        self.fbind("stages", self._say)
        self.fbind("current", self._say)
        self._say()

    def _say(self, *_: object) -> None:
        if not 0 <= self.current < len(self.stages):
            self.words = ""
            return
        stage = self.stages[self.current]
        self.words = tongue._("Stage %(place)d of %(all)d: %(stage)s, %(done)d of %(total)d steps done") % {
            "place": self.current + 1, "all": len(self.stages), "stage": stage.words, "done": stage.done,
            "total": stage.total,
        }
