"""Timers with minutes of their own where the policy has a limit: the fire watch lasts as long as the yard says."""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each timer of a step that undoes a debt, if the timer names no limit of the policy."""
    for step in procedure.steps:
        for item in step.evidence:
            if step.clears and item.kind == "timer" and not item.limit:
                yield Problem(
                    "V510", "the timer '%(item)s' of '%(step)s' has minutes of its own", "the yard's policy says how long is safe",
                    "write 'limit: fire_watch_minutes' in place of 'minutes'", item.place, {"item": item.id, "step": step.id},
                )
