"""Pictures of the app's pages, drawn into memory: for the demonstration, the README, and people who review a screen.

Rules kept here:
 1. A picture is drawn by the same pages from the same state as on a tablet; nothing is staged but the moment.
 2. Nothing is written to any record: a page that is only looked at has a store that takes nothing.
"""

from __future__ import annotations

import struct
import tempfile
import zlib
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import Problem, StoreError
from coach.core.rules import Rules
from coach.tablet import bootstrap
from coach.yard.desk import Desk
from coach.yard.job import Job

if TYPE_CHECKING:
    from kivy.uix.widget import Widget

SIZES = ((1280, 800), (800, 1280))
LARGEST = (1280, 1280)


class Scene(Protocol):
    """One moment: what the demo keeps."""

    name: str
    events: tuple[Event, ...]
    now: Moment
    screen: str


class LookOnly:
    """A store that takes nothing: the moment is over."""

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str]) -> object:
        """Refuse."""
        raise StoreError(_closed())

    def append(self, job: str, events: Sequence[Event]) -> object:
        """Refuse."""
        raise StoreError(_closed())

    def events(self, job: str) -> tuple[Event, ...]:
        """Nothing."""
        return ()


def _closed() -> Problem:
    return Problem("C130", "this page is a picture of a moment that is over", "pictures never enter a record", "work on the job itself")


def shoot(desk: Desk, rules: Rules, scenes: Sequence[Scene], folder: Path, sizes: Sequence[tuple[int, int]] = SIZES) -> list[Path]:
    """Draw every scene in every size, then every page of practice; returns the files written.

    The pages of practice are shown at a desk of their own, in a folder that is thrown away. Raises DisplayError if no
    window can be had.
    """
    window = bootstrap.window(LARGEST, density=1.0, offscreen=True, samples=2)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for size in sizes:
        window.size = size
        for place, scene in enumerate(scenes, 1):
            written.append(_shot(desk, rules, scene, folder / f"{place:02d}-{scene.name}-{size[0]}x{size[1]}.png"))
        written += _practice_shots(desk, folder, size)
    return written


def _shot(desk: Desk, rules: Rules, scene: Scene, path: Path) -> Path:
    from coach.tablet.screens import every  # noqa: F401  registers the pages
    from coach.tablet.screens.board import board_page
    from coach.tablet.screens.numbers import numbers_page
    from coach.tablet.screens.walk import walk_page
    from coach.tablet.shell import Shell

    frozen = Desk(desk.folder, lambda: scene.now, desk.policy, desk.ledger, desk.signer, lambda procedure: True)
    shell = Shell(frozen)
    shell.presence.enter("marta" if scene.screen == "review" else "ana", scene.now)
    shell.open(board_page)
    shell.job = Job(rules, LookOnly(), "moment", scene.events)
    shell.open({"numbers": numbers_page}.get(scene.screen, walk_page))
    return _picture(shell.root, path)


def _practice_shots(desk: Desk, folder: Path, size: tuple[int, int]) -> list[Path]:
    from coach.tablet.practice_scenes import PRACTICE_SCENES
    from coach.tablet.routes import to
    from coach.tablet.screens import every  # noqa: F401  registers the pages
    from coach.tablet.shell import Shell

    written = []
    with tempfile.TemporaryDirectory() as place:
        now = desk.now()
        apart = Desk.open(Path(place), lambda: now, lambda procedure: True, desk.policy, desk.signer)
        for scene in PRACTICE_SCENES:
            shell = Shell(apart)
            shell.presence.enter(scene.by, now)
            shell.open(to("board_page"))
            path = folder / f"{scene.name}-{size[0]}x{size[1]}.png"
            written.append(_picture(shell.root, path, partial(scene.open, shell)))
        apart.ledger.close()
    return written


def _picture(root: Widget, path: Path, then: Callable[[], object] = lambda: None) -> Path:
    """Show a root, do what is to be done on it, and write what is seen; all of it is gone afterwards."""
    from kivy.base import EventLoop, runTouchApp, stopTouchApp
    from kivy.core.window import Window

    runTouchApp(root, embedded=True)
    then()
    for _ in range(12):
        EventLoop.idle()
    write(path, Window.size)
    stopTouchApp()
    for child in Window.children[:]:
        Window.remove_widget(child)
    EventLoop.status = "idle"
    return path


def write(path: Path, size: tuple[int, int]) -> None:
    """Write what the window shows as PNG. size: of the window, in pixels."""
    from kivy.core.window import Window
    from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glReadPixels

    Window.dispatch("on_draw")
    wide, high = size
    data = glReadPixels(0, 0, wide, high, GL_RGB, GL_UNSIGNED_BYTE)
    path.write_bytes(png(wide, high, data))


def png(wide: int, high: int, data: bytes) -> bytes:
    """A PNG of 8-bit red, green, blue; `data` row by row from the bottom up, as the graphics card gives it."""
    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = b"".join(b"\0" + data[row * wide * 3:(row + 1) * wide * 3] for row in range(high - 1, -1, -1))
    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 6)) + chunk(b"IEND", b"")
