"""What is running at a job now: the fire watch, timers of steps, and how long safeguards still hold.

Rules kept here:
 1. Everything follows from the job's events and the moment that is passed in; so it is the same on every screen, and
    after a restart.
 2. A time that the clocks cannot tell is said to be unknown; it is never guessed.
 3. Safeguards are told of only while a flame is still to come or burns: the wind always, the others near their end.
Knows nothing of: the toolkit, what is said aloud (announce).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coach.core.checks import LAPSED, MINUTE, PROVEN, gate_status, settled
from coach.core.moment import Moment
from coach.core.rules import Rules
from coach.core.state import PAUSED, STOPPING, WORKING, State
from coach.language import _

RUNS, SOON, OVER, GONE, UNKNOWN = "runs", "soon", "over", "gone", "unknown"
CALLS = (SOON, OVER, GONE, UNKNOWN)  # kinds that ask a person to do something
WATCH, TIMER, PROOF = "watch", "timer", "proof"
SOON_MS = 3 * MINUTE  # long enough to read the wind again; a choice of ours, no source
WIND = "wind"


@dataclass(frozen=True)
class Running:
    """One time that runs. of: watch, timer or proof; about: the debt, step or safeguard.

    kind: runs; soon (a safeguard near its end); over (a wait that has ended); gone (a safeguard too old); unknown.
    left and total in ms, left 0 once it is over, -1 where it is not known. mark: names this very time, so that a new
    reading is another one.
    """

    of: str
    about: str
    name: str
    kind: str
    left: int
    total: int
    mark: str

    @property
    def key(self) -> str:
        """Names this time in this state: it changes when the same time comes to its end."""
        return f"{self.of} {self.about} {self.mark} {self.kind}"


def running(rules: Rules, state: State, now: Moment) -> tuple[Running, ...]:
    """Every time that runs at this job, the most pressing first."""
    if state.status not in (WORKING, PAUSED, STOPPING):
        return ()
    found = [*_watch(rules, state, now), *_timers(rules, state, now), *_proofs(rules, state, now)]
    order = (GONE, UNKNOWN, OVER, SOON, RUNS)
    return tuple(sorted(found, key=lambda each: order.index(each.kind)))


def _watch(rules: Rules, state: State, now: Moment) -> Iterator[Running]:
    burns = state.flame or (state.trip is not None and not state.trip.out)
    debt = state.debts.get("fire_watch")
    if debt is None or debt.tag or burns or state.watch_from is None:
        return
    name = _(rules.debts["fire_watch"].name)
    yield _wait(WATCH, "fire_watch", name, state.watch_from, now, rules.policy.limit("fire_watch_minutes") * MINUTE)


def _timers(rules: Rules, state: State, now: Moment) -> Iterator[Running]:
    for id, started in state.timers.items():
        step = rules.steps.get(id)
        if step is None or id in state.done or id in state.excused:
            continue
        for item in step.evidence:
            if item.kind == "timer":
                need = (rules.policy.limit(item.limit) if item.limit else item.minutes) * MINUTE
                yield _wait(TIMER, id, _(item.ask), started, now, need)


def _wait(of: str, about: str, name: str, since: Moment, now: Moment, need: int) -> Running:
    age = since.age_at(now)
    left = -1 if age is None else max(0, need - age)
    kind = UNKNOWN if age is None else RUNS if left else OVER
    return Running(of, about, name, kind, left, need, str(since.wall))


def _proofs(rules: Rules, state: State, now: Moment) -> Iterator[Running]:
    if state.status != WORKING or state.trip is not None or not flame_ahead(rules, state):
        return
    for status in gate_status(rules, state, now):
        proof = state.proofs.get(status.safeguard)
        if proof is None or status.kind not in (PROVEN, LAPSED):
            continue
        kind = GONE if status.kind == LAPSED else SOON if status.left <= SOON_MS else RUNS
        if kind != RUNS or status.safeguard == WIND:
            name = _(rules.safeguards[status.safeguard].name)
            total = rules.minutes(status.safeguard) * MINUTE
            yield Running(PROOF, status.safeguard, name, kind, status.left, total, str(proof.seq))


def flame_ahead(rules: Rules, state: State) -> bool:
    """Whether a flame burns, or a heat step is still to be done."""
    return bool(state.flame) or any(step.heat and not settled(rules, state, step.id) for step in rules.steps.values())
