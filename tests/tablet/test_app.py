"""The app by touch: a boat from the crew page to the signature, with refusals, a trip, a restart and a review."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core import actions as act
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.screens.who import who_page
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.field import Entry
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.signature import SigningField
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.tablet.driver import Driver  # first: it sets the toolkit up


class Boat:
    """A tablet with one job, worked on up to a step by a careful worker, then by touch."""

    def __init__(self, drive: Driver, folder: Path, until: str = "") -> None:
        self.drive = drive
        self.clock = HandClock(START)
        self.desk = Desk.open(folder, self.clock, lambda procedure: True, demo_policy())
        started = self.desk.start(self.desk.load("power-boat-trailer"), "Dunlin", "ana")
        assert isinstance(started, Job)
        self.job = started
        if until:
            worker = Worker(started, self.clock, NOTES)
            for step in worker.steps():
                if step.id == until:
                    break
            if started.rules.steps[until].heat:
                worker.prove_all()
        self.app = drive.begin(CoachApp(self.desk))

    def enter(self, person: str = "Ana Ruiz") -> None:
        """From the crew page to the job."""
        self.drive.tap_text(person)
        self.drive.tap_text("Dunlin")
        self.drive.settle()

    @property
    def shown(self) -> Job:
        """The job as the app has it."""
        job = self.app.shell.job  # type: ignore[attr-defined]
        assert job is not None
        return job

    def kinds(self) -> list[str]:
        """The kinds of all events in the ledger."""
        return [event.kind for event in self.desk.ledger.events(self.job.id)]

    def big(self, words: str) -> BigButton:
        """The button with these words."""
        return self.drive.one(BigButton, lambda each: each.words == words)


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


def test_a_new_boat_by_touch(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    drive.tap_text("New boat")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Sanderling")
    drive.tap_text("Cover a power boat on its trailer")
    drive.tap_text("Start the job")
    drive.settle()
    assert boat.shown.state.boat == "Sanderling"
    assert {row.boat for row in boat.desk.board()} == {"Dunlin", "Sanderling"}


def test_without_a_name_nothing_starts(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    drive.tap_text("New boat")
    drive.tap_text("Cover a power boat on its trailer")
    drive.tap_text("Start the job")
    assert any("The boat has no name." in text for text in drive.texts())
    assert len(boat.desk.board()) == 1


def test_the_keypad_gives_live_numbers_at_every_key(drive: Driver, tmp_path: Path) -> None:
    """66 in over the ridge is a 12 ft film (common practice, no source); 6 in alone is out of range and says so."""
    boat = Boat(drive, tmp_path, "tape-over")
    boat.enter()
    drive.tap_text("Measure")
    drive.keypad('6')
    assert any("outside the plausible range" in text for text in drive.texts())
    drive.keypad('6"')
    assert "12 ft" in drive.texts()
    drive.tap_text("Take it")
    drive.settle()
    assert boat.shown.state.typed["ridge_to_edge"] == '66"'


def test_heat_is_blocked_with_every_reason_and_one_touch_to_clear_each(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.clock.pass_minutes(17)  # the wind reading lapses, at fifteen
    boat.enter()
    assert boat.big("Light the flame").disabled
    assert any(text.startswith("Wind under the limit: shown") for text in drive.texts())
    drive.hold(boat.big("Light the flame"), 3)
    assert "flame_lit" not in boat.kinds()
    drive.tap_text("Show it")
    drive.tap_text("With a wind meter")
    drive.tap_text("Mean wind")
    drive.keypad("5")
    drive.tap_text("Take it")
    drive.tap_text("Strongest gust")
    drive.keypad("8")
    drive.tap_text("Take it")
    drive.tap_text("This is what I see")
    drive.settle()
    assert not boat.big("Light the flame").disabled
    drive.hold(boat.big("Light the flame"), 3)
    drive.settle()
    assert boat.shown.state.flame == "weld-hem"
    assert "Flame lit" in drive.texts()


def lit(drive: Driver, folder: Path) -> Boat:
    boat = Boat(drive, folder, "weld-hem")
    boat.enter()
    drive.hold(boat.big("Light the flame"), 3)
    drive.settle()
    assert boat.shown.state.flame == "weld-hem"
    return boat


def test_a_short_touch_lights_nothing(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    drive.tap(boat.big("Light the flame"))
    assert "flame_lit" not in boat.kinds()


def test_time_alone_trips_the_flame_and_takes_the_screen(drive: Driver, tmp_path: Path) -> None:
    boat = lit(drive, tmp_path)
    boat.clock.pass_minutes(16)  # the wind reading lapses at 15 minutes
    drive.pass_time(2)
    drive.settle()
    assert boat.shown.state.trip is not None
    assert "Take the flame off the film and let go of the trigger." in drive.texts()
    assert any("Wind under the limit: shown" in text for text in drive.texts())
    drive.tap_text("The flame is out, the tool is closed")
    drive.settle()
    drive.hold(boat.big("Reset"), 2)
    drive.settle()
    assert boat.kinds()[-3:] == ["tripped", "flame_out", "trip_reset"]
    assert boat.shown.state.flame == ""


def test_saying_what_is_lost_trips_at_once(drive: Driver, tmp_path: Path) -> None:
    boat = lit(drive, tmp_path)
    drive.tap_text("Something is lost")
    drive.tap_text("The fire watch left")
    drive.settle()
    assert boat.kinds()[-2:] == ["withdrawn", "tripped"]


def test_a_tablet_that_was_killed_comes_back_with_the_gate_shut(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        boat = lit(drive, tmp_path)
    boat.clock.restart("run-2")
    with Driver((800, 1280)) as drive:
        desk = Desk.open(tmp_path, boat.clock, lambda procedure: True, demo_policy())
        app = drive.begin(CoachApp(desk))
        drive.tap_text("Ana Ruiz")
        drive.tap_text("Dunlin")
        drive.pass_time(2)
        drive.settle()
        state = app.shell.job.state
        assert state.flame == "" and state.trip is not None
        assert "Take the flame off the film and let go of the trigger." in drive.texts()


def more(drive: Driver) -> None:
    """One more on the counter."""
    drive.tap(next(w for w in drive.one(Counter).walk() if isinstance(w, IconButton) and w.icon == "plus"))


def test_two_tapes_on_need_two_tapes_off(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "open-fuel-vents")
    boat.enter()
    more(drive)
    drive.tap_text("Done, next step")
    assert any("2 were put on, 1 came off." in text for text in drive.texts())
    drive.tap_text("Go on")
    more(drive)
    drive.tap_text("Done, next step")
    drive.settle()
    assert "taped_vents" not in boat.shown.state.debts


def test_the_job_is_signed_by_finger_and_reviewed_by_another(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "tag-cover")
    boat.enter()
    drive.tap_text("Done")
    drive.settle()
    drive.stroke(drive.one(SigningField), [(0.1, 0.5), (0.3, 0.8), (0.5, 0.3), (0.8, 0.6)])
    drive.hold(boat.big("Sign and seal"), 2)
    drive.settle()
    assert boat.kinds()[-2:] == ["signed", "closed"]
    assert boat.desk.board()[0].sealed
    assert not drive.all(BigButton, lambda each: each.words == "Accept")  # nobody reviews their own work
    boat.app.shell.home(who_page)
    drive.settle()
    drive.tap_text("Marta Oduya")
    drive.tap_text("Dunlin")
    drive.tap_text("Accept")
    drive.stroke(drive.one(SigningField), [(0.2, 0.4), (0.4, 0.7), (0.7, 0.4)])
    drive.hold(boat.big("Accept and seal"), 2)
    drive.settle()
    assert boat.kinds()[-1] == "accepted"
    assert (boat.desk.board()[0].state, boat.desk.board()[0].sealed) == ("accepted", True)


def test_the_supervisor_sends_back_with_a_reason(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "tag-cover")
    worker = Worker(boat.job, boat.clock, NOTES)
    worker.work()
    worker.sign()
    boat.app.shell.refresh()
    drive.tap_text("Marta Oduya")
    drive.tap_text("Dunlin")
    drive.tap_text("Send back")
    drive.tap_text("Lay a strip of tape over every seam and pleat.")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Starboard bow seam lifts")
    drive.tap_text("One more step")
    assert "Send 1 step back" in drive.texts() and "Starboard bow seam lifts" in words_of_rows(drive)
    drive.tap_text("Stick the door on with the bottom of its U down.")
    drive.tap_text("Send it back")
    drive.settle()
    assert "sent_back" not in boat.kinds()  # the second step has no reason yet
    drive.tap_text("Go on")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Upside down")
    drive.tap_text("Send it back")
    drive.settle()
    assert boat.kinds()[-3:] == ["sent_back", "step_reopened", "step_reopened"]
    (back,) = [event for event in boat.desk.ledger.events(boat.job.id) if event.kind == "sent_back"]
    assert [(item["step"], item["reason"]) for item in back.data["steps"]] == [
        ("stick-door", "Upside down"), ("tape-seams", "Starboard bow seam lifts"),
    ]  # fmt: skip
    assert "Boats" in drive.texts() and "Sent back" in drive.texts()  # the supervisor is not left in another's step


def words_of_rows(drive: Driver) -> list[str]:
    return [row.note for row in drive.all(ListRow)]


def test_a_safe_stop_by_touch_leaves_nothing_forgotten(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "shrink-sides")
    boat.enter()
    drive.tap(drive.one(IconButton, lambda each: each.icon == "menu"))
    drive.tap_text("Stop the job safely")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Storm coming")
    drive.hold(boat.big("Stop"), 2)
    drive.settle()
    assert boat.shown.state.status == "stopping"
    assert set(boat.shown.state.debts) == {"taped_vents", "open_cylinder", "fire_watch"}
    assert "Sign and seal" not in drive.texts()
    assert boat.job.act(act.Sign("ana", "x", (((1, 1), (2, 2)),)), boat.clock()) is not None
