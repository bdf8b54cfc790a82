"""The keyboard on a desktop: which target has the focus, how it moves, and how keys press it.

Rules kept here:
 1. Every target of the front layer can get the focus: Tab and Shift+Tab go round in reading order, arrows go to the
    nearest one in their direction. Nothing has the focus until a key asks for it.
 2. Enter and Space do what a finger does: down at the key's going down, up at its coming up. A control that is held
    is held by a key that stays down, through the very same hold.
 3. A key that is held repeats; repeats press nothing, and neither does a key that was down before the page was there.
 4. Escape is the way back where a page has one, and leaves a sheet that may be left. Elsewhere it does nothing.
 5. While a text is typed, keys belong to the text, but for Tab and Escape.
Knows nothing of: what pages show.  Proved by: tests/tablet/test_focus.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kivy.core.window import Window
from kivy.graphics import Color, InstructionGroup, Line
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.modalview import ModalView
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from coach.tablet.theme import theme

if TYPE_CHECKING:
    from kivy.uix.textinput import TextInput

TAB, ENTER, PAD_ENTER, ESCAPE, SPACE, ERASE = 9, 13, 271, 27, 32, 8
ARROWS = {273: (0, 1), 274: (0, -1), 275: (1, 0), 276: (-1, 0)}
PAGES = {280: 1, 281: -1}
PRESSES = (ENTER, PAD_ENTER, SPACE)
# What is typed on a keyboard, as the names of the app's own keys.
TYPED = {"'": "ft", '"': "in", ".": "point", ",": "point", "\b": "erase"}


class Focus:
    """One for the app: it holds the focus of whatever stands in the window."""

    def __init__(self) -> None:
        self.at: Widget | None = None
        self._ring = InstructionGroup()
        self._down: set[int] = set()
        self._pressed: tuple[int, Widget] | None = None

    # keys

    def down(self, key: int, text: str | None = None, modifiers: Sequence[str] = ()) -> bool:
        """A key went down, or repeats: whether it was meant for the focus."""
        repeats = key in self._down
        self._down.add(key)
        typing = typed_in(front())
        if typing is not None and key not in (TAB, ESCAPE):
            return False
        if key == TAB:
            self.step(-1 if "shift" in modifiers else 1)
        elif key == ESCAPE:
            if typing is not None:
                typing.focus = False
            elif not repeats:
                back()
        elif key in ARROWS:
            self.turn(*ARROWS[key])
        elif key in PAGES:
            scroll(PAGES[key])
        elif key in PRESSES:
            if not repeats:
                self._press(key)
        else:
            return self._type("\b" if key == ERASE else text or "")
        return True

    def up(self, key: int) -> bool:
        """A key came up."""
        self._down.discard(key)
        if self._pressed is None or self._pressed[0] != key:
            return False
        widget, self._pressed = self._pressed[1], None
        if widget.get_root_window() is not None and not widget.disabled:
            widget.state = "normal"
            widget.dispatch("on_release")
        return True

    def let_go(self) -> None:
        """The window went behind another: no key counts as down, and what was held is let go without acting."""
        self._down.clear()
        if self._pressed is not None:
            self._pressed[1].state = "normal"
            self._pressed = None

    def _press(self, key: int) -> None:
        widget = self.at
        if widget is None or widget not in targets(front()) or self._pressed is not None:
            return
        if _is_field(widget):
            widget.focus = True
            return
        self._pressed = key, widget
        widget.state = "down"
        widget.dispatch("on_press")

    def _type(self, text: str) -> bool:
        """A digit or sign for the app's own keys."""
        from coach.tablet.widgets.keypad import Key

        name = TYPED.get(text, text)
        keys = [each for each in targets(front()) if isinstance(each, Key) and each.types == name]
        if not name or not keys:
            return False
        keys[-1].dispatch("on_release")
        return True

    # the focus itself

    def step(self, by: int) -> None:
        """To the next target, or the one before; from none to the first, or the last."""
        every = targets(front())
        if not every:
            return
        place = every.index(self.at) + by if self.at in every else (0 if by > 0 else -1)
        self.take(every[place % len(every)])

    def turn(self, across: int, up: int) -> None:
        """To the nearest target in a direction; where there is none, what is shown scrolls."""
        every = targets(front())
        if self.at not in every:
            self.step(1)
            return
        here = _middle(self.at)
        found: list[tuple[float, int]] = []
        for place, each in enumerate(every):
            x, y = _middle(each)
            along, aside = (x - here[0]) * across + (y - here[1]) * up, abs((x - here[0]) * up) + abs((y - here[1]) * across)
            if each is not self.at and along > 1:
                found.append((along + 2 * aside, place))
        if found:
            self.take(every[min(found)[1]])
        elif up:
            scroll(up)

    def take(self, widget: Widget) -> None:
        """Give the focus to a target, in sight, with its ring."""
        self.drop()
        self.at = widget
        for holder in _holders(widget):
            if isinstance(holder, ScrollView):
                holder.scroll_to(widget, padding=9 * theme.mm, animate=False)
        widget.canvas.after.add(self._ring)
        widget.bind(pos=self._draw, size=self._draw, parent=self._taken)
        self._draw()

    def drop(self) -> None:
        """Nothing has the focus."""
        if self.at is not None:
            self.at.canvas.after.remove(self._ring)
            self.at.unbind(pos=self._draw, size=self._draw, parent=self._taken)
            if _is_field(self.at):
                self.at.focus = False
            self.at = None

    def _taken(self, _widget: Widget, holder: Widget | None) -> None:
        """The target was taken off by itself: should it come back, it may stand for something else."""
        if holder is None:
            self.drop()

    def _draw(self, *_: object) -> None:
        """A dark line with a light one in it: one of the two stands out on any ground."""
        widget, edge = self.at, 0.7 * theme.mm
        self._ring.clear()
        if widget is None:
            return
        for role, width in ((theme.ink, edge), (theme.card, edge / 2)):
            self._ring.add(Color(rgba=role))
            inside = widget.x + edge, widget.y + edge, max(1, widget.width - 2 * edge), max(1, widget.height - 2 * edge)
            self._ring.add(Line(rounded_rectangle=(*inside, theme.radius), width=width))


