"""What the words of one proof must say, read a second time: the monitor's own judgement of stated values.

Rules kept here:
 1. Only whole numbers, texts and plain yes/no count; anything else, or nothing, is no proof.
 2. A limit is the stricter of the floor and the yard's own, worked out here again.
Knows nothing of: the gate, its tables, the session, the procedure. Called by: monitor.
Proved by: tests/core/test_monitor_values.py.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from coach.core.floors import BEAUFORT_TOP_MM_S, LIMITS
from coach.core.policy import FIRE_WATCH, TECHNICIAN, Policy

DAY_MS = 86_400_000
EPOCH = date(1970, 1, 1).toordinal()
_SHOWN_BY = ("work_order", "tag", "own_work", "no_tank")


@dataclass(frozen=True)
class Doubt:
    """Why something stated is no proof: an English template over its slots."""

    what: str
    slots: Mapping[str, object] = field(default_factory=dict)

    def text(self) -> str:
        """The doubt in English."""
        return self.what % self.slots if self.slots else self.what


@dataclass(frozen=True)
class Boat:
    """What the log has said so far about the boat and who holds the tool. vents None: not measured; place '' too."""

    policy: Policy
    technician: str = ""
    vents: int | None = None
    place: str = ""
    wall: int = 0


def strictest(policy: Policy, id: str) -> int:
    """The limit that counts, in the unit of floors.LIMITS: the yard's own if it is not looser than the floor."""
    rule, own = LIMITS[id], policy.limits.get(id)
    if own is None:
        return rule.shipped
    looser = own.value > rule.floor if rule.sense == "most" else own.value < rule.floor
    return rule.floor if looser else own.value


