"""The order of a procedure's steps: what comes before what, and where steps wait for each other in a circle.

Rules kept here:
 1. A step waits for all that it needs, through any chain, whether or not the steps between are asked of this boat
    (the kernel passes over a step that falls away, never over what that step waits for).
 2. A heat step waits also for the steps that prove the safeguards.
Sets of steps are whole numbers used as bits, so that a thousand steps cost little.
Knows nothing of: conditions, states.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coach.core.model import Step


class Order:
    """The order among some steps. Needs that name no step are passed over here (structure reports them)."""

    def __init__(self, steps: Sequence[Step]) -> None:
        self.ids = tuple(step.id for step in steps)
        self.index = {id: number for number, id in enumerate(self.ids)}
        proving = [self.index[step.id] for step in steps if step.proves]
        self.needs: list[list[int]] = [[self.index[need] for need in step.needs if need in self.index] for step in steps]
        self.waits: list[list[int]] = [
            [*self.needs[i], *(p for p in proving if p != i)] if step.heat else self.needs[i] for i, step in enumerate(steps)
        ]
        self.circles: tuple[tuple[str, ...], ...] = tuple(
            tuple(self.ids[i] for i in sorted(group)) for group in components(self.waits)
            if len(group) > 1 or group[0] in self.waits[group[0]]
        )
        self._before = _ancestors(self.needs)

    def before(self, id: str) -> tuple[str, ...]:
        """The steps that must be settled before this one is due, in the order of the file."""
        bits = self._before[self.index[id]]
        return tuple(other for number, other in enumerate(self.ids) if bits >> number & 1)

    def comes_before(self, first: str, second: str) -> bool:
        """Whether `first` must be settled before `second` is due."""
        return bool(self._before[self.index[second]] >> self.index[first] & 1)


def _ancestors(needs: Sequence[Sequence[int]]) -> list[int]:
    """For each step the set of all before it, as bits; inside a circle every step is before every other."""
    found = [0] * len(needs)
    for group in components(needs):  # each group comes after the groups it waits for
        bits = 0
        for number in group:
            for need in needs[number]:
                bits |= 1 << need | found[need]
        for number in group:
            found[number] = bits
    return found


def components(edges: Sequence[Iterable[int]]) -> list[list[int]]:
    """The groups of numbers that reach each other, each group after all groups that it leads to (Tarjan, 1972)."""
    index: dict[int, int] = {}
    low: dict[int, int] = {}
    on_stack: set[int] = set()
    stack: list[int] = []
    groups: list[list[int]] = []
    for root in range(len(edges)):
        if root in index:
            continue
        work = [(root, iter(edges[root]))]
        index[root] = low[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, rest = work[-1]
            for target in rest:
                if target not in index:
                    index[target] = low[target] = len(index)
                    stack.append(target)
                    on_stack.add(target)
                    work.append((target, iter(edges[target])))
                    break
                if target in on_stack:
                    low[node] = min(low[node], index[target])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    groups.append(_popped(stack, on_stack, node))
    return groups


def _popped(stack: list[int], on_stack: set[int], node: int) -> list[int]:
    group = []
    while True:
        top = stack.pop()
        on_stack.discard(top)
        group.append(top)
        if top == node:
            return group
