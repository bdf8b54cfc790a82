"""The gate property by dominators: on every boat, every way to a flame passes every step of the gate.

Each chained procedure becomes a flow graph for each set of answers: from each step to the next one that this boat is asked
for. networkx (immediate dominators; Cooper, Harvey and Kennedy, A Simple, Fast Dominance Algorithm, 2001) then says which
steps stand on every way from arrival to a flame. If one of the gate's does not, the prover must have found something;
if all do, it must not speak of the gate.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import cache

import networkx
import pytest

from coach.core.gate import SAFEGUARDS
from coach.core.model import Procedure, Step
from coach.core.sizing.registry import FUNCTIONS
from coach.prover import prove, render
from coach.prover.context import Memory
from coach.prover.proof import PROVEN
from tests.prover.build import POLICY
from tests.prover.promela import _Tables
from tests.prover.random_jobs import clean, faulty

MEMORY: Memory = {}


@cache
def chained() -> tuple[Procedure, ...]:
    """Procedures with a flame in which every step needs just the step before it."""
    made = [clean(seed, heat=True).made(f"clean-{seed}") for seed in range(40)]
    made += [faulty(seed, kind) for kind in ("gate missing", "gate on one branch", "gate late") for seed in range(15)]
    return tuple(one for one in made if all(step.needs == ((before.id,) if before else ()) for before, step in _pairs(one)))


def _pairs(procedure: Procedure) -> Iterator[tuple[Step | None, Step]]:
    return zip((None, *procedure.steps), procedure.steps, strict=False)


def boats(procedure: Procedure) -> Iterator[list[Step]]:
    """For each set of answers the steps that this boat is asked for, undoing left out."""
    nodes: list[list[int]] = []
    table = _Tables(procedure, nodes, [])
    conditions = [table.condition(step.when) for step in procedure.steps]
    for chosen in itertools.product(*(range(len(table.values[id])) for id in table.measures)):
        yield [
            step for step, condition in zip(procedure.steps, conditions, strict=True)
            if not step.clears and (condition < 0 or _holds(nodes, chosen, condition))
        ]


def _holds(nodes: list[list[int]], chosen: tuple[int, ...], at: int) -> bool:
    kind, first, second = nodes[at]
    if kind == 0:
        return bool(first)
    if kind == 1:
        return bool(second >> chosen[first] & 1)
    if kind == 4:
        return not _holds(nodes, chosen, first)
    left, right = _holds(nodes, chosen, first), _holds(nodes, chosen, second)
    return left and right if kind == 2 else left or right


def unguarded(procedure: Procedure) -> set[str]:
    """The safeguards whose step does not dominate some flame on some boat."""
    rows = {*SAFEGUARDS, *(own.id for own in procedure.safeguards)}
    found: set[str] = set()
    for asked in boats(procedure):
        graph = networkx.DiGraph()
        graph.add_edges_from(zip(["arrival", *(s.id for s in asked)], [s.id for s in asked], strict=False))
        dominator = networkx.immediate_dominators(graph, "arrival")
        proves = {step.id: step.proves for step in asked if step.proves}
        for heat in (step.id for step in asked if step.heat):
            passed, at = set[str](), heat
            while at != "arrival":
                at = dominator[at]
                passed.add(proves.get(at, ""))
            found |= rows - passed
    return found


@pytest.mark.parametrize("procedure", chained(), ids=lambda procedure: procedure.id)
def test_dominators_agree_on_the_gate(procedure: Procedure) -> None:
    proof = prove(procedure, POLICY, FUNCTIONS, memory=MEMORY)
    assert (proof.verdict == PROVEN) == (not unguarded(procedure)), render(proof)


def test_both_verdicts_are_among_them() -> None:
    guarded = [not unguarded(procedure) for procedure in chained()]
    assert guarded.count(True) >= 10 and guarded.count(False) >= 20
