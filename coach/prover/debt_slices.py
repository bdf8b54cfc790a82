"""Property 2: every debt is discharged on every way to closed; and the obligations of a safe stop.

One slice for each way in which a debt comes to be owed: by a flame (open cylinder and fire watch in one breath), by a
proof (tape, cylinder), by the steps that open it. It has the steps of that way, stripped to a tick, and the step that
undoes the debt, whole: with its evidence and what it asks. It has every move up to the supervisor's acceptance; where
time counts (the fire watch, a timer) every doubt about the clock too, also while a stopped job waits for its review.

Why this is sound: the kernel closes a job only when its open debts are gone. In the slice fewer steps stand in the way
of closing, and d can be made whenever its steps' own condition lets it, so every closing of the whole procedure, seen
from d, is a closing of the slice. (The steps that ask what the undoing is held against come first in the slice where
they do in the procedure, so that no story begins with an answer that could not be missing.)
Debts may be taken one by one: a debt is cleared in the kernel by its own step, its own tag, and nothing that other
debts do; a safe stop asks for debts one after another in any order, and each only for itself. So what a step opens
beside d, and what an opening step undoes, is left out; that undoing one debt and making another ends is shown in
dead_ends. Ways may be taken one by one: an open debt remembers how many and since when, not what made it. A way that is
one step has it twice, because a correction or a review brings a step back: the debt is made again after it was undone.
A flame has no row of the gate here: which safeguard was lost is nothing to a trip, and a doubt about the clock makes
one too.
That d can be undone once what comes before its step is settled is shown here too (no stuck state); that what comes
before it can be settled is shown in dead_ends.
Knows nothing of: the gate's rows (gate_slices), order (dead_ends).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from coach.core.formula import Formula
from coach.core.model import FUEL_VENTS, Step
from coach.core.session import Refusal
from coach.core.state import ENDS, NEW
from coach.prover import moves, watchers
from coach.prover.answers import Answers, fewer_vents
from coach.prover.context import Context
from coach.prover.explore import Fault, Move, Node, Try, Watchers, answer_to, stuck
from coach.prover.reduce import Slice, asked_conditions, bare, cut, measures_behind, whole
from coach.prover.stopping import safe_stop_fault
from coach.prover.truth import CYLINDER, FIRE, TAPE
from coach.prover.walk import why_stuck
from coach.prover.watchers import DEAD_END, STOP

BY_FLAME = (CYLINDER, FIRE)
BY_PROOF = {TAPE: "vents_taped", CYLINDER: "leak_test"}


def stop_is_safe(slice: Slice, node: Node) -> Iterator[Fault]:
    """From every state with a flame, or with something owed, the job can be stopped safely."""
    if node.state.status in ("working", "paused") and (node.state.flame or node.truth.owed):
        fault = safe_stop_fault(slice, node)
        if fault is not None:
            yield fault


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
    return one._replace(say=(*one.say, "miscounted"), action=replace(action, evidence=evidence), helps=False)  # type: ignore[type-var]


def clock(slice: Slice, node: Node) -> Iterator[Try]:
    """The clock is set back, or the program started anew, while something is owed or a timer runs: nothing else hangs on
    it here, and on the start of the whole device no more than on a clock set back."""
    return islice(moves.clock(slice, node), 2) if node.truth.owed or node.state.timers else iter(())


def till_the_end(move: Move) -> Move:
    """The move, in a job that has not ended. That none is taken afterwards, `nothing_outside` asks."""
    return lambda slice, node: () if node.state.status in ENDS else move(slice, node)


_WORK = tuple(till_the_end(move) for move in (
    moves.start, moves.measure, moves.show, light_and_out, moves.timer, moves.do, count_short, moves.time, moves.sign,
))
MOVES = (*_WORK, till_the_end(moves.stop), till_the_end(moves.excuse_guarded), moves.review)
MISCOUNTS = (till_the_end(moves.see_one_bad),)
DOUBTS = (clock, till_the_end(moves.resume))


def nothing_outside(slice: Slice, node: Node) -> Iterator[Fault]:
    """In a job that has not begun, or has ended, no work is taken down."""
    if node.state.status not in (NEW, *ENDS):
        return
    for move in (moves.measure, moves.show, light_and_out, moves.timer, moves.do, moves.excuse, moves.sign, moves.stop, moves.resume):
        for one in move(slice, node):
            if one.action is not None and not isinstance(answer_to(slice.rules, node.state, one.action, node.now), Refusal):
                yield Fault(STOP, "outside", "", node, one.say)


WATCHERS = Watchers(
    (watchers.nothing_owed_at_the_end, watchers.undone_in_full, watchers.all_done_at_the_end, watchers.never_left_out),
    (watchers.out_is_never_refused,),
    (watchers.nothing_unreadable, stop_is_safe, nothing_outside),
)


@dataclass(frozen=True)
class Making:
    """One way in which debts come to be owed: by which steps, and by which row of the gate."""

    debts: tuple[str, ...]
    openers: tuple[Step, ...]
    rows: tuple[str, ...] = ()


def debt_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every fault in the making and undoing of debts, with the slice it was found in."""
    for making in makings(context):
        clearing = [context.rules.steps[context.rules.clearing[debt]] for debt in making.debts]
        slice = debt_slice(context, making, clearing)
        timed = FIRE in making.debts or any(item.kind == "timer" for step in clearing for item in step.evidence)
        possible = (*MOVES, *(MISCOUNTS if "vents_taped" in making.rows else ()), *(DOUBTS if timed else ()))
        found = context.explore(making.debts[0], slice, possible, WATCHERS)
        yield from ((fault, slice) for fault in found.faults)
        node = stuck(found) if found.complete else None
        if node is not None:
            yield Fault(DEAD_END, "stuck debt", making.debts[0], node, (), why_stuck(slice, node)), slice


