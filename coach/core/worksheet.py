"""All numbers of a procedure at every keystroke: only what rests on a measure that changed is worked again.

Rules kept here:
 1. A worksheet gives what `compute` gives for the same measures, whatever was asked of it before.
Knows nothing of: who types, what is shown.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.formula import Function
from coach.core.model import Procedure
from coach.core.numbers import Computed, Value, compute


class Worksheet:
    """The numbers of one procedure, kept from one set of measures to the next."""

    def __init__(self, procedure: Procedure, functions: Mapping[str, Function]) -> None:
        self._procedure = procedure
        self._functions = functions
        self._resting = _resting(procedure)
        self._measures: dict[str, Value] = {}
        self._done: dict[str, Computed] = {}

    def numbers(self, measures: Mapping[str, Value]) -> dict[str, Computed]:
        """Every number for these measures, in the procedure's order.

        Args:
            measures: by id, as for `compute`.

        Raises:
            Nothing: a number that cannot be worked says so itself.
        """
        before, kept = self._measures, self._done
        stale: set[str] = set()
        for id in {*before, *measures}:
            if not _same(before.get(id), measures.get(id)):
                stale |= self._resting.get(id, frozenset())
        if stale or not kept:
            known = {id: found for id, found in kept.items() if id not in stale}
            made = compute(self._procedure, measures, self._functions, known=known)
            kept = {id: made[id] for id in self._procedure.numbers}
        self._measures, self._done = dict(measures), kept
        return dict(kept)


def _same(one: Value | None, other: Value | None) -> bool:
    """True and 1 are equal to Python and are two answers here."""
    return type(one) is type(other) and one == other


def _resting(procedure: Procedure) -> dict[str, frozenset[str]]:
    """For each measure the numbers that rest on it, through any chain of numbers."""
    resting: dict[str, set[str]] = {id: set() for id in procedure.measures}
    for id in procedure.numbers:
        seen, waiting = {id}, [id]
        while waiting:
            for name in procedure.numbers[waiting.pop()].formula.names:
                if name in resting:
                    resting[name].add(id)
                elif name in procedure.numbers and name not in seen:
                    seen.add(name)
                    waiting.append(name)
    return {id: frozenset(numbers) for id, numbers in resting.items()}
