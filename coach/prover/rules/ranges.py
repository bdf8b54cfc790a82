"""Measures without a plausible range: a slip of the tape or of the unit would pass unseen."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import MEASURE_KINDS_EXTRA, Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each measured quantity that has no lower or no upper end, or whose ends leave nothing between."""
    for measure in procedure.measures.values():
        if measure.kind in MEASURE_KINDS_EXTRA:
            continue
        if measure.low is None or measure.high is None:
            yield Problem(
                "V503", "'%(id)s' has no plausible range", "a slip of the tape or of the unit would pass unseen",
                "add 'from:' and 'to:'", measure.place, {"id": measure.id},
            )
        elif measure.low.value >= measure.high.value:
            yield Problem(
                "V504", "the range of '%(id)s' leaves nothing between its ends", "no boat could be measured so",
                "write the smaller value after 'from:'", measure.place, {"id": measure.id},
            )
