"""What must never be seen on the way: the safety sentences, checked against what has really happened.

Rules kept here:
 1. Each watcher is one sentence. It compares what the kernel let happen with the truth kept beside it.
 2. A watcher names the property that is broken and a code; words are made elsewhere.
Knows nothing of: how the kernel decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy

from coach.core import actions as act
from coach.core.numbers import truth as condition_truth
from coach.core.session import Refusal, offers
from coach.core.state import ACCEPTED, CLOSED, ENDS, NEW, STOPPED, WORKING
from coach.prover.cast import HOLDER
from coach.prover.explore import Fault, Node, Taken, Try, answer_to
from coach.prover.reduce import Slice
from coach.prover.truth import CYLINDER, fault_of_undoing, must_stay

HEAT, DEBTS, DEAD_END, REACH = "heat", "debts", "dead end", "reach"
MEASURED, UNITS, STOP, CORRECTION, ORDER = "measured", "units", "stop", "correction", "order"


def unproven(slice: Slice, node: Node) -> tuple[str, ...]:
    """The safeguards of the slice that do not really hold."""
    return tuple(id for id in slice.safeguards if not node.truth.holds(id, node.state, slice.rules))


def no_light_unproven(taken: Taken) -> Iterator[Fault]:
    """A flame is lit only while every safeguard holds, in a job that is being worked on, with no trip waiting."""
    before, after = taken.before, taken.after
    if not after.state.flame or before.state.flame:
        return
    for id in unproven(taken.slice, before):
        yield Fault(HEAT, "lit", id, after, taken.taken.say)
    calm = before.state.status == WORKING and before.state.trip is None
    if not isinstance(taken.taken.action, act.Light) or not calm:
        yield Fault(HEAT, "lit wrongly", after.state.flame, after, taken.taken.say)


def no_burning_on(taken: Taken) -> Iterator[Fault]:
    """While a flame is lit, the very answer that loses a safeguard puts it out; time is noticed by the next look."""
    if not taken.before.state.flame or not taken.after.state.flame or isinstance(taken.taken.action, act.AskStop):
        return
    for id in unproven(taken.slice, taken.after):
        yield Fault(HEAT, "burns on", id, taken.after, taken.taken.say)


def out_is_never_refused(slice: Slice, node: Node, one: Try, refusal: Refusal) -> Iterator[Fault]:
    """While a flame may burn, putting it out, telling a loss, a look at the clock and asking to stop are never refused."""
    state = node.state
    burning = bool(state.flame) or (state.trip is not None and not state.trip.out)
    if burning and isinstance(one.action, act.FlameOut | act.Withdraw | act.Look):
        yield Fault(STOP, "refused", state.flame, node, one.say)
    if state.flame and isinstance(one.action, act.AskStop) and state.status == WORKING:
        yield Fault(STOP, "refused", state.flame, node, one.say)


def nothing_owed_at_the_end(taken: Taken) -> Iterator[Fault]:
    """A closed or accepted job owes nothing; a stopped one only what hangs on a tag, and never an open cylinder; there
    is no flame and no trip in either."""
    state, truth = taken.after.state, taken.after.truth
    if state.status == taken.before.state.status or state.status not in ENDS:
        return
    allowed = truth.tagged - {CYLINDER} if state.status == STOPPED else frozenset()
    for debt in sorted(set(truth.owing) - allowed):
        yield Fault(DEBTS, "owed", debt, taken.after, taken.taken.say, state.status)
    if state.flame or state.trip is not None:
        yield Fault(STOP, "flame at the end", state.flame, taken.after, taken.taken.say)


def undone_in_full(taken: Taken) -> Iterator[Fault]:
    """A debt ends only by its full count, and the fire watch only after its minutes."""
    action = taken.taken.action
    if isinstance(action, act.Do):
        step = taken.slice.rules.steps[action.step]
        detail = fault_of_undoing(taken.before.truth, step, action.evidence)
        if detail and step.clears not in taken.after.state.debts:
            yield Fault(DEBTS, "not in full", step.clears, taken.after, taken.taken.say, detail)


def all_done_at_the_end(taken: Taken) -> Iterator[Fault]:
    """A closed job has every step done or excused that this boat is asked for."""
    state = taken.after.state
    if state.status != CLOSED or taken.before.state.status == CLOSED:
        return
    rules = taken.slice.rules
    for id, step in rules.steps.items():
        asked = step.when is None or condition_truth(step.when, rules.procedure, state.measures, rules.functions) is not False
        if asked and not step.clears and id not in state.done and id not in state.excused:
            yield Fault(DEAD_END, "closed undone", id, taken.after, taken.taken.say)


def corrected_opens_again(taken: Taken) -> Iterator[Fault]:
    """After a measure is corrected, no step that rests on it is still done or excused."""
    if not isinstance(taken.taken.action, act.Measure):
        return
    id = taken.taken.action.measure
    before, after = taken.before.state, taken.after.state
    if id not in before.typed or before.typed[id] == after.typed[id]:
        return
    for step, closure in taken.slice.closure.items():
        if id in closure and (step in after.done or step in after.excused):
            yield Fault(CORRECTION, "kept", step, taken.after, taken.taken.say, id)


def never_left_out(taken: Taken) -> Iterator[Fault]:
    """No step of the gate, none that the fire watch confirms and none that undoes a debt is left out."""
    if isinstance(taken.taken.action, act.Excuse):
        step = taken.slice.rules.steps[taken.taken.action.step]
        if must_stay(step):
            yield Fault(DEBTS if step.clears else HEAT, "left out", step.id, taken.after, taken.taken.say)


def settled_by_showing(taken: Taken) -> Iterator[Fault]:
    """A step of the gate counts as done only once its safeguard was really shown."""
    rules = taken.slice.rules
    for id, step in rules.steps.items():
        done = id in taken.after.state.done and id not in taken.before.state.done
        if step.proves in taken.slice.safeguards and done and not taken.after.truth.holds(step.proves, taken.after.state, rules):
            yield Fault(HEAT, "settled", id, taken.after, taken.taken.say)


_IN_DOUBT = (act.FlameOut, act.Withdraw, act.Look, act.AskStop, act.Resume, act.HandOver)


def no_work_in_doubt(taken: Taken) -> Iterator[Fault]:
    """After a change of the clock or a new start the job is resumed, or handed over, before any work goes on."""
    if taken.before.truth.doubt and not isinstance(taken.taken.action, _IN_DOUBT):
        yield Fault(HEAT, "in doubt", taken.slice.safeguards[0] if taken.slice.safeguards else "", taken.after, taken.taken.say)


def in_order(taken: Taken) -> Iterator[Fault]:
    """A step is done, lit, left out or first shown only when all before it are settled, through any chain."""
    action, rules = taken.taken.action, taken.slice.rules
    if isinstance(action, act.Do | act.Light | act.Excuse):
        step = action.step
    elif isinstance(action, act.Observe) and rules.proving.get(action.safeguard, "") not in ("", *taken.before.state.done):
        step = rules.proving[action.safeguard]
    else:
        return
    waiting, seen = list(rules.steps[step].needs), set()
    while waiting:
        id = waiting.pop()
        if id not in seen:
            seen.add(id)
            waiting += rules.steps[id].needs
            if not really_settled(taken.slice, taken.before, id):
                yield Fault(ORDER, "before", step, taken.after, (id,))


def really_settled(slice: Slice, node: Node, id: str) -> bool:
    """Whether a step is done, left out or not asked of this boat, read off the conditions themselves."""
    step, rules, state = slice.rules.steps[id], slice.rules, node.state
    if id in state.done or id in state.excused:
        return True
    if step.clears:
        return step.clears not in node.truth.owing
    return step.when is not None and condition_truth(step.when, rules.procedure, state.measures, rules.functions) is False


def nothing_unreadable(slice: Slice, node: Node) -> Iterator[Fault]:
    """The kernel can read every event that it makes."""
    if node.state.faults:
        yield Fault(STOP, "unreadable", node.state.faults[0], node)


def no_start_unproven(slice: Slice, node: Node) -> Iterator[Fault]:
    """A job is started for real on a proven procedure only, and is offered on no other."""
    if node.state.status != NEW:
        return
    rules = copy(slice.rules)
    rules.proven = False
    started = answer_to(rules, node.state, act.Start(HOLDER, "job", "boat"), node.now)
    if not isinstance(started, Refusal) or any(offer.open for offer in offers(rules, node.state, node.now)):
        yield Fault(HEAT, "started unproven", "", node)


def offers_agree(slice: Slice, node: Node) -> Iterator[Fault]:
    """What is offered as open is taken, and what is offered as closed is refused."""
    if node.state.status in (NEW, *ENDS, ACCEPTED):
        return
    by, state, now = node.state.technician, node.state, node.now
    due = bool(state.flame) and bool(unproven(slice, node))
    for offer in offers(slice.rules, state, now):
        action = {
            "light": act.Light(by, offer.about), "flame_out": act.FlameOut(by), "reset": act.Reset(by),
            "pause": act.Pause(by), "resume": act.Resume(by), "stop": act.AskStop(by, "enough for today"),
        }.get(offer.act)
        if action is None or due:
            continue
        taken = not isinstance(answer_to(slice.rules, state, action, now), Refusal)
        if taken != offer.open:
            yield Fault(DEAD_END, "offer", offer.act, node, (offer.act,))
