"""Properties 3 and 4: no dead end, and every step can be done on some boat.

No dead end means more than the kernel's own way out: a job can always be stopped, and steps can be excused; here it
must be possible to close the job with nothing excused, on this very boat, whatever was done before. Only where the
boat stands may change (it can be moved); any other answer is what it is.

The argument, in four parts:
 (a) Circles. If no step waits for itself through needs, or through a safeguard that its flame needs, the steps can be
     settled one after another in that order. Steps in a circle are played together (`circle_faults`): for each set of
     answers everything that can be done is done until nothing can. A circle that harms no boat is none.
 (b) One step. With all before it settled, each form of step can be done, from every state of its slice, on every set
     of answers that it reads (`step_faults`): its evidence can be given, its condition worked out, its flame lit.
 (c) Heat and its safeguards. A heat step needs every safeguard, so a proving step that falls away on some boats
     (`when`) is played with it (`pair_faults`). And a step before it that undoes what a proof put on is played with it
     too, for it may spoil the proof for ever.
 (d) Making owed again. A step that undoes a debt comes back when the debt is made again; steps that undo debts and
     make others in a circle would never end; they are played together.
By (a) there is an order, by (b) each step can be settled when its turn comes, by (c) its safeguards can be shown and
stay shown, by (d) what comes back ends. (A proof that time has ended is shown again as it was shown first, for its step
is done already; gate_slices shows that nothing is lost for ever.) A reached state differs from the beginning only in what is done already, open
again, lost or owed; the same order goes through it, because no part asks that something be missing.
A step can be done on some boat if (b) met a state in which it is done; the walk through the whole procedure confirms.
Knows nothing of: what is owed at the end (debt_slices).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from coach.core.checks import settled
from coach.core.formula import Formula
from coach.core.model import Step
from coach.core.state import WORKING
from coach.prover import moves, watchers
from coach.prover.answers import fewer_vents, workable
from coach.prover.context import Context
from coach.prover.explore import Explored, Fault, Node, Try, Watchers, stuck
from coach.prover.order import components
from coach.prover.reduce import Slice, asked_conditions, cut, measures_behind, tick_only, whole
from coach.prover.truth import ENDED_WITH, FIRE
from coach.prover.values import gate_reads
from coach.prover.walk import Walk, why_stuck
from coach.prover.watchers import DEAD_END, REACH


def time_that_is_waited_for(slice: Slice, node: Node) -> Iterable[Try]:
    """Time passes, where a timer or a fire watch runs."""
    return moves.time(slice, node) if node.state.timers or FIRE in node.state.debts else ()


MOVES = (
    moves.start, moves.measure, moves.show, moves.see_one_bad, moves.flame, moves.timer, moves.do, time_that_is_waited_for,
    moves.excuse_guarded,
)
WATCHERS = Watchers((watchers.corrected_opens_again, watchers.settled_by_showing, watchers.never_left_out), (), (watchers.nothing_unreadable,))


def order_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every dead end, and every step that nobody can reach."""
    yield from circle_faults(context)
    yield from step_faults(context)
    yield from pair_faults(context)
    yield from _again_faults(context)


def local(context: Context, steps: Sequence[Step], rows: Sequence[str] = ()) -> Slice:
    """A slice of whole steps with everything they read, and these rows of the gate."""
    conditions: list[Formula] = []
    wanted: dict[str, None] = {}
    for step in steps:
        if step.when is not None:
            conditions.append(step.when)
        conditions += asked_conditions(context.procedure, step)
        counted = [item.against for item in step.evidence if item.against]
        wanted.update(dict.fromkeys((*step.asks, *sorted(measures_behind(context.procedure, counted)))))
    for row in rows:
        wanted.update(dict.fromkeys(sorted(gate_reads(context.procedure, row))))
    found = fewer_vents(context.procedure, context.answers(conditions, tuple(wanted)), conditions, ends=False)  # counts are compared only
    found = workable(context.procedure, context.functions, found, _held_against(context, steps))
    return cut(context.procedure, context.policy, context.functions, steps, found, rows)


def _held_against(context: Context, steps: Sequence[Step]) -> tuple[str, ...]:
    """The numbers that the evidence of these steps is held against."""
    return tuple(item.against for step in steps for item in step.evidence if item.against in context.procedure.numbers)


def shape(step: Step) -> Step:
    """A step as its own slice needs it: what it relies on counts only where it is reopened (corrections)."""
    return whole(step, needs=(), uses=(), shows=())


