"""A correction of a measure never leaves a done step relying on an old number. One slice a step that reads measures.

The slice has the one step and every measure it rests on, through any chain of numbers and through the conditions of
what it asks, each with two values. The step is done, or excused; then each measure is corrected by itself.

Why one step and one correction are enough: what the kernel opens again depends on which step is done, which measure is
corrected, and nothing else; and a measure can be corrected only while no flame burns and the job is worked on, which
says nothing of steps. What a step rests on is read off the formulas here, not asked of the kernel's Rules.
Knows nothing of: order, the gate.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.core import actions as act
from coach.core.model import EXPIRY, Measure
from coach.core.quantity import KINDS, Quantity, as_text
from coach.core.session import Refusal, fold
from coach.core.state import State
from coach.prover.answers import Answers
from coach.prover.cast import BEGIN, GOOD_DAY, HOLDER, PAST_DAY
from coach.prover.context import Context
from coach.prover.explore import Fault, Node, Taken, Try, answer_to
from coach.prover.reduce import Slice, asked_conditions, bare, cut, measures_behind, names_read
from coach.prover.truth import Truth
from coach.prover.watchers import corrected_opens_again


def correction_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """Every step that would stay done on an old number."""
    seen: set[tuple[object, ...]] = set()
    for step in context.steps:
        names = [*names_read(step), *(n for when in asked_conditions(context.procedure, step) for n in when.names)]
        behind = sorted(measures_behind(context.procedure, names))
        if not behind:
            continue
        reader = bare(step, uses=tuple(dict.fromkeys(names)), asks=step.asks)
        wanted = dict.fromkeys((*behind, *step.asks))
        found = Answers({id: two_values(context.procedure.measures[id]) for id in wanted})
        slice = cut(context.procedure, context.policy, context.functions, (reader,), found)
        if slice.key not in seen:
            seen.add(slice.key)
            context.slices += 1
            for done in (True, False):
                yield from ((fault, slice) for fault in _corrected(context, slice, behind, done))


def two_values(measure: Measure) -> tuple[str, ...]:
    """Two different values that a person could give."""
    if measure.kind == EXPIRY:
        return (GOOD_DAY, PAST_DAY)
    if measure.kind == "choice":
        return tuple(option.id for option in measure.options[:2])
    if measure.kind == "yes_no":
        return ("yes", "no")
    low = measure.low or Quantity(1, KINDS[measure.kind])
    high = measure.high if measure.high is not None and measure.high.value > low.value else low + Quantity(1, low.dimension)
    return (as_text(low), as_text(high))


def _corrected(context: Context, slice: Slice, behind: list[str], done: bool) -> Iterator[Fault]:
    """The step is settled, then each measure corrected; what stays settled is a fault."""
    node = Node(State(), BEGIN, Truth())
    path: list[tuple[act.Action, tuple[str, ...]]] = [(act.Start(HOLDER, "job", "boat"), ("start",))]
    path += [(act.Measure(HOLDER, id, texts[0], texts[0]), ("answer", id, texts[0])) for id, texts in slice.answers.items()]
    last = act.Do(HOLDER, "s0", {"tick": True, "kept": "measured twice"}) if done else act.Excuse(HOLDER, "s0", "left out")
    path.append((last, ("do" if done else "excuse", "s0")))
    for action, said in path:
        after = _take(slice, node, action, said)
        if after is None:
            return  # it cannot be settled so; order_faults says whether it can at all
        node = after
    context.states += len(path) + len(behind)
    for id in behind:
        if len(slice.answers[id]) < 2:
            continue
        text = slice.answers[id][1]
        one = Try(("correct", id, text), act.Measure(HOLDER, id, text, text), BEGIN)
        after = _take(slice, node, one.action, one.say)
        if after is not None:
            yield from corrected_opens_again(Taken(slice, node, one, after))


def _take(slice: Slice, node: Node, action: act.Action | None, said: tuple[str, ...]) -> Node | None:
    answer = answer_to(slice.rules, node.state, action, node.now)  # type: ignore[arg-type]
    if isinstance(answer, Refusal):
        return None
    return Node(fold(slice.rules, answer, node.state), node.now, node.truth, node, said)
