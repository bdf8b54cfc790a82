"""Property 5: every value is measured before a condition, a number or the gate uses it. One slice a step and measure.

The slice for step x and measure m has x and the steps before it that ask for m, each with its condition, and nothing
else; m may be stated only where a step that is due asks for it, every other measure at any time. x is at fault in a
state in which it is due (all before it settled), m is not in, and what x reads cannot be worked out without m.

Why this is sound: in the kernel a step is due only when all before it, through any chain, is settled. A step that asks
for m and is settled has been done (then m is in) or falls away. So m is missing when x is due exactly if all steps
before x that ask for m fall away on this boat, or do not ask for m on this boat, and whether they do is decided by
answers, which the slice has all combinations of. That those answers are in when they are needed is the same property
of the steps that read them, which stand earlier. A step that undoes a debt falls away until the debt is made, so it
counts as asking only for itself. An asker without a condition always has m in; such pairs all have one form.
Knows nothing of: dimensions, dead ends.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from coach.core.checks import current_steps
from coach.core.formula import Formula
from coach.core.formula_tree import If, Logic, walk
from coach.core.model import FUEL_VENTS, PLACE, Procedure, Step
from coach.core.numbers import compute, truth
from coach.prover import moves
from coach.prover.answers import Answers
from coach.prover.context import Context
from coach.prover.explore import Fault, Node, Watchers
from coach.prover.reduce import Slice, asked_conditions, bare, cut, measures_behind, names_read
from coach.prover.watchers import MEASURED

MOVES = (moves.start, moves.measure, moves.do)
_GATE_READS = {"vents_taped": FUEL_VENTS, "air": PLACE}


def value_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every use of a value before it is measured."""
    askers: dict[str, list[Step]] = {}
    for step in context.steps:
        for measure in step.asks:
            askers.setdefault(measure, []).append(step)
    circled = {id for circle in context.order.circles for id in circle}
    for step in context.steps:
        if step.id in circled or circled & set(context.order.before(step.id)):
            continue  # it is never due: order_faults says why
        for measure in sorted(reads(context, step)):
            yield from _pair(context, step, measure, askers.get(measure, []))


def reads(context: Context, step: Step) -> frozenset[str]:
    """The measures that a step, the conditions of what it asks, and its row of the gate read."""
    names = list(names_read(step))
    if step.clears and step.when is not None:
        names = [name for name in names if name not in step.when.names]  # the kernel does not ask its condition
    names += [name for when in asked_conditions(context.procedure, step) for name in when.names]
    found = measures_behind(context.procedure, names)
    return found | gate_reads(context.procedure, step.proves)


def gate_reads(procedure: Procedure, safeguard: str) -> frozenset[str]:
    """The measures by which the gate judges a safeguard: a fact of the boat, the last good days of what it rests on."""
    facts = {_GATE_READS[safeguard]} & set(procedure.measures) if safeguard in _GATE_READS else set()
    return frozenset(facts | {id for id, guarded in procedure.expiries.items() if safeguard and guarded == safeguard})


def _pair(context: Context, step: Step, measure: str, askers: list[Step]) -> Iterator[tuple[Fault, Slice]]:
    before = [one for one in askers if not one.clears and context.order.comes_before(one.id, step.id)]
    if any(one.when is None and context.procedure.measures[measure].when is None for one in before):
        before = [next(one for one in before if one.when is None)]
        reader = bare(step, uses=(measure,))
    elif measure in step.asks and context.procedure.measures[measure].when is None and not _in_condition(context, step, measure):
        before, reader = [], bare(step, uses=(measure,), asks=(measure,))
    else:
        reader = _reader(context, step, measure)
    slice = _slice(context, reader, before, measure)
    found = context.explore(f"{step.id} and {measure}", slice, MOVES, Watchers((), (), (due_without,)))
    last = f"s{len(slice.names) - 1}"
    if not found.faults and found.complete and not any(last in n.state.done for n in found.nodes):
        return  # never due on any boat: order_faults says so
    yield from ((fault, slice) for fault in found.faults[:1])


def _in_condition(context: Context, step: Step, measure: str) -> bool:
    """Whether the step's own condition reads the measure, before the step can ask for it."""
    return step.when is not None and not step.clears and measure in measures_behind(context.procedure, step.when.names)


