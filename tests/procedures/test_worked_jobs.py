"""Every procedure done from arrival to signature on the real kernel, with the invented boats."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import pytest

from coach.core.actions import Start
from coach.core.checks import safeguard_status
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
from tests.procedures.other_boats import ENGINE, GODWIT
from tests.procedures.power_boats import DUNLIN

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


def begun(boat: Boat, policy: Policy) -> Worker:
    """A careful worker who has just opened the job of this boat."""
    rules = Rules(load_procedure(boat.procedure), policy, FUNCTIONS, proven=True)
    job = Job(rules, Shelf(), "job-1")
    clock = HandClock(MORNING)
    assert job.act(Start("ana", "job-1", boat.name), clock()) is None
    answers = {id: text for id, text in boat.answers.items() if text}
    return Worker(job, clock, Notes(measures=answers))


def worked(boat: Boat, policy: Policy = POLICY) -> Job:
    """The job of this boat, done by a careful worker and signed."""
    worker = begun(boat, policy)
    worker.work()
    worker.sign()
    return worker.job


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


TANKED = [
    boat for boat in BOATS
    if load_procedure(boat.procedure).heats and "fuel_vents" in boat.answers and boat.answers.get("fuel") != "none"
]
INDOORS = [replace(boat, answers={**boat.answers, "place": "indoors"}) for boat in (DUNLIN, GODWIT, ENGINE)]


@pytest.mark.parametrize("boat", [pytest.param(boat, id=boat.name) for boat in INDOORS])
def test_indoors_the_gate_stops_until_the_yard_names_ventilation_and_permit(boat: Boat) -> None:
    worker = begun(boat, POLICY)
    step = next(step for step in worker.steps() if step.proves == "air")
    worker.do(step)
    status = safeguard_status(worker.job.rules, worker.job.state, "air", worker.clock())
    assert [reason.code for reason in status.reasons] == ["G201"]
    assert step.id not in worker.job.state.done
    allowed = replace(POLICY, indoor_permit="HW-12", indoor_ventilation="both roof fans")
    assert worked(boat, allowed).state.status == CLOSED


@pytest.mark.parametrize("boat", [pytest.param(boat, id=boat.name) for boat in TANKED])
def test_eight_fuel_vents_are_taped_and_opened_again(boat: Boat) -> None:
    changed = {"fuel_vents": "8"} | ({"fuel": "petrol"} if boat.answers.get("fuel") == "electric" else {})
    job = worked(replace(boat, answers={**boat.answers, **changed}))
    taped = [event for event in job.events if event.data.get("debt") == "taped_vents"]
    assert [(event.kind, event.data["amount"]) for event in taped] == [("debt_opened", 8), ("debt_cleared", 8)]
    assert taped[1].data["evidence"]["removed"] == 8
