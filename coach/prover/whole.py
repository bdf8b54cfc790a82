"""Walks through the whole procedure, uncut, to its end: the slices' argument put to the test on the real thing.

Rules kept here:
 1. Each answer that some condition tells apart is given in one walk at least, each step that can be asked is done in
    one at least.
 2. A walk that the slices' argument promised and that does not end makes the procedure not safe: whatever the reason,
    it must be understood first.
Knows nothing of: slices' properties.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import FUEL_VENTS, PLACE
from coach.prover.answers import fewer_vents
from coach.prover.context import Context
from coach.prover.explore import Fault, Node
from coach.prover.reduce import Slice, cut
from coach.prover.walk import Walk
from coach.prover.watchers import DEAD_END

MOST_WALKS = 12


def whole_faults(context: Context) -> Iterator[tuple[Fault, Slice]]:
    """The walks that do not come to a closed job."""
    procedure = context.procedure
    conditions = [step.when for step in context.steps if step.when is not None]
    conditions += [measure.when for measure in procedure.measures.values() if measure.when is not None]
    found = fewer_vents(procedure, context.answers(conditions, tuple(procedure.measures)), conditions, ends=True)
    slice = cut(procedure, context.policy, context.functions, context.steps, found, context.rules.safeguards, ())
    longest = max((len(texts) for texts in found.values.values()), default=1)
    for number in range(min(longest, MOST_WALKS)):
        chosen = {id: texts[number % len(texts)] for id, texts in found.values.items()}
        if chosen.get(PLACE) == "indoors" and not context.policy.indoor_permit:
            chosen[PLACE] = "outdoors"
        if FUEL_VENTS in chosen and number % 2:
            chosen[FUEL_VENTS] = found.values[FUEL_VENTS][-1]
        walk = Walk.started(slice, chosen)
        walk.all_that_can_be_done()
        context.states += walk.taken
        context.slices += 1
        if not walk.closed():
            yield Fault(DEAD_END, "walk", procedure.id, Node(walk.state, walk.now, walk.truth), (), walk.why_not_closed()), slice
