"""The parts of a screen that hold the others: the scrolling body, the row of actions, the pair of panes.

Rules kept here:
 1. What does not fit scrolls, and a mark says that there is more below.
 2. In landscape two panes stand side by side, in portrait one under the other.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock
from kivy.input.motionevent import MotionEvent
from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets

load(__file__)


class PageBox(BoxLayout):
    """A page from edge to edge. `alarm` turns its ground danger red; `on_tick`, if set, is called once a second."""

    alarm = BooleanProperty(False)
    on_tick: Callable[[], None] | None = None

    def tick(self) -> None:
        """A second has passed."""
        if self.on_tick is not None:
            self.on_tick()


class BodyScroll(ScrollView):
    """The scrolling part of a ScrollBody. A widget inside with `takes_drags` (a field to sign in) gets its touches."""

    def on_touch_down(self, touch: MotionEvent) -> bool:
        if self.collide_point(*touch.pos) and self._draws(touch):
            touch.push()
            touch.apply_transform_2d(self.to_local)
            taken = any(child.dispatch("on_touch_down", touch) for child in self.children)
            touch.pop()
            return taken
        return bool(super().on_touch_down(touch))

    def _draws(self, touch: MotionEvent) -> bool:
        place = self.to_local(*touch.pos)
        return any(getattr(widget, "takes_drags", False) and widget.collide_point(*place)
                   for widget in self.walk(restrict=True))


class MoreMark(BoxLayout):
    """Says that there is more below."""


class ScrollBody(BoxLayout):
    """A column that scrolls when it is higher than its place. Children of the .kv rule land in the column.

    `more` is True while something is hidden below; `wanted` is the height that would show everything. `snug` takes the
    distance from the lower edge in, where that is all that is missing; what stands above keeps its distance.
    """

    more = BooleanProperty(False)
    snug = BooleanProperty(False)
    wanted = NumericProperty(0)

    def __init__(self, **kwargs: object) -> None:
        self._look = Clock.create_trigger(self._see, -1)
        super().__init__(**kwargs)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.bind(height=lambda *_: self._look())
        self.ids.scroll.bind(scroll_y=lambda *_: self._look(), height=lambda *_: self._look())
        self.ids.column.bind(height=lambda *_: self._look())
        self._look()

    def add_widget(self, widget: Widget, *args: object, **kwargs: object) -> None:
        """Add to the column; the parts of the body itself are added as usual."""
        column = self.ids.get("column") if self.ids else None
        if column is None or isinstance(widget, BodyScroll | MoreMark):
            super().add_widget(widget, *args, **kwargs)
        else:
            column.add_widget(widget, *args, **kwargs)

    def clear_widgets(self, children: list[Widget] | None = None) -> None:
        """Empty the column."""
        self.ids.column.clear_widgets(children)

    def fill(self, widget: Widget) -> None:
        """Keep the only widget of the column as high as the place that the body has, told as its `room`, or as its own `least`."""

        fitting = [False]

        def fit(*_: object) -> None:
            if fitting[0]:
                return
            fitting[0] = True
            widget.room = self.height - theme.gap - theme.pad
            if widget.least > widget.room:
                widget.room = self.height - theme.gap
            widget.height = max(widget.least, widget.room)
            fitting[0] = False

        self.bind(height=fit)
        widget.bind(least=fit)
        fit()

    def to_top(self) -> None:
        """Show the beginning again."""
        self.ids.scroll.scroll_y = 1

    def _see(self, *_: object) -> None:
        scroll, column = self.ids.scroll, self.ids.column
        inner = column.height - column.padding[1] - column.padding[3]
        self.snug = inner + theme.gap - 1 <= self.height < inner + theme.gap + theme.pad - 1
        hidden = (column.height - scroll.height) * scroll.scroll_y
        # against the whole place: the mark itself must not be the reason for the mark
        self.more = column.height > self.height + 1 and hidden > 4


class Pair(BoxLayout):
    """Two panes: side by side in landscape, one over the other in portrait.

    `share` is the first pane's part of the width in landscape, `upright` its part of the height in portrait. With
    `flows` the pair stands in a scrolling column: it is as high as its panes, and panes have heights of their own.
    """

    share = NumericProperty(0.5)
    upright = NumericProperty(0.4)
    flows = BooleanProperty(False)

    def on_kv_post(self, base_widget: Widget) -> None:
        for name in ("share", "upright", "children", "orientation", "flows"):
            self.fbind(name, self._deal)
        self._deal()

    def _deal(self, *_: object) -> None:
        across = self.orientation == "horizontal"
        for place, child in enumerate(reversed(self.children)):
            part = self.share if across else self.upright
            part = part if place == 0 else 1 - part
            child.size_hint_x = part if across else 1
            if self.flows:
                child.pos_hint = {"top": 1} if across else {}
            else:
                child.size_hint_y = 1 if across else part


class Column(BoxLayout):
    """Widgets one under the other, as high as they are together."""


class Pane(BoxLayout):
    """The pane of a Pair that holds a picture: it keeps the distance from the edges that a ScrollBody keeps."""


class Foot(BoxLayout):
    """The row of buttons at the foot of a screen, all equally high; with `gate` the gaps are the larger ones.

    `alarm` as the page's; with `piled` the buttons stand one over the other in portrait, each across the whole width.
    """

    gate = BooleanProperty(False)
    alarm = BooleanProperty(False)
    piled = BooleanProperty(False)

    def on_kv_post(self, base_widget: Widget) -> None:
        self.fbind("children", self._know)
        self.fbind("orientation", self._level)
        self._know()

    def _know(self, *_: object) -> None:
        for child in self.children:
            if child.property("own_height", True):
                child.bind(own_height=self._level)
        self._level()

    def _level(self, *_: object) -> None:
        """All buttons as high as the highest, unless they are piled."""
        if self.orientation == "vertical":
            return
        buttons = [child for child in self.children if child.property("own_height", True)]
        for button in buttons:
            button.at_least = max(each.own_height for each in buttons)


class Tiles(GridLayout):
    """A grid of tiles, as many to a row as `least` millimetres each allow; `most` bounds the columns.

    Where they fill several rows, the rows are filled evenly: four tiles are two and two, not three and one.
    Tiles that give `size_hint_min_y` instead of a height are all as high as the highest of their row.
    """

    least = NumericProperty(50)
    most = NumericProperty(4)

    @staticmethod
    def even(count: int, fit: int) -> int:
        """Columns for so many tiles where at most `fit` stand side by side: no more rows than are needed."""
        rows = -(-max(1, count) // max(1, fit))
        return -(-max(1, count) // rows)
