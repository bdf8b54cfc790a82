"""Writes every screen in every language and size as pictures, with a page that shows them: for people who review.

Rules kept here:
 1. Files are named for what they show: language, size, place in the list, name of the screen.
 2. A screen that cannot be drawn is told by name, and does not stop the others.
Knows nothing of: which screens there are (`catalogue`), how a moment comes about (`showroom`).
"""

from __future__ import annotations

import gc
import tempfile
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path

from coach.core.problems import CoachError, Problem
from coach.language import LANGUAGES
from coach.tablet import bootstrap

# Pixels, and pixels to the density-independent one: 10 inch tablets, and a large one with a fine screen.
SIZES = (((1280, 800), 1.0), ((800, 1280), 1.0), ((1920, 1200), 1.5))
LARGEST = (1920, 1280)
FRAMES = 12  # most frames until a page stands still


def write_album(
    folder: Path, say: Callable[[str], None], languages: Sequence[str] = tuple(LANGUAGES), only: str = "",
    sizes: Sequence[tuple[tuple[int, int], float]] = SIZES,
) -> list[Path]:
    """Write the pictures and `index.html` into a folder; returns the pictures.

    Args:
        say: told a line for each language and size, and for a screen that could not be drawn.
        languages: codes of coach.language.
        only: screens whose names begin so; all for ''.
        sizes: width and height in pixels, and density.

    Raises:
        DisplayError: no window can be had. CoachError C119: no screen has such a name. OSError: the folder.
    """
    window = bootstrap.window(LARGEST, density=1.0, offscreen=True, samples=2)
    from kivy.metrics import Metrics

    from coach.tablet.catalogue import SCREENS
    from coach.tablet.showroom import Showroom

    chosen = [(place, screen) for place, screen in enumerate(SCREENS, 1) if screen.name.startswith(only)]
    if not chosen:
        names = ", ".join(screen.name for screen in SCREENS)
        raise CoachError(Problem("C119", "no screen has a name that begins with '%(word)s'", "there would be nothing to look at",
                                 "take one of: %(known)s", slots={"word": only, "known": names}))
    written: list[Path] = []
    with tempfile.TemporaryDirectory() as made:
        room = Showroom(Path(made))
        for code in languages:
            for size, density in sizes:
                window.size, Metrics.density = size, density
                here = folder / code / f"{size[0]}x{size[1]}"
                here.mkdir(parents=True, exist_ok=True)
                for place, screen in chosen:
                    path = here / f"{place:03d}-{screen.name}.png"
                    try:
                        _shot(room, screen, code, path)
                    except Exception as error:  # one page must not cost all the others
                        say(f"{path.name} in {code}: {type(error).__name__}: {error}")
                        continue
                    written.append(path)
                say(f"{code} {size[0]}x{size[1]}: {len(chosen)} screens")
    Metrics.density = 1.0
    (folder / "index.html").write_text(index([(path.relative_to(folder).as_posix()) for path in written], dict(_said(chosen))), encoding="utf-8")
    return written


def _said(chosen: Sequence[tuple[int, object]]) -> list[tuple[str, str]]:
    return [(screen.name, screen.says) for _place, screen in chosen]  # type: ignore[attr-defined]


def _shot(room: object, screen: object, code: str, path: Path) -> None:
    from kivy.base import EventLoop, runTouchApp, stopTouchApp
    from kivy.core.window import Window

    from coach.tablet.gallery import write

    try:
        room.show(screen, code, lambda root: runTouchApp(root, embedded=True))  # type: ignore[attr-defined]
        for _ in range(FRAMES):
            EventLoop.idle()
        write(path, Window.size)
    finally:
        stopTouchApp()
        for child in Window.children[:]:
            Window.remove_widget(child)
        EventLoop.status = "idle"
        gc.collect()


def index(pictures: Sequence[str], says: dict[str, str]) -> str:
    """One page: each screen with its sentence, and its picture in each language and size.

    Args:
        pictures: paths from the page as LANGUAGE/SIZE/NNN-NAME.png.
        says: what each screen shows, by name.
    """
    by_name: dict[str, list[str]] = {}
    for path in pictures:
        by_name.setdefault(path.rsplit("/", 1)[1][4:-4], []).append(path)
    parts = []
    for name, paths in by_name.items():
        figures = "".join(
            f'<figure><a href="{escape(path)}"><img loading="lazy" src="{escape(path)}" alt=""></a>'
            f"<figcaption>{escape(' '.join(path.split('/')[:2]))}</figcaption></figure>"
            for path in paths
        )
        parts.append(f'<section id="{escape(name)}"><h2>{escape(says.get(name, name))}</h2><p>{escape(name)}</p><div>{figures}</div></section>')
    style = (
        "body{font:16px/1.4 sans-serif;margin:2rem;background:#f4f2ee;color:#111}h2{margin:2rem 0 0}p{margin:0;color:#444}"
        "div{display:flex;flex-wrap:wrap;gap:1rem}figure{margin:0}img{height:260px;border:1px solid #999}figcaption{font-size:13px}"
    )
    head = f'<meta charset="utf-8"><title>Every screen</title><style>{style}</style>'
    return f'<!doctype html><html lang="en"><head>{head}</head><body><h1>Every screen</h1>{"".join(parts)}</body></html>\n'
