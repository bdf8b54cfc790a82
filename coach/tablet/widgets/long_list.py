"""A long list in a scrolling body: only rows near the eyes are there, and a row that leaves is used again.

Rules kept here:
 1. The list is as high as all its rows. A row that was never shown counts as high as a row is likely to be.
 2. In a frame at most FRESH rows are set, the nearest to the middle of what is seen first.
 3. A row that is far away is set to another item; one that is pressed is left as it is. What has gone through many
    hands is one row, so scrolling makes no litter.
 4. A short list is built whole at once.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import Any

from kivy.clock import Clock
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from coach.tablet.theme import theme

FRESH = 2  # rows, set in one frame
SHORT = 20  # rows that are built at once
ROW = 18.0  # mm that a row is likely to be high


class LongList(Widget):
    """The list.

    make: a row of no item yet. show: lets a row show an item, whatever it showed before. items: in order.
    """

    def __init__(self, make: Callable[[], Widget], show: Callable[[Widget, Any], None], items: Sequence[Any]) -> None:
        super().__init__(size_hint_y=None)
        self._make, self._show, self._items = make, show, items
        self._heights = [ROW * theme.mm] * len(items)
        self._rows: dict[int, Widget] = {}  # those that are there, by place
        self._spare: list[Widget] = []
        self._look = Clock.create_trigger(self._see, 0)
        self._place = Clock.create_trigger(self._lay, -1)
        self._scroll: ScrollView | None = None
        for place in range(len(items) if len(items) <= SHORT else SHORT // 2):
            self._put(place)
        for name in ("x", "top", "width"):
            self.fbind(name, self._place)
        self._measure()
        if len(items) > SHORT:
            self._look()

    def _put(self, place: int) -> None:
        """Let a row show an item."""
        row = self._spare.pop() if self._spare else self._fresh()
        row.width = self.width
        self._show(row, self._items[place])
        self.add_widget(row, sum(other > place for other in self._rows))  # in reading order, the last one first
        self._rows[place] = row
        self._place()

    def _fresh(self) -> Widget:
        row = self._make()
        row.fbind("height", self._place)
        return row

    def _take(self, place: int) -> None:
        """Take a row away; its room stays."""
        row = self._rows.pop(place)
        self.remove_widget(row)
        self._spare.append(row)

    def _measure(self) -> None:
        """How high the list is, and where each item begins, counted from the top."""
        self._below = [0.0, *accumulate(high + theme.gap for high in self._heights)]
        self.height = max(0.0, self._below[-1] - theme.gap)

    def _lay(self, *_: object) -> None:
        for place, row in self._rows.items():
            row.width = self.width
            if row.height != self._heights[place]:
                self._heights[place] = row.height
                self._look()
        self._measure()
        for place, row in self._rows.items():
            row.pos = self.x, self.top - self._below[place] - row.height

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
        if scroll is None or not scroll.children or len(self._items) <= SHORT:
            return
        column = scroll.children[0]
        low = column.y + min(1.0, max(0.0, scroll.scroll_y)) * max(0.0, column.height - scroll.height)
        begin, end = self.top - low - scroll.height, self.top - low
        kept = self._between(begin - scroll.height, end + scroll.height)
        for place in [each for each, row in self._rows.items() if each not in kept and getattr(row, "state", "") != "down"]:
            self._take(place)
        near = self._between(begin - scroll.height / 2, end + scroll.height / 2)
        waiting = sorted((each for each in near if each not in self._rows), key=lambda each: abs(self._below[each] - (begin + end) / 2))
        for place in waiting[:FRESH]:
            self._put(place)
        if waiting:
            self._look()

    def _between(self, begin: float, end: float) -> range:
        """The items of which a part lies between two distances from the top of the list."""
        return range(max(0, bisect_right(self._below, begin) - 1), min(len(self._items), bisect_left(self._below, end)))
