"""Proves a procedure: structure, dimensions, gate, debts, order, values, corrections, and one walk through the whole.

Rules kept here:
 1. Everything is looked at, also after a first finding, unless the structure leaves nothing to explore.
 2. A search that met its limit, or a condition that could not be decided, makes the verdict 'not proven'.
Knows nothing of: files, caches, the command line.
Called by: cache, command, tests.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coach.core.formula import Function
from coach.core.model import Procedure
from coach.core.policy import Policy
from coach.core.problems import Problem
from coach.core.rules import Rules
from coach.prover.cast import playing
from coach.prover.context import Context, Memory
from coach.prover.corrections import correction_faults
from coach.prover.dead_ends import order_faults
from coach.prover.debt_slices import debt_faults
from coach.prover.explore import Fault
from coach.prover.findings import Finding, findings
from coach.prover.gate_slices import gate_faults
from coach.prover.order import Order
from coach.prover.proof import NOT_PROVEN, PROVEN, REFUTED, Proof
from coach.prover.reduce import Slice
from coach.prover.sequence import sequence_faults
from coach.prover.strict_checks import strict_faults
from coach.prover.structure import flaws
from coach.prover.values import value_faults
from coach.prover.version import kernel_version
from coach.prover.whole import whole_faults

LIMIT = 20_000


def prove(
    procedure: Procedure, policy: Policy, functions: Mapping[str, Function], limit: int = LIMIT, memory: Memory | None = None
) -> Proof:
    """The proof, or the refutation, of one procedure.

    Args:
        procedure: the procedure as the reader made it, or made by hand.
        policy: the yard's policy; its limits are used, its crew is not (see cast).
        functions: the functions that formulas may call.
        limit: the most states of one slice.
        memory: slices explored before, to be shared by the proofs of several procedures with the same functions.

    Returns:
        The proof. Its verdict is 'proven', 'refuted' or 'not proven'.
    """
    found = flaws(procedure, functions)
    flawed = tuple(Finding(one.property, one.about, one.problem) for one in found)
    if any(one.broken for one in found):
        return _proof(procedure, flawed, ())
    played = playing(policy)
    rules = Rules(procedure, played, functions, proven=True)
    context = Context(procedure, played, functions, limit, Order(procedure.steps), rules)
    if memory is not None:
        context.memory = memory
    explored = (*strict_faults(context), *findings(procedure, rules, _faults(context)))
    if not explored and not flawed and not context.cut:
        explored = tuple(findings(procedure, rules, whole_faults(context)))
    return _proof(procedure, (*flawed, *explored), tuple(_open(context)), context)


def _faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    yield from gate_faults(context)
    yield from debt_faults(context)
    yield from sequence_faults(context)
    yield from order_faults(context)
    yield from value_faults(context)
    yield from correction_faults(context)


def _open(context: Context) -> Iterator[Problem]:
    """Why the verdict cannot be 'proven', though nothing was found."""
    place = context.procedure.place
    for about in dict.fromkeys(context.cut):
        yield Problem(
            "V301", "the search for %(about)s was stopped at %(limit)s states", "what was not looked at is not safe",
            "let fewer conditions meet in one place, or raise the limit", place, {"about": about, "limit": context.limit},
        )
    for atom in context.undecided:
        yield Problem(
            "V302", "whether '%(atom)s' can be both true and false could not be decided", "a case that was not met was not looked at",
            "compare a measure with a constant, or narrow the ranges", place, {"atom": atom},
        )


def _proof(procedure: Procedure, found: tuple[Finding, ...], left: tuple[Problem, ...], context: Context | None = None) -> Proof:
    verdict = REFUTED if found else NOT_PROVEN if left else PROVEN
    return Proof(
        procedure.id, procedure.title, procedure.hash, kernel_version(), verdict, found, left,
        context.slices if context else 0, context.states if context else 0,
    )