def makings(context: Context) -> Iterator[Making]:
    """Every way in which debts come to be owed that some step undoes (structure names the others)."""
    rules = context.rules
    heat = next((step for step in context.steps if step.heat), None)
    if heat is not None and set(BY_FLAME) <= set(rules.clearing):
        yield Making(BY_FLAME, (bare(heat, heat=True),))
    for debt in rules.debts:
        if debt not in rules.clearing:
            continue
        row = BY_PROOF.get(debt, "")
        if row in rules.proving:
            yield Making((debt,), (bare(rules.steps[rules.proving[row]], proves=row),), (row,))
        openers = [bare(step, opens=(debt,)) for step in context.steps if debt in step.opens and step.id != rules.clearing[debt]]
        if openers:
            yield Making((debt,), tuple(openers))


def debt_slice(context: Context, making: Making, clearing: list[Step]) -> Slice:
    """The slice of debts that are made together."""
    counted = {item.against for step in clearing for item in step.evidence if item.against}
    first = askers_before(context, making.openers, counted)
    ready = [replace(opener, needs=tuple(step.id for step in first)) for opener in making.openers]
    if len(ready) == 1 and ready[0].opens:
        ready.append(replace(ready[0], id=f"{ready[0].id}, once more"))
    undoing = (whole(step, uses=(), shows=(), opens=tuple(debt for debt in step.opens if debt in making.debts)) for step in clearing)
    steps = [*first, *ready, *undoing]
    found = _known(context, making.rows, clearing)
    return cut(context.procedure, context.policy, context.functions, steps, found, making.rows, resumes=True)


def _known(context: Context, rows: tuple[str, ...], clearing: list[Step]) -> Answers:
    """The answers that undoing and the row read. Where no condition asks for the vents, the least and the most of them
    are enough: a miscount makes every least count above zero, and what the undoing accepts is all between two ends."""
    procedure, conditions, wanted = context.procedure, list[Formula](), list[str]()
    for step in clearing:
        conditions += [*asked_conditions(procedure, step), *([step.when] if step.when is not None else [])]
        equal = [item.against for item in step.evidence if item.against]
        wanted += sorted(measures_behind(procedure, (*equal, *step.asks)))
    if "vents_taped" in rows and FUEL_VENTS in procedure.measures:
        wanted.append(FUEL_VENTS)
    found = context.answers(conditions, tuple(dict.fromkeys(wanted)))
    return fewer_vents(procedure, found, conditions, ends=True)


def askers_before(context: Context, openers: Sequence[Step], measures: set[str]) -> list[Step]:
    """The steps that every boat comes to before the debt can be made, and that ask what undoing it is held against."""
    return [
        bare(step, asks=tuple(id for id in step.asks if id in measures)) for step in context.steps
        if step.when is None and not step.clears and measures & set(step.asks)
        and all(context.order.comes_before(step.id, opener.id) for opener in openers)
    ]

