"""Opens the tablet app on a real screen, or says plainly why it cannot.

Rules kept here:
 1. The desk is opened before there is a window: a disk, a key or a policy with a fault ends the start in words.
 2. What the first page does not ask is imported at the first question, or soon after the page is shown.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from coach.core.problems import Problem
from coach.tablet import bootstrap, litter

if TYPE_CHECKING:
    from coach.core.model import Procedure
    from coach.yard.desk import Desk


def run(folder: Path, language: str = "en") -> Problem | None:
    """Run the app on the jobs of this folder until it is closed; a Problem if no window can be had."""
    missing = bootstrap.have_display()
    if missing is not None:
        return missing
    desk = opened(folder)
    bootstrap.window()
    from coach.tablet.app import CoachApp

    CoachApp(desk, language, speaks=True).run()
    return None


def opened(folder: Path) -> Desk:
    """The desk of this folder, as the app uses it; the start begins with it. Raises as Desk.open does."""
    litter.hold()
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    return Desk.open(folder, device_clock(), _vouches(folder))


def _vouches(folder: Path) -> Callable[[Procedure], bool]:
    """Who says whether a procedure is proven; the prover is imported when it is first asked."""
    asked: list[Callable[[Procedure], bool]] = []

    def proven(procedure: Procedure) -> bool:
        if not asked:
            from coach.prover.cache import vouches

            asked.append(vouches(folder))
        return asked[0](procedure)

    return proven
