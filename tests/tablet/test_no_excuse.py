"""What the pages offer, by touch: no reason for a hose past its day, only the yard's fire watches, what is due beside a count,
no way round the read-back."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core import actions as act
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.routes import to
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.people import PersonTile
from coach.tablet.widgets.reasons import ReasonRow
from coach.tablet.widgets.rows import Counter, ListRow
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.tablet.driver import Driver

PAST = "Its last good day was Sep 30, 2026"


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((800, 1280)) as driver:
        yield driver


def opened(drive: Driver, folder: Path, procedure: str, until: str) -> Job:
    """A job worked on up to a step, open before Ana."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    started = desk.start(desk.load(procedure), "Dunlin", "ana")
    assert isinstance(started, Job)
    for step in Worker(started, clock, NOTES).steps():
        if step.id == until:
            break
    app = drive.begin(CoachApp(desk))
    drive.tap_text("Ana Ruiz")
    drive.tap_text("Dunlin")
    drive.settle()
    job = app.shell.job  # type: ignore[attr-defined]
    assert isinstance(job, Job)
    return job


def test_a_hose_past_its_day_is_asked_as_a_day_and_no_reason_is_offered(drive: Driver, tmp_path: Path) -> None:
    job = opened(drive, tmp_path, "daily-tool-check", "bend-hose")
    drive.tap_text("Answer")
    month = drive.one(Counter, lambda each: each.label == "Month")
    day = drive.one(Counter, lambda each: each.label == "Day")
    month.value, day.value = 9, 30
    drive.settle()
    drive.tap_text("Take this day")
    assert job.state.measures["hose_until"] == "2026-09-30"
    said = [panel.words for panel in drive.all(CautionPanel) if PAST in panel.words]
    assert said == [f"{PAST}: Until which day is the hose good?"]
    assert drive.all(Field) == []
    job.act(act.Measure("ana", "hose_until", "2028-09-30", "2028-09-30"), drive.app.shell.desk.now())  # type: ignore[union-attr]
    drive.app.shell.refresh()  # type: ignore[union-attr]
    drive.settle()
    assert [panel.words for panel in drive.all(CautionPanel) if "last good day" in panel.words] == []


def test_only_fire_watches_of_the_yard_are_offered_for_the_end_of_the_watch(drive: Driver, tmp_path: Path) -> None:
    opened(drive, tmp_path, "power-boat-trailer", "hold-fire-watch")
    offered = [(tile.words, tile.role) for tile in drive.all(PersonTile)]
    assert offered == [("Joel Baptiste", "Fire watch"), ("Marta Oduya", "Fire watch")]


def test_what_is_due_stands_beside_a_count_and_a_short_one_is_refused(drive: Driver, tmp_path: Path) -> None:
    job = opened(drive, tmp_path, "power-boat-trailer", "stand-uprights")
    counter = drive.one(Counter, lambda each: each.label.startswith("Uprights standing"))
    assert counter.label == "Uprights standing (at least 2)"
    drive.tap_text("Done, next step")
    assert "stand-uprights" not in job.state.done
    assert any("due are at least 2" in text for text in drive.texts())


def test_the_read_back_is_not_offered_to_be_left_out(drive: Driver, tmp_path: Path) -> None:
    job = opened(drive, tmp_path, "power-boat-trailer", "gate-read-back")
    shell = drive.app.shell  # type: ignore[union-attr]
    shell.open(to("menu_page"))
    drive.settle()
    row = drive.one(ListRow, lambda each: each.words == "Leave this step out")
    assert row.note == "This step cannot be left out."
    drive.tap_text("Leave this step out")
    assert [(line.what, line.button) for line in drive.all(ReasonRow)] == [
        ("This step cannot be left out.", "Stop the job safely")
    ]
    assert drive.all(Field) == [] and "Leave it out" not in drive.texts()
    drive.tap_text("Stop the job safely")
    assert "Why do you stop?" in [field.label for field in drive.all(Field)]
    assert job.state.excused == {}


def test_another_step_is_left_out_with_a_reason(drive: Driver, tmp_path: Path) -> None:
    job = opened(drive, tmp_path, "power-boat-trailer", "stand-uprights")
    shell = drive.app.shell  # type: ignore[union-attr]
    shell.open(to("menu_page"))
    drive.settle()
    assert drive.one(ListRow, lambda each: each.words == "Leave this step out").note == "The supervisor decides at the review"
    drive.tap_text("Leave this step out")
    drive.one(Field).text = "the owner's frame stays up"
    drive.tap_text("Leave it out")
    assert job.state.excused == {"stand-uprights": "the owner's frame stays up"}
