"""Any sequence of acts, drawn by hypothesis, on the small job and on a shipped procedure: what must always be true."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from coach.core import actions as act
from coach.core.checks import current_steps
from coach.core.gate import SAFEGUARDS
from coach.core.moment import Moment
from coach.core.monitor_stay import trusted_age
from coach.core.rules import Rules
from coach.core.session import Refusal, decide, fold, offers, watch
from coach.core.state import State
from coach.practice.worker import Notes, Stuck, Worker
from coach.reader.load import load_procedure
from tests.helpers.bench import Bench
from tests.helpers.histories import WRONG
from tests.helpers.people import STROKES, good
from tests.helpers.procedures import covering, rules_for
from tests.procedures.power_boats import DUNLIN

STAYS = ("job_started", "paused", "resumed", "handed_over", "tripped", "trip_reset", "sent_back", "closed",
    "stopped_safely")
CREW = st.sampled_from(["ana", "joel", "ivo", "pia", "marta", "nobody"])
GATE = st.sampled_from(sorted(SAFEGUARDS))
SHIPPED = load_procedure("power-boat-trailer")


class AsJob:
    """A bench with the face of yard.job.Job, so that the practice worker can work on it."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.id = "job-1"

    @property
    def rules(self) -> Rules:
        return self.bench.rules

    @property
    def state(self) -> State:
        return self.bench.state

    def act(self, action: act.Action, now: Moment) -> Refusal | None:
        answer = self.bench.act(action)
        return answer if isinstance(answer, Refusal) else None


def worker_on(bench: Bench, notes: Notes) -> Worker:
    return Worker(AsJob(bench), bench.clock, notes)  # type: ignore[arg-type]


