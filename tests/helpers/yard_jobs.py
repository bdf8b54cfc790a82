"""A yard with a real ledger, and jobs in it by careful workers and by others. Everything is invented."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from coach.core import actions as act
from coach.core.events import Event
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import STROKES, Notes, Worker
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from coach.yard.shelf import Shelf

HASTY = replace(NOTES, step_minutes=0.01, look_seconds=0.4)
DAY = 86_400
BACK = "Tape the seam at the starboard bow again."


class Yard:
    """Pell Harbour Boatyard with one tablet. Time goes on from job to job."""

    def __init__(self, folder: Path) -> None:
        self.clock = HandClock(START)
        self.desk = Desk.open(folder, self.clock, lambda procedure: True, demo_policy())

    @property
    def shelf(self) -> Shelf:
        """A fresh shelf over the ledger."""
        return Shelf(self.desk.ledger)

    def begin(self, boat: str, by: str = "ana", procedure: str = "power-boat-trailer", notes: Notes = NOTES) -> Worker:
        """A job that was just started."""
        job = self.desk.start(self.desk.load(procedure), boat, by)
        assert isinstance(job, Job)
        other = {"ana": "joel", "joel": "marta"}[by]
        return Worker(job, self.clock, replace(notes, second=other))

    def until(self, worker: Worker, step: str) -> Worker:
        """Work on up to a step."""
        for found in worker.steps():
            if found.id == step:
                return worker
        raise AssertionError(f"{step} never came")

    def careful(
        self, boat: str, by: str = "ana", procedure: str = "power-boat-trailer", notes: Notes = NOTES
    ) -> Worker:
        """A whole job, signed."""
        worker = self.begin(boat, by, procedure, notes)
        worker.work()
        worker.sign()
        return worker

    def accept(self, worker: Worker) -> None:
        """Marta countersigns."""
        worker.must(
            act.Accept("marta", "I looked at the cover; accepted.", STROKES, tuple(worker.job.state.excused)), "accept"
        )

    def send_back(self, worker: Worker, *steps: str) -> None:
        """Marta sends steps back."""
        worker.must(act.SendBack("marta", tuple((step, BACK) for step in steps)), "send back")

    def days(self, days: float) -> None:
        """Let days pass."""
        self.clock.pass_seconds(days * DAY)

    def gust(self, worker: Worker) -> None:
        """The wind gets up over a lit flame: a trip."""
        worker.must(act.Observe(worker.by, "wind", {"how": "meter", "mean": 4_100, "gust": 8_600}), "observe")

    def forge(self, worker: Worker, kind: str, **data: object) -> None:
        """Write an event past the kernel, as a changed program might."""
        self.desk.ledger.append(worker.job.id, [Event(kind, self.clock(), worker.by, data)])


def two_weeks(folder: Path) -> tuple[Yard, dict[str, Worker]]:
    """Two weeks of the yard: a job of every kind, by name."""
    yard = Yard(folder)
    jobs: dict[str, Worker] = {}
    jobs["Dunlin"] = yard.careful("Dunlin")
    yard.accept(jobs["Dunlin"])
    yard.days(1)
    jobs["Knot"] = yard.careful("Knot", "joel", notes=HASTY)
    yard.days(1)
    jobs["Teal"] = _troubled(yard)
    yard.days(1)
    jobs["Wigeon"] = yard.careful("Wigeon")
    yard.send_back(jobs["Wigeon"], "tape-seams", "stick-door")
    yard.days(4)
    jobs["Gadwall"] = _stopped(yard)
    jobs["Smew"] = yard.until(yard.begin("Smew"), "tape-over")
    jobs["Scaup"] = yard.until(yard.begin("Scaup", "joel"), "weld-hem")
    jobs["Scaup"].light(jobs["Scaup"].job.rules.steps["weld-hem"])
    return yard, jobs


def _troubled(yard: Yard) -> Worker:
    """Asked for the flame three times too early, and a trip; a step left out; a measure mended late."""
    worker = yard.until(yard.begin("Teal"), "cut-film")
    worker.measure("ridge_to_edge", "66 in")
    yard.until(worker, "weld-hem")
    yard.clock.pass_minutes(40)
    for _ in range(3):
        refusal = worker.job.act(act.Light("ana", "weld-hem"), yard.clock())
        assert refusal is not None
    yard.until(worker, "shrink-sides")
    worker.light(worker.job.rules.steps["shrink-sides"])
    yard.gust(worker)
    yard.clock.pass_minutes(2)
    worker.must(act.FlameOut("joel"), "out")
    yard.clock.pass_minutes(30)
    worker.must(act.Reset("ana"), "reset")
    yard.until(worker, "stick-door")
    worker.must(act.Excuse("ana", "stick-door", "no doors in stock"), "excuse")
    worker.work()
    worker.sign()
    return worker


def _stopped(yard: Yard) -> Worker:
    """Stopped in the rain with the vents still taped, on a tag."""
    worker = yard.until(yard.begin("Gadwall"), "shrink-bow")
    worker.must(act.AskStop("ana", "rain is coming"), "stop")
    worker.do(worker.job.rules.steps["close-cylinder"])
    worker.must(act.Tag("ana", "taped_vents", "bow rail", "no light left"), "tag")
    worker.do(worker.job.rules.steps["hold-fire-watch"])
    worker.sign("I stopped this job; the flame is out.")
    return worker
