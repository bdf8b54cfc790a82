"""Pictures that cannot be drawn, and heat steps without one: nobody learns the moves of a flame from a sentence."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem, nearest
from coach.prover.rules.surroundings import Surroundings


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each unknown picture, and for each heat step without a picture."""
    named = [*procedure.measures.values(), *procedure.steps]
    for one in named:
        if one.picture and around.pictures and one.picture not in around.pictures:
            known = sorted(around.pictures)
            near = nearest(one.picture, known)
            mend = "write '%(near)s'" if near else "use one of: %(known)s"
            yield Problem(
                "V505", "there is no picture '%(picture)s'", "the screen would show none", mend, one.place,
                {"picture": one.picture, "near": near, "known": ", ".join(known)},
            )
    for step in procedure.steps:
        if step.heat and not step.picture:
            yield Problem(
                "V506", "the heat step '%(step)s' has no picture", "nobody learns the moves of a flame from a sentence",
                "add 'picture:' with one that shows how the tool moves", step.place, {"step": step.id},
            )
