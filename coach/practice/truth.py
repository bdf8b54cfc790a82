"""What an honest eye would state of each safeguard at a boat where all is well, and the truth of plain evidence.

Knows nothing of: drills, what is stated. Called by: world, worker.
"""

from __future__ import annotations

from typing import Any

from coach.core.evidence import due
from coach.core.model import EXPIRY, Evidence, Measure
from coach.core.quantity import Quantity, as_text
from coach.core.rules import Rules
from coach.core.state import State


def all_well(vents: int, outdoors: bool, technician: str, watch: str, day: str) -> dict[str, dict[str, Any]]:
    """Values that hold for every safeguard of the kernel, by safeguard and field.

    Args:
        vents: fuel vents of the boat, all taped and marked.
        outdoors: where the boat stands.
        technician: who holds the tool.
        watch: the fire watch.
        day: today, as an ISO date.
    """
    return {
        "operator": {"person": technician},
        "protection": {"gloves": True, "eyes": True, "clothing": True},
        "fuel_system": {"winterized": True, "shown_by": "work_order"},
        "vents_taped": {"taped": vents, "markers": vents},
        "extinguisher": {"rating": "4-A:60-B:C", "charge": "in_green", "distance": 5_000, "inspected": day},
        "area": {"people_clear": True, "nobody_under": True, "things_clear": True, "distance": 12_000},
        "fire_watch": {"person": watch, "at_post": True, "equipped": True},
        "air": {"open_air": True} if outdoors else {"ventilated": True},
        "gas": {"smell": False, "detector": 0},
        "leak_test": {"hoses_sound": True, "soaped": True, "bubbles": False},
        "wind": {"how": "meter", "mean": 2_200, "gust": 3_600},
    }


def well_done(rules: Rules, state: State, item: Evidence) -> Any:
    """What evidence shows where the work is right; None where only a person can tell (photo, second person, timer)."""
    if item.kind == "tick":
        return True
    wanted = due(rules, state, item) if item.against else None
    if wanted is not None:
        return int(wanted.value) if item.kind == "count" else as_text(wanted)
    if item.against:
        return None  # what is due is not known yet
    if item.kind == "count":
        return int(middle(item.low, item.high).value) if item.low is not None else 0
    if item.kind == "number":
        return as_text(middle(item.low, item.high))
    if item.kind == "choice":
        return item.accept[0] if item.accept else item.options[0].id
    return None


def middle(low: Quantity | None, high: Quantity | None) -> Quantity:
    """The middle of a range, whole for counts: the lower end where there is no upper."""
    if low is None:
        raise ValueError("a range needs its lower end")
    if high is None:
        return low
    value = (low.value + high.value) / 2
    return Quantity(value if low.dimension.name != "count" else int(value), low.dimension)


def plain_answer(measure: Measure) -> str:
    """An answer that fits a measure: its first option, no, a day far ahead, or the middle of its range."""
    if measure.kind == EXPIRY:
        return "2099-12-31"
    if measure.kind == "yes_no":
        return "no"
    if measure.kind == "choice":
        return measure.options[0].id
    if measure.kind == "count":
        return str(int(middle(measure.low, measure.high).value))
    return as_text(middle(measure.low, measure.high))
