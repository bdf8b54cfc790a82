"""A careful worker: does a whole job on the real kernel, step by step, as a good technician would.

Rules kept here:
 1. The worker has no way of its own into the record: every act goes through Job.act and may be refused.
 2. What it measures and answers comes from its notes on the boat; what the notes leave out is the middle of the range.
Knows nothing of: screens, files.
Called by: the demonstration, practice, tests.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core import actions as act
from coach.core.attention import dwell, question_due, right_answer
from coach.core.checks import current_steps, gate_status, missing_asks, safeguard_status
from coach.core.gate import day_of
from coach.core.model import Evidence, Step
from coach.core.problems import Reason
from coach.core.session import Refusal
from coach.practice.clock import HandClock
from coach.practice.truth import all_well, plain_answer, well_done
from coach.view.measures import read_typed
from coach.view.signing import meaning_of
from coach.yard.job import Job

STROKES = (
    ((800, 6200), (2200, 2400), (3100, 7000), (4300, 3900), (5200, 6100)),
    ((5600, 5900), (7600, 4300), (9100, 5600)),
)

MOST_TIMES = 8  # that one step is done in one walk; gate steps come again when their proof has run out


@dataclass(frozen=True)
class Notes:
    """What is true of the boat and the day. proofs: values by safeguard; answers: evidence by (step, item)."""

    measures: Mapping[str, str] = field(default_factory=dict)
    proofs: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    answers: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    second: str = "joel"
    step_minutes: float = 2.0
    flame_minutes: float = 4.0
    look_seconds: float = 8.0  # to look at one safeguard again


class Stuck(Exception):
    """The worker was refused where a good worker should not be, or gets no further. Carries what stands against it."""

    def __init__(self, at: str, refusal: Refusal) -> None:
        self.refusal = refusal
        super().__init__(f"{at}: " + "; ".join(reason.text() for reason in refusal.reasons))


class Worker:
    """Works on one job as its technician. notice: called after every act with a short word for what was done."""

    def __init__(self, job: Job, clock: HandClock, notes: Notes, notice: Callable[[str], None] | None = None) -> None:
        self.job = job
        self.clock = clock
        self.notes = notes
        self._notice = notice or (lambda word: None)

    @property
    def by(self) -> str:
        """The technician of the job."""
        return self.job.state.technician

    def must(self, action: act.Action, word: str) -> None:
        """Act; raises Stuck if it is refused."""
        refusal = self.job.act(action, self.clock())
        if refusal is not None:
            raise Stuck(word, refusal)
        self._notice(word)

    def steps(self) -> Iterator[Step]:
        """Work on, one step at a time, until every step is settled; yields each step before it is done.

        Raises Stuck when a step comes again and again: what was shown for it is recorded but does not hold.
        """
        times: Counter[str] = Counter()
        while True:
            found = current_steps(self.job.rules, self.job.state)
            if not found:
                return
            times[found[0].id] += 1
            if times[found[0].id] > MOST_TIMES:
                raise self._no_further(found[0])
            self.answer()
            yield found[0]
            if any(step.id == found[0].id for step in current_steps(self.job.rules, self.job.state)):
                self.do(found[0])

    def work(self) -> None:
        """Do every step that is left."""
        for _ in self.steps():
            pass

    def do(self, step: Step) -> None:
        """Do one step: measure, prove, light and put out, give the evidence."""
        self.answer()
        self.clock.pass_minutes(self.notes.step_minutes)
        if step.proves:
            self.prove(step.proves)
            return
        while missing := missing_asks(self.job.rules, self.job.state, step):
            self.measure(missing[0])
        if step.heat and step.id not in self.job.state.heated:
            self.light(step)
            self.clock.pass_minutes(self.notes.flame_minutes)
            self.out()
        if step.clears == "fire_watch" and "fire_watch" in self.job.state.debts:
            self.clock.pass_minutes(self.job.rules.policy.limit("fire_watch_minutes"))
        self._timers(step)
        early = step.least_seconds * 1000 - (dwell(self.job.state, self.clock()) or 0)
        self.clock.pass_seconds(max(0, early) / 1000)
        self.must(act.Do(self.by, step.id, self.evidence(step), step.do), f"do {step.id}")

    def answer(self) -> None:
        """Answer the question that waits, if one does."""
        question = question_due(self.job.rules, self.job.state)
        if question is not None:
            self.must(act.Answer(self.by, right_answer(self.job.state, question)), f"answer {question.about}")

    def _no_further(self, step: Step) -> Stuck:
        """Why a step that was done so often is asked once more."""
        rules, state = self.job.rules, self.job.state
        about = rules.safeguards.get(step.proves)
        status = safeguard_status(rules, state, step.proves, self.clock()) if about else None
        reasons = status.reasons if status and status.reasons else (_again(step),)
        return Stuck(f"{step.id} was done {MOST_TIMES} times and comes again", Refusal(reasons))

    def measure(self, id: str, typed: str = "") -> None:
        """State a measure: as given, as in the notes, or the middle of its range."""
        measure = self.job.rules.procedure.measures[id]
        text = typed or self.notes.measures.get(id) or plain_answer(measure)
        _value, exact = read_typed(measure, text, "us")
        self.must(act.Measure(self.by, id, text, exact), f"measure {id}")

    def prove(self, id: str) -> None:
        """State what the notes say of a safeguard."""
        self.must(act.Observe(self.by, id, self.proof(id)), f"prove {id}")

    def prove_all(self) -> None:
        """State every safeguard that does not hold now, or would not hold to the end of the flame."""
        need = int((self.notes.flame_minutes + 3) * 60_000)
        for status in gate_status(self.job.rules, self.job.state, self.clock()):
            if not status.holds or status.left < need:
                self.clock.pass_seconds(self.notes.look_seconds)
                self.prove(status.safeguard)

    def proof(self, id: str) -> dict[str, Any]:
        """The values that hold for this boat, over which the notes go."""
        vents = self.job.state.fuel_vents or 0
        today = self.clock().wall
        good = all_well(vents, self.job.state.boat_place == "outdoors", self.by, self.notes.second, day_text(today))
        return {**good.get(id, {"holds": True}), **self.notes.proofs.get(id, {})}

    def light(self, step: Step) -> None:
        """Light the flame, after showing again whatever has lapsed."""
        self.prove_all()
        self.must(act.Light(self.by, step.id), f"light {step.id}")

    def out(self) -> None:
        """Put the flame out."""
        self.must(act.FlameOut(self.by), "flame out")

    def sign(self, meaning: str = "") -> None:
        """Sign the finished job, or the safe stop."""
        self.must(act.Sign(self.by, meaning or meaning_of(self.job.rules.procedure), STROKES), "sign")

    def evidence(self, step: Step) -> dict[str, Any]:
        """What the step asks as evidence."""
        if not step.evidence:
            return {"tick": True}
        wanted = [
            item
            for item in step.evidence
            if item.kind != "timer"
            and not (item.kind == "photo" and item.optional and (step.id, item.id) not in self.notes.answers)
        ]
        given = {item.id: self._item(step, item) for item in wanted}
        debt = self.job.state.debts.get(step.clears)
        counted = self.job.rules.debts[step.clears].counted if step.clears else ""
        if debt is not None and counted:
            given[counted] = debt.amount
        return given

    def _item(self, step: Step, item: Evidence) -> Any:
        if (step.id, item.id) in self.notes.answers:
            return self.notes.answers[(step.id, item.id)]
        if item.kind == "second_person":
            return self.notes.second
        if item.kind == "photo":
            return hashlib.sha256(f"{self.job.id}/{step.id}/{item.id}/{self.clock().wall}".encode()).hexdigest()
        return well_done(self.job.rules, self.job.state, item)

    def _timers(self, step: Step) -> None:
        for item in step.evidence:
            if item.kind == "timer":
                self.must(act.StartTimer(self.by, step.id), f"timer {step.id}")
                need = self.job.rules.policy.limit(item.limit) if item.limit else item.minutes
                self.clock.pass_minutes(need)


def _again(step: Step) -> Reason:
    """The reason where the gate itself has none: the step alone opens again."""
    return Reason(
        "D341",
        step.id,
        "%(step)s is asked again each time it was done",
        "the work would never end",
        "see which steps and measures open it again",
        {"step": step.do},
    )


def day_text(wall: int) -> str:
    """The day of a wall time as an ISO date."""
    return day_of(wall).isoformat()
