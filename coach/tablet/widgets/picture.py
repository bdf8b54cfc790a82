"""Shows a drawing, as large as its place allows, drawn anew when place, theme or density change."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from coach.tablet import canvas
from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.widgets.frame import Framed
from coach.view.paper import Sheet, lay

load(__file__)

FAINT = 0.62  # how much of the card lies over a pale picture


class PictureView(Framed, Widget):
    """Draws `drawing` (a coach.view.drawing.Drawing or None) on a card of its own, `margin` millimetres inside.

    `pale` draws it faint: a picture that is not of what stands typed. `sheet` is what was laid out last, for tests and for what must know where a part is.
    """

    drawing = ObjectProperty(None, allownone=True)
    margin = NumericProperty(3)
    pale = BooleanProperty(False)
    fill = ColorProperty([1, 1, 1, 1])

    def __init__(self, **kwargs: object) -> None:
        self.sheet: Sheet | None = None
        self._marks = InstructionGroup()
        self._again = Clock.create_trigger(self._draw, -1)
        super().__init__(**kwargs)
        self.canvas.add(self._marks)
        for name in ("pos", "size", "drawing", "margin", "pale"):
            self.fbind(name, lambda *_: self._again())
        theme.bind(dark=self._changed, mm=self._changed)  # bind, not fbind: the theme must not keep a dead picture
        self._again()

    def _changed(self, *_: object) -> None:
        self._again()

    def _draw(self, *_: object) -> None:
        edge = self.margin * theme.mm
        wide, high = (self.width - 2 * edge) / theme.mm, (self.height - 2 * edge) / theme.mm
        if self.drawing is None or wide < 10 or high < 10:
            self._marks.clear()
            self.sheet = None
            return
        self.sheet = lay(self.drawing, wide, high, canvas.measure)
        canvas.draw(self._marks, self.sheet, self.x + edge, self.y + edge)
        if self.pale:
            self._marks.add(Color(*self.fill[:3], FAINT))
            self._marks.add(Rectangle(pos=(self.x + edge / 2, self.y + edge / 2), size=(self.width - edge, self.height - edge)))
