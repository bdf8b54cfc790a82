"""Shows any screen of the catalogue in a look, and measures it: for the tests, and for the whole product under bench."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tests.tablet.driver import Clock, Driver, Window, visible_box, words_of  # isort: skip  first: it sets the toolkit up

from coach.tablet.focus import Focus, back, front
from coach.tablet.focus import targets as keyed_targets
from coach.tablet.shell import Shell
from coach.tablet.showroom import Screen, Showroom
from coach.tablet.theme import TOUCH, theme
from coach.tablet.tongue import tongue
from coach.view.contrast import TEXT_LIMIT
from tests.language.pseudo import speaking
from tests.tablet.measure import (
    close_targets,
    contrasts,
    cut_texts,
    overlapping_texts,
    picture_faults,
    small_targets,
    stops,
    targets,
)


@dataclass(frozen=True)
class Look:
    """A tablet: its size in pixels, its density, its theme."""

    size: tuple[int, int]
    density: float = 1.0
    dark: bool = False

    def __str__(self) -> str:
        return f"{self.size[0]}x{self.size[1]}{'-dark' if self.dark else ''}"


# 10 inch tablets of 149 and 224 pixels to the inch, as their densities say (1.0 is 160).
LANDSCAPE, PORTRAIT, LARGE = ((1280, 800), 1.0), ((800, 1280), 1.0), ((1920, 1200), 1.5)
LOOKS = tuple(Look(size, density, dark) for size, density in (LANDSCAPE, PORTRAIT, LARGE) for dark in (False, True))

# Screens with no way back, each with the way on that it has instead.
NO_WAY_BACK = {
    "who": "the first page", "who-no-crew": "the first page", "who-flame": "the first page",
    "locked": "the PIN, or somebody else",
    "practice-at-the-boat": "leave the drill, in the banner", "practice-gate": "the same", "practice-flame-cold": "the same",
    "heat-lit": "the flame goes out, or something is lost", "heat-lit-soon": "the same",
    "trip": "the flame is out", "trip-out": "the reset",
    "practice-flame": "the flame goes out", "practice-gust": "the same", "practice-flame-weld": "the same",
    "practice-trip": "the flame is out", "practice-review": "leave the drill, in the banner",
}


@dataclass
class Measured:
    """What was found on a screen: faults in words, and its figures (mm; contrast as a ratio)."""

    cut: list[str] = field(default_factory=list)
    over: list[str] = field(default_factory=list)
    small: list[str] = field(default_factory=list)
    close: list[str] = field(default_factory=list)
    weak: list[str] = field(default_factory=list)
    least_contrast: float = 99.0
    least_target: float = 99.0
    texts: set[str] = field(default_factory=set)

    @property
    def faults(self) -> list[str]:
        """All of them, each once."""
        return list(dict.fromkeys([*self.cut, *self.over, *self.small, *self.close, *self.weak]))


@contextmanager
def shown(room: Showroom, screen: Screen, look: Look, code: str = "en") -> Iterator[tuple[Driver, Shell]]:
    """The screen in the window, laid out and not yet drawn."""
    with Driver(look.size, look.density, look.dark) as drive:
        shell = room.show(screen, code, drive.place)
        drive.lay()
        yield drive, shell
    tongue.use("en")


def measured(drive: Driver, most: int = 0) -> Measured:
    """Measure what is shown, scrolled through from top to bottom. most: as in `measure.stops`."""
    found = Measured()
    for _ in stops(drive, most):
        with drive.still():
            _look(drive, found)
    return found


def _look(drive: Driver, found: Measured) -> None:
    found.cut += cut_texts(drive)
    found.over += [*overlapping_texts(drive), *picture_faults(drive)]
    found.small += small_targets(drive)
    found.close += close_targets(drive)
    found.texts.update(drive.texts())
    sides = [min(each.size) / theme.mm for each in targets(drive)]
    found.least_target = min([found.least_target, *sides])
    for words, seen in contrasts(drive):
        found.least_contrast = min(found.least_contrast, seen)
        if seen < TEXT_LIMIT:
            found.weak.append(f"{words!r}: contrast {seen:.2f}, at least {TEXT_LIMIT:g}")


def leaves(shell: Shell) -> bool:
    """Go the way back of what is shown, of a drill's own page too: whether that led away from it."""
    shells = [each for each in (shell, getattr(shell.page, "shell", None)) if isinstance(each, Shell)]
    depths, sheets = [each.depth for each in shells], len(Window.children)
    if not back():
        return False
    return len(Window.children) < sheets or any(each.depth < depth for each, depth in zip(shells, depths, strict=True))


def unreached(drive: Driver) -> list[str]:
    """Targets that Tab does not reach in one round, or that it leaves out of sight (a few along the page are looked at)."""
    focus, every = Focus(), keyed_targets(front())
    reached, hidden = [], []
    for place in range(len(every)):
        focus.step(1)
        reached.append(focus.at)
        if focus.at is not None and place % max(1, len(every) // 3) == 0:
            drive.lay()
            focus.take(focus.at)
            drive.lay()
            box, least = visible_box(focus.at), min(focus.at.height, TOUCH * theme.mm) - 2
            if box is None or box[3] - box[1] < least:
                hidden.append(f"{words_of(focus.at)!r} has the focus out of sight")
    focus.drop()
    missed = [f"no key reaches {type(each).__name__} {words_of(each)!r}" for each in targets(drive) if each not in reached]
    return [*missed, *hidden]


@contextmanager
def speaking_pseudo(folder: Path) -> Iterator[None]:
    """The tests' own language stands in `folder`, and counts as reviewed; screens speak English again afterwards."""
    with speaking(folder):
        yield
    tongue.use("en")


@contextmanager
def undrawn() -> Iterator[None]:
    """What is shown in here is never drawn: what it put off to a frame is dropped, for that keeps its widgets."""
    waiting = {id(event) for event in Clock.get_events()}
    yield
    for event in Clock.get_events():
        if id(event) not in waiting:
            event.cancel()


@contextmanager
def swept_by_hand() -> Iterator[None]:
    """In here nothing is looked through for what can be freed but at each `sweep`, and what was there before never is."""
    gc.collect()
    gc.freeze()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        gc.unfreeze()


def sweep() -> None:
    """Free the widgets of screens that were shown: the toolkit grows slow with those that wait to be freed."""
    gc.collect()
