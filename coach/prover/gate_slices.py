"""Property 1: no heat step can be lit, or go on, with a safeguard unproven.

Three kinds of slice, for each form of heat step h (what it proves, opens or clears itself; its order is left out):
 - a row slice for each safeguard s: h and the step that undoes what proving s puts on; a gate of the one row s; the
   moves good and bad statement, withdrawal, time, flame, trip, reset, undoing; where s is judged by a fact of the boat,
   a second one with corrections of that fact in place of withdrawal and time, which end s whatever the fact;
 - a mode slice: a gate of one row; its moves, and those that touch all rows alike: clock set back, program or device
   started anew, pause, resume, hand-over, stop, in every order;
 - the whole gate: every row shown, the flame lit or not, then each single move that ends rows.

Why this is sound: suppose that in the whole procedure a flame for h is lit or burns while s does not hold. Leave out of
that run what is done about other steps and other flames (a trip of those drops s as a withdrawal does). The kernel
refuses a light for reasons of order, of measures, of mode (clock, pause, stop, trip) and of rows. Order and measures
are taken away in both slices, so they hold nothing back. If the last thing that ended s was of its own (statement,
withdrawal, time, fact, undoing), the row slice has that way, and leaving out the other rows only lets more be lit. If
it was one that touches all rows, the whole gate shows that it ends s as it ends the row of the mode slice: after it
every row is lost in the kernel that is lost in truth (`nothing_holds_unshown`), and all were shown before, so that all
had something to lose. What can follow then is, for s, what can follow in the mode slice.
One bad statement is a move; all the others are put to the gate where they could matter (`bad_statements`), because a
statement is judged from itself and the facts alone.
From every state of a row or mode slice the flame can be lit again (`never_lit_again`): nothing is lost for ever.
Heat steps differ only by form, so a procedure with many heat steps has few slices.
Knows nothing of: order (dead_ends), debts at the end and safe stop (debt_slices).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coach.core import actions as act
from coach.core.checks import safeguard_status
from coach.core.model import FUEL_VENTS, PLACE, Step
from coach.core.policy import Policy
from coach.core.session import Refusal, fold
from coach.core.state import STOPPING, WORKING
from coach.prover import moves, watchers
from coach.prover.answers import Answers
from coach.prover.cast import GOOD_DAY, PAST_DAY
from coach.prover.context import Context
from coach.prover.explore import Explored, Fault, Move, Node, Try, Watchers, answer_to, stuck
from coach.prover.observations import can_hold, good
from coach.prover.reduce import NOWHERE, Slice, cut, tick_only
from coach.prover.truth import ENDED_WITH
from coach.prover.values import gate_reads
from coach.prover.walk import why_stuck
from coach.prover.watchers import DEAD_END, HEAT


def undo(slice: Slice, node: Node) -> Iterator[Try]:
    """What the proof put on is taken off."""
    yield from (one for one in moves.do(slice, node) if slice.rules.steps[one.say[1]].clears)


def ask_stop(slice: Slice, node: Node) -> Iterator[Try]:
    """A safe stop is asked for."""
    yield Try(("stop",), act.AskStop(node.state.technician, "no more today"), node.now, helps=False)


def show_all(slice: Slice, node: Node) -> Iterator[Try]:
    """Every safeguard is shown, in one breath, at the beginning."""
    scene, by = moves.scene_of(slice, node), node.state.technician
    due = [id for id in watchers.unproven(slice, node) if can_hold(id, scene)]
    if due and node.state.seq <= 1 + len(slice.answers):
        first, *rest = (act.Observe(by, id, good(id, scene)) for id in due)
        yield Try(("show all",), first, node.now, good=True, then=tuple(rest))


def while_all_hold(move: Move) -> Move:
    """The move, only in states in which every safeguard holds."""
    return lambda slice, node: () if watchers.unproven(slice, node) else move(slice, node)


ROW_MOVES = (moves.start, moves.measure, moves.show, moves.see_one_bad, moves.withdraw, moves.flame, undo, moves.time)
FACT_MOVES = (moves.start, moves.measure, moves.show, moves.see_one_bad, moves.flame, undo)
MODE_MOVES = (
    moves.start, moves.show, moves.withdraw, moves.flame, moves.time, moves.clock, moves.leave, ask_stop,
)
WHOLE_MOVES = (
    moves.start, moves.measure, show_all,
    *(while_all_hold(move) for move in (moves.withdraw, moves.flame, moves.time, moves.clock, moves.leave, ask_stop)),
)


def bad_statements(slice: Slice, node: Node) -> Iterator[Fault]:
    """No bad statement lets a flame be lit, and each one puts out a flame that is lit."""
    state, by, truth = node.state, node.state.technician, node.truth
    quiet = state.status == WORKING and not state.flame and state.trip is None and not truth.shown and not truth.owed
    burning = state.flame and not watchers.unproven(slice, node)
    for one in moves.see_bad(slice, node) if quiet or burning else ():
        answer = answer_to(slice.rules, state, one.action, node.now)
        if isinstance(answer, Refusal):
            continue
        after = fold(slice.rules, answer, state)
        lit = answer_to(slice.rules, after, act.Light(by, heat_of(slice)), node.now)
        if after.flame or not isinstance(lit, Refusal):
            yield Fault(HEAT, "burns on" if after.flame else "lit", slice.safeguards[0], node, one.say)


def nothing_holds_unshown(slice: Slice, node: Node) -> Iterator[Fault]:
    """The kernel takes no safeguard for proven that is not really shown."""
    for id in watchers.unproven(slice, node):
        if id in node.state.proofs and safeguard_status(slice.rules, node.state, id, node.now).holds:
            yield Fault(HEAT, "held", id, node)


def heat_of(slice: Slice) -> str:
    """The slice's heat step."""
    return next(id for id, step in slice.rules.steps.items() if step.heat)


