"""The order of work: no step is done, lit, left out or first shown before all that comes before it is settled.

The slice for a step x has x, one step y that x needs, and one step z that y needs, in all their forms: y and z with a
condition, proving a safeguard, undoing a debt; x with a flame or proving. It has every answer, every correction, every
order of acts. Each condition becomes a question of its own with yes and no (equal conditions the same one); each row of
the gate that they prove becomes one that can be shown on any boat and makes no debt.

Why this is sound: the kernel looks back from x through whatever is settled, one need at a time, and asks of each step
only whether it is done, left out, or falls away, which is what the forms differ in. A longer way back is two of these
ways laid one behind the other. A question of its own lets a condition be true or false whenever it could be, and more.
To the order it is nothing which row a step proves, only whether it was shown.
This is what `values` and `dead_ends` mean by 'due'.
Knows nothing of: what steps are about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coach.core.formula import parse_formula
from coach.core.model import Measure, Step
from coach.prover import moves, watchers
from coach.prover.answers import Answers
from coach.prover.context import Context
from coach.prover.explore import Fault, Watchers
from coach.prover.reduce import NOWHERE, Slice, bare, cut

MOVES = (moves.start, moves.measure, moves.do, moves.excuse, moves.show, moves.flame)
WATCHERS = Watchers((watchers.in_order,))
_ASKED = ("first", "second")
_ROWS = ("operator", "protection", "extinguisher")


def sequence_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every step that can be done out of order."""
    for step in context.steps:
        for need in step.needs:
            before = context.rules.steps[need]
            for first in before.needs or ("",):
                yield from _chain(context, [context.rules.steps[id] for id in (first, need) if id], step)


def _chain(context: Context, before: list[Step], last: Step) -> Iterator[tuple[Fault, Slice]]:
    if len({step.id for step in (*before, last)}) <= len(before):
        return  # a step that needs itself: order_faults says so
    questions: dict[str, str] = {}
    shown: dict[str, str] = {}
    chain: list[Step] = []
    for step in before:
        text = step.when.text if step.when is not None else ""
        when = parse_formula(questions.setdefault(text, _ASKED[len(questions)])) if text else None
        row = shown.setdefault(step.proves, _ROWS[len(shown)]) if step.proves else ""
        chain.append(bare(step, when=when, proves=row, clears=step.clears, needs=tuple(s.id for s in chain[-1:])))
    row = shown.setdefault(last.proves, _ROWS[len(shown)]) if last.proves else ""
    chain.append(bare(last, heat=last.heat, proves=row, needs=(chain[-1].id,)))
    measures = {id: Measure(id, "", "yes_no", NOWHERE) for id in questions.values()}
    rows = tuple(dict.fromkeys(step.proves for step in chain if step.proves))
    small = replace(context.procedure, measures=measures, numbers={}, checks=())
    slice = cut(small, context.policy, context.functions, chain, Answers({id: ("yes", "no") for id in measures}), rows)
    found = context.explore(f"{last.id} and what comes before it", slice, MOVES, WATCHERS)
    yield from ((fault, slice) for fault in found.faults)