def step_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Steps that cannot be done when their turn comes, or on no boat at all. Steps that undo debts have their own."""
    for step in context.steps:
        if step.clears:
            continue
        rows = (step.proves,) if step.proves in context.rules.safeguards else ()
        slice = local(context, (shape(step),), rows)
        found = context.explore(step.id, slice, MOVES, WATCHERS)
        yield from ((fault, slice) for fault in found.faults)
        ends = tuple(_ends(found, slice, step.id))
        yield from ends
        if found.complete and not ends and not any("s0" in node.state.done for node in found.nodes):
            yield Fault(REACH, "never", "s0", found.nodes[0]), slice


def _ends(found: Explored, slice: Slice, about: str) -> Iterator[tuple[Fault, Slice]]:
    node = stuck(found, all_settled(slice)) if found.complete else None
    if node is not None:
        yield Fault(DEAD_END, "stuck", about, node, (), why_stuck(slice, node)), slice


def all_settled(slice: Slice) -> Callable[[Node], bool]:
    """Whether every step of the slice is done or falls away and no flame or trip is left. What is owed is not asked."""
    steps = [id for id, step in slice.rules.steps.items() if not step.clears]

    def settled_all(node: Node) -> bool:
        calm = not node.state.flame and node.state.trip is None
        return calm and node.state.status == WORKING and all(settled(slice.rules, node.state, id) for id in steps)

    return settled_all


def circle_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Steps that wait for each other."""
    for circle in context.order.circles:
        steps = [context.rules.steps[id] for id in circle]
        rows = tuple(step.proves for step in steps if step.proves in context.rules.safeguards)
        kept = set(circle)
        slice = local(context, [whole(step, needs=tuple(n for n in step.needs if n in kept), uses=(), shows=()) for step in steps], rows)
        yield from played(context, slice, "circle", circle)


def played(context: Context, slice: Slice, code: str, about: Sequence[str]) -> Iterator[tuple[Fault, Slice]]:
    """For each set of answers all that can be done is done; the first set that does not come to an end is a fault."""
    total = 1
    for texts in slice.answers.values():
        total *= len(texts)
    if total > context.limit:
        context.cut.append(", ".join(about))
        return
    context.slices += 1
    for chosen in itertools.product(*slice.answers.values()):
        walk = Walk.started(slice, dict(zip(slice.answers, chosen, strict=True)))
        walk.all_that_can_be_done()
        context.states += walk.taken
        if not (walk.closed() if code == "again" else walk.settled()):
            node = Node(walk.state, walk.now, walk.truth, None, walk.said_answers())
            yield Fault(DEAD_END, code, about[0], node, tuple(about), walk.why_not_closed()), slice
            return


def pair_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Heat steps with a proving step that may fall away, and with a step before them that may spoil a proof."""
    in_circle = {id for circle in context.order.circles for id in circle}
    for heat in (step for step in context.steps if step.heat and step.id not in in_circle):
        for row, id in context.rules.proving.items():
            proving = context.rules.steps[id]
            if proving.when is not None and row in context.rules.safeguards and id != heat.id:
                kept = (id,) if context.order.comes_before(id, heat.id) else ()
                pair = (shape(proving), whole(heat, needs=kept, uses=(), shows=(), evidence=(), asks=()))
                slice = local(context, pair, (row,))
                found = context.explore(f"{heat.id} and {id}", slice, MOVES, WATCHERS)
                yield from _ends(found, slice, heat.id)
        yield from _spoilt(context, heat)


def _spoilt(context: Context, heat: Step) -> Iterator[tuple[Fault, Slice]]:
    for debt, row in ENDED_WITH.items():
        id = context.rules.clearing.get(debt)
        if id is None or id == heat.id or not context.order.comes_before(id, heat.id):
            continue
        proving = context.rules.steps.get(context.rules.proving.get(row, ""))
        first = (tick_only(proving),) if proving is not None and proving.id != heat.id else ()
        clearing = whole(context.rules.steps[id], needs=tuple(step.id for step in first if context.order.comes_before(step.id, id)))
        heating = whole(heat, needs=(id,), uses=(), shows=(), evidence=(), asks=(), when=None)
        slice = local(context, (*first, clearing, heating), (row,))
        found = context.explore(f"{heat.id} after {id}", slice, MOVES, WATCHERS)
        node = stuck(found, all_settled(slice)) if found.complete else None
        if node is not None:
            yield Fault(DEAD_END, "spoilt", heat.id, node, (id, row), why_stuck(slice, node)), slice


def _again_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Steps that undo one debt and make another in a circle."""
    ids = [step.id for step in context.steps if step.clears]
    index = {id: number for number, id in enumerate(ids)}
    edges = []
    for id in ids:
        made = (context.rules.clearing.get(debt) for debt in context.rules.steps[id].opens)
        edges.append([index[other] for other in made if other in index])
    for group in components(edges):
        if len(group) > 1 or group[0] in edges[group[0]]:
            circle = tuple(ids[number] for number in group)
            steps = [tick_only(context.rules.steps[id]) for id in circle]
            first = next((s for s in context.steps if set(s.opens) & {x.clears for x in steps} and s.id not in circle), None)
            if first is None and not any(s.clears in ENDED_WITH for s in steps):
                continue  # nothing ever makes the first of them be owed
            opener = [tick_only(replace(first, clears="", heat=False))] if first is not None else []
            slice = local(context, [*opener, *steps])
            yield from played(context, slice, "again", circle)
