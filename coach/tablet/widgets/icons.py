"""Small signs drawn with lines, each with a shape of its own, so that no meaning hangs on colour."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, Line, Mesh
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.view.icons import ICONS, Ring, Shape, Stroke

load(__file__)


class Icon(Widget):
    """A sign of `coach.view.icons` by `name`, drawn in `colour` as large as the widget allows; '' draws nothing."""

    name = StringProperty("")
    colour = ColorProperty([0, 0, 0, 1])
    weight = NumericProperty(2.4)

    def __init__(self, **kwargs: object) -> None:
        self._again = Clock.create_trigger(self._draw, -1)
        super().__init__(**kwargs)
        for name in ("pos", "size", "name", "colour", "weight"):
            self.fbind(name, lambda *_: self._again())
        self._again()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if not self.name:
            return
        side = min(self.size)
        left, low = self.center_x - side / 2, self.center_y - side / 2
        with self.canvas:
            Color(rgba=self.colour)
            for part in ICONS[self.name]:
                self._part(part, left, low, side / 24)

    def _part(self, part: Stroke | Ring | Shape, left: float, low: float, unit: float) -> None:
        if isinstance(part, Ring):
            x, y, r = left + part.x * unit, low + part.y * unit, part.radius * unit
            if part.filled:
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r), segments=48)
            else:
                Line(circle=(x, y, r, 0, 360, 48), width=self.weight * unit / 2)
            return
        points = [(left + x * unit, low + y * unit) for x, y in part.points]
        flat = [value for point in points for value in point]
        if isinstance(part, Shape):
            vertices = [value for x, y in points for value in (x, y, 0, 0)]
            Mesh(vertices=vertices, indices=list(range(len(points))), mode="triangle_fan")
            return
        Line(points=flat, width=self.weight * unit / 2, cap="round", joint="round", close=part.closed)
