"""A place to sign by finger: strokes as whole numbers of 0 to 10000, so that any screen and the record agree.

Rules kept here:
 1. A stroke is a list of (x, y), x to the right and y upwards, each 0..10000 of the pad's width and height.
 2. Only a finger that began on the pad draws; its line is kept within the pad.
"""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, InstructionGroup
from kivy.input.motionevent import MotionEvent
from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.strokes import add_line
from coach.tablet.theme import theme
from coach.tablet.widgets import buttons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)

FULL = 10_000


class SigningField(Framed, Widget):
    """The field itself. Events: `on_drawn`."""

    strokes = ListProperty([])
    takes_drags = True

    __events__ = ("on_drawn",)

    def __init__(self, **kwargs: object) -> None:
        self._ink = InstructionGroup()
        self._again = Clock.create_trigger(self._draw, -1)
        super().__init__(**kwargs)
        self.canvas.add(self._ink)
        for name in ("pos", "size", "strokes"):
            self.fbind(name, lambda *_: self._again())
        theme.bind(dark=self._changed)

    def on_drawn(self) -> None:
        """A stroke ended."""

    def on_touch_down(self, touch: MotionEvent) -> bool:
        if self.disabled or not self.collide_point(*touch.pos):
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        self.strokes.append([self._share(touch)])
        return True

    def on_touch_move(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        point = self._share(touch)
        if point != self.strokes[-1][-1]:
            self.strokes[-1].append(point)
            self._again()
        return True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self.dispatch("on_drawn")
        return True

    def _share(self, touch: MotionEvent) -> tuple[int, int]:
        x = round((touch.x - self.x) / max(1, self.width) * FULL)
        y = round((touch.y - self.y) / max(1, self.height) * FULL)
        return max(0, min(FULL, x)), max(0, min(FULL, y))

    def _changed(self, *_: object) -> None:
        self._again()

    def _draw(self, *_: object) -> None:
        self._ink.clear()
        self._ink.add(Color(rgba=theme.ink))
        for stroke in self.strokes:
            points = [(self.x + x / FULL * self.width, self.y + y / FULL * self.height) for x, y in stroke]
            add_line(self._ink, points, 0.45 * theme.mm)


class SignaturePad(BoxLayout):
    """A field to sign in with a line, a name and a way to begin again. Events: `on_signed(strokes)` after each stroke.

    `strokes` a list of strokes; `who` the name under the line; `meaning` what the signature says.
    """

    strokes = ListProperty([])
    who = StringProperty("")
    meaning = StringProperty("")
    empty = BooleanProperty(True)
    beside = BooleanProperty(False)  # name and key beside the field, where it is wide: all of it stays in sight

    __events__ = ("on_signed",)

    def on_signed(self, strokes: list[list[tuple[int, int]]]) -> None:
        """A stroke was added, or all were taken away (then the list is empty)."""

    def on_kv_post(self, base_widget: Widget) -> None:
        self.ids.field.bind(on_drawn=self._take)

    def clear(self) -> None:
        """Take all strokes away."""
        self.ids.field.strokes = []
        self._take()

    def _take(self, *_: object) -> None:
        self.strokes = [[tuple(point) for point in stroke] for stroke in self.ids.field.strokes]
        self.empty = not self.strokes
        self.dispatch("on_signed", self.strokes)
