"""Every procedure done from arrival to signature on the real kernel, with the invented boats."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import pytest

from coach.core.actions import Start
from coach.core.events import Event
from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN, Person, Policy
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.core.state import CLOSED
from coach.practice.clock import HandClock
from coach.practice.worker import Notes, Worker
from coach.reader.load import load_procedure
from coach.yard.job import Job
from tests.procedures.boat import Boat
from tests.procedures.boats import BOATS

MORNING = 1_793_000_000_000  # ms, in the autumn of 2026
POLICY = Policy(
    "Pell Harbour Boatyard",
    {
        "ana": Person("ana", "Ana Ruiz", frozenset({TECHNICIAN}), "2027-06-30"),
        "joel": Person("joel", "Joel Baptiste", frozenset({TECHNICIAN, FIRE_WATCH}), "2027-06-30"),
        "marta": Person("marta", "Marta Oduya", frozenset({SUPERVISOR})),
    },
)


class Shelf:
    """A store in memory: a job's events in order."""

    def __init__(self) -> None:
        self.kept: list[Event] = []

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str]) -> None:
        self.kept += events

    def append(self, job: str, events: Sequence[Event]) -> None:
        self.kept += events

    def events(self, job: str) -> tuple[Event, ...]:
        return tuple(self.kept)


def worked(boat: Boat) -> Job:
    """The job of this boat, done by a careful worker and signed."""
    rules = Rules(load_procedure(boat.procedure), POLICY, FUNCTIONS, proven=True)
    job = Job(rules, Shelf(), "job-1")
    clock = HandClock(MORNING)
    assert job.act(Start("ana", "job-1", boat.name), clock()) is None
    answers = {id: text for id, text in boat.answers.items() if text}
    worker = Worker(job, clock, Notes(measures=answers))
    worker.work()
    worker.sign()
    return job


@pytest.mark.parametrize("boat", [pytest.param(boat, id=boat.name) for boat in BOATS])
def test_a_careful_worker_closes_the_job_and_skips_only_what_the_boat_does_not_have(boat: Boat) -> None:
    job = worked(boat)
    assert job.state.status == CLOSED
    assert job.state.debts == {}
    assert set(job.rules.order) - set(job.state.done) == boat.skipped
    flames = [event for event in job.events if event.kind == "flame_lit"]
    heat = [step.id for step in job.rules.procedure.steps if step.heat and step.id not in boat.skipped]
    assert [event.data["step"] for event in flames] == heat
    assert [event.kind for event in job.events if event.kind in ("heat_refused", "tripped")] == []
