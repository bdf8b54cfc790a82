"""The prover and SPIN agree on random small procedures, clean, faulty in 17 ways, and wild.

SPIN (Debian package `spin`, with gcc) reads each procedure through tables of its own (promela.py). All are searched in
one model. Where something is used before it is measured, SPIN stops there, the prover goes on: then the first such
steps must be the same and SPIN must know of none that the prover does not name.
"""

from __future__ import annotations

import shutil
from functools import cache

import pytest

from coach.core.model import Procedure
from coach.core.sizing.registry import FUNCTIONS
from coach.prover import Proof, prove, render
from coach.prover.context import Memory
from coach.prover.proof import PROVEN, REFUTED
from tests.prover.build import POLICY
from tests.prover.promela import Facts, check
from tests.prover.random_jobs import KINDS, clean, faulty, wild

CLEAN, EACH, WILD = 90, 8, 90


@cache
def jobs() -> tuple[tuple[str, Procedure, Proof], ...]:
    """Every procedure with its kind and its proof."""
    made = [("clean", clean(seed).made(f"clean-{seed}")) for seed in range(CLEAN)]
    made += [(kind, faulty(seed, kind)) for kind in KINDS for seed in range(EACH)]
    made += [("wild", wild(seed)) for seed in range(WILD)]
    memory: Memory = {}
    return tuple((kind, one, prove(one, POLICY, FUNCTIONS, memory=memory)) for kind, one in made)


def test_there_are_enough_of_them() -> None:
    assert len(jobs()) >= 300 and len(KINDS) >= 12


def test_no_clean_procedure_is_blamed() -> None:
    blamed = [render(proof) for kind, _, proof in jobs() if kind == "clean" and proof.verdict != PROVEN]
    assert blamed == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_planted_fault_is_found(kind: str) -> None:
    for planted, procedure, proof in jobs():
        if planted == kind:
            assert proof.verdict == REFUTED, procedure.id
            assert {finding.property for finding in proof.findings} & KINDS[kind][1], render(proof)


@pytest.mark.skipif(shutil.which("spin") is None or shutil.which("gcc") is None, reason="spin and gcc are not installed")
def test_spin_agrees() -> None:
    asked = [(procedure, proof) for _, procedure, proof in jobs() if not _named(proof, "units")]
    facts = check([procedure for procedure, _ in asked])
    disagreed = [
        f"{procedure.id}: {why}" for (procedure, proof), met in zip(asked, facts, strict=True)
        if (why := disagreement(procedure, proof, met))
    ]
    assert disagreed == []
    assert sum(met.dead_end for met in facts) > 60 and sum(not met.dead_end for met in facts) > 100


def _named(proof: Proof, property: str) -> set[str]:
    return {finding.about for finding in proof.findings if finding.property == property}


def disagreement(procedure: Procedure, proof: Proof, met: Facts) -> str:
    """How the two differ, '' if they do not."""
    measured = _named(proof, "measured")
    if measured or met.unmeasured:
        order = _order(procedure)
        same = _first(measured, order) == _first(met.unmeasured, order) and met.unmeasured <= measured
        return "" if same else f"measured {measured}, SPIN {met.unmeasured}"
    dead = any(finding.property in ("dead end", "debts", "heat") for finding in proof.findings)
    if dead != met.dead_end:
        return f"dead end {dead}, SPIN {met.dead_end}"
    if dead:
        return ""
    never = {step.id for step in procedure.steps} - met.done
    return "" if never == _named(proof, "reach") else f"never {_named(proof, 'reach')}, SPIN {never}"


def _order(procedure: Procedure) -> dict[str, set[str]]:
    needs = {step.id: step.needs for step in procedure.steps}
    before: dict[str, set[str]] = {}
    for id in needs:
        waiting, seen = list(needs[id]), set[str]()
        while waiting:
            one = waiting.pop()
            if one not in seen:
                seen.add(one)
                waiting += needs[one]
        before[id] = seen
    return before


def _first(found: set[str], before: dict[str, set[str]]) -> set[str]:
    return {id for id in found if not (found - {id}) & before[id]}
