"""Simulated trainees as habits: how likely each is to look, to think, to stop at once, to remember, to tell the truth.

Rules kept here:
 1. A habit is a probability or a span of seconds; what a trainee does wrong comes of them alone, drawn from a seed.
Knows nothing of: runs. All numbers are invented: they make faults of each kind happen often enough to be judged.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Habits:
    """How somebody works. Spans are (least, most) in seconds; the rest are probabilities from 0 to 1.

    thinks: before an answer, for each item; looks: before stating something; again: measures until two readings agree;
    reacts: between noticing and flame out; notices: what is to be seen; honest: says what was seen even if it is bad;
    waits: for what is not right yet, instead of trying at once; remembers: debts, cold places, a second look;
    obeys: does not try what is forbidden; spread: of the flame's speed, as a share; low_first: works from below.
    """

    name: str
    thinks: tuple[float, float]
    reacts: tuple[float, float]
    looks: float
    again: float
    notices: float
    honest: float
    waits: float
    remembers: float
    obeys: float
    spread: float
    low_first: float


CAREFUL = Habits("careful", (2.5, 6), (3, 9), 1, 1, 1, 1, 1, 1, 1, 0.05, 1)
HASTY = Habits("hasty", (0.2, 2.5), (35, 80), 0.45, 0.1, 0.9, 1, 0.3, 0.85, 1, 0.22, 0.6)
FORGETFUL = Habits("forgetful", (2.5, 6), (5, 40), 0.75, 0.5, 0.6, 1, 0.8, 0.35, 1, 0.08, 0.9)
RULE_BREAKING = Habits("rule-breaking", (2, 5), (20, 90), 0.5, 0.2, 0.8, 0.15, 0.2, 0.8, 0.2, 0.1, 0.7)
ALL = (CAREFUL, HASTY, FORGETFUL, RULE_BREAKING)
