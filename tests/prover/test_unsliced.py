"""Slices against no slices: the whole of a small procedure, explored in one piece, gives the same verdict.

The same kernel, moves and sentences as in the slices, but nothing is cut out: every order of answers, corrections, acts,
stops and reviews. Procedures with a flame keep one row of the gate, or they would be too large for this.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core.checks import current_steps
from coach.core.formula_tree import If, walk
from coach.core.model import Procedure
from coach.core.numbers import compute, truth
from coach.core.sizing.registry import FUNCTIONS
from coach.core.state import WORKING
from coach.prover import moves, prove, render, watchers
from coach.prover.answers import answers
from coach.prover.cast import playing
from coach.prover.context import Memory
from coach.prover.explore import Explored, Watchers, explore, stuck
from coach.prover.reduce import Slice, cut, whole
from tests.prover.build import POLICY
from tests.prover.planted import CLEAN, PLANTED
from tests.prover.random_jobs import KINDS, NEEDS_HEAT, clean, faulty, wild

MEMORY: Memory = {}
MOVES = (
    moves.start, moves.measure, moves.show, moves.see_one_bad, moves.flame, moves.timer, moves.do, moves.time, moves.stop, moves.sign,
)
FLAME_MOVES = (
    moves.start, moves.measure, moves.show, moves.withdraw, moves.flame, moves.timer, moves.do, moves.time, moves.sign,
)
SENTENCES = Watchers(
    (watchers.no_light_unproven, watchers.no_burning_on, watchers.nothing_owed_at_the_end, watchers.undone_in_full,
     watchers.all_done_at_the_end, watchers.corrected_opens_again),
    (watchers.out_is_never_refused,), (watchers.nothing_unreadable,),
)
LIMIT = 1_500


def uncut(procedure: Procedure, row: str) -> Slice:
    """The whole procedure as one slice; of the gate one row, if it has any."""
    steps = list(procedure.steps)
    for id in [step.id for step in steps if step.proves and step.proves != row]:
        gone = next(step for step in steps if step.id == id)
        steps.remove(gone)
        steps = [
            replace(one, needs=tuple(dict.fromkeys(n for need in one.needs for n in (gone.needs if need == gone.id else (need,)))))
            for one in steps
        ]
    conditions = [step.when for step in steps if step.when] + [m.when for m in procedure.measures.values() if m.when]
    numbers = [number.formula for number in procedure.numbers.values() if any(isinstance(p, If) for p in walk(number.formula.tree))]
    found = answers(procedure, FUNCTIONS, conditions, tuple(procedure.measures), numbers)
    rows = (row,) if any(step.heat for step in steps) else ()
    return cut(procedure, playing(POLICY), FUNCTIONS, [whole(step) for step in steps], found, rows, ())


def unmeasured(slice: Slice, found: Explored) -> set[str]:
    """The steps that are due somewhere while something they read is not in."""
    rules = slice.rules
    early: set[str] = set()
    for node in found.nodes:
        if node.state.status != WORKING or node.state.flame or node.state.trip is not None:
            continue
        measures = node.state.measures
        for step in current_steps(rules, node.state):
            if step.when is not None and not step.clears and truth(step.when, rules.procedure, measures, FUNCTIONS) is None:
                early.add(slice.names[step.id])
                continue
            names = [*step.uses, *step.shows, *(item.against for item in step.evidence if item.against)]
            numbers = tuple(n for n in names if n in rules.procedure.numbers)
            values = compute(rules.procedure, measures, FUNCTIONS, numbers) if numbers else {}
            waits = {m for number in values.values() for m in number.waits} | {n for n in names if n in rules.procedure.measures}
            fact = {"vents_taped": "fuel_vents", "air": "place"}.get(step.proves)
            if (waits | ({fact} if fact else set())) - set(measures) - set(step.asks):
                early.add(slice.names[step.id])
    return early


def jobs() -> list[tuple[str, Procedure]]:
    made = [(f"clean-{seed}", clean(seed, heat=False).made("clean")) for seed in range(12)]
    made += [(f"wild-{seed}", one) for seed in range(40) if not (one := wild(seed)).heats]
    kinds = [kind for kind in KINDS if kind not in NEEDS_HEAT and kind != "unit slip"]
    made += [(f"{kind}-{seed}", one) for kind in kinds for seed in range(4) if not (one := faulty(seed, kind)).heats]
    return made


@pytest.mark.parametrize(("id", "procedure"), jobs(), ids=[id for id, _ in jobs()])
def test_without_a_flame_the_uncut_search_says_the_same(id: str, procedure: Procedure) -> None:
    proof = prove(procedure, POLICY, FUNCTIONS, memory=MEMORY)
    slice = uncut(procedure, "")
    found = explore(slice, MOVES, moves.truth_after, SENTENCES, LIMIT)
    assert not found.faults
    if found.complete:  # the rest is too large in one piece: what was seen of it has no fault
        _compare(proof.findings, slice, found, render(proof))


FLAMES: list[tuple[str, Procedure, str]] = [
    ("plain", CLEAN["plain"](), "wind"),
    ("watch held between two flames", CLEAN["watch held between two flames"](), "fire_watch"),
    ("two flames", CLEAN["two flames"](), "leak_test"),
    *((planted.kind, planted.make(), row) for planted in PLANTED for kind, row in (
        ("gate after the flame", "area"), ("tape off before the flame", "vents_taped"),
        ("cylinder closed between two flames", "leak_test")) if planted.kind == kind),
]


@pytest.mark.parametrize(("kind", "procedure", "row"), FLAMES, ids=[kind for kind, _, _ in FLAMES])
def test_with_a_flame_and_one_row_the_uncut_search_says_the_same(kind: str, procedure: Procedure, row: str) -> None:
    found = explore(uncut(procedure, row), FLAME_MOVES, moves.truth_after, SENTENCES, 4_000)
    assert found.complete and not found.faults
    proof = prove(procedure, POLICY, FUNCTIONS, memory=MEMORY)
    assert (stuck(found) is not None) == any(finding.property == "dead end" for finding in proof.findings), render(proof)


def _compare(findings: object, slice: Slice, found: Explored, text: str) -> None:
    named: dict[str, set[str]] = {}
    for finding in findings:  # type: ignore[attr-defined]
        named.setdefault(finding.property, set()).add(finding.about)
    early = unmeasured(slice, found)
    if early or "measured" in named:
        assert early <= named.get("measured", set()), text
        assert bool(early) == ("measured" in named), text
        return
    dead = stuck(found) is not None
    assert dead == bool(named.keys() & {"dead end", "debts"}), text
    if not dead:
        done = {slice.names[id] for node in found.nodes for id in node.state.done}
        assert set(slice.names.values()) - done == named.get("reach", set()), text
