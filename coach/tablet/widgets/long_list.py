"""A long list in a scrolling body: only what is near the eyes is built, a few rows a frame, so that it scrolls smoothly.

Rules kept here:
 1. Rows stand in blocks. A block that is far away keeps its height and has no rows; one that comes near gets them.
 2. At most one block is built in a frame, the nearest to the middle of what is seen first.
 3. A short list is built whole at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from coach.tablet.theme import theme

Make = Callable[[], Widget]
BLOCK = 2  # rows, built in one frame
SHORT = 20  # rows that are built at once
ROW = 21.0  # mm that a row is likely to be high, with its gap


class Block(BoxLayout):
    """A few rows, or the room for them."""

    def __init__(self, rows: Sequence[Make]) -> None:
        super().__init__(orientation="vertical", size_hint_y=None, spacing=theme.gap, height=len(rows) * ROW * theme.mm)
        self._rows = rows
        self.bind(minimum_height=self._fit)

    @property
    def filled(self) -> bool:
        """Whether its rows are built."""
        return bool(self.children)

    def fill(self) -> None:
        """Build the rows."""
        for make in self._rows:
            self.add_widget(make())

    def empty(self) -> None:
        """Take the rows away; the room stays."""
        self.clear_widgets()

    def _fit(self, *_: object) -> None:
        if self.filled:
            self.height = self.minimum_height


class LongList(BoxLayout):
    """The list. rows: what makes each row, in order."""

    def __init__(self, rows: Sequence[Make]) -> None:
        super().__init__(orientation="vertical", size_hint_y=None, spacing=theme.gap)
        self.bind(minimum_height=self.setter("height"))
        self._look = Clock.create_trigger(self._see, 0)
        self._scroll: ScrollView | None = None
        self.blocks = [Block(rows[start : start + BLOCK]) for start in range(0, len(rows), BLOCK)]
        for place, block in enumerate(self.blocks):
            if len(rows) <= SHORT or place * BLOCK < SHORT / 2:
                block.fill()
            self.add_widget(block)
        if len(rows) > SHORT:
            self._look()

    def _holder(self) -> ScrollView | None:
        """The scrolling body that holds the list, once it is in one."""
        holder: Widget | None = self
        while self._scroll is None and holder is not None and holder is not holder.parent:
            holder = holder.parent
            if isinstance(holder, ScrollView):
                self._scroll = holder
                holder.bind(scroll_y=lambda *_: self._look(), height=lambda *_: self._look())
        return self._scroll

    def _see(self, *_: object) -> None:
        scroll = self._holder()
        if scroll is None or not scroll.children:
            return
        column = scroll.children[0]
        low = column.y + min(1.0, max(0.0, scroll.scroll_y)) * max(0.0, column.height - scroll.height)
        middle, near = low + scroll.height / 2, scroll.height
        waiting = []
        for block in self.blocks:
            away = abs(block.center_y - middle) - (block.height + scroll.height) / 2
            if away < near and not block.filled:
                waiting.append((away, block))
            elif away > 3 * near and block.filled:
                block.empty()
        if waiting:
            min(waiting, key=lambda each: each[0])[1].fill()
            self._look()
