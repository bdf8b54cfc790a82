"""Flashes the whole screen at a trip.

Rules kept here:
 1. One flash a second, a third of it bright: at most three in any second are allowed (WCAG 2.2, 2.3.1).
 2. The flash is a wash over the page: words stay readable through it, touches go through it, and it is not red.
Knows nothing of: when it is due.
"""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

PERIOD, BRIGHT = 1.0, 0.34  # s
WASH = 0.38


class Flash:
    """The flash over one widget, the root of the app."""

    def __init__(self, over: Widget) -> None:
        self._over = over
        self._on = False
        with over.canvas.after:
            self._colour = Color(1.0, 0.82, 0.0, 0.0)
            self._wash = Rectangle(pos=over.pos, size=(0, 0))
        over.bind(pos=lambda *_: self._place(), size=lambda *_: self._place())
        self._beat = Clock.create_trigger(self._next, BRIGHT)

    @property
    def bright(self) -> bool:
        """Whether the wash is on the screen now."""
        return self._colour.a > 0

    def __call__(self, on: bool) -> None:
        """Begin or end."""
        if on == self._on:
            return
        self._on = on
        self._beat.cancel()
        if on:
            self._shine(True)
        else:
            self._shine(False)

    def _shine(self, bright: bool) -> None:
        self._colour.a = WASH if bright else 0.0
        self._place()
        if self._on:
            self._beat.timeout = BRIGHT if bright else PERIOD - BRIGHT
            self._beat()

    def _next(self, _passed: float) -> None:
        self._shine(not self.bright)

    def _place(self) -> None:
        self._wash.pos = self._over.pos
        self._wash.size = self._over.size if self.bright else (0, 0)
