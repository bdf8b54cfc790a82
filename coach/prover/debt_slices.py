"""Property 2: every debt is discharged on every way to closed; and the obligations of a safe stop. One slice a debt.

(The open cylinder and the fire watch are made by one flame, so they share a slice.) The slice for debt d has every step that could make d be owed (for the kernel's debts a heat step and the proof; for an
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

from coach.core.formula import Formula
from coach.core.model import FUEL_VENTS, Step
from coach.prover import moves, watchers
from coach.prover.answers import Answers
from coach.prover.context import Context
from coach.prover.explore import Fault, Node, Try, Watchers, stuck
from coach.prover.reduce import Slice, asked_conditions, bare, cut, measures_behind, tick_only, whole
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
    (watchers.nothing_owed_at_the_end, watchers.undone_in_full, watchers.all_done_at_the_end,
     watchers.never_left_out),
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
MOVES = (*_WORK, moves.stop, moves.review, moves.excuse_guarded)
TIMED_MOVES = (*_WORK, moves.stop, moves.clock, moves.resume)


def debt_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every fault in the making and undoing of debts, with the slice it was found in."""
    for debts in groups(context):
        clearing = [context.rules.steps[context.rules.clearing[debt]] for debt in debts]
        openers = opening_steps(context, debts)
        slice = debt_slice(context, debts, openers, clearing)
        timed = FIRE in debts or any(item.kind == "timer" for step in clearing for item in step.evidence)
        miscount = (moves.see_one_bad,) if "vents_taped" in slice.safeguards else ()
        for possible in ((*MOVES, *miscount), TIMED_MOVES)[: 1 + timed]:
            found = context.explore(debts[0], slice, possible, WATCHERS)
            yield from ((fault, slice) for fault in found.faults)
            node = stuck(found) if found.complete else None
            if node is not None:
                yield Fault(DEAD_END, "stuck debt", debts[0], node, (), why_stuck(slice, node)), slice


def groups(context: Context) -> Iterator[tuple[str, ...]]:
    """The debts that are explored together: those that a flame makes in one breath; every other one by itself.

    A debt that nothing makes, or that nothing undoes (structure has said so), is left out.
    """
    heats = any(step.heat for step in context.steps)
    for debt in context.rules.debts:
        if debt == FIRE and heats:
            continue
        group = (debt, *(FIRE for _ in (1,) if debt == CYLINDER and heats))
        if all(one in context.rules.clearing for one in group) and opening_steps(context, group):
            yield group


def opening_steps(context: Context, debts: tuple[str, ...]) -> list[Step]:
    """The steps that could make these debts be owed, each stripped; one heat step stands for all."""
    clearing = {context.rules.clearing.get(debt) for debt in debts}
    found = [tick_only(step) for step in context.steps if set(debts) & set(step.opens) and step.id not in clearing]
    heat = next((step for step in context.steps if step.heat and step.id not in clearing), None)
    if set(debts) & set(BY_FLAME) and heat is not None:
        return [*found, tick_only(heat)]
    row = BY_PROOF.get(debts[0], "")
    if row in context.rules.proving:
        found.append(bare(context.rules.steps[context.rules.proving[row]], proves=row))
    return found


def debt_slice(context: Context, debts: tuple[str, ...], openers: list[Step], clearing: list[Step]) -> Slice:
    """The slice of debts that are made together. Its gate is the one row whose proof makes the first, if one does."""
    row = BY_PROOF.get(debts[0])
    counted = {item.equals for step in clearing for item in step.evidence if item.equals}
    first = askers_before(context, openers, counted)
    ready = [replace(opener, needs=tuple(step.id for step in first)) for opener in openers]
    rows = (row,) if row and row in context.rules.safeguards else ()
    steps = [*first, *ready, *(whole(step, uses=(), shows=()) for step in clearing)]
    return cut(context.procedure, context.policy, context.functions, steps, _known(context, row, clearing), rows)


def _known(context: Context, row: str | None, clearing: list[Step]) -> Answers:
    """The answers that undoing and the row read. Of the vents the least and the most are enough: a count is compared
    with another count, and with the ends of what the step accepts."""
    procedure, conditions, wanted = context.procedure, list[Formula](), list[str]()
    for step in clearing:
        conditions += [*asked_conditions(procedure, step), *([step.when] if step.when is not None else [])]
        equal = [item.equals for item in step.evidence if item.equals]
        wanted += sorted(measures_behind(procedure, (*equal, *step.asks)))
    if row == "vents_taped" and FUEL_VENTS in procedure.measures:
        wanted.append(FUEL_VENTS)
    found = context.answers(conditions, tuple(dict.fromkeys(wanted)))
    return Answers({id: (texts[0], *texts[1:][-1:]) if id == FUEL_VENTS else texts for id, texts in found.values.items()})


def askers_before(context: Context, openers: list[Step], measures: set[str]) -> list[Step]:
    """The steps that every boat comes to before the debt can be made, and that ask what undoing it is held against."""
    return [
        bare(step, asks=tuple(id for id in step.asks if id in measures)) for step in context.steps
        if step.when is None and not step.clears and measures & set(step.asks)
        and all(context.order.comes_before(step.id, opener.id) for opener in openers)
    ]

