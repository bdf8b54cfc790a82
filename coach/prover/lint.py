"""Hints about a procedure that is readable and may be proven: what an author has probably not meant.

Rules kept here:
 1. Each rule is a file of `rules`, with one function `look`; it gives problems in the form of all others.
 2. A hint never makes a procedure unproven; what must not be is the prover's to say.
 3. What a rule must know of the program around (pictures, translations) is given to it; without it the rule is silent.
Knows nothing of: proofs, files.
Called by: command, tests.
"""

from __future__ import annotations

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules import deference, languages, limits, pictures, ranges, timers, unasked, unused
from coach.prover.rules.surroundings import Surroundings

RULES = (unused, unasked, ranges, pictures, languages, deference, limits, timers)


def lint(procedure: Procedure, surroundings: Surroundings | None = None) -> tuple[Problem, ...]:
    """Every hint about a procedure, rule by rule, in the order of the file."""
    around = surroundings or Surroundings()
    return tuple(problem for rule in RULES for problem in rule.look(procedure, around))
