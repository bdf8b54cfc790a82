"""Breadth first through every state that a slice can reach, with the kernel's own decide and evolve.

Rules kept here:
 1. Each move is an action that a person could take, or something that the world does; the kernel decides.
 2. Two states count as one if the kernel and the prover's checks cannot tell them apart: moments count only by
    whether what hangs on them is fresh, too old or in doubt (the fire watch's, where anything in the slice hangs on it);
    the two technicians are interchangeable.
 3. A search that meets its limit says so; it never says that nothing was found.
Why moments may be forgotten: the kernel reads a moment only as an age against a limit, or to compare the run and the
start of the device. A fresh proof can become too old at any moment (the time move), so the hours themselves add
nothing.
Knows nothing of: what is being proven (the watchers judge), words.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coach.core.actions import Action
from coach.core.moment import Moment
from coach.core.problems import Reason
from coach.core.rules import Rules
from coach.core.session import Answer, Refusal, decide, fold
from coach.core.state import ENDS, NEW, State
from coach.prover.cast import BEGIN, HOLDER, OTHER
from coach.prover.reduce import Slice
from coach.prover.truth import Truth


class Try(NamedTuple):
    """One thing that may happen. action None: the world alone acts, and `now` and `truth` are what comes of it.

    helps: whether a way to a good end may use it (a person going on with the work, not the world spoiling it, not a
    correction of what was true). good: for a statement about a safeguard, whether it truly proves it.
    then: further actions in the same breath, as far as the kernel takes them.
    """

    say: tuple[str, ...]
    action: Action | None
    now: Moment
    truth: Truth | None = None
    helps: bool = True
    good: bool = False
    then: tuple[Action, ...] = ()


@dataclass(slots=True)
class Node:
    """A reached state, the way to it, and what is really true in it."""

    state: State
    now: Moment
    truth: Truth
    parent: Node | None = None
    said: tuple[str, ...] = ()
    index: int = 0


@dataclass(frozen=True)
class Fault:
    """Something that must not be: the property it breaks, a word for which fault it is, what it is about, and where."""

    property: str
    code: str
    about: str
    node: Node
    said: tuple[str, ...] = ()
    detail: str = ""


@dataclass
class Explored:
    """All that a search found. helped: for each node the nodes that lead to it by a helping move."""

    nodes: list[Node] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    helped: list[list[int]] = field(default_factory=list)
    complete: bool = True


@dataclass(frozen=True)
class Taken:
    """One move that was taken: from where, what, the answer, and where it led."""

    slice: Slice
    before: Node
    taken: Try
    after: Node


Move = Callable[[Slice, Node], Iterable[Try]]
TruthAfter = Callable[[Slice, Node, Action, bool], Truth]
Watcher = Callable[[Taken], Iterable[Fault]]
RefusalWatcher = Callable[[Slice, Node, Try, Refusal], Iterable[Fault]]
NodeWatcher = Callable[[Slice, Node], Iterable[Fault]]


@dataclass(frozen=True)
class Watchers:
    """Who judges: each step taken, each refusal, each node."""

    steps: Sequence[Watcher] = ()
    refusals: Sequence[RefusalWatcher] = ()
    nodes: Sequence[NodeWatcher] = ()


def explore(slice: Slice, moves: Sequence[Move], truth_after: TruthAfter, watchers: Watchers, limit: int) -> Explored:
    """Every state that the moves can reach, up to `limit` states. The first move starts the job; before it no other is
    tried (that none is taken then, debt_slices asks)."""
    found = Explored()
    root = Node(State(), BEGIN, Truth())
    indices = {key(slice, root): 0}
    found.nodes.append(root)
    found.helped.append([])
    waiting = deque([root])
    while waiting:
        node = waiting.popleft()
        for watch_node in watchers.nodes:
            found.faults += watch_node(slice, node)
        for move in moves if node.state.status != NEW else moves[:1]:
            for one in move(slice, node):
                after = _take(slice, node, one, truth_after, watchers, found)
                if after is None:
                    continue
                mark = key(slice, after)
                index = indices.get(mark)
                if index is None:
                    if len(found.nodes) >= limit:
                        found.complete = False
                        return found
                    index = indices[mark] = after.index = len(found.nodes)
                    found.nodes.append(after)
                    found.helped.append([])
                    waiting.append(after)
                if one.helps:
                    found.helped[index].append(node.index)
    return found


def _take(
    slice: Slice, node: Node, one: Try, truth_after: TruthAfter, watchers: Watchers, found: Explored
) -> Node | None:
    """The node after a move, or None if the kernel refused or nothing changed."""
    if one.action is None:
        return Node(node.state, one.now, one.truth or node.truth, node, one.say)
    answer = answer_to(slice.rules, node.state, one.action, one.now)
    if isinstance(answer, Refusal):
        if answer.reasons and answer.reasons[0].code == BROKEN:
            found.faults.append(Fault("stop", "breaks", node.state.flame, node, one.say, answer.reasons[0].what))
        for refused in watchers.refusals:
            found.faults += refused(slice, node, one, answer)
        return None
    after = Node(fold(slice.rules, answer, node.state), one.now, truth_after(slice, node, one.action, one.good), node, one.say)
    for action in one.then:
        answer = answer_to(slice.rules, after.state, action, one.now)
        if isinstance(answer, Refusal):
            break
        truth = truth_after(slice, after, action, one.good)
        after = Node(fold(slice.rules, answer, after.state), one.now, truth, node, one.say)
    taken = Taken(slice, node, one, after)
    for watch_step in watchers.steps:
        found.faults += watch_step(taken)
    return None if after.state is node.state else after


BROKEN = "broken"


def answer_to(rules: Rules, state: State, action: Action, now: Moment) -> Answer:
    """The kernel's answer. It promises one to every act: where it breaks, that is a refusal which says so, and a fault."""
    try:
        return decide(rules, state, action, now)
    except (KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
        return Refusal((Reason(BROKEN, "kernel", f"{type(error).__name__}: {error}", "", ""),))


def way_to(node: Node) -> tuple[tuple[str, ...], ...]:
    """What was said on the way from the beginning to a node."""
    said: list[tuple[str, ...]] = []
    here: Node | None = node
    while here is not None and here.parent is not None:
        said.append(here.said)
        here = here.parent
    return tuple(reversed(said))


def ended(node: Node) -> bool:
    """Whether the job has come to an end."""
    return node.state.status in ENDS


def stuck(found: Explored, good: Callable[[Node], bool] = ended) -> Node | None:
    """The first state from which no helping way leads to a good one, or None."""
    ends = [node.index for node in found.nodes if good(node)]
    reached = set(ends)
    while ends:
        for index in found.helped[ends.pop()]:
            if index not in reached:
                reached.add(index)
                ends.append(index)
    return next((node for node in found.nodes if node.index not in reached and node.state.status != NEW), None) or (
        None if 0 in reached else found.nodes[0]
    )


def key(slice: Slice, node: Node) -> tuple[object, ...]:
    """What the kernel and the checks can tell of a node; see the rules above."""
    state, now = node.state, node.now
    last = state.last
    clock = "new" if last is None else "ok" if last.run == now.run and last.age_at(now) is not None else "doubt"
    return (
        state.status, frozenset(state.typed.items()), frozenset(state.done), frozenset(state.excused), state.heated,
        frozenset((id, proof.met, _values(proof.values, state.technician), _age(proof.at, now, slice.lasting(id)),
                   proof.at.run == now.run) for id, proof in state.proofs.items()),
        frozenset(state.withdrawn), frozenset((id, debt.amount, bool(debt.tag)) for id, debt in state.debts.items()),
        state.flame, state.trip and (state.trip.step, state.trip.out),
        frozenset((id, _age(at, now)) for id, at in state.timers.items()),
        slice.times_watch and state.watch_from and _age(state.watch_from, now), clock, node.truth, bool(state.faults),
    )


_SOON = 60_000


def _age(at: Moment, now: Moment, lasting: int = _SOON) -> str:
    """Fresh, old or in doubt. Time stands still in a slice but for moves that outlast what runs out there; a timer and
    the fire watch are outlasted by every such move."""
    age = at.age_at(now)
    return "doubt" if age is None else "old" if age > lasting else "fresh"


def _values(values: object, holder: str) -> tuple[tuple[str, object], ...]:
    """A statement's values, with the one who holds the job called so, whoever it is."""
    pairs = sorted(values.items())  # type: ignore[attr-defined]
    other = OTHER if holder == HOLDER else HOLDER
    same = {holder: HOLDER, other: OTHER}
    return tuple((name, same.get(value, value) if isinstance(value, str) else value) for name, value in pairs)
