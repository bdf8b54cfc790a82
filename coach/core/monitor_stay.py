"""What is proven in one stay at the boat, as the log tells it: each safeguard's last proof, its age, its values.

Rules kept here:
 1. A proof counts in the run of the program and the start of the device in which it was stated, and for its time.
 2. A proof is judged again at every moment it is leaned on: the boat, the day and the technician may have changed.
 3. Ages are worked out here and not by Moment, so that a slip there shows here.
Knows nothing of: the gate, the session, flames, debts. Called by: monitor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.monitor_values import ALWAYS_NEEDED, DAY_MS, EPOCH, Boat, Doubt, day_number, strictest, what_fails
from coach.core.policy import FIRE_WATCH, Policy

MINUTE = 60_000
_LIFE = {
    "wind": "wind_minutes",
    "gas": "gas_minutes",
    "area": "area_minutes",
    "fire_watch": "fire_watch_proof_minutes",
    "protection": "protection_minutes",
}


class OwnRule(Protocol):
    """What the monitor needs of an author's own safeguard (model.OwnSafeguard)."""

    @property
    def id(self) -> str: ...

    @property
    def minutes(self) -> int: ...


def trusted_age(earlier: Moment, later: Moment) -> int | None:
    """Milliseconds between two moments as both clocks tell it, the larger of the two; None if they cannot be trusted.

    Written apart from Moment.age_at on purpose: another start of the device, a steady clock that runs backwards, or
    clocks that differ by more than 5 s and a hundredth of the age, tell nothing.
    """
    steady, wall = later.steady - earlier.steady, later.wall - earlier.wall
    if earlier.boot != later.boot or steady < 0:
        return None
    if not -5_000 - steady // 100 <= wall - steady <= 5_000 + steady // 100 or wall < -5_000:
        return None
    return max(steady, wall)


@dataclass(frozen=True)
class Proof:
    """One statement that was called met: its event's number, its moment, its values."""

    number: int
    at: Moment
    values: Mapping[str, Any]


class Stay:
    """The proofs of the stay that is going on, and what was said of the boat so far."""

    def __init__(self, policy: Policy, own_safeguards: Iterable[OwnRule], expiries: Mapping[str, str]) -> None:
        other = strictest(policy, "other_minutes")
        self.policy = policy
        self.life = {id: strictest(policy, _LIFE.get(id, "other_minutes")) * MINUTE for id in ALWAYS_NEEDED}
        self.life |= {rule.id: min(rule.minutes, other) * MINUTE for rule in own_safeguards}
        self.expiries = dict(expiries)
        self.last_days: dict[str, int | None] = {}
        self.technician = ""
        self.place = ""
        self.vents: int | None = None
        self.proofs: dict[str, Proof] = {}

    def begin_anew(self) -> None:
        """Another stay begins: nothing is proven."""
        self.proofs.clear()

    def measured(self, measure: object, value: object) -> None:
        """Take in a measure, if it is one that a proof is judged by."""
        if measure == "fuel_vents":
            is_count = isinstance(value, str) and value.isascii() and value.isdigit()
            self.vents = int(str(value)[:9]) if is_count else None
        if measure == "place":
            self.place = value if isinstance(value, str) else ""
        if isinstance(measure, str) and measure in self.expiries:
            self.last_days[measure] = day_number(value)

    def observed(self, number: int, event: Event, safeguard: str, values: Mapping[str, Any]) -> Doubt | None:
        """Take in a statement. Returns what is wrong with it if it was called met and is not."""
        self.proofs.pop(safeguard, None)
        if event.data.get("met") is not True:
            return None
        self.proofs[safeguard] = Proof(number, event.at, values)
        return what_fails(safeguard, values, self._boat(event.at)) or self._past(safeguard, event.at)

    def _past(self, safeguard: str, now: Moment) -> Doubt | None:
        """Something that the safeguard rests on whose last good day is not known, or over."""
        for measure, guarded in self.expiries.items():
            if guarded == safeguard:
                last = self.last_days.get(measure)
                if last is None or last < now.wall // DAY_MS + EPOCH:
                    return Doubt("'%(measure)s' is past its last good day, or nobody read it", {"measure": measure})
        return None

    def lose(self, safeguard: str) -> None:
        """This safeguard is no longer proven."""
        self.proofs.pop(safeguard, None)

    def watches(self, person: object) -> bool:
        """Whether this is a fire watch of the yard, and not the one with the tool."""
        known = self.policy.people.get(person) if isinstance(person, str) else None
        return known is not None and FIRE_WATCH in known.roles and person != self.technician

    def doubts(self, now: Moment) -> Iterator[tuple[str, Doubt]]:
        """Every safeguard that is not proven at this moment, with why."""
        for safeguard in self.life:
            doubt = self._doubt(safeguard, now)
            if doubt is not None:
                yield safeguard, doubt

    def _doubt(self, safeguard: str, now: Moment) -> Doubt | None:
        proof = self.proofs.get(safeguard)
        if proof is None:
            return Doubt("nothing in this stay at the boat proves it")
        age = trusted_age(proof.at, now)
        if age is None or proof.at.run != now.run:
            return Doubt("the clock or the program was started anew since event %(proof)s", {"proof": proof.number})
        if age > self.life[safeguard]:
            slots = {"proof": proof.number, "age": age // 1000, "most": self.life[safeguard] // 1000}
            return Doubt("event %(proof)s is %(age)s s old, at most %(most)s s", slots)
        return what_fails(safeguard, proof.values, self._boat(now)) or self._past(safeguard, now)

    def _boat(self, now: Moment) -> Boat:
        return Boat(self.policy, self.technician, self.vents, self.place, now.wall)
