"""Invented boats, one or more for each procedure: what the crew would measure and answer, and what must come of it.

`numbers`: by hand from the formulas of the trade (common practice, no source) unless said otherwise; each with its sum.
`skipped`: the steps that are not asked of this boat.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Boat:
    """One worked example."""

    name: str
    procedure: str
    answers: Mapping[str, str]
    numbers: Mapping[str, str] = field(default_factory=dict)
    skipped: frozenset[str] = frozenset()
