"""Whether what was stated is what was so: proofs against the site, measures and evidence against the boat.

Rules kept here:
 1. A statement that errs on the safe side is not held against anybody; a tolerance covers pacing and reading.
 2. Nothing is compared that nobody could see.
Knows nothing of: when it was stated, by whom.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeGuard

from coach.core.floors import BEAUFORT_TOP_MM_S
from coach.core.gate import Safeguard
from coach.core.model import Measure
from coach.core.problems import CoachError
from coach.core.quantity import Quantity, from_text
from coach.core.ratings import rating_numbers
from coach.view.measures import read_typed

PART, LEAST_MM, LEAST_MM_S = 0.1, 300, 400  # of a distance and of a wind, that pacing or a second reading may differ


def false_fields(row: Safeguard, said: Mapping[str, Any], true: Mapping[str, Any]) -> tuple[str, ...]:
    """The fields of a proof that say what is not so."""
    if row.id == "wind":
        return _false_wind(said, true)
    return tuple(
        field.id
        for field in row.fields
        if field.id in said and field.id in true and not _same(field.kind, field.up, said[field.id], true[field.id])
    )


def _same(kind: str, up: bool, said: Any, true: Any) -> bool:
    if kind == "text":
        return rating_numbers(str(said)) == rating_numbers(str(true))
    if kind in ("length", "ratio") and _whole(said) and _whole(true):
        margin = max(PART * true, LEAST_MM if kind == "length" else 5)
        return bool(said >= true - margin if up else said <= true + margin)
    return bool(said == true)


def _false_wind(said: Mapping[str, Any], true: Mapping[str, Any]) -> tuple[str, ...]:
    """A wind stated lower than it is; by eye the upper end of the force counts."""
    found = []
    for name in ("mean", "gust"):
        value = said.get(name)
        if said.get("how") == "by_eye":
            force = said.get(f"{name}_force")
            value = BEAUFORT_TOP_MM_S[force] if _whole(force) and 0 <= force < len(BEAUFORT_TOP_MM_S) else None
        if _whole(value) and value < true[name] - max(PART * true[name], LEAST_MM_S):
            found.append(name)
    return tuple(found)


def _whole(value: Any) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool)


def same_measure(measure: Measure, value: Any, true: str) -> bool:
    """Whether a measure in force is the true one: a length within 1 %, everything else to the letter."""
    due, _exact = read_typed(measure, true, "us")
    if isinstance(due, Quantity) and isinstance(value, Quantity):
        return abs(float(value.value) - float(due.value)) <= 0.01 * abs(float(due.value))
    return bool(value == due)


def same_answer(said: Any, true: Any) -> bool:
    """Whether evidence says what is so: a quantity within 5 %, everything else to the letter."""
    try:
        one, other = from_text(str(said)), from_text(str(true))
    except (CoachError, ValueError):
        return bool(said == true)
    if one.dimension != other.dimension or isinstance(said, bool):
        return bool(said == true)
    return abs(float(one.value) - float(other.value)) <= 0.05 * abs(float(other.value))
