"""The surface under tiles, keys, cards and buttons: rounded, framed, darker while a finger is on it."""

from __future__ import annotations

from kivy.properties import BooleanProperty, ColorProperty, ListProperty, NumericProperty

from coach.tablet.kv import load

load(__file__)


class Framed:
    """Mixed into a widget: `surface` and `frame` are colours, `frame_width` in pixels, `rounding` one or four radii.

    `pressed` darkens the surface. Two filled shapes, one in the other, because the toolkit's rounded line is uneven.
    """

    surface = ColorProperty([0, 0, 0, 0])
    frame = ColorProperty([0, 0, 0, 0])
    frame_width = NumericProperty(0)
    rounding = ListProperty([8])
    pressed = BooleanProperty(False)