def what_fails(safeguard: str, values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    """What is wrong with these values as a proof of this safeguard now; None if nothing is.

    A safeguard that is none of the kernel's is an author's own: `holds` must be a plain yes.
    """
    judge = _JUDGES.get(safeguard, _own)
    return judge(values, boat)


def _yes(values: Mapping[str, Any], *names: str) -> Doubt | None:
    for name in names:
        if values.get(name) is not True:
            return Doubt("%(name)s is not a plain yes", {"name": name})
    return None


def _whole(values: Mapping[str, Any], name: str) -> int | None:
    value = values.get(name)
    return value if type(value) is int and value >= 0 else None


def _own(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    return _yes(values, "holds")


def _operator(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    person = values.get("person")
    if not person or person != boat.technician:
        return Doubt("the tool is not in the hand of the technician of the job")
    known = boat.policy.people.get(boat.technician)
    last = day_number(known.flame_until) if known and TECHNICIAN in known.roles else None
    if last is None or last < boat.wall // DAY_MS + EPOCH:
        return Doubt("the yard does not let this person hold the tool on this day")
    return None


def _protection(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    return _yes(values, "gloves", "eyes", "clothing")


def _fuel_system(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    if values.get("shown_by") not in _SHOWN_BY:
        return Doubt("nothing shows that the fuel system is winterized")
    return _yes(values, "winterized")


def _vents_taped(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    taped, markers = _whole(values, "taped"), _whole(values, "markers")
    if boat.vents is None:
        return Doubt("the boat's fuel vents were never counted")
    if taped != boat.vents:
        return Doubt("%(taped)s vents taped, the boat has %(vents)s", {"taped": taped, "vents": boat.vents})
    if markers != taped:
        return Doubt("%(markers)s markers for %(taped)s taped vents", {"markers": markers, "taped": taped})
    return None


def _extinguisher(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    rating = _rating(values.get("rating"))
    least_a, least_b = strictest(boat.policy, "extinguisher_a"), strictest(boat.policy, "extinguisher_b")
    if rating.get("A", -1) < least_a or rating.get("B", -1) < least_b or "C" not in rating:
        slots = {"rating": values.get("rating"), "a": least_a, "b": least_b}
        return Doubt("the rating %(rating)r is under %(a)s-A:%(b)s-B:C", slots)
    if values.get("charge") != "in_green":
        return Doubt("the gauge is not in the green")
    distance, most = _whole(values, "distance"), strictest(boat.policy, "extinguisher_distance")
    if distance is None or distance > most:
        return Doubt("it stands %(mm)s mm from the flame, at most %(most)s", {"mm": distance, "most": most})
    seen = day_number(values.get("inspected"))
    age = None if seen is None else boat.wall // DAY_MS + EPOCH - seen
    if age is None or not 0 <= age <= strictest(boat.policy, "extinguisher_days"):
        return Doubt("its inspection of %(day)r does not count on this day", {"day": values.get("inspected")})
    return None


def _area(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    distance, least = _whole(values, "distance"), strictest(boat.policy, "clear_distance")
    if distance is None or distance < least:
        return Doubt("cleared to %(mm)s mm, at least %(least)s", {"mm": distance, "least": least})
    return _yes(values, "people_clear", "nobody_under", "things_clear")


def _fire_watch(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    person = values.get("person")
    if not person or person == boat.technician:
        return Doubt("the fire watch is nobody or the operator")
    known = boat.policy.people.get(person) if isinstance(person, str) else None
    if known is None or FIRE_WATCH not in known.roles:
        return Doubt("%(person)r is no fire watch of this yard", {"person": person})
    return _yes(values, "at_post", "equipped")


def _air(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    if boat.place == "outdoors":
        return _yes(values, "open_air")
    if boat.place != "indoors":
        return Doubt("it was never said whether the boat stands outdoors or indoors")
    if not boat.policy.indoor_permit or not boat.policy.indoor_ventilation:
        return Doubt("the yard names no permit and ventilation for heat indoors")
    return _yes(values, "ventilated")


def _gas(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    if values.get("smell") is not False:
        return Doubt("a smell of fuel or gas is not ruled out")
    if values.get("detector") is None and not boat.policy.detector_required:
        return None
    reading, limit = _whole(values, "detector"), strictest(boat.policy, "gas_lel")
    if reading is None or reading >= limit:
        slots = {"reading": reading, "limit": limit}
        return Doubt("the detector shows %(reading)s tenths of a per cent, it must be under %(limit)s", slots)
    return None


def _leak_test(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    if values.get("bubbles") is not False:
        return Doubt("bubbles are not ruled out")
    return _yes(values, "hoses_sound", "soaped")


def _wind(values: Mapping[str, Any], boat: Boat) -> Doubt | None:
    how = values.get("how")
    if how == "meter":
        mean, gust = _whole(values, "mean"), _whole(values, "gust")
    elif how == "by_eye":
        mean, gust = _top_of_force(values, "mean_force"), _top_of_force(values, "gust_force")
    else:
        return Doubt("it is not said how the wind was read")
    if mean is not None and gust is not None and gust < mean:
        return Doubt("a gust of %(gust)s mm/s cannot be under a mean of %(mean)s", {"gust": gust, "mean": mean})
    for name, speed, limit in (
        ("mean", mean, strictest(boat.policy, "wind_mean")),
        ("gust", gust, strictest(boat.policy, "wind_gust")),
    ):
        if speed is None or speed >= limit:
            slots = {"name": name, "speed": speed, "limit": limit}
            return Doubt("the %(name)s of %(speed)s mm/s is not under %(limit)s", slots)
    return None


_JUDGES: dict[str, Callable[[Mapping[str, Any], Boat], Doubt | None]] = {
    "operator": _operator,
    "protection": _protection,
    "fuel_system": _fuel_system,
    "vents_taped": _vents_taped,
    "extinguisher": _extinguisher,
    "area": _area,
    "fire_watch": _fire_watch,
    "air": _air,
    "gas": _gas,
    "leak_test": _leak_test,
    "wind": _wind,
}
# Every heat step needs all of these, whatever the procedure says.
ALWAYS_NEEDED: tuple[str, ...] = tuple(_JUDGES)


def _top_of_force(values: Mapping[str, Any], name: str) -> int | None:
    """The upper end of a Beaufort force in mm/s; None if it has none (12) or is no force."""
    force = _whole(values, name)
    return BEAUFORT_TOP_MM_S[force] if force is not None and force < len(BEAUFORT_TOP_MM_S) else None


def _rating(text: object) -> dict[str, int]:
    """The number before each class letter of an extinguisher's label; empty if the text is no label."""
    if not isinstance(text, str):
        return {}
    tight = re.sub(r"[\s:]", "", text.upper()[:60])
    if re.fullmatch(r"((\d{1,3}-?)?[ABCDK])+", tight, re.ASCII) is None:
        return {}
    parts = re.findall(r"(\d*)-?([ABCDK])", tight, re.ASCII)
    letters = [letter for _, letter in parts]
    return {letter: int(digits or 0) for digits, letter in parts} if len(set(letters)) == len(letters) else {}


def day_number(text: object) -> int | None:
    """The day number of an ISO date; None if the text is none."""
    if not isinstance(text, str):
        return None
    try:
        return date.fromisoformat(text).toordinal()
    except ValueError:  # such as 30 February: no day, so it proves nothing
        return None
