"""Property 2: every debt is discharged on every way to closed; and the obligations of a safe stop. One slice a debt.

The slice for debt d has every step that could make d be owed (for the kernel's debts a heat step and the proof; for an
own debt each step that opens it, stripped to a tick) and the step that undoes it, whole: with its evidence, what it
asks and what it opens. It has every move up to the supervisor's acceptance. Where time counts (the fire watch, a timer) it is explored once
more with every doubt about the clock, and without the review, which looks at no clock.

Why this is sound: the kernel closes a job only when its open debts are gone. In the slice fewer steps stand in the way
of closing, and d can be made whenever its steps' own condition lets it, so every closing of the whole procedure, seen
from d, is a closing of the slice. (The steps that ask what the undoing is held against come first in the slice where
they do in the procedure, so that no story begins with an answer that could not be missing.) A debt is cleared in the kernel by its own step, its own tag, and nothing that other
debts do; so debts may be taken one by one. Safe stop asks for debts one after another in any order, and each only for
itself, so what each slice shows for its own debts holds for all together.
That d can be undone once what comes before its step is settled is shown here too (no stuck state); that what comes
before it can be settled is shown in dead_ends.
Knows nothing of: the gate's rows (gate_slices), order (dead_ends).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coach.core.model import FUEL_VENTS, Step
from coach.prover import moves, watchers
from coach.prover.context import Context
from coach.prover.explore import Fault, Node, Try, Watchers, stuck
from coach.prover.reduce import Slice, asked_conditions, bare, cut, measures_behind, names_read, tick_only, whole
from coach.prover.stopping import safe_stop_fault
from coach.prover.truth import CYLINDER, FIRE, TAPE
from coach.prover.walk import why_stuck
from coach.prover.watchers import DEAD_END

BY_FLAME = (CYLINDER, FIRE)
BY_PROOF = {TAPE: "vents_taped", CYLINDER: "leak_test"}


def stop_is_safe(slice: Slice, node: Node) -> Iterator[Fault]:
    """From every state with a flame, or with something owed, the job can be stopped safely."""
    if node.state.status in ("working", "paused") and (node.state.flame or node.truth.owed):
        fault = safe_stop_fault(slice, node)
        if fault is not None:
            yield fault


WATCHERS = Watchers(
    (watchers.nothing_owed_at_the_end, watchers.undone_in_full, watchers.all_done_at_the_end),
    (watchers.out_is_never_refused,),
    (watchers.nothing_unreadable, stop_is_safe),
)


def light_and_out(slice: Slice, node: Node) -> Iterator[Try]:
    """The flame is lit, put out; a trip is reset."""
    return (one for one in moves.flame(slice, node) if one.say[0] != "look")


def count_short(slice: Slice, node: Node) -> Iterator[Try]:
    """A step that undoes a counted debt is called done with one too few, and with one too many."""
    for one in moves.do(slice, node):
        step = slice.rules.steps[one.say[1]]
        counted = slice.rules.debts[step.clears].counted if step.clears else ""
        if counted and counted in one.action.evidence:  # type: ignore[union-attr]
            for wrong in (-1, 1):
                yield _with(one, counted, wrong)


def _with(one: Try, counted: str, wrong: int) -> Try:
    action = one.action
    evidence = {**action.evidence, counted: action.evidence[counted] + wrong}  # type: ignore[union-attr]
    return replace(one, say=(*one.say, "miscounted"), action=replace(action, evidence=evidence), helps=False)  # type: ignore[type-var]


_WORK = (moves.start, moves.measure, moves.show, light_and_out, moves.timer, moves.do, count_short, moves.time, moves.sign)
MOVES = (*_WORK, moves.stop, moves.review)
TIMED_MOVES = (*_WORK, moves.stop, moves.clock, moves.resume)


def debt_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every fault in the making and undoing of debts, with the slice it was found in."""
    for debt in context.rules.debts:
        clearing = context.rules.steps.get(context.rules.clearing.get(debt, ""))
        openers = opening_steps(context, debt)
        if not openers or clearing is None or debt in BY_FLAME and not set(BY_FLAME) <= set(context.rules.clearing):
            continue  # nothing can make it be owed, or structure has reported that nothing undoes it
        slice = debt_slice(context, debt, openers, clearing)
        timed = debt == FIRE or any(item.kind == "timer" for item in clearing.evidence)
        for possible in (MOVES, TIMED_MOVES)[: 1 + timed]:
            found = context.explore(debt, slice, possible, WATCHERS)
            yield from ((fault, slice) for fault in found.faults)
            node = stuck(found) if found.complete else None
            if node is not None:
                yield Fault(DEAD_END, "stuck debt", debt, node, (), why_stuck(slice, node)), slice


def opening_steps(context: Context, debt: str) -> list[Step]:
    """The steps that could make this debt be owed, each stripped; one heat step stands for all."""
    clearing = context.rules.clearing.get(debt)
    found = [tick_only(step) for step in context.steps if debt in step.opens and step.id != clearing]
    if debt in BY_FLAME:
        heat = next((step for step in context.steps if step.heat), None)
        found += [tick_only(heat)] if heat is not None and heat.id != clearing else []
    if debt in BY_PROOF and debt not in BY_FLAME and any(step.heat for step in context.steps):
        proving = context.rules.proving.get(BY_PROOF[debt])
        found += [bare(context.rules.steps[proving], proves=BY_PROOF[debt])] if proving else []
    return found


def debt_slice(context: Context, debt: str, openers: list[Step], clearing: Step) -> Slice:
    """The slice of one debt. Its gate is the one row whose proof makes the debt, if one does."""
    cleaned = whole(clearing)
    wanted = sorted(measures_behind(context.procedure, (*names_read(clearing), *clearing.asks)))
    row = BY_PROOF.get(debt)
    if row == "vents_taped" and FUEL_VENTS in context.procedure.measures:
        wanted.append(FUEL_VENTS)
    conditions = [*asked_conditions(context.procedure, clearing), *([clearing.when] if clearing.when else [])]
    found = context.answers(conditions, tuple(dict.fromkeys(wanted)))
    rows = (row,) if row and row in context.rules.safeguards else ()
    counted = {item.equals for item in clearing.evidence if item.equals}
    first = askers_before(context, openers, counted)
    ready = [replace(opener, needs=tuple(step.id for step in first)) for opener in openers]
    steps = [*first, *ready, *beside(context, debt), cleaned]
    return cut(context.procedure, context.policy, context.functions, steps, found, rows)


def askers_before(context: Context, openers: list[Step], measures: set[str]) -> list[Step]:
    """The steps that every boat comes to before the debt can be made, and that ask what undoing it is held against."""
    return [
        bare(step, asks=tuple(id for id in step.asks if id in measures)) for step in context.steps
        if step.when is None and not step.clears and measures & set(step.asks)
        and all(context.order.comes_before(step.id, opener.id) for opener in openers)
    ]


def beside(context: Context, debt: str) -> list[Step]:
    """The steps that undo what is made in the same breath as this debt, stripped to a tick."""
    others = [other for other in BY_FLAME if debt in BY_FLAME and other != debt]
    ids = [id for other in others if (id := context.rules.clearing.get(other))]
    return [tick_only(context.rules.steps[id]) for id in ids if id != context.rules.clearing.get(debt)]
