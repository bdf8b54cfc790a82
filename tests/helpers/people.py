"""The invented yard of the tests: its people, its policy, and proofs that hold at its boats.

Everything here is made up: Pell Harbour Boatyard, its crew, its boats. The day is 9 November 2026, 08:00 UTC.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN, Person, Policy, YardLimit

MORNING = int(datetime(2026, 11, 9, 8, tzinfo=UTC).timestamp() * 1000)
TODAY, SEASON_END = "2026-11-09", "2027-06-30"
STROKES = (((1000, 2000), (3000, 4000), (5000, 2500)),)

PEOPLE = {
    person.id: person
    for person in (
        Person("ana", "Ana Ruiz", frozenset({TECHNICIAN}), SEASON_END),
        Person("joel", "Joel Baptiste", frozenset({TECHNICIAN, FIRE_WATCH}), SEASON_END),
        Person("pia", "Pia Lindqvist", frozenset({FIRE_WATCH})),
        Person("sam", "Sam Okafor", frozenset({TECHNICIAN}), "2026-11-08"),  # cleared until yesterday
        Person("marta", "Marta Oduya", frozenset({SUPERVISOR})),
        Person("ivo", "Ivo Brandt", frozenset({SUPERVISOR, TECHNICIAN}), SEASON_END),
    )
}


def policy(*, detector: bool = False, indoors: bool = False, **limits: int) -> Policy:
    """The yard's policy; limits by their id in floors.LIMITS, even such as no file could hold."""
    own = {id: YardLimit(value, "tests") for id, value in limits.items()}
    permit = ("permit 7", "roof fans") if indoors else ("", "")
    return Policy("Pell Harbour Boatyard", PEOPLE, own, detector, *permit, hash="p" * 64)


POLICY = policy()

# For each safeguard, values that hold on the day: outdoors, two vents, Ana at the tool, Joel at the fire watch.
GOOD: Mapping[str, Mapping[str, Any]] = {
    "operator": {"person": "ana"},
    "protection": {"gloves": True, "eyes": True, "clothing": True},
    "fuel_system": {"winterized": True, "shown_by": "tag"},
    "vents_taped": {"taped": 2, "markers": 2},
    "extinguisher": {"rating": "3-A:40-B:C", "charge": "in_green", "distance": 6_000, "inspected": "2026-11-02"},
    "area": {"people_clear": True, "nobody_under": True, "things_clear": True, "distance": 12_000},
    "fire_watch": {"person": "joel", "at_post": True, "equipped": True},
    "air": {"open_air": True},
    "gas": {"smell": False},
    "leak_test": {"hoses_sound": True, "soaped": True, "bubbles": False},
    "wind": {"how": "meter", "mean": 2_000, "gust": 4_000},
}


def good(safeguard: str, **changed: Any) -> dict[str, Any]:
    """Values that hold for a safeguard (an author's own is a plain yes), with some of them changed; None takes out."""
    values = {**GOOD.get(safeguard, {"holds": True}), **changed}
    return {name: value for name, value in values.items() if value is not None}