def _reader(context: Context, step: Step, measure: str) -> Step:
    """The step with all that it reads, so that what is not needed on some boat is not asked for there."""
    procedure = context.procedure
    further = [id for id in step.asks if (when := procedure.measures[id].when) and measure in measures_behind(procedure, when.names)]
    asks = (measure,) if measure in step.asks else tuple(further)
    equal = tuple(item.against for item in step.evidence if item.against)
    gate = sorted(gate_reads(procedure, step.proves))
    resting = [name for name in (*step.uses, *step.shows, *equal, *gate) if measure in measures_behind(procedure, (name,))]
    return bare(step, when=None if step.clears else step.when, uses=tuple(resting), asks=asks, needs=step.needs)


def _slice(context: Context, reader: Step, before: list[Step], measure: str) -> Slice:
    procedure = context.procedure
    asking = [bare(one, when=one.when, asks=(measure,)) for one in before]
    needs = tuple(one.id for one in before)
    chained = [replace(one, needs=tuple(b.id for b in before if context.order.comes_before(b.id, one.id))) for one in asking]
    conditions: list[Formula] = [one.when for one in (*asking, reader) if one.when is not None]
    own = procedure.measures[measure].when
    conditions += [own] if own is not None else []
    conditions += asked_conditions(procedure, reader)
    lazy = [f for f in _formulas(context, reader) if any(isinstance(part, If | Logic) for part in walk(f.tree))]
    behind = measures_behind(procedure, (*names_read(reader), *(n for f in conditions for n in f.names)))
    known = context.answers(conditions, (measure, *sorted(behind), *reader.asks), lazy)
    found = Answers(dict(sorted(known.values.items(), key=lambda pair: len(pair[1]))))  # what has one value comes first
    return cut(
        procedure, context.policy, context.functions, (*chained, replace(reader, needs=needs)), found, (),
        [id for id in found.values if id != measure],
    )


def _formulas(context: Context, step: Step) -> list[Formula]:
    """The formulas of the numbers that a step reads, through any chain."""
    waiting, seen = [*step.uses], dict[str, None]()
    while waiting:
        name = waiting.pop()
        if name in context.procedure.numbers and name not in seen:
            seen[name] = None
            waiting.extend(context.procedure.numbers[name].formula.names)
    return [context.procedure.numbers[name].formula for name in seen]


def due_without(slice: Slice, node: Node) -> Iterator[Fault]:
    """The last step of the slice is due, all other measures are in, and what it reads waits for the one that is not."""
    rules, state = slice.rules, node.state
    missing = [id for id in slice.answers if id not in state.typed]
    if any(id in slice.free for id in missing) or state.status != "working":
        return
    step = rules.steps[rules.order[-1]]
    if step.id in state.done or rules.before[step.id] & sum(1 << rules.place[id] for id in _open(slice, node)):
        return
    measures, procedure, functions = state.measures, rules.procedure, rules.functions
    if step.when is not None and (known := truth(step.when, procedure, measures, functions)) is not True:
        if known is None:
            yield Fault(MEASURED, "condition waits" if missing else "condition fails", step.id, node, (), ", ".join(missing))
        return
    for when in asked_conditions(procedure, step):
        if truth(when, procedure, measures, functions) is None:
            yield Fault(MEASURED, "question waits", step.id, node, (), ", ".join(missing))
    for id in missing:
        wanted = procedure.measures[id].when
        asked_here = id in step.asks and (wanted is None or truth(wanted, procedure, measures, functions) is not False)
        if not asked_here and _waits(slice, node, step, id):
            yield Fault(MEASURED, "not measured", step.id, node, (), id)


def _waits(slice: Slice, node: Node, step: Step, measure: str) -> bool:
    """Whether something that the step uses cannot be had without this measure."""
    procedure, measures = slice.rules.procedure, node.state.measures
    if measure in step.uses:
        return True
    numbers = tuple(name for name in step.uses if name in procedure.numbers)
    found = compute(procedure, measures, slice.rules.functions, numbers)
    return any(measure in found[name].waits for name in numbers)


def _open(slice: Slice, node: Node) -> list[str]:
    return [step.id for step in current_steps(slice.rules, node.state) if step.id != slice.rules.order[-1]]
