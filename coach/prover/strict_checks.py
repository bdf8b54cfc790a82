"""Strict checks: measures that no typed reason keeps must be such as some boat has, or nobody could ever go on.

A strict check only ever holds a step back until the measures are corrected; so nothing is lit or closed that could not
be without it, and the slices leave checks out. What is left to show is that it can be met at all: one set of answers is
enough, found among those that tell its parts apart. A check that no try meets is called impossible.
Knows nothing of: states.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from coach.core.model import Check
from coach.core.numbers import truth
from coach.core.problems import Problem
from coach.prover.answers import value_of
from coach.prover.context import Context
from coach.prover.findings import Finding
from coach.prover.watchers import DEAD_END

MOST = 20_000


def strict_faults(context: Context) -> Iterator[Finding]:
    """Every strict check that no answers were found to meet."""
    for check in context.procedure.checks:
        if check.id in context.rules.strict and not _can_be_met(context, check):
            yield Finding(DEAD_END, check.id, Problem(
                "V232", "no measures meet the check '%(check)s', and no reason keeps them", "the step that asks them could never be done",
                "correct the check, or the ranges of its measures", check.place, {"check": check.id},
            ))


def _can_be_met(context: Context, check: Check) -> bool:
    procedure = context.procedure
    values = context.answers((check.holds,)).values
    for chosen in itertools.islice(itertools.product(*values.values()), MOST):
        measures = {id: value_of(procedure.measures[id], text) for id, text in zip(values, chosen, strict=True)}
        if truth(check.holds, procedure, measures, context.functions) is True:
            return True
    return False
