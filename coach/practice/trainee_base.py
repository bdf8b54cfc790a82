"""A simulated trainee: works through a run by its habits, and keeps what it did wrong, so that judging can be tested.

Rules kept here:
 1. It has the same ways as a person at the tablet: looks, deeds, the kernel's actions, the flame. Nothing else.
 2. What it calls a fault is what it knows that it did: a look left out, a lie, a late hand; never the judge's verdict.
Knows nothing of: assessment. Called by: trial, tests, the command line's simulated runs.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from coach.core import actions as act
from coach.core.checks import failed_checks, gate_status, missing_asks
from coach.core.evidence import evidence_reasons
from coach.core.model import Step
from coach.core.session import Refusal
from coach.practice import looks
from coach.practice.chance import Chance
from coach.practice.crew import WATCH
from coach.practice.drill import BAND, Look
from coach.practice.habits import Habits
from coach.practice.reasons import DEBT
from coach.practice.run import LEAST_SECONDS, Run
from coach.practice.truth import all_well
from coach.practice.worker import STROKES
from coach.view.measures import read_typed
from coach.view.signing import meaning_of

MOST_WAITS = 6
WAIT = 1200  # s
HOLDS_LEAST = 6 * 60_000  # ms that a proof must still hold before a careful hand lights


@dataclass(frozen=True)
class Fault:
    """Something the trainee knows it did wrong. codes: what a judge may call it; about: '' where any will do."""

    codes: tuple[str, ...]
    about: str
    second: int


class TraineeBase:
    """A trainee's hands: looking, stating, doing, with its habits. The whole of the work is trainee.Trainee."""

    def __init__(self, run: Run, habits: Habits, number: int = 0) -> None:
        self.run = run
        self.habits = habits
        self.chance = Chance("trainee", habits.name, run.drill.id, number)
        self.faults: list[Fault] = []
        self.waits = 0
        self._acts = 0
        self._noticed = 0
        self._doubts: list[tuple[str, tuple[str, ...]]] = []

    @property
    def by(self) -> str:
        """The trainee's id."""
        return self.run.trainee

    # -- small habits --------------------------------------------------------------------------------------------

    def fault(self, about: str, *codes: str) -> None:
        """Remember something done wrong."""
        self.faults.append(Fault(codes, about, self.run.second))

    def does(self, habit: str) -> bool:
        """Whether a habit holds this time."""
        return self.chance.whether(getattr(self.habits, habit))

    def think(self, items: int = 1) -> bool:
        """Take the time to read; answers whether it was enough."""
        self.run.pass_seconds(round(self.chance.between(*self.habits.thinks) * items))
        return self.run.idle >= LEAST_SECONDS * items

    def ask(self, action: act.Action, items: int = 0, about: str = "") -> Refusal | None:
        """Think, then ask the kernel."""
        if items and not self.think(items):
            self.fault(about, "quick")
        return self.run.ask(action)

    def wait(self) -> bool:
        """Wait for things to get better; False when there was enough waiting and it is time to stop."""
        self.waits += 1
        self.run.pass_seconds(WAIT)
        return self.waits <= MOST_WAITS

    # -- looking, stating ----------------------------------------------------------------------------------------

    def look_round(self, *facts: str) -> None:
        """Take the drill's own looks that tell something about these facts."""
        for look in self.run.drill.looks:
            may = not look.after or look.after in self.run.happened
            if may and self._concerns(look, facts) and not self._known(look) and self.does("remembers"):
                self.run.look(look.id)

    def _concerns(self, look: Look, facts: tuple[str, ...]) -> bool:
        return any(tell == fact or tell.partition(".")[0] == fact for tell in look.tells for fact in facts)

    def _known(self, look: Look) -> bool:
        return any(note.kind == "look" and note.about == look.id for note in self.run.track)

    def presumed(self, id: str) -> dict[str, Any]:
        """What somebody states who has not looked: that all is well."""
        state = self.run.job.state
        today = self.run.world.safeguard("extinguisher")["inspected"] if id != "extinguisher" else self._today()
        well = all_well(state.fuel_vents or 0, state.boat_place != "indoors", self.by, WATCH, today)
        return well.get(id, {"holds": True})

    def _today(self) -> str:
        from coach.practice.worker import day_text

        return day_text(self.run.clock().wall)

    def prove(self, id: str) -> bool:
        """State a safeguard; answers whether it holds then. What does not hold is mended, waited for, or lied about."""
        self.look_round(id)
        looked = id == "operator" or self.does("looks")
        if looked and id != "operator":
            self.run.look(id)
        values = self.run.world.safeguard(id) if looked else self.presumed(id)
        if looked and not self.run.world.holds(id):
            if self.does("honest"):
                return self._mend_or_stop(id)
            values = self.presumed(id)
            self.fault(id, "false")
        elif not looked and not self.run.is_seen(id):
            self.fault(id, "unseen", "false")
        self.ask(act.Observe(self.by, id, values), len(values), id)
        return self._holds(id)

    def _holds(self, id: str) -> bool:
        status = {each.safeguard: each for each in gate_status(self.run.rules, self.run.job.state, self.run.clock())}
        return status[id].holds

    def _mend_or_stop(self, id: str) -> bool:
        """Say that it does not hold, then mend it; with nothing left to do, stop."""
        values = self.run.world.safeguard(id)
        self.ask(act.Observe(self.by, id, values), len(values), id)
        deed = next((each for each in self.run.deeds() if each.mends == id), None)
        if deed is not None:
            self.run.deed(deed.id)
        elif id not in ("wind", "area", "gas") or not self.wait():
            self.ask(act.AskStop(self.by, "This cannot be made safe today."))
        return False

    # -- measures, steps -----------------------------------------------------------------------------------------

    def measure(self, id: str) -> None:
        """Measure until two readings agree; a hasty hand takes the first."""
        self.look_round(f"measure {id}")
        typed = self._reading(id)
        self.faults = [fault for fault in self.faults if fault.about != f"measure {id}"]  # measured anew
        if self.does("again"):
            while (once_more := self._reading(id)) != typed:
                typed = once_more
        elif id in self.run.drill.slips and typed == self.run.drill.slips[id].reads:
            self.fault(f"measure {id}", "measure")
        _value, exact = read_typed(self.run.rules.procedure.measures[id], typed, "us")
        self.ask(act.Measure(self.by, id, typed, exact))

    def _reading(self, id: str) -> str:
        fact = f"measure {id}"
        look = looks.built_in(self.run, fact)
        self.run.pass_seconds(look.seconds)
        self.run.seen[fact] = self.run.second
        typed, _words = looks.measured(self.run, id)
        self.run.note("look", fact)
        return typed

    def do(self, step: Step) -> None:
        """Do a step without a flame: measure, look, give the evidence."""
        state = self.run.job.state
        if step.stage == BAND and self.does("looks") and BAND not in self.run.seen:
            self.run.look(BAND)
        self.look_round(
            *(f"measure {id}" for id in step.asks), *(f"answer {step.id}.{item.id}" for item in step.evidence)
        )
        while missing := missing_asks(self.run.rules, self.run.job.state, step):
            self.measure(missing[0])
        if step.clears == "fire_watch" and "fire_watch" in state.debts and not self._watched(step):
            return
        given = self.evidence(step)
        if given is None:
            return
        if failed := failed_checks(self.run.rules, self.run.job.state, step.asks):
            if self.does("again") or any(reason.code == "G034" for reason in failed):
                self._measure_anew(step)
                return
            given["kept"] = "It looks right to me."
        self._submit(step, given)

    def _submit(self, step: Step, given: dict[str, Any]) -> None:
        """Say that a step is done; only now are its answers statements."""
        for about, codes in self._doubts:
            self.fault(about, *codes)
        self.ask(act.Do(self.by, step.id, given, step.do), max(1, len(step.evidence)), step.id)

    def _measure_anew(self, step: Step) -> None:
        for check in self.run.rules.procedure.checks:
            if set(check.measures) & set(step.asks):
                for id in check.measures:
                    if id in self.run.job.state.measures:
                        self.measure(id)

    def _watched(self, step: Step) -> bool:
        """Hold the fire watch; the impatient try to end it first."""
        if not self.does("waits"):
            refusal = self.ask(act.Do(self.by, step.id, {"watcher": WATCH}, step.do), 1, step.id)
            if refusal is not None and "G061" in [reason.code for reason in refusal.reasons]:
                self.fault(step.id, "early")
            if refusal is None:
                return False
        self.run.pass_seconds(self.run.rules.policy.limit("fire_watch_minutes") * 60)
        return True

    def evidence(self, step: Step) -> dict[str, Any] | None:
        """What the step asks as evidence; None if something had to be mended first."""
        self._doubts = []
        if not step.evidence:
            return {"tick": True}
        given: dict[str, Any] = {}
        for item in step.evidence:
            if item.kind == "timer":
                self.ask(act.StartTimer(self.by, step.id))
                self.run.pass_seconds((self.run.rules.policy.limit(item.limit) if item.limit else item.minutes) * 60)
            elif item.kind == "second_person":
                given[item.id] = WATCH
            elif item.kind == "photo":
                if not item.optional:
                    given[item.id] = hashlib.sha256(f"{step.id}/{item.id}/{self.run.second}".encode()).hexdigest()
            else:
                given[item.id] = self._item(step, item.id)
        if evidence_reasons(self.run.rules, self.run.job.state, step, given, self.run.clock()):
            return self._not_right(step, given)
        return given

    def _item(self, step: Step, item: str) -> Any:
        fact = f"answer {step.id}.{item}"
        known = fact[7:].partition(".")[0] in self.run.world.answers
        if self.does("looks"):
            self.run.look(fact)
            return looks.answer(self.run, step.id, item)
        if known and item in self.run.world.answers[step.id] and fact not in self.run.seen:
            self._doubts.append((fact, ("unseen", "false")))
        return self._presumed_answer(step, item)

    def _presumed_answer(self, step: Step, item: str) -> Any:
        """What somebody states who has not looked: what should be."""
        from coach.practice.truth import well_done

        found = next(each for each in step.evidence if each.id == item)
        debt = self.run.job.state.debts.get(step.clears)
        if debt is not None and self.run.rules.debts[step.clears].counted == item:
            return debt.amount
        return well_done(self.run.rules, self.run.job.state, found)

    def _not_right(self, step: Step, given: dict[str, Any]) -> dict[str, Any] | None:
        """The evidence shows that the work is not right: mend it, or say that it is."""
        deeds = [deed for deed in self.run.deeds() if step.id in deed.answers]
        if self.does("honest"):
            if deeds:
                self.run.deed(deeds[0].id)
            elif not self.wait():
                self.ask(act.AskStop(self.by, "This cannot be put right today."))
            return None
        lied = {
            item: self._presumed_answer(step, item) for item in given if f"answer {step.id}.{item}" in self.run.seen
        }
        for item, value in lied.items():
            true = self.run.world.answers.get(step.id, {})
            if item in true and true[item] != value:
                self._doubts.append((f"answer {step.id}.{item}", ("false",)))
        return {**given, **lied}

    # -- the end -------------------------------------------------------------------------------------------------

    def sign(self) -> None:
        """Sign the job."""
        self.ask(act.Sign(self.by, meaning_of(self.run.rules.procedure), STROKES))

    def finish_stop(self) -> None:
        """Make the boat safe after asking to stop, then sign; the forgetful try to sign first."""
        state, rules = self.run.job.state, self.run.rules
        left = [id for id, debt in state.debts.items() if not debt.tag]
        if left and not self.does("remembers"):
            self.sign()
            self.fault(f"{DEBT} {left[0]}", "debt")
        if left and not self.does("obeys") and "open_cylinder" in left:
            self.ask(act.Tag(self.by, "open_cylinder", "at the bow", "no time"))
            self.fault("open_cylinder", "tag")
        for id in left:
            step = rules.steps[rules.clearing[id]]
            if id == "fire_watch":
                self.run.pass_seconds(rules.policy.limit("fire_watch_minutes") * 60)
            given = self.evidence(step)
            if given is None:
                return
            self._submit(step, given)
        if not [id for id, debt in self.run.job.state.debts.items() if not debt.tag]:
            self.sign()
