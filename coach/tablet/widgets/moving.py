"""A picture of a hand move that shows the move: slowly, a few times, then it stands still; a touch shows it again.

Rules kept here:
 1. What moves is geometry of the view; here it is only drawn, ten times a second, over the part that stands still.
 2. Nothing moves for ever: after `plays` times the still picture stands, and the screen may rest.
 3. Where the reader wants no motion it is the still picture from the beginning.
"""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import InstructionGroup
from kivy.input.motionevent import MotionEvent
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty

from coach.tablet import canvas
from coach.tablet.theme import theme
from coach.tablet.widgets.picture import PictureView
from coach.view.paper import over

BEAT = 0.1  # s between two places of the hand


class MovingPicture(PictureView):
    """`hint` a Motion of coach.view.pictures.motion; `moves` whether the reader wants it; `plays` how often; `playing` now."""

    hint = ObjectProperty(None, allownone=True)
    moves = BooleanProperty(True)
    plays = NumericProperty(2)
    playing = BooleanProperty(False)

    def __init__(self, **kwargs: object) -> None:
        self._passed = 0.0
        self._hand = InstructionGroup()
        self._beat = Clock.create_trigger(self._next, BEAT, interval=True)
        super().__init__(**kwargs)
        self.canvas.add(self._hand)
        if self.moves and self.hint is not None:
            self.play()

    @property
    def share(self) -> float:
        """Where the hand is on its way, 0 to 1."""
        return self._passed % self.hint.seconds / self.hint.seconds if self.playing else 1.0

    def play(self) -> None:
        """Show the move from its beginning."""
        self._passed, self.playing = 0.0, True
        self._beat()
        self._again()

    def rest(self) -> None:
        """Stand still."""
        self.playing = False
        self._beat.cancel()
        self._again()

    def on_parent(self, _picture: object, parent: object) -> None:
        """Taken off the screen: nothing moves any more."""
        if parent is None:
            self._beat.cancel()

    def on_touch_down(self, touch: MotionEvent) -> bool:
        """A touch shows the move again."""
        if self.moves and self.hint is not None and self.collide_point(*touch.pos):
            self.play()
            return True
        return bool(super().on_touch_down(touch))

    def _next(self, passed: float) -> None:
        self._passed += passed
        if self._passed >= self.plays * self.hint.seconds:
            self.rest()
        else:
            self._move()

    def _draw(self, *arguments: object) -> None:
        super()._draw(*arguments)
        self._hand.clear()
        if self.playing and self.sheet is not None:
            canvas.draw_marks(self._marks, self.sheet.without(self.hint.instead), *self._corner())
            self._move()

    def _move(self) -> None:
        if self.sheet is not None:
            canvas.draw_marks(self._hand, over(self.hint.at(self.share), self.sheet), *self._corner())

    def _corner(self) -> tuple[float, float]:
        edge = self.margin * theme.mm
        return self.x + edge, self.y + edge
