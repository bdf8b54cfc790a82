"""Starts Kivy the way this app needs it: quiet, without files of its own, with one touch for one finger.

Rules kept here:
 1. Environment, log filter and input set-up come before the first import of Kivy; nothing here imports it earlier.
 2. Offscreen (tests, pictures) every frame is waited for; on a real screen Kivy may idle.
 3. A missing display is said in plain words before the toolkit can fail with its own.
Knows nothing of: what the app shows.
"""

from __future__ import annotations

import importlib.util
import logging
import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from coach.core.problems import CoachError, Problem

if TYPE_CHECKING:
    from kivy.core.window import WindowBase

ENVIRONMENT = {
    "KIVY_NO_ARGS": "1",  # else Kivy swallows our own command line
    "KIVY_NO_CONFIG": "1",
    "KIVY_NO_FILELOG": "1",
    "KIVY_LOG_MODE": "PYTHON",  # the other modes take stderr over, and with it every traceback
}
NOISE = ("MTDev is not supported", "Cutbuffer: Unable to find")

_done: set[str] = set()


class DisplayError(CoachError):
    """There is no screen to draw on."""


def have_display(environ: Mapping[str, str] | None = None, platform: str = sys.platform,
                 cards: Path = Path("/dev/dri")) -> Problem | None:
    """What is missing to open a window here, or None when nothing is known to be missing.

    Args:
        environ: the environment to judge, the process's own by default.
        platform: as `sys.platform` writes it.
        cards: folder in which Linux lists its graphics cards.
    """
    here = os.environ if environ is None else environ
    if importlib.util.find_spec("kivy") is None:
        return Problem(
            "C401", "Kivy is not installed", "the tablet screens are drawn with it",
            "install the package again with its dependencies, or use the terminal: coach walk",
        )
    if not platform.startswith("linux"):
        return None
    if here.get("SDL_VIDEODRIVER") in ("offscreen", "dummy") or here.get("DISPLAY"):
        return None
    if here.get("WAYLAND_DISPLAY"):
        return Problem(
            "C402", "this desktop offers Wayland only", "the tablet screens need an X11 display (XWayland)",
            "switch XWayland on in the desktop's settings, or use the terminal: coach walk",
        )
    if any(cards.glob("card*")):
        return None
    return Problem(
        "C403", "no display found", "the tablet screens need a screen to draw on",
        "start it from a desktop session, or use the terminal: coach walk",
    )


def prepare(size: tuple[int, int] = (1280, 800), density: float | None = None, offscreen: bool = False,
            samples: int = 2) -> None:
    """Set everything that must be set before Kivy is imported. Later calls change nothing.

    Args:
        size: width and height of the window, in pixels.
        density: pixels to a density-independent pixel (1.0 is 160 to the inch); None leaves it to the device.
        offscreen: draw into memory, without a display.
        samples: samples a pixel, for smooth edges; 0 on weak hardware.
    """
    if "prepared" in _done:
        return
    _done.add("prepared")
    for name, value in ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    if offscreen:
        os.environ["SDL_VIDEODRIVER"] = "offscreen"
    if density is not None:
        os.environ["KIVY_METRICS_DENSITY"] = repr(density)
    log = logging.getLogger("kivy")
    log.setLevel(logging.WARNING)
    log.addFilter(lambda record: not any(noise in record.getMessage() for noise in NOISE))
    _configure(size, samples, offscreen)


def _configure(size: tuple[int, int], samples: int, offscreen: bool) -> None:
    from kivy.config import Config

    Config.remove_option("input", "%(name)s")  # SDL delivers touch already: no finger counts twice
    Config.set("input", "mouse", "mouse,disable_multitouch")
    Config.set("kivy", "exit_on_escape", "0")
    Config.set("graphics", "width", size[0])
    Config.set("graphics", "height", size[1])
    Config.set("graphics", "multisamples", samples)
    Config.set("graphics", "maxfps", 0 if offscreen else 60)


def window(size: tuple[int, int] = (1280, 800), density: float | None = None, offscreen: bool = False,
           samples: int = 2) -> WindowBase:
    """The window of this process, opened on the first call, with fonts registered and the theme following it.

    Raises:
        DisplayError: there is no display, or the toolkit could not open a window on it.
    """
    missing = None if offscreen else have_display()
    if missing:
        raise DisplayError(missing)
    prepare(size, density, offscreen, samples)
    from kivy.core.window import Window

    if Window is None:
        raise DisplayError(Problem(
            "C404", "the toolkit could not open a window", "its own messages above say why",
            "start it from a desktop session with graphics drivers, or use the terminal: coach walk",
        ))
    if "dressed" not in _done:
        _done.add("dressed")
        _dress(Window, density, offscreen)
    return Window


def _dress(shown: WindowBase, density: float | None, offscreen: bool) -> None:
    from kivy.metrics import Metrics

    from coach.tablet import fonts
    from coach.tablet.theme import theme

    if density is not None:
        Metrics.density = density
    fonts.register()
    theme.follow(shown)
    if offscreen:
        from kivy.graphics.opengl import glFinish

        shown.bind(on_flip=lambda *_: glFinish())  # else frames pile up unseen and stall much later