class Acts(RuleBasedStateMachine):
    """Sensible work by the practice worker, and everything that may come between."""

    notes = Notes(second="pia", step_minutes=1)

    def __init__(self) -> None:
        super().__init__()
        self.bench = self.fresh()
        self.worker = worker_on(self.bench, self.notes)
        self.runs = 0

    def fresh(self) -> Bench:
        """The bench at the machine's start."""
        raise NotImplementedError

    def ask(self, action: act.Action) -> None:
        """Decide; a refusal must change nothing and be the same twice."""
        bench = self.bench
        bench.take(watch(bench.rules, bench.state, bench.clock()))
        before = bench.state
        answer = decide(bench.rules, before, action, bench.clock())
        assert bench.state is before and answer == decide(bench.rules, before, action, bench.clock())
        if isinstance(answer, Refusal):
            assert answer.reasons and all(reason.text() for reason in answer.reasons)
        else:
            bench.take(answer)

    def work(self, job: Callable[[], None]) -> None:
        try:
            job()
        except Stuck as stuck:
            assert stuck.refusal.reasons

    @initialize(lights=st.sampled_from([0, 0, 1, 1, 1, 2]))
    def begin(self, lights: int) -> None:
        """Begin at the gate, at a flame, or at the second one."""
        while lights and current_steps(self.bench.rules, self.bench.state):
            self.next_step()
            if self.bench.state.flame:
                lights -= 1
                if lights:
                    self.ask(act.FlameOut(self.bench.state.technician))

    # -- work ----------------------------------------------------------------------------------------------------

    @rule()
    def go_on(self) -> None:
        state = self.bench.state
        if state.trip is not None:
            self.ask(act.Reset(state.technician) if state.trip.out else act.FlameOut("pia"))
        elif state.flame:
            self.ask(act.FlameOut(state.technician))
        elif state.status == "paused":
            self.ask(act.Resume(state.technician))
        elif state.status == "stopping":
            self.make_safe()
        else:
            self.next_step()

    @rule(times=st.integers(2, 9))
    def go_on_for_a_while(self, times: int) -> None:
        for _ in range(times):
            self.go_on()

    @precondition(lambda self: self.bench.state.flame == "" and self.bench.state.status == "working")
    @rule()
    def prove_all(self) -> None:
        self.work(self.worker.prove_all)

    def next_step(self) -> None:
        steps = current_steps(self.bench.rules, self.bench.state)
        if not steps:
            self.ask(act.Sign(self.bench.state.technician, "done", STROKES))
        elif steps[0].heat and steps[0].id not in self.bench.state.heated:
            self.work(lambda: self.worker.light(steps[0]))
        else:
            self.work(lambda: self.worker.do(steps[0]))

    def make_safe(self) -> None:
        state, rules = self.bench.state, self.bench.rules
        if not state.debts:
            self.ask(act.Sign(state.technician, "stopped", STROKES))
        else:
            step = rules.steps[rules.clearing[min(state.debts)]]
            self.work(lambda: self.worker.do(step))

    # -- the world -----------------------------------------------------------------------------------------------

    @rule(seconds=st.sampled_from([1, 30, 300, 895, 905, 1_805, 3_605, 14_405]), look=st.booleans())
    def time_passes(self, seconds: int, look: bool) -> None:
        self.bench.clock.pass_seconds(seconds)
        if look:
            self.ask(act.Look("ana"))

    @rule(seconds=st.sampled_from([-3_600, -6, -4, 4, 6, 60, 3_600]))
    def the_clock_is_turned(self, seconds: int) -> None:
        self.bench.clock.turn_wall(seconds)

    @rule(device=st.booleans())
    def the_tablet_starts_anew(self, device: bool) -> None:
        self.runs += 1
        self.bench.clock.restart(f"run-{self.runs}", f"boot-{self.runs}" if device else "")

    @rule(by=CREW, id=GATE)
    def something_is_lost(self, by: str, id: str) -> None:
        self.ask(act.Withdraw(by, id, "lost"))

    @rule(id=GATE, which=st.integers(0, 6))
    def something_is_read(self, id: str, which: int) -> None:
        changes: tuple[dict[str, Any], ...] = WRONG[id]
        self.ask(act.Observe(self.bench.state.technician, id, good(id, **changes[which % len(changes)])))

    @rule(id=GATE)
    def something_is_shown_again(self, id: str) -> None:
        self.ask(act.Observe(self.bench.state.technician, id, self.worker.proof(id)))

    @rule(measure=st.sampled_from([("fuel_vents", "1"), ("fuel_vents", "2"), ("place", "outdoors"),
        ("place", "indoors")]))
    def a_measure_is_put_right(self, measure: tuple[str, str]) -> None:
        self.ask(act.Measure(self.bench.state.technician, measure[0], measure[1], measure[1]))

    @rule(by=CREW, action=st.sampled_from([act.Pause, act.Resume, act.HandOver, act.Reset, act.FlameOut, act.Look]))
    def somebody_turns_the_job(self, by: str, action: Callable[[str], act.Action]) -> None:
        self.ask(action(by))

    @rule(by=CREW, debt=st.sampled_from(["taped_vents", "open_cylinder", "fire_watch", "prop"]))
    def a_stop_and_a_tag(self, by: str, debt: str) -> None:
        if by in ("pia", "nobody"):
            self.ask(act.AskStop(by, "rain is coming"))
        self.ask(act.Tag(self.bench.state.technician, debt, "bow rail", "no light left"))

    @rule(data=st.data())
    def any_step_is_asked_for(self, data: st.DataObject) -> None:
        id, by = data.draw(st.sampled_from(self.bench.rules.order)), self.bench.state.technician
        for action in (act.Light(by, id), act.Do(by, id, {"tick": True}), act.Excuse(by, id, "not on this boat")):
            if data.draw(st.booleans()):
                self.ask(action)

    @precondition(lambda self: self.bench.state.status in ("closed", "stopped", "stopping", "working"))
    @rule(by=CREW, what=st.integers(0, 3), data=st.data())
    def a_review(self, by: str, what: int, data: st.DataObject) -> None:
        state = self.bench.state
        step = data.draw(st.sampled_from(self.bench.rules.order))
        self.ask((
            act.Accept(by, "seen", STROKES, tuple(state.excused)), act.SendBack(by, ((step, "not as it should be"),)),
            act.ClearTag(by, min(state.debts, default="taped_vents"), "undone at the boat"),
            act.Sign(state.technician, "done", STROKES),
        )[what])

    # -- what must always be true ----------------------------------------------------------------------------------

    @invariant()
    def no_flame_without_all_safeguards(self) -> None:
        bench, now = self.bench, self.bench.clock()
        if not bench.state.flame or watch(bench.rules, bench.state, now):
            return  # out, or the trip is due at the next look
        stay = max(place for place, event in enumerate(bench.events) if event.kind in STAYS)
        for id in bench.rules.safeguards:
            said = [event for event in bench.events[stay:] if event.data.get("safeguard") == id]
            assert said and said[-1].kind == "observed" and said[-1].data["met"] is True
            age = trusted_age(said[-1].at, now)
            assert age is not None and age <= bench.rules.minutes(id) * 60_000 and said[-1].at.run == now.run

    @invariant()
    def no_end_with_a_debt(self) -> None:
        state = self.bench.state
        if state.status == "closed":
            assert not state.debts
        if state.status == "stopped":
            assert all(debt.tag for debt in state.debts.values()) and "open_cylinder" not in state.debts
        if state.status in ("closed", "stopped", "accepted"):
            assert not state.flame and (state.trip is None or state.trip.out)

    @invariant()
    def the_log_alone_gives_the_state(self) -> None:
        assert fold(self.bench.rules, self.bench.events) == self.bench.state

    @invariant()
    def the_monitor_has_nothing_against_it(self) -> None:
        assert [str(finding) for finding in self.bench.findings()] == []

    @invariant()
    def a_person_can_always_go_on_or_stop(self) -> None:
        bench = self.bench
        if bench.state.status in ("working", "paused", "stopping"):
            assert any(offer.open for offer in offers(bench.rules, bench.state, bench.clock()))


class SmallJob(Acts):
    """The small job, with a step and an author's own safeguard in the gate."""

    by_rules = rules_for(covering(gate_steps=True, own_safeguard=True))

    def fresh(self) -> Bench:
        bench = Bench(self.by_rules)
        return bench.start().measure().do("look", "cut")


class ShippedJob(Acts):
    """The shipped procedure for a power boat on its trailer, from the gate on."""

    by_rules = rules_for(SHIPPED)
    notes = Notes(measures={id: text for id, text in DUNLIN.answers.items() if text}, second="pia", step_minutes=1)
    before_the_gate: Bench | None = None

    def fresh(self) -> Bench:
        if ShippedJob.before_the_gate is None:
            begun = Bench(self.by_rules).start()
            worker = worker_on(begun, self.notes)
            while not current_steps(begun.rules, begun.state)[0].proves:
                worker.do(current_steps(begun.rules, begun.state)[0])
            ShippedJob.before_the_gate = begun
        begun = ShippedJob.before_the_gate
        bench = Bench(self.by_rules)
        bench.events, bench.state = list(begun.events), begun.state
        bench.clock.pass_seconds((begun.clock().steady - bench.clock().steady) / 1000)
        return bench


QUICK = settings(
    max_examples=60, stateful_step_count=30, deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
TestSmallJob = SmallJob.TestCase
TestSmallJob.settings = QUICK
TestShippedJob = ShippedJob.TestCase
TestShippedJob.settings = settings(QUICK, max_examples=25)
