"""The shortest procedures: a few steps and nothing else, over the measures of procedures.py."""

from __future__ import annotations

from coach.core.model import Check, Procedure, Stage, Step
from tests.helpers.procedures import HERE, MEASURES, NUMBERS


def one_step(*steps: Step, checks: tuple[Check, ...] = ()) -> Procedure:
    """A procedure of these steps."""
    stage = Stage("all", "All of it", steps, HERE)
    return Procedure("tiny", 1, "Tiny", "tests", (stage,), MEASURES, NUMBERS, HERE, checks, hash="h" * 64)
