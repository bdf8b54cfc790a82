"""Times and limits written into a step's words: they are the policy's, and a yard that changes one changes it there."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings, step_texts

# "A knot" and "one hour old" are figures of speech; what counts is a number that a policy could hold.
_NUMBER = r"(?:\d+(?:[.,/]\d+)?|two|three|four|five|ten|fifteen|twenty|thirty|sixty)"
_WIND = re.compile(rf"\b{_NUMBER}\s*(?:mph|km/h|kph|m/s|knots?|kn)\b|\bbeaufort\s+\d+", re.IGNORECASE)
_TIME = re.compile(rf"\b{_NUMBER}[\s-]*(?:minutes?|mins?|hours?|hrs?|h)\b", re.IGNORECASE)
_DISTANCE = re.compile(r"\b\d+(?:[.,/]\d+)?\s*(?:feet|foot|ft|metres?|meters?|m|yards?|yd)\b", re.IGNORECASE)


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each wind speed in any step, and each time or distance in a step of the gate or of a debt."""
    for step in procedure.steps:
        guarded = bool(step.heat or step.proves or step.clears)
        patterns = (_WIND, _TIME, _DISTANCE) if guarded else (_WIND,)
        for text in step_texts(step):
            for pattern in patterns:
                match = pattern.search(text)
                if match is not None:
                    yield Problem(
                        "V509", "a limit stands in the words of '%(step)s': '%(found)s'",
                        "the yard's policy has the limit, and the two would part", "leave the number to the policy",
                        step.place, {"step": step.id, "found": match[0]},
                    )
