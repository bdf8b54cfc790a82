"""The moves of an exploration: everything that people may ask of the kernel, and everything that the world may do.

Rules kept here:
 1. A move is tried wherever it could conceivably be taken; whether it is taken is the kernel's word.
 2. Measures are first stated in one fixed order: which of two independent answers came first changes nothing that a
    state holds. Corrections come in any order.
 3. The time move outlasts everything that can run out in the slice, by one millisecond.
Knows nothing of: what is being proven.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from coach.core import actions as act
from coach.core.checks import current_steps
from coach.core.model import FUEL_VENTS, PLACE
from coach.core.moment import Moment
from coach.core.quantity import Quantity
from coach.core.state import CLOSED, ENDS, NEW, STOPPED, STOPPING
from coach.prover.cast import BOSS, HOLDER, OTHER
from coach.prover.explore import Node, Try
from coach.prover.given import evidence_for
from coach.prover.observations import Scene, bad, can_hold
from coach.prover.observations import good as good_values
from coach.prover.reduce import Slice
from coach.prover.truth import FIRE, Truth, after_observing, after_taken, must_stay

STROKES = (((0, 0), (9, 9)),)
MINUTE = 60_000


def start(slice: Slice, node: Node) -> Iterator[Try]:
    """The job is started."""
    if node.state.status == NEW:
        yield Try(("start",), act.Start(HOLDER, "job", "boat"), node.now)


def measure(slice: Slice, node: Node) -> Iterator[Try]:
    """A measure is stated, or corrected. One that is not free is stated only where a step that is due asks for it."""
    typed, by = node.state.typed, node.state.technician
    waiting = [id for id in slice.answers if id not in typed]
    for id in slice.answers:
        if id in typed:
            helps = id == PLACE or id in slice.rules.procedure.expiries  # a boat can be moved, what is past its day changed
        elif id in slice.free:
            if id != next(one for one in waiting if one in slice.free):
                continue
            helps = True
        else:
            if not any(id in step.asks for step in current_steps(slice.rules, node.state)):
                continue
            helps = True
        for text in slice.answers[id]:
            if typed.get(id) != text:
                said = "correct" if id in typed else "answer"
                yield Try((said, id, text), act.Measure(by, id, text, text), node.now, helps=helps)


def do(slice: Slice, node: Node) -> Iterator[Try]:
    """A step is done with evidence that fits, if any does."""
    for id, step in slice.rules.steps.items():
        for evidence in evidence_for(slice.rules, node.state, step):
            yield Try(("do", id), act.Do(node.state.technician, id, evidence), node.now)


def excuse(slice: Slice, node: Node) -> Iterator[Try]:
    """A step is left out with a reason."""
    for id in slice.rules.steps:
        yield Try(("excuse", id), act.Excuse(node.state.technician, id, "left out"), node.now, helps=False)


def excuse_guarded(slice: Slice, node: Node) -> Iterator[Try]:
    """A step of the gate, one that the fire watch confirms, or one that undoes a debt, is to be left out."""
    return (one for one in excuse(slice, node) if must_stay(slice.rules.steps[one.say[1]]))


def timer(slice: Slice, node: Node) -> Iterator[Try]:
    """The timer of a step is started."""
    for id, step in slice.rules.steps.items():
        if id not in node.state.timers and any(item.kind == "timer" for item in step.evidence):
            yield Try(("timer", id), act.StartTimer(node.state.technician, id), node.now)


def scene_of(slice: Slice, node: Node) -> Scene:
    """What statements about safeguards depend on, at this node."""
    vents = node.state.measures.get(FUEL_VENTS)
    count = int(vents.value) if isinstance(vents, Quantity) else None
    place = node.state.typed.get(PLACE)
    return Scene(slice.rules.policy, node.now, count, place, node.state.technician)


def show(slice: Slice, node: Node) -> Iterator[Try]:
    """A safeguard is shown by a good statement, where there is one."""
    scene = scene_of(slice, node)
    for id in slice.safeguards:
        if can_hold(id, scene):
            yield Try(("show", id), act.Observe(node.state.technician, id, good_values(id, scene)), node.now, good=True)


def see_bad(slice: Slice, node: Node) -> Iterator[Try]:
    """A statement is made that does not prove its safeguard."""
    scene = scene_of(slice, node)
    for id in slice.safeguards:
        for words, values in bad(id, scene):
            yield Try(("see", id, words), act.Observe(node.state.technician, id, values), node.now, helps=False)


def see_one_bad(slice: Slice, node: Node) -> Iterator[Try]:
    """The first of the bad statements is made: of tapes it is the one that counts too many."""
    return islice(see_bad(slice, node), 1)


def withdraw(slice: Slice, node: Node) -> Iterator[Try]:
    """Somebody says that a safeguard no longer holds."""
    for id in slice.safeguards:
        yield Try(("withdraw", id), act.Withdraw(OTHER, id, "no longer so"), node.now, helps=False)


def flame(slice: Slice, node: Node) -> Iterator[Try]:
    """The flame is lit, put out, looked at by the clock; a trip is reset. Only where a step of the slice has a flame."""
    by, now = node.state.technician, node.now
    heats = [id for id, step in slice.rules.steps.items() if step.heat]
    if not heats:
        return
    for id in heats:
        yield Try(("light", id), act.Light(by, id), now)
    yield Try(("out",), act.FlameOut(OTHER if by == HOLDER else HOLDER), now)  # anybody may
    yield Try(("look",), act.Look(by), now)
    yield Try(("reset",), act.Reset(by), now)


def leave(slice: Slice, node: Node) -> Iterator[Try]:
    """The job is paused, resumed, or handed to another technician."""
    by, now = node.state.technician, node.now
    yield Try(("pause",), act.Pause(by), now)
    yield Try(("resume",), act.Resume(by), now)
    yield Try(("hand over",), act.HandOver(OTHER if by == HOLDER else HOLDER), now)


def resume(slice: Slice, node: Node) -> Iterator[Try]:
    """The job is resumed, after a doubt about the clock too."""
    yield Try(("resume",), act.Resume(node.state.technician), node.now)


def time(slice: Slice, node: Node) -> Iterator[Try]:
    """Time passes until everything that can run out has run out. Nothing does in a job that has ended; and while the
    clock is in doubt time need not pass, because what can be done then leads to the same before it and after it."""
    if node.state.status in (NEW, *ENDS) or node.truth.doubt:
        return
    now = node.now.plus(slice.outlasting)
    watched = slice.times_watch and FIRE in node.truth.owing and not node.state.flame
    truth = node.truth.nothing_shown()._replace(watched=watched)
    yield Try(("time", str(slice.outlasting // MINUTE)), None, now, truth)


def clock(slice: Slice, node: Node) -> Iterator[Try]:
    """The clock is set back, the program or the whole device is started anew. Not twice before the job is resumed; after
    the end only where something hangs on a tag, for then the job may go on."""
    state, now = node.state, node.now
    if (state.status in ENDS and not state.debts) or state.last is None or state.last.run != now.run or state.last.age_at(now) is None:
        return
    doubted = node.truth.nothing_shown()._replace(doubt=True)
    fresh = f"{state.seq} anew"
    yield Try(("clock back",), None, Moment(now.wall - 60 * MINUTE, now.steady, now.boot, now.run), doubted._replace(watched=False), False)
    yield Try(("program anew",), None, Moment(now.wall, now.steady, now.boot, f"run-{fresh}"), doubted, False)
    yield Try(("device anew",), None, Moment(now.wall, 0, f"boot-{fresh}", f"run-{fresh}"), doubted._replace(watched=False), False)


def stop(slice: Slice, node: Node) -> Iterator[Try]:
    """A safe stop is asked for; while stopping, a debt is hung on a tag."""
    by, now = node.state.technician, node.now
    yield Try(("stop",), act.AskStop(by, "no more today"), now, helps=False)
    if node.state.status == STOPPING:
        for id in node.state.debts:
            yield Try(("tag", id), act.Tag(by, id, "at the bow", "left for tomorrow"), now)


def sign(slice: Slice, node: Node) -> Iterator[Try]:
    """The technician signs."""
    yield Try(("sign",), act.Sign(node.state.technician, "done", STROKES), node.now)


def review(slice: Slice, node: Node) -> Iterator[Try]:
    """The supervisor clears tags, sends back or accepts."""
    if node.state.status not in (CLOSED, STOPPED):
        return
    now = node.now
    for id in node.state.debts:
        yield Try(("clear tag", id), act.ClearTag(BOSS, id, "undone at the boat"), now, helps=False)
    steps = tuple((id, "look again") for id in slice.rules.steps)
    yield Try(("send back",), act.SendBack(BOSS, steps), now, helps=False)
    yield Try(("accept",), act.Accept(BOSS, "accepted", STROKES, tuple(node.state.excused)), now, helps=False)


def truth_after(slice: Slice, node: Node, action: act.Action, good: bool) -> Truth:
    """What is really true after an action that the kernel took. A look is no act: it ends no doubt about the clock."""
    truth = node.truth if isinstance(action, act.Look) else node.truth._replace(doubt=False)
    if isinstance(action, act.Observe):
        return after_observing(slice.rules, truth, node.state, action, good)
    if isinstance(action, act.Measure):
        return truth
    return after_taken(slice.rules, truth, node.state, action)
