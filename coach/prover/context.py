"""What every property needs: the procedure, the policy it is played under, and a place to explore slices once.

Rules kept here:
 1. A slice of the same form, explored with the same moves and watchers, is explored once, for all procedures that
    share a memory; the story of each finding names the steps of the slice that asked. A memory never outlives the
    program, so the kernel behind it is one.
 2. Every count of states and every search that met its limit is kept.
Knows nothing of: the properties themselves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from coach.core.formula import Formula, Function
from coach.core.model import Procedure, Step
from coach.core.policy import Policy
from coach.core.rules import Rules
from coach.prover.answers import Answers, answers
from coach.prover.explore import Explored, Move, Watchers, explore
from coach.prover.moves import truth_after
from coach.prover.order import Order
from coach.prover.reduce import Slice

Memory = dict[tuple[object, ...], Explored]


@dataclass
class Context:
    """One proof while it is being made."""

    procedure: Procedure
    policy: Policy
    functions: Mapping[str, Function]
    limit: int
    order: Order
    rules: Rules
    states: int = 0
    slices: int = 0
    cut: list[str] = field(default_factory=list)
    undecided: dict[str, None] = field(default_factory=dict)
    memory: Memory = field(default_factory=dict)
    mine: set[tuple[object, ...]] = field(default_factory=set)
    asked: dict[tuple[object, ...], Answers] = field(default_factory=dict)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of the whole procedure."""
        return self.procedure.steps

    def answers(
        self, conditions: Sequence[Formula], wanted: Sequence[str] = (), numbers: Sequence[Formula] = ()
    ) -> Answers:
        """The answers that tell these conditions apart; what cannot be decided is noted."""
        key = (tuple(condition.text for condition in conditions), tuple(wanted), tuple(f.text for f in numbers))
        if key not in self.asked:
            self.asked[key] = answers(self.procedure, self.functions, conditions, wanted, numbers)
        found = self.asked[key]
        self.undecided.update(dict.fromkeys(found.undecided))
        return found

    def explore(self, about: str, slice: Slice, moves: Sequence[Move], watchers: Watchers) -> Explored:
        """All states of a slice, from memory if one of the same form was explored with these moves."""
        key = (slice.key, tuple(moves), tuple(watchers.steps), tuple(watchers.nodes), self.limit)
        found = self.memory.get(key)
        if found is None:
            found = self.memory[key] = explore(slice, moves, truth_after, watchers, self.limit)
        if key not in self.mine:
            self.mine.add(key)
            self.states += len(found.nodes)
            self.slices += 1
        if not found.complete:
            self.cut.append(about)
        return found