_SENTENCES = (watchers.no_light_unproven, watchers.no_burning_on)
ROW_WATCHERS = Watchers(_SENTENCES, (watchers.out_is_never_refused,), (watchers.nothing_unreadable, bad_statements))
MODE_WATCHERS = Watchers(
    (*_SENTENCES, watchers.no_work_in_doubt), (watchers.out_is_never_refused,), (watchers.nothing_unreadable, watchers.offers_agree, watchers.no_start_unproven, nothing_holds_unshown)
)
WHOLE_WATCHERS = Watchers(_SENTENCES, (watchers.out_is_never_refused,), (nothing_holds_unshown,))


def gate_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every fault of the gate, with the slice it was found in."""
    forms: dict[tuple[object, ...], Step] = {}
    for step in context.steps:
        if step.heat:
            forms.setdefault((step.proves, step.opens, step.clears), step)
    for heat in forms.values():
        for safeguard in context.rules.safeguards:
            for policy in _policies(context.policy, safeguard):
                for values, possible in ((1, ROW_MOVES), (2, FACT_MOVES))[: 1 + bool(gate_reads(context.procedure, safeguard))]:
                    slice = row_slice(context, heat, safeguard, policy, values)
                    found = context.explore(f"{heat.id} and {safeguard}", slice, possible, ROW_WATCHERS)
                    yield from ((fault, slice) for fault in (*found.faults, *never_lit_again(slice, found)))
        for about, slice, possible, watching in (
            ("the modes", mode_slice(context, heat), MODE_MOVES, MODE_WATCHERS),
            ("the whole gate", whole_slice(context, heat), WHOLE_MOVES, WHOLE_WATCHERS),
        ):
            found = context.explore(f"{heat.id} and {about}", slice, possible, watching)
            again = never_lit_again(slice, found) if possible is MODE_MOVES else ()
            yield from ((fault, slice) for fault in (*found.faults, *again))


def never_lit_again(slice: Slice, found: Explored) -> Iterator[Fault]:
    """Whatever was lost, the safeguard can be shown again and the flame lit, as long as the job is not being stopped."""
    node = stuck(found, lambda one: bool(one.state.flame) or one.state.status == STOPPING) if found.complete else None
    if node is not None:
        yield Fault(DEAD_END, "never again", heat_of(slice), node, (slice.safeguards[0],), why_stuck(slice, node))


def _policies(policy: Policy, safeguard: str) -> tuple[Policy, ...]:
    """The policies that change what a safeguard asks: with and without a permit indoors, with and without a detector."""
    if safeguard == "air":
        return (replace(policy, indoor_permit="", indoor_ventilation=""), replace(policy, indoor_permit="permit", indoor_ventilation="fans"))
    if safeguard == "gas":
        return (replace(policy, detector_required=False), replace(policy, detector_required=True))
    return (policy,)


def row_slice(context: Context, heat: Step, safeguard: str, policy: Policy, values: int) -> Slice:
    """One heat step and one safeguard, with so many values of what it is judged by. Two are enough: the gate compares
    counts of vents with each other only, there are two places, and a last good day is over or is not."""
    steps = [tick_only(heat), *clearing_steps(context, heat, safeguard)]
    known = context.answers((), sorted(gate_reads(context.procedure, safeguard)))
    days = context.procedure.expiries
    few = Answers({id: (GOOD_DAY, PAST_DAY)[:values] if id in days else _some(id, texts, values) for id, texts in known.values.items()})
    return cut(context.procedure, policy, context.functions, steps, few, (safeguard,))


def _some(measure: str, texts: tuple[str, ...], values: int) -> tuple[str, ...]:
    """So many of a fact's values: outdoors, and a boat that has vents, come first."""
    first = texts if measure == PLACE else (*texts[1:2], texts[0])  # the counts are neighbours
    return first[:values]


def mode_slice(context: Context, heat: Step) -> Slice:
    """One heat step and the last row of the gate."""
    rows = tuple(context.rules.safeguards)[-1:]
    return cut(context.procedure, context.policy, context.functions, (tick_only(heat),), Answers({}), rows, resumes=True)


def whole_slice(context: Context, heat: Step) -> Slice:
    """One heat step and every safeguard, on one boat."""
    facts = [id for id in (FUEL_VENTS, PLACE) if id in context.procedure.measures]
    one = Answers({id: texts[:1] for id, texts in context.answers((), facts).values.items()})
    return cut(context.procedure, context.policy, context.functions, (tick_only(heat),), one, context.rules.safeguards, resumes=True)


def clearing_steps(context: Context, heat: Step, safeguard: str) -> list[Step]:
    """The step that undoes what the proof puts on; it asks for nothing but a tick or its count."""
    found = []
    for debt in (debt for debt, ended in ENDED_WITH.items() if ended == safeguard):
        id = context.rules.clearing.get(debt)
        if id is not None and id != heat.id:
            step = tick_only(context.rules.steps[id])
            counted = context.rules.debts[debt].counted
            evidence = tuple(i for i in context.rules.steps[id].evidence if counted and i.id == counted)
            found.append(replace(step, evidence=tuple(replace(i, ask="", place=NOWHERE, equals="", at_least="", at_most="", within=None, low=None, high=None) for i in evidence)))
    return found
