"""Opens the tablet app on a real screen, or says plainly why it cannot."""

from __future__ import annotations

from pathlib import Path

from coach.core.problems import Problem
from coach.tablet import bootstrap


def run(folder: Path, language: str = "en") -> Problem | None:
    """Run the app on the jobs of this folder until it is closed; a Problem if no window can be had."""
    missing = bootstrap.have_display()
    if missing is not None:
        return missing
    from coach.prover.cache import vouches
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    desk = Desk.open(folder, device_clock(), vouches(folder))
    bootstrap.window()
    from coach.tablet.app import CoachApp

    CoachApp(desk, language, speaks=True).run()
    return None
