"""Small signs drawn with lines, each with a shape of its own, so that no meaning hangs on colour."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, Mesh, SmoothLine
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.strokes import add_dot, add_line
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
        self.canvas.add(Color(rgba=self.colour))
        for part in ICONS[self.name]:
            self._part(part, left, low, side / 24)

    def _part(self, part: Stroke | Ring | Shape, left: float, low: float, unit: float) -> None:
        half = self.weight * unit / 2
        if isinstance(part, Ring):
            x, y, radius = left + part.x * unit, low + part.y * unit, part.radius * unit
            if part.filled:
                add_dot(self.canvas, (x, y), radius)
            else:
                self.canvas.add(SmoothLine(circle=(x, y, radius, 0, 360, 64), width=half))
            return
        points = [(left + x * unit, low + y * unit) for x, y in part.points]
        if isinstance(part, Shape):
            vertices = [value for x, y in points for value in (x, y, 0, 0)]
            self.canvas.add(Mesh(vertices=vertices, indices=list(range(len(points))), mode="triangle_fan"))
            return
        add_line(self.canvas, points, half, part.closed)
