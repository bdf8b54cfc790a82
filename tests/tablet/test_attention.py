"""Attention by touch: a question in the middle of the walk, a wrong answer, a step called done too soon."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core.attention import question_due
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.widgets.buttons import IconButton
from coach.tablet.widgets.rows import Counter
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.tablet.driver import Driver  # first: it sets the toolkit up

PROCEDURE = """
procedure: small-look
version: 1
title: Look at the tray
purpose: Count the tools on the tray.
measures:
  tools: {kind: count, ask: Tools on the tray, from: 0, to: 9}
stages:
  - stage: all
    title: All of it
    steps:
      - step: count-tools
        do: Count the tools.
        why: A tool left aboard cuts the cover.
        right: The count is that of the list.
        wrong: A knife lies under the film.
        asks: [tools]
        least_seconds: 20
      - step: carry-tray
        do: Carry the tray ashore.
        why: Nothing stays aboard.
        right: The tray stands on the bench.
        wrong: The tray is forgotten.
"""


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


class Tray:
    """A tablet at a job of two steps, the second of which follows a question."""

    def __init__(self, drive: Driver, folder: Path) -> None:
        self.drive = drive
        file = folder / "small-look.yaml"
        file.write_text(PROCEDURE)
        self.clock = HandClock(START)
        self.desk = Desk.open(folder / "data", self.clock, lambda procedure: True, demo_policy())
        rules = self.desk.load(str(file))
        name = next(f"Boat {n}" for n in range(200) if rules.asks_after(START, f"Boat {n}", "count-tools"))
        job = self.desk.start(rules, name, "ana")
        assert isinstance(job, Job)
        self.app = drive.begin(CoachApp(self.desk))
        drive.tap_text("Ana Ruiz")
        drive.tap_text(name)
        drive.settle()
        self.job = self.app.shell.job

    def measure(self, tools: str) -> None:
        self.drive.tap_text("Measure")
        self.drive.keypad(tools)
        self.drive.tap_text("Take it")
        self.drive.settle()

    def kinds(self) -> list[str]:
        return [event.kind for event in self.job.events]

    def count(self, times: int) -> None:
        for _time in range(times):
            self.drive.tap(
                next(w for w in self.drive.one(Counter).walk() if isinstance(w, IconButton) and w.icon == "plus")
            )


def test_a_step_called_done_too_soon_asks_to_look_again(drive: Driver, tmp_path: Path) -> None:
    tray = Tray(drive, tmp_path)
    tray.clock.pass_seconds(4)
    tray.measure("7")
    drive.tap_text("Done, and looked at")
    drive.settle()
    assert any(text.startswith("4 s is too short for this step, it takes 20 s at least") for text in drive.texts())
    assert any("Look again, then say that it is done" in text for text in drive.texts())
    drive.tap_text("Go on")
    assert tray.kinds()[-1] == "hurried"
    tray.clock.pass_seconds(16)
    drive.tap_text("Done, and looked at")
    drive.settle()
    assert tray.kinds()[-1] == "step_done"


def asked(drive: Driver, folder: Path) -> Tray:
    tray = Tray(drive, folder)
    tray.measure("7")
    tray.clock.pass_seconds(30)
    drive.tap_text("Done, and looked at")
    drive.settle()
    assert "Tools on the tray" in drive.texts() and "Carry the tray ashore." not in drive.texts()
    return tray


def test_a_question_comes_and_its_right_answer_lets_the_walk_go_on(drive: Driver, tmp_path: Path) -> None:
    tray = asked(drive, tmp_path)
    tray.count(7)
    drive.tap_text("This is so")
    drive.settle()
    assert tray.kinds()[-1] == "answered" and tray.job.events[-1].data["right"] is True
    assert "Carry the tray ashore." in drive.texts()


def test_a_wrong_answer_blocks_until_it_was_looked_at_again(drive: Driver, tmp_path: Path) -> None:
    tray = asked(drive, tmp_path)
    tray.count(6)
    drive.tap_text("This is so")
    drive.settle()
    assert tray.job.events[-1].data["right"] is False
    assert "That is not what the record says." in drive.texts()
    assert not any("7" in text for text in drive.texts())  # it does not tell what would be right
    tray.count(7)
    drive.tap_text("I have looked again")
    assert any("Answered again too soon to have looked" in text for text in drive.texts())
    drive.tap_text("Go on")
    tray.clock.pass_seconds(10)
    drive.tap_text("I have looked again")
    drive.settle()
    assert tray.kinds()[-1] == "answered" and tray.job.events[-1].data["right"] is True
    assert "Carry the tray ashore." in drive.texts()


def test_a_wrong_record_is_corrected_from_the_question(drive: Driver, tmp_path: Path) -> None:
    tray = asked(drive, tmp_path)
    tray.count(6)
    drive.tap_text("This is so")
    drive.settle()
    drive.tap_text("The record is wrong")
    drive.keypad("6")
    drive.tap_text("Take it")
    drive.settle()
    tray.clock.pass_seconds(10)
    tray.count(6)
    drive.tap_text("I have looked again")
    drive.settle()
    assert [event.data["right"] for event in tray.job.events if event.kind == "answered"] == [False, True]


def test_a_question_is_still_there_after_the_program_was_killed(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        tray = asked(drive, tmp_path)
        name = tray.job.state.boat
    tray.clock.restart("run-2")
    with Driver((800, 1280)) as drive:
        desk = Desk.open(tmp_path / "data", tray.clock, lambda procedure: True, demo_policy())
        app = drive.begin(CoachApp(desk))
        drive.tap_text("Ana Ruiz")
        drive.tap_text(name)
        drive.tap_text("Go on with this boat")
        drive.settle()
        assert "Tools on the tray" in drive.texts()
        assert question_due(app.shell.job.rules, app.shell.job.state) is not None  # type: ignore[attr-defined]


def test_a_whole_boat_meets_questions_and_a_good_worker_answers_them(tmp_path: Path) -> None:
    clock = HandClock(START)
    desk = Desk.open(tmp_path, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    Worker(job, clock, NOTES).work()
    answers = [event.data for event in job.events if event.kind == "answered"]
    assert 2 <= len(answers) <= 9 and all(data["right"] for data in answers)
    assert question_due(job.rules, job.state) is None
