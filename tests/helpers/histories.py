"""Random histories of one job: a crew that mostly does the sensible next thing, and a world that interferes.

A history is a function of its seed. Moves are drawn by weight: sensible ones reach the flame and the end, the others
turn clocks, restart the tablet, withdraw, misread, correct, hand over, stop, review, or ask for anything at all.
`check` sees every action before it is decided, `after` the bench after every action that was taken.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from coach.core import actions as act
from coach.core.checks import current_steps, gate_status
from coach.core.gate import SAFEGUARDS
from coach.core.session import Refusal, decide, refusal_note, watch
from tests.helpers.bench import Bench
from tests.helpers.people import STROKES, good
from tests.helpers.procedures import covering, rules_for

CREW = ("ana", "joel", "ivo", "sam", "pia", "marta", "nobody")
STEPS = ("look", "cut", "prop", "weld", "shrink", "close", "unprop", "untape", "hold", "cut-door", "tidy", "moon")
DEBTS = ("taped_vents", "open_cylinder", "fire_watch", "prop", "moon")
ANSWERS = {
    "fuel_vents": ("2", "2", "2", "1", "0", "3", "7", "2.5"),
    "place": ("outdoors", "outdoors", "outdoors", "indoors", "moon"),
    "beam": ("2 m", "2.5 m", "3 m", "2 kg"), "door": ("yes", "no"), "door_height": ("1 m", "1.2 m", "9"),
    "moon": ("1",),
}
# Of the job with a last good day and a cut held against its number; at first mostly right.
DATED = {"hose": ("2027-03-01", "2027-03-01", "2027-03-01", "2026-11-09", "2026-11-08", "9 Nov")}
CUTS = {"2 m": "4.6 m", "2.5 m": "5.5 m", "3 m": "6.5 m"}
WRONG: dict[str, tuple[dict[str, Any], ...]] = {
    "operator": ({"person": "pia"}, {"person": None}),
    "protection": ({"gloves": False}, {"eyes": None}),
    "fuel_system": ({"winterized": False}, {"shown_by": None}),
    "vents_taped": ({"taped": 1}, {"markers": 1}, {"taped": 3, "markers": 3}, {"taped": True}, {"taped": 0}),
    "extinguisher": ({"rating": "1-A:10-B:C"}, {"charge": "low"}, {"distance": 9_145}, {"inspected": "2026-10-01"}),
    "area": ({"distance": 10_667}, {"nobody_under": False}),
    "fire_watch": ({"person": "ana"}, {"person": "joel"}, {"person": "joel"}, {"person": "marta"}, {"at_post": False}),
    "air": ({"open_air": False}, {"open_air": None}),
    "gas": ({"smell": True}, {"detector": 100}, {"detector": 99}, {"smell": None}),
    "leak_test": ({"bubbles": True}, {"soaped": False}),
    "wind": (
        {"gust": 8_000}, {"gust": 7_999, "mean": 5_399}, {"mean": 5_400, "gust": 6_000}, {"gust": 1_000}, {"how": None},
        {"how": "by_eye", "mean_force": 2, "gust_force": 4}, {"how": "by_eye", "mean_force": 3, "gust_force": 4},
    ),
}
SECONDS = (0, 1, 5, 20, 60, 300, 600, 890, 901, 1_800, 3_600, 3_601, 7_200, 14_401, 40_000)


class History:
    """One random history on a bench."""

    def __init__(
        self, seed: int, moves: int = 45, check: Callable[[Bench, act.Action], None] | None = None,
        after: Callable[[Bench], None] | None = None, dated: bool = False,
    ) -> None:
        self.random = Random(seed)
        self.answers = {**ANSWERS, **DATED} if dated else ANSWERS
        self.bench = Bench(rules_for(covering(dated=dated)), by=self.random.choice(("ana", "ana", "ana", "joel")))
        self.moves = moves
        self.check = check
        self.after = after
        self.looks = self.random.random() < 0.8  # an app that forgets to look at the clock must be safe too
        self.runs = 0

    @property
    def by(self) -> str:
        """The technician of the job, now and then somebody else."""
        if self.random.random() < 0.04:
            return self.random.choice(CREW)
        return self.bench.state.technician or self.bench.by

    def run(self) -> Bench:
        """Play the history; the bench holds its log and state."""
        self.act(act.Start(self.bench.by, "job-1", "Dunlin"))
        if self.random.random() < 0.9:
            for id, value in (("fuel_vents", "2"), ("place", "outdoors"), ("beam", "2.5 m"), ("door", "no")):
                self.act(act.Measure(self.bench.by, id, value, value))
            if "hose" in self.answers:
                self.act(act.Measure(self.bench.by, "hose", "2027-03-01", "2027-03-01"))
        for _ in range(self.moves):
            self.random.choices(MOVES, WEIGHTS)[0](self)
            if self.bench.state.status == "accepted" and self.random.random() < 0.3:
                break
        self.act(act.Look("ana"))
        return self.bench

    def act(self, action: act.Action) -> bool:
        """Ask for an action; answers whether it was taken."""
        bench, now = self.bench, self.bench.clock()
        if self.looks:
            bench.take(watch(bench.rules, bench.state, now))
        if self.check:
            self.check(bench, action)
        answer = decide(bench.rules, bench.state, action, now)
        if isinstance(answer, Refusal):
            bench.take(refusal_note(bench.state, action, answer, now))
            return False
        bench.take(answer)
        if self.after:
            self.after(bench)
        return True

    # -- sensible moves ------------------------------------------------------------------------------------------

    def next_step(self) -> None:
        """Do what comes next: tick it, light it, or wait for the fire watch."""
        state, rules, by = self.bench.state, self.bench.rules, self.by
        self.bench.clock.pass_seconds(self.random.choice((5, 30, 60)))
        if state.trip is not None:
            self.act(act.FlameOut(by) if not state.trip.out else act.Reset(by))
        elif state.flame:
            self.burn()
        elif state.status == "paused":
            self.act(act.Resume(by))
        elif state.status == "stopping":
            self.make_safe()
        elif state.status in ("closed", "stopped"):
            self.review()
        else:
            steps = current_steps(rules, state)
            if not steps:
                self.act(act.Sign(by, "done", STROKES))
            elif self.random.random() < 0.03:
                self.act(act.Excuse(by, steps[0].id, "not on this boat"))
            elif steps[0].heat and steps[0].id not in state.heated:
                self.light()
            else:
                self.tick(steps[0].id)

    def tick(self, step: str) -> None:
        """Say that a step is done, with good evidence."""
        state, by = self.bench.state, self.by
        if step == "hold":
            self.bench.clock.pass_seconds(self.random.choice((60, 3_599, 3_600)))
        if step == "look" and "door_height" not in state.measures:
            self.act(act.Measure(by, "door_height", "1 m", "1 m"))
        debt = state.debts.get("taped_vents")
        off = (debt.amount if debt else 0) - (self.random.random() < 0.1)
        given: dict[str, dict[str, Any]] = {
            "untape": {"removed": off}, "hold": {"watcher": "pia" if state.technician == "joel" else "joel"},
        }
        if "hose" in self.answers:
            given["hold"] = {"watcher": self.random.choice(("joel", "pia", "pia", "marta", "sam"))}
            given["tidy"] = {"reader": "pia" if state.technician == "joel" else "joel"}
            given["cut"] = {"cut": self.random.choice((CUTS.get(state.typed.get("beam", ""), "5 m"),) * 4 + tuple(CUTS.values()))}
        self.act(act.Do(by, step, given.get(step, {"tick": True})))

    def burn(self) -> None:
        """What happens in the flame: it goes out, or time passes, or something is seen."""
        kind = self.random.random()
        if kind < 0.5:
            self.act(act.FlameOut(self.by))
        elif kind < 0.65:
            self.pass_time()
        elif kind < 0.75:
            self.misread()
        elif kind < 0.8:
            self.trouble_clock()
        else:
            self.prove(self.random.choice(tuple(SAFEGUARDS)))

    def prove_missing(self) -> None:
        """Go through the gate, nearly always all of it."""
        for status in gate_status(self.bench.rules, self.bench.state, self.bench.clock()):
            if not status.holds and self.random.random() < 0.99:
                self.prove(status.safeguard)

    def prove(self, id: str) -> None:
        """Prove one safeguard as it should be."""
        holder = self.bench.state.technician or "ana"
        vents = self.bench.state.fuel_vents
        changed: dict[str, Any] = {}
        if id == "operator":
            changed = {"person": holder}
        elif id == "fire_watch":
            changed = {"person": "joel" if holder != "joel" else "pia"}
        elif id == "vents_taped" and vents is not None:
            changed = {"taped": vents, "markers": vents}
        self.act(act.Observe(self.by, id, good(id, **changed)))

    def light(self) -> None:
        """Prove what is missing, nearly always, and light; now and then a last look goes wrong."""
        if self.random.random() < 0.9:
            self.prove_missing()
        if self.random.random() < 0.1:
            self.misread()
        heat = [step.id for step in current_steps(self.bench.rules, self.bench.state) if step.heat]
        self.act(act.Light(self.by, heat[0] if heat else self.random.choice(("weld", "shrink", "tidy"))))

    def make_safe(self) -> None:
        """Undo or tag one debt of a safe stop, or sign it."""
        state, by = self.bench.state, self.by
        clearing = {debt: step for debt, step in self.bench.rules.clearing.items() if debt in state.debts}
        if not clearing or self.random.random() < 0.2:
            self.act(act.Sign(by, "stopped", STROKES))
            return
        debt = self.random.choice(sorted(clearing))
        if self.random.random() < (0.1 if debt == "open_cylinder" else 0.6):
            self.act(act.Tag(by, debt, "bow rail", "no light left"))
        else:
            self.tick(clearing[debt])

    def review(self) -> None:
        """Something a supervisor does."""
        state, random = self.bench.state, self.random
        by = random.choice(("marta", "marta", "marta", "ivo", "ana"))
        if state.debts and random.random() < 0.7:
            self.act(act.ClearTag(by, random.choice(sorted(state.debts)), "undone at the boat"))
        elif random.random() < 0.5:
            self.act(act.SendBack(by, ((random.choice(STEPS), "not as it should be"),)))
        else:
            self.act(act.Accept(by, "seen", STROKES, tuple(state.excused) if random.random() < 0.9 else ("look",)))

    # -- the world -----------------------------------------------------------------------------------------------

    def pass_time(self) -> None:
        """Time passes, a little or a lot."""
        self.bench.clock.pass_seconds(self.random.choice(SECONDS))
        if self.random.random() < 0.7:
            self.act(act.Look("ana"))

    def trouble_clock(self) -> None:
        """The wall clock is turned, or the program or the device starts anew."""
        self.runs += 1
        kind = self.random.random()
        if kind < 0.4:
            self.bench.clock.turn_wall(self.random.choice((-7_200, -60, -6, -5, -1, 1, 5, 6, 30, 3_600)))
        elif kind < 0.8:
            self.bench.clock.restart(f"run-{self.runs}", f"boot-{self.runs}" if self.random.random() < 0.5 else "")
        else:
            self.bench.clock.pass_seconds(-0.01)

    def misread(self) -> None:
        """A statement that may not hold."""
        id = self.random.choice(tuple(WRONG))
        self.act(act.Observe(self.by, id, good(id, **self.random.choice(WRONG[id]))))

    def count_again(self) -> None:
        """The tapes are counted, and the vents of the boat after them."""
        vents = self.random.choice((1, 2, 3))
        self.act(act.Observe(self.by, "vents_taped", good("vents_taped", taped=vents, markers=vents)))
        self.act(act.Measure(self.by, "fuel_vents", str(vents), str(vents)))

    def withdraw(self) -> None:
        """Somebody says that a safeguard is lost."""
        self.act(act.Withdraw(self.random.choice(CREW), self.random.choice((*SAFEGUARDS, "moon")), "lost"))

    def measure(self) -> None:
        """An answer, or a correction."""
        id = self.random.choice(tuple(self.answers))
        value = self.random.choice(self.answers[id])
        self.act(act.Measure(self.by, id, value, value))

    def turn_the_job(self) -> None:
        """Pause, resume, hand over, stop."""
        by, random = self.by, self.random
        self.act(random.choice((
            act.Pause(by, "lunch"), act.Resume(by), act.HandOver(random.choice(CREW)),
            act.HandOver(random.choice(("ana", "joel"))),
            act.AskStop(random.choice(CREW), "rain is coming"), act.AskStop(by, random.choice(("no film left", "x"))),
            act.Reset(by), act.FlameOut(random.choice(CREW)),
        )))

    def anything(self) -> None:
        """Any action at all, sensible or not."""
        random, by = self.random, self.random.choice(CREW[:4]) if self.random.random() < 0.3 else self.by
        step, debt = random.choice(STEPS), random.choice(DEBTS)
        strokes = random.choice((STROKES, STROKES, ((),), (((1, 1),),)))
        evidence = random.choice(({"tick": True}, {"removed": 2}, {"removed": 1}, {"watcher": "joel"}, {"tick": 1}, {}))
        self.act(random.choice((
            act.Light(by, step), act.Do(by, step, evidence),
            act.Excuse(by, step, random.choice(("not on this boat", ""))),
            act.Tag(by, debt, random.choice(("bow rail", "")), "no light left"),
            act.Sign(by, random.choice(("done", "")), strokes),
            act.ClearTag(by, debt, random.choice(("gone", ""))),
            act.SendBack(by, ((step, random.choice(("again", ""))),)),
            act.Accept(by, "seen", strokes, random.choice(((), (step,)))), act.Start(by, "job-2", "Dunlin"),
            act.Observe(by, "moon", {}), act.SendBack(by),
        )))


MOVES: tuple[Callable[[History], None], ...] = (
    History.next_step, History.light, History.pass_time, History.misread, History.withdraw, History.measure,
    History.turn_the_job, History.trouble_clock, History.anything, History.count_again,
    lambda history: history.prove(history.random.choice(tuple(SAFEGUARDS))),
)
WEIGHTS = (60, 3, 6, 3, 3, 4, 6, 2, 6, 1.5, 3)
