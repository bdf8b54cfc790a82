"""The yard's policy as values: its own limits with their source, its people, what it demands beyond the floors.

Rules kept here:
 1. A limit is read through `Policy.limit`, which is bounded by floors; nothing else gives a limit out.
 2. A person who is not in the crew list may do nothing.
Knows nothing of: files (yard.policy reads them), the kernel.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.floors import LIMITS, bounded

TECHNICIAN, SUPERVISOR, FIRE_WATCH = "technician", "supervisor", "fire_watch"
ROLES = (TECHNICIAN, SUPERVISOR, FIRE_WATCH)


@dataclass(frozen=True)
class Person:
    """One of the crew. flame_until: last day (ISO date) on which the yard lets them hold the tool; '' = never."""

    id: str
    name: str
    roles: frozenset[str] = frozenset()
    flame_until: str = ""


@dataclass(frozen=True)
class YardLimit:
    """A limit the yard has set itself, with where it comes from (film maker's sheet, tool's manual, fire office)."""

    value: int
    source: str


SNOW_CODES = ("asce7-16", "nbc", "en1991")


@dataclass(frozen=True)
class FrameRules:
    """What a frame is checked against. ground_snow: Pa, as the building code says for this place; 0 = not set.
    strap_break: N, as printed on the coil; 0 = not set."""

    ground_snow: int = 0
    code: str = SNOW_CODES[0]
    strap_break: int = 0


@dataclass(frozen=True)
class Policy:
    """What this yard demands. indoor_permit and indoor_ventilation: both must be named before heat indoors."""

    yard: str
    people: Mapping[str, Person] = field(default_factory=dict)
    limits: Mapping[str, YardLimit] = field(default_factory=dict)
    detector_required: bool = False
    indoor_permit: str = ""
    indoor_ventilation: str = ""
    languages: tuple[str, ...] = ("en",)
    units: str = "us"
    frame: FrameRules = FrameRules()
    time_zone: str = ""  # of the yard, as the tz database names it; '' = the device's own
    hash: str = ""
    document: str = ""  # the file's own text; `hash` is the SHA-256 of it

    def limit(self, id: str) -> int:
        """The value that counts for this limit, never beyond the floor. Raises KeyError for an unknown limit."""
        own = self.limits.get(id)
        return bounded(id, own.value if own else None)

    def source(self, id: str) -> str:
        """Where the value that counts comes from, to be shown beside it."""
        own = self.limits.get(id)
        if own and own.value == self.limit(id):
            return own.source
        return LIMITS[id].source

    def is_shipped(self, id: str) -> bool:
        """Whether the shipped cautious value is in force because the yard has set none."""
        return id not in self.limits

    def person(self, id: str) -> Person | None:
        """The person of this id, or None."""
        return self.people.get(id)

    def has_role(self, id: str, role: str) -> bool:
        """Whether this person is in the crew and has this role."""
        person = self.people.get(id)
        return person is not None and role in person.roles