def front() -> Widget | None:
    """The layer that takes keys: the sheet in front, else the page."""
    sheets = [child for child in Window.children if isinstance(child, ModalView)]
    return (sheets or list(Window.children) or [None])[0]


def targets(layer: Widget | None) -> list[Widget]:
    """Everything on a layer that takes a touch now, in reading order."""
    return [each for each in walk(layer) if (isinstance(each, ButtonBehavior) or _is_field(each)) and not each.disabled] if layer else []


def walk(widget: Widget) -> Iterator[Widget]:
    """A widget and all in it that shows, from the top left on."""
    if widget.opacity <= 0 or widget.width < 1 or widget.height < 1:
        return
    yield widget
    for child in reversed(widget.children):
        yield from walk(child)


def typed_in(layer: Widget | None) -> TextInput | None:
    """The field that is being typed in."""
    return next((each for each in targets(layer) if _is_field(each) and each.focus), None)


def back() -> bool:
    """What Escape does: leave the sheet, or go the way back of the page; False where there is none."""
    from coach.tablet.widgets.dialog import Dialog
    from coach.tablet.widgets.topbar import TopBar

    layer = front()
    if isinstance(layer, Dialog):
        if layer.can_leave:
            layer.answer("")
        return layer.can_leave
    bars = [each for each in walk(layer) if isinstance(each, TopBar) and each.can_go_back] if layer else []
    if bars:
        bars[-1].dispatch("on_back")
    return bool(bars)


def scroll(up: int) -> None:
    """Scroll what is shown by most of its height."""
    layer = front()
    for body in [each for each in walk(layer) if isinstance(each, ScrollView)][-1:] if layer else []:
        hidden = body.viewport_size[1] - body.height
        if hidden > 0:
            body.scroll_y = min(1.0, max(0.0, body.scroll_y + up * 0.8 * body.height / hidden))


def _is_field(widget: Widget) -> bool:
    """Whether a widget is typed in; its class is imported here, since the first page has none."""
    from kivy.uix.textinput import TextInput

    return isinstance(widget, TextInput)


def _middle(widget: Widget) -> tuple[float, float]:
    x, y = widget.to_window(*widget.center)
    return x, y


def _holders(widget: Widget) -> Iterator[Widget]:
    holder = widget.parent
    while holder is not None and holder is not Window and holder is not holder.parent:
        yield holder
        holder = holder.parent
