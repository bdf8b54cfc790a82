"""Measures that no step asks for: the numbers that rest on them would wait for ever."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each measure that stands in no step's `asks`."""
    asked = {id for step in procedure.steps for id in step.asks}
    for measure in procedure.measures.values():
        if measure.id not in asked:
            yield Problem(
                "V502", "no step asks for '%(id)s'", "nobody is told when to measure it", "add it to the 'asks' of a step",
                measure.place, {"id": measure.id},
            )
