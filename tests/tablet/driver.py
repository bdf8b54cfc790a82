"""Drives the tablet screens in a test: synchronous, one window for the process, frames stepped by hand, no sleeping.

    with Driver(size=(800, 1280)) as drive:
        drive.begin(CoachApp(...))          # or drive.show(SomeWidget())
        drive.tap_text("Start the job")
        drive.keypad("5' 6 1/2\"")
        assert "5' 6 1/2\"" in drive.texts()
        drive.screenshot(tmp_path / "sizing.png")

Rules kept here:
 1. The window is opened once at 1920 x 1920 and only ever made smaller: the offscreen buffer cannot grow.
 2. Touches and keys go the way of real ones (`EventLoop.post_dispatch_input`), so grabs and scrolling work.
 3. Time is ours for the whole process: `Clock.time` stands still except in `frames` and `pass_time`, and never goes
    back.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from itertools import count
from pathlib import Path
from types import TracebackType
from typing import TypeVar

from coach.tablet import bootstrap

LARGEST = (1920, 1920)
FRAME = 1 / 60

Window = bootstrap.window(LARGEST, density=1.0, offscreen=True, samples=0)

from kivy.app import App  # noqa: E402  after bootstrap
from kivy.base import EventLoop, runTouchApp, stopTouchApp  # noqa: E402
from kivy.clock import Clock  # noqa: E402
from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels  # noqa: E402
from kivy.input.motionevent import MotionEvent  # noqa: E402
from kivy.lang import Builder  # noqa: E402
from kivy.metrics import Metrics  # noqa: E402
from kivy.uix.modalview import ModalView  # noqa: E402
from kivy.uix.scrollview import ScrollView  # noqa: E402
from kivy.uix.widget import Widget  # noqa: E402

from coach.tablet.theme import theme  # noqa: E402
from coach.tablet.widgets.keypad import Key  # noqa: E402

W = TypeVar("W", bound=Widget)
Point = tuple[float, float]
Box = tuple[float, float, float, float]

_ids = count(1)
_now = [Clock.time()]
Clock.time = lambda: _now[0]
_drawn = [0]


def _count_flips(*_: object) -> None:
    _drawn[0] += 1


Window.bind(on_flip=_count_flips)


class Touch(MotionEvent):
    """One finger, at window pixels."""

    def __init__(self, x: float, y: float) -> None:
        super().__init__("test", next(_ids), self.share(x, y), is_touch=True, type_id="touch")
        self.profile = ["pos"]

    @staticmethod
    def share(x: float, y: float) -> dict[str, float]:
        """The place as shares of the window, as the toolkit wants it."""
        return {"x": x / (Window.width - 1.0), "y": y / (Window.height - 1.0)}

    def depack(self, args: dict[str, float]) -> None:
        """Read the place."""
        self.sx, self.sy = args["x"], args["y"]
        super().depack(args)


class Driver:
    """A person before the tablet. Use it as a context, or call `end` yourself."""

    def __init__(
        self, size: tuple[int, int] = (1280, 800), density: float = 1.0, dark: bool = False, text_scale: float = 1.0
    ) -> None:
        self.app: App | None = None
        for left in Window.children[:]:  # by somebody who showed a page without a driver
            Window.remove_widget(left)
        Window.size = size
        Metrics.density = density
        theme.scale = text_scale
        theme.dark = dark

    def __enter__(self) -> Driver:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.end()

    def begin(self, app: App) -> App:
        """Start an app: all that `App.run` does except the loop."""
        self.app = app
        app._run_prepare()
        runTouchApp(embedded=True)
        self.settle()
        return app

    def show(self, widget: W) -> W:
        """Show one widget, filling the window."""
        runTouchApp(widget, embedded=True)
        self.settle()
        return widget

    def place(self, widget: Widget) -> None:
        """Put a widget into the window; nothing is laid out or drawn yet."""
        runTouchApp(widget, embedded=True)

    def end(self) -> None:
        """Take everything off the window."""
        if self.app is not None:
            self.app.stop()
        stopTouchApp()
        for child in Window.children[:]:
            Window.remove_widget(child)
        EventLoop.me_list.clear()
        EventLoop.status = "idle"
        Metrics.density, theme.scale, theme.dark = 1.0, 1.0, False
        Clock.tick()

    def frames(self, number: int = 1) -> None:
        """Let so many frames pass, a sixtieth of a second each."""
        for _ in range(number):
            _now[0] += FRAME
            EventLoop.idle()

    def settle(self, most: int = 120) -> None:
        """Let frames pass until three in a row drew nothing new, at most `most`."""
        still = 0
        for _ in range(most):
            before = _drawn[0]
            self.frames()
            still = still + 1 if _drawn[0] == before else 0
            if still == 3:
                return

    def lay(self, most: int = 30) -> None:
        """Let the toolkit lay the window out without drawing it, until no widget moves or grows any more."""
        before: object = None
        for _ in range(most):
            _now[0] += FRAME
            Clock.tick()
            Builder.sync()
            Clock.tick_draw()
            Builder.sync()
            places = [(*each.pos, *each.size) for each in self.widgets()]
            if places == before:
                return
            before = places

    def pass_time(self, seconds: float, step: float = 0.1) -> None:
        """Let time pass in steps, a frame each."""
        for _ in range(round(seconds / step)):
            _now[0] += step
            EventLoop.idle()

    # fingers

    def tap(self, widget: Widget) -> None:
        """Tap the middle of a widget, scrolling to it first where it is out of sight."""
        self.reveal(widget)
        self.tap_at(*widget.to_window(*widget.center))

    def tap_at(self, x: float, y: float) -> None:
        """Tap a place of the window."""
        touch = Touch(x, y)
        EventLoop.post_dispatch_input("begin", touch)
        self.frames()
        EventLoop.post_dispatch_input("end", touch)
        self.frames(2)

    def tap_text(self, words: str) -> None:
        """Tap what shows this text; an exact text is preferred, else one that contains it."""
        self.tap(self.showing(words))

    def hold(self, widget: Widget, seconds: float) -> None:
        """Keep a finger on a widget for so long; in a scrolling body the toolkit counts about 0.3 s less."""
        self.reveal(widget)
        touch = Touch(*widget.to_window(*widget.center))
        EventLoop.post_dispatch_input("begin", touch)
        self.frames()
        self.pass_time(seconds)
        EventLoop.post_dispatch_input("end", touch)
        self.frames(2)

    def drag(self, points: Sequence[Point]) -> None:
        """Draw one stroke through window points."""
        touch = Touch(*points[0])
        EventLoop.post_dispatch_input("begin", touch)
        self.frames()
        for x, y in points[1:]:
            touch.move(Touch.share(x, y))
            EventLoop.post_dispatch_input("update", touch)
            self.frames()
        EventLoop.post_dispatch_input("end", touch)
        self.frames(2)

    def stroke(self, widget: Widget, points: Sequence[Point]) -> None:
        """Draw one stroke on a widget; points are shares of its width and height."""
        self.drag([widget.to_window(widget.x + x * widget.width, widget.y + y * widget.height) for x, y in points])

    def reveal(self, widget: Widget) -> None:
        """Scroll until the widget is in sight; a widget that is wholly in sight stays where it is."""
        if visible_box(widget) == window_box(widget):
            return
        for holder in _ancestors(widget):
            if isinstance(holder, ScrollView):
                holder.scroll_to(widget, animate=False)
        self.settle(30)

    # keys

    def keypad(self, words: str) -> None:
        """Type a length or a number on the app's own keypad, as it is written: 5' 6 3/8", 1.68 m, 42."""
        for key in keys_for(words):
            self.tap(self.one(Key, lambda each, wanted=key: each.types == wanted))

    def type_text(self, words: str) -> None:
        """Type on a real keyboard into the field that has the focus; '\\b' is the backspace key."""
        for sign in words:
            code = 8 if sign == "\b" else ord(sign) if ord(sign) < 128 else 0
            Window.dispatch("on_key_down", code, 0, "" if sign == "\b" else sign, [])
            if sign != "\b":
                Window.dispatch("on_textinput", sign)
            Window.dispatch("on_key_up", code, 0)
            self.frames()

    def key(self, code: int, *modifiers: str, hold: float = 0, repeats: int = 0) -> None:
        """Press a key of a real keyboard; held for so many seconds it repeats so many times, as the system does."""
        Window.dispatch("on_key_down", code, 0, "", list(modifiers))
        self.frames()
        part = hold / (repeats + 1)
        for _ in range(repeats):
            self.pass_time(part, part)
            Window.dispatch("on_key_down", code, 0, "", list(modifiers))
        if hold:
            self.pass_time(part, part)
        Window.dispatch("on_key_up", code, 0)
        self.frames(2)

    # eyes

    def widgets(self) -> Iterator[Widget]:
        """Every widget on the window, from the back to the front."""
        for child in reversed(Window.children):
            yield from _walk(child)

    def seen(self) -> list[Widget]:
        """Every widget that a person can see, at least in part, and use: with a dialog open, the dialog's only."""
        dialogs = [child for child in self.widgets() if isinstance(child, ModalView)]
        layer = _walk(dialogs[-1]) if dialogs else self.widgets()
        return [widget for widget in layer if visible_box(widget) is not None]

    @contextmanager
    def still(self) -> Iterator[None]:
        """Nothing moves in here: what is seen is looked up once."""
        seen = self.seen()
        self.seen = lambda: seen  # type: ignore[method-assign]
        try:
            yield
        finally:
            del self.seen

    def texts(self) -> list[str]:
        """Every text in sight, as it was given (without markup)."""
        return [words_of(widget) for widget in self.seen() if words_of(widget) and not children_say(widget)]

    def showing(self, words: str) -> Widget:
        """The front-most widget that shows this text, in sight or to be scrolled to."""
        shown = [each for each in self.widgets() if each.width > 1 and not children_say(each) and _lit(each)]
        exact = [each for each in shown if words_of(each) == words]
        near = exact or [each for each in shown if words in words_of(each)]
        assert near, f"no text {words!r}; in sight: {self.texts()}"
        return near[-1]

    def all(self, kind: type[W], where: Callable[[W], bool] = lambda _: True) -> list[W]:
        """Every widget of a class for which `where` holds."""
        return [each for each in self.widgets() if isinstance(each, kind) and where(each)]

    def one(self, kind: type[W], where: Callable[[W], bool] = lambda _: True) -> W:
        """The only widget of a class for which `where` holds."""
        found = self.all(kind, where)
        assert len(found) == 1, f"{len(found)} widgets of {kind.__name__}, one was expected"
        return found[0]

    def by_id(self, name: str) -> Widget:
        """The widget that a .kv rule calls by this id; the front-most where several rules use it."""
        found = [each.ids[name] for each in self.widgets() if name in each.ids]
        assert found, f"no widget with the id {name!r}"
        return found[-1].__self__ if hasattr(found[-1], "__self__") else found[-1]

    def pixels(self) -> bytes:
        """The window as rows of red, green, blue from the bottom up."""
        Window.dispatch("on_draw")
        return glReadPixels(0, 0, Window.width, Window.height, GL_RGB, GL_UNSIGNED_BYTE)

    def screenshot(self, path: Path) -> Path:
        """Write the window as PNG to exactly this path."""
        wide, high = Window.size
        data = self.pixels()
        rows = [data[row * wide * 3 : (row + 1) * wide * 3] for row in range(high - 1, -1, -1)]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(png(wide, high, rows))
        return path


