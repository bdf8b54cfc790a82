"""The numbers page by touch: what an inch of the tape does, what is good to know, and a tape that cannot be true."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core import actions as act
from coach.core.quantity import as_text, parse_quantity
from coach.core.session import Refusal
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.widgets.buttons import IconButton
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.tablet.driver import Driver  # first: it sets the toolkit up
from tests.tablet.measure import faults


def opened(drive: Driver, folder: Path, half_tape: str = "") -> Job:
    """Dunlin, measured, on its numbers page; with another half tape if one is given."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    for step in Worker(job, clock, NOTES).steps():
        if step.id == "weld-hem":
            break
    if half_tape:
        exact = as_text(parse_quantity(half_tape, "length"))
        assert not isinstance(job.act(act.Measure("ana", "ridge_to_edge", half_tape, exact), clock()), Refusal)
    drive.begin(CoachApp(desk))
    drive.tap_text("Ana Ruiz")
    drive.tap_text("Dunlin")
    drive.settle()
    drive.tap(drive.one(IconButton, lambda each: each.icon == "tape"))
    drive.settle()
    return job


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)])
def test_what_an_inch_does_stands_below_the_numbers(size: tuple[int, int], tmp_path: Path) -> None:
    with Driver(size) as drive:
        opened(drive, tmp_path)
        drive.reveal(drive.showing("Film width: ±2 in for ±1 in at: Half the tape"))
        drive.settle()
        assert faults(drive) == []
        drive.reveal(drive.showing("Never warm it with the tool"))
        drive.settle()
        assert faults(drive) == []


def test_a_tape_that_cannot_be_true_is_said_before_any_number(tmp_path: Path) -> None:
    with Driver((800, 1280)) as drive:
        opened(drive, tmp_path, "132 in")
        assert any("no taut film is longer than" in text for text in drive.texts())
        assert faults(drive) == []
