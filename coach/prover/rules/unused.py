"""Measures that nothing reads: a person would measure for nothing, or a formula has a slip in a name.

Numbers are not asked: the load list and the sheet show all of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import FUEL_VENTS, PLACE, Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each measure without a reader; what the gate reads counts as read."""
    read = {FUEL_VENTS, PLACE} if procedure.heats else set()
    for step in procedure.steps:
        read |= {*step.uses, *step.shows, *(item.against for item in step.evidence)}
        read |= step.when.names if step.when is not None else set()
    for check in procedure.checks:
        read |= check.holds.names
    for measure in procedure.measures.values():
        read |= measure.when.names if measure.when is not None else set()
    for number in procedure.numbers.values():
        read |= number.formula.names
    for id, one in procedure.measures.items():
        if id not in read:
            yield Problem(
                "V501", "nothing uses '%(id)s'", "a person would give it for nothing, or a name is misspelt where it is meant",
                "use it in a number, a step or a condition, or take it out", one.place, {"id": id},
            )
