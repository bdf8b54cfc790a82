"""A procedure and a policy, made ready for the kernel: what comes before what, what proves, clears and relies on what.

Rules kept here:
 1. Without `needs`, a step needs the step before it; `needs: []` needs nothing.
 2. What comes before a step is all that it needs, through any chain.
 3. The safeguards are those of the gate's table, in its order, then the procedure's own; none can be left out.
 4. A check on what the gate judges by is strict, whatever the procedure says; a procedure can only add strict ones.
Knows nothing of: the log, time.
Called by: state, checks, session, prover.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping

from coach.core.formula import Function
from coach.core.gate import DEBTS, FACT_MEASURES, SAFEGUARDS, Debt, Safeguard, own_safeguard
from coach.core.model import Procedure, Step
from coach.core.policy import Policy

# Steps to a question, on the average: rare, since each interruption costs care too (a choice of ours, no source).
ONE_IN = 20


class Rules:
    """The compiled form that every function of the kernel takes first. Never changed after it is made."""

    def __init__(
        self, procedure: Procedure, policy: Policy, functions: Mapping[str, Function], proven: bool = False,
        attentive: bool = False,
    ) -> None:
        """proven: whether this exact procedure has a proof by this version of the kernel; else only practice starts.
        attentive: whether the people's attention is asked for (attention); the desk's jobs do, the prover needs not."""
        self.procedure = procedure
        self.policy = policy
        self.functions = functions
        self.proven = proven
        self.attentive = attentive
        steps = procedure.steps
        self.steps: dict[str, Step] = {step.id: step for step in steps}
        self.order: tuple[str, ...] = tuple(self.steps)
        self.needs: dict[str, tuple[str, ...]] = {step.id: step.needs for step in steps}
        self.place: dict[str, int] = {id: number for number, id in enumerate(self.order)}
        self.before: dict[str, int] = _before(self.order, self.place, self.needs)
        self.proving: dict[str, str] = {step.proves: step.id for step in steps if step.proves}
        self.clearing: dict[str, str] = {step.clears: step.id for step in steps if step.clears}
        self.asking: dict[str, tuple[str, ...]] = _asking(steps)
        self.safeguards: dict[str, Safeguard] = dict(SAFEGUARDS)
        self.own_minutes: dict[str, int] = {}
        for own in procedure.safeguards:
            self.safeguards[own.id] = own_safeguard(own.id, own.name, own.ask, own.why, own.mend)
            self.own_minutes[own.id] = own.minutes
        self.debts: dict[str, Debt] = dict(DEBTS)
        for debt in procedure.debts:
            self.debts[debt.id] = Debt(debt.id, debt.name, debt.why, debt.undo)
        self.expiries: dict[str, tuple[str, ...]] = {id: () for id in self.safeguards}
        for measure, guarded in procedure.expiries.items():
            self.expiries[guarded] = (*self.expiries.get(guarded, ()), measure)
        self.strict: dict[str, frozenset[str]] = self._strict()
        self.relies: dict[str, frozenset[str]] = {step.id: self._relies(step) for step in steps}

    def minutes(self, safeguard: str) -> int:
        """How long a proof of this safeguard holds, in minutes."""
        general = self.policy.limit(self.safeguards[safeguard].minutes)
        own = self.own_minutes.get(safeguard)
        return general if own is None else min(general, own)

    def asks_after(self, began: int, boat: str, step: str) -> bool:
        """Whether a question follows this step in the job that began at this wall time (attention has the questions)."""
        return self.attentive and draw(began, boat, step) % ONE_IN == 0

    def measures_of(self, names: Iterable[str]) -> frozenset[str]:
        """The measures that these measures and numbers rest on, through any chain of numbers."""
        found: set[str] = set()
        waiting, seen = list(names), set()
        while waiting:
            name = waiting.pop()
            if name in seen:
                continue
            seen.add(name)
            if name in self.procedure.measures:
                found.add(name)
            elif name in self.procedure.numbers:
                waiting.extend(self.procedure.numbers[name].formula.names)
        return frozenset(found)

    def _strict(self) -> dict[str, frozenset[str]]:
        """The checks that no reason gets round, each with the safeguards that rest on what it compares."""
        found = {}
        for check in self.procedure.checks:
            read = self.measures_of((*check.measures, *check.holds.names))
            guarded = frozenset(FACT_MEASURES[id] for id in read if id in FACT_MEASURES)
            guarded = guarded if self.procedure.heats else guarded & set(self.proving)
            if check.strict or guarded:
                found[check.id] = guarded
        return found

    def _relies(self, step: Step) -> frozenset[str]:
        names = [*step.uses, *step.shows, *(item.against for item in step.evidence if item.against)]
        if step.when is not None:
            names.extend(step.when.names)
        for measure in step.asks:
            asked_of = self.procedure.measures[measure].when
            if asked_of is not None:
                names.extend(asked_of.names)
        return self.measures_of(names)


def draw(began: int, boat: str, step: str) -> int:
    """A number that is the same for this job and step on every device, and that nobody knows before."""
    return int.from_bytes(hashlib.sha256(f"{began}/{boat}/{step}".encode()).digest()[:4], "big")


def _before(
    order: Iterable[str], place: Mapping[str, int], needs: Mapping[str, tuple[str, ...]]
) -> dict[str, int]:
    """For each step the set of all steps that come before it, as bits by place in the file."""
    found = dict.fromkeys(order, 0)
    changed = True
    while changed:
        changed = False
        for id, ids in needs.items():
            bits = 0
            for need in ids:
                bits |= 1 << place[need] | found[need]
            changed = changed or bits != found[id]
            found[id] = bits
    return found


def _asking(steps: Iterable[Step]) -> dict[str, tuple[str, ...]]:
    asking: dict[str, tuple[str, ...]] = {}
    for step in steps:
        for measure in step.asks:
            asking[measure] = (*asking.get(measure, ()), step.id)
    return asking
