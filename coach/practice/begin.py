"""What was done on a drill's boat before the trainee takes over: played once by a careful worker on the real kernel.

Rules kept here:
 1. Every event of it comes from the kernel; it is practice from its first event on.
 2. It is played by the invented crew, never in the trainee's name.
Knows nothing of: the time line, the world.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core import actions as act
from coach.core.events import Event
from coach.core.model import Step
from coach.core.moment import Moment
from coach.core.problems import CoachError, Problem
from coach.core.rules import Rules
from coach.core.session import Refusal
from coach.core.state import STOPPING
from coach.practice.clock import HandClock
from coach.practice.crew import HAND, WATCH
from coach.practice.drill import SIGNED, STOPPED, Drill
from coach.practice.worker import Notes, Worker
from coach.yard.job import Job
from coach.yard.memory import MemoryStore

MINUTES_AGO = 15  # the trainee comes so long after the last act of the one before; ours
HOURS_AGO = 14  # a review is done the next morning; ours
_REASON = "The light is going and the film is not on yet."


@dataclass(frozen=True)
class Beginning:
    """The events so far, and the moment at which the trainee takes over."""

    events: tuple[Event, ...]
    now: Moment


def job_id(drill: Drill) -> str:
    """The id of a practice job; it begins with 'practice-' so that nobody takes it for a real one."""
    return f"practice-{drill.id}"


def begin(drill: Drill, rules: Rules) -> Beginning:
    """Play what comes before.

    Raises:
        CoachError D320: the careful worker was stuck, so the drill's boat does not fit its procedure.
    """
    if not drill.begins and not drill.handed:
        return Beginning((), HandClock(drill.starts)())
    pause = HOURS_AGO * 3_600_000 if drill.handed else MINUTES_AGO * 60_000
    took = _play(drill, rules, drill.starts - pause).now.wall - (drill.starts - pause)
    played = _play(drill, rules, drill.starts - pause - took)
    return Beginning(played.events, played.now.plus(drill.starts - played.now.wall))


def _play(drill: Drill, rules: Rules, wall: int) -> Beginning:
    """Work from this wall time on up to the trainee's step."""
    clock = HandClock(wall)
    job = Job(rules, MemoryStore(), job_id(drill))
    _started(job.act(act.Start(HAND, job.id, drill.boat, True), clock()), drill)
    answers = {(step, item): value for step, given in drill.claims.items() for item, value in given.items()}
    worker = Worker(job, clock, Notes(drill.measures, {}, answers, WATCH, step_minutes=1.0))
    for step in worker.steps():
        if step.id == drill.begins and drill.handed != SIGNED:
            break
        _do(worker, step, drill)
    if drill.handed == STOPPED:
        _stop(worker)
    if drill.handed == SIGNED:
        worker.sign()
    return Beginning(job.events, clock())


def _do(worker: Worker, step: Step, drill: Drill) -> None:
    if step.id in drill.excuses:
        worker.must(act.Excuse(worker.by, step.id, drill.excuses[step.id]), f"excuse {step.id}")
    else:
        worker.do(step)


def _stop(worker: Worker) -> None:
    """Stop safely: cylinder closed, watch held, the tape on the vents left on a tag."""
    worker.must(act.AskStop(worker.by, _REASON), "stop")
    rules = worker.job.rules
    for debt in tuple(worker.job.state.debts):
        if debt == "taped_vents":
            worker.must(act.Tag(worker.by, debt, "at the helm", _REASON), "tag")
        elif worker.job.state.status == STOPPING:
            worker.do(rules.steps[rules.clearing[debt]])
    worker.sign()


def _started(refusal: Refusal | None, drill: Drill) -> None:
    if refusal is not None:
        reason = refusal.reasons[0]
        raise CoachError(
            Problem(
                "D320",
                "the drill '%(id)s' cannot begin: %(why)s",
                "its boat does not fit its procedure",
                "mend the drill",
                drill.place,
                {"id": drill.id, "why": reason.text()},
            )
        )