def keys_for(words: str) -> list[str]:
    """The names of the keys that make a text on the keypad; fractions are added up from halves, quarters, eighths."""
    keys: list[str] = []
    for part in re.findall(r"\d+/\d+|\d|[.,]|'|\"|cm|mm|m", words):
        if "/" in part:
            eighths = Fraction(part) * 8
            keys += [name for name, size in (("1/2", 4), ("1/4", 2), ("1/8", 1)) if int(eighths) & size]
        else:
            keys.append({"'": "ft", '"': "in", ".": "point", ",": "point"}.get(part, part))
    return keys


def png(wide: int, high: int, rows: Sequence[bytes]) -> bytes:
    """A PNG of 8-bit red, green, blue; rows from the top down (RFC 2083)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    body = zlib.compress(b"".join(b"\0" + row for row in rows), 6)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def words_of(widget: Widget) -> str:
    """The plain text of a widget: its `words`, else its `text`."""
    return getattr(widget, "words", None) or getattr(widget, "text", None) or ""


def children_say(widget: Widget) -> bool:
    """Whether a widget's text is drawn by its children (a button with a label inside)."""
    from kivy.uix.label import Label
    from kivy.uix.textinput import TextInput

    return not isinstance(widget, Label | TextInput)


def visible_box(widget: Widget) -> Box | None:
    """The part of a widget that shows, as left, bottom, right, top in window pixels; None where nothing does."""
    if widget.width < 1 or widget.height < 1 or not _lit(widget):
        return None
    box = window_box(widget)
    for holder in _ancestors(widget):
        if isinstance(holder, ScrollView):
            box = _overlap(box, window_box(holder))
    box = _overlap(box, (0, 0, Window.width, Window.height))
    return box if box[2] - box[0] >= 1 and box[3] - box[1] >= 1 else None


def window_box(widget: Widget) -> Box:
    """A widget's whole box in window pixels."""
    left, low = widget.to_window(widget.x, widget.y)
    right, top = widget.to_window(widget.right, widget.top)
    return left, low, right, top


def _overlap(one: Box, two: Box) -> Box:
    return max(one[0], two[0]), max(one[1], two[1]), min(one[2], two[2]), min(one[3], two[3])


def _lit(widget: Widget) -> bool:
    return widget.opacity > 0 and all(holder.opacity > 0 for holder in _ancestors(widget))


def _ancestors(widget: Widget) -> Iterator[Widget]:
    holder = widget.parent
    while holder is not None and holder is not Window and holder is not holder.parent:
        yield holder
        holder = holder.parent


def _walk(widget: Widget) -> Iterator[Widget]:
    waiting = [widget]  # no generator within a generator: a page of a thousand widgets is walked at every stop
    while waiting:
        widget = waiting.pop()
        yield widget
        waiting += widget.children  # the last of them is the backmost, and comes next
