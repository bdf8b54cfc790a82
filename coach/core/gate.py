"""The safety gate's tables: every safeguard with its questions and its judgement, every debt with what undoes it.

Rules kept here:
 1. A flame needs every row of SAFEGUARDS (and every own safeguard of the procedure): proven, fresh, not withdrawn.
 2. Unknown, missing, contradictory or out of range is not proven. A limit is met only strictly inside it for wind
    and gas, at the limit for distances and days.
 3. No row can be excused, switched off or overridden, by policy or procedure.
 4. Every judgement is a pure function of the stated values, the boat's facts and the policy.
Knows nothing of: steps, order, the log, files, language (texts are English templates, translated when shown).
Called by: session. An independent second reading of the same safety sentences is monitor.py; it shares no code.
This is an administrative control: it holds back the instruction and the record, not the gas. Local fire codes, the
film's and the tool's instructions come first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from coach.core.amount import Amount
from coach.core.floors import BEAUFORT_TOP_MM_S
from coach.core.model import FUEL_VENTS, PLACE
from coach.core.policy import FIRE_WATCH, TECHNICIAN, Policy
from coach.core.problems import Reason
from coach.core.ratings import rating_numbers

Values = Mapping[str, Any]


@dataclass(frozen=True)
class Facts:
    """What the kernel knows of this boat and who is at it. None: not known yet."""

    fuel_vents: int | None
    place: str | None
    holder: str


@dataclass(frozen=True)
class Field:
    """One thing a proof must state. kind: yes_no, count, choice, text, date, person, or a kind of quantity with the
    small whole unit it is recorded in (`unit`)."""

    id: str
    ask: str
    kind: str
    unit: str = ""
    options: tuple[tuple[str, str], ...] = ()
    optional: bool = False
    only_if: tuple[str, str] | None = None
    up: bool = True


@dataclass(frozen=True)
class Safeguard:
    """One condition of the flame. `minutes` names the limit of its age; `opens` the debt that proving it opens."""

    id: str
    name: str
    ask: str
    why: str
    mend: str
    minutes: str
    fields: tuple[Field, ...]
    judge: Callable[[Values, Facts, Policy, date], tuple[Reason, ...]]
    withdrawals: tuple[str, ...] = ()


@dataclass(frozen=True)
class Debt:
    """Something done for safety that must be undone. drops: the safeguard that ends when it is undone; counted: the
    evidence of the clearing step that must equal the amount; taggable: whether a safe stop may leave it on a tag."""

    id: str
    name: str
    why: str
    undo: str
    drops: str = ""
    counted: str = ""
    taggable: bool = True


def day_of(wall_ms: int) -> date:
    """The day of a wall time, in UTC."""
    return datetime.fromtimestamp(wall_ms / 1000, UTC).date()


def _unmet(safeguard: str, code: str, what: str, mend: str, **slots: object) -> Reason:
    why = SAFEGUARDS[safeguard].why
    return Reason(code, safeguard, what, why, mend, slots, act="observe")


def _yes(values: Values, safeguard: str, asked: Mapping[str, tuple[str, str]]) -> tuple[Reason, ...]:
    """A reason for every field that was not answered with a plain yes."""
    found = []
    for name, (what, mend) in asked.items():
        if values.get(name) is not True:
            found.append(_unmet(safeguard, "G110", what, mend))
    return tuple(found)


def _whole(values: Values, name: str) -> int | None:
    """The field's whole number, or None if it is missing, negative or something else (a bool is not a number)."""
    value = values.get(name)
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        return None
    return value


def _fuel_system(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    found = _yes(values, "fuel_system", {"winterized": ("the fuel system is not winterized", "find what shows that the fuel system is winterized, or have it winterized first")})
    if values.get("shown_by") not in ("work_order", "tag", "own_work", "no_tank"):
        found += (_unmet("fuel_system", "G111", "nothing shows that the fuel system is winterized", "say what shows it"),)
    return found


def _vents_taped(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    taped, markers = _whole(values, "taped"), _whole(values, "markers")
    if facts.fuel_vents is None:
        return (_unmet("vents_taped", "G120", "the number of fuel vents of this boat is not known", "count the fuel vents of the boat"),)
    if taped is None or markers is None:
        return (_unmet("vents_taped", "G121", "the taped vents were not counted", "count the taped vents and the markers"),)
    found: tuple[Reason, ...] = ()
    if taped != facts.fuel_vents:
        found += (
            _unmet("vents_taped", "G122", "%(taped)s of %(vents)s fuel vents are taped", "tape every fuel vent and count again", taped=taped, vents=facts.fuel_vents),
        )
    if markers != taped:
        found += (
            _unmet("vents_taped", "G123", "%(taped)s vents are taped, but %(markers)s markers are set", "set one marker below the film's edge for each taped vent", taped=taped, markers=markers),
        )
    return found


def _extinguisher(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    found = []
    need_a, need_b = policy.limit("extinguisher_a"), policy.limit("extinguisher_b")
    rating = values.get("rating")
    numbers = rating_numbers(rating) if isinstance(rating, str) else None
    if numbers is None:
        found.append(_unmet("extinguisher", "G130", "the extinguisher's rating is not readable", "read the rating on its label, such as 2-A:20-B:C"))
    elif numbers[0] < need_a or numbers[1] < need_b or not numbers[2]:
        found.append(
            _unmet("extinguisher", "G131", "the extinguisher is rated %(rating)s, the least is %(a)s-A:%(b)s-B:C", "fetch one of at least %(a)s-A:%(b)s-B:C", rating=rating, a=need_a, b=need_b)
        )
    if values.get("charge") != "in_green":
        found.append(_unmet("extinguisher", "G132", "the extinguisher's gauge is not in the green", "fetch a charged extinguisher"))
    distance = _whole(values, "distance")
    if distance is None:
        found.append(_unmet("extinguisher", "G133", "the distance to the extinguisher was not given", "measure or pace the distance"))
    elif distance > policy.limit("extinguisher_distance"):
        found.append(
            _unmet("extinguisher", "G134", "the extinguisher is %(distance)s away, the limit is %(limit)s", "set it closer to the flame", distance=Amount(distance, "mm"), limit=Amount(policy.limit("extinguisher_distance"), "mm"))
        )
    return tuple(found) + _inspected(values, policy, today)


def _inspected(values: Values, policy: Policy, today: date) -> tuple[Reason, ...]:
    """The inspection date: readable, not in the future, not older than the limit."""
    try:
        seen = date.fromisoformat(values.get("inspected", ""))
    except (TypeError, ValueError):
        return (_unmet("extinguisher", "G135", "the extinguisher's last inspection is not known", "read the date on its inspection tag"),)
    days, limit = (today - seen).days, policy.limit("extinguisher_days")
    if days < 0:
        return (_unmet("extinguisher", "G136", "the inspection date lies in the future", "read the date on its inspection tag again"),)
    if days > limit:
        return (
            _unmet("extinguisher", "G137", "the extinguisher was inspected %(days)s days ago, the limit is %(limit)s", "have it inspected, or fetch another", days=days, limit=limit),
        )
    return ()


def wind_speeds(values: Values) -> tuple[int, int] | None:
    """Mean and gust in mm/s as they count, or None: measured as given, by eye the upper end of the Beaufort force."""
    if values.get("how") == "meter":
        mean, gust = _whole(values, "mean"), _whole(values, "gust")
    elif values.get("how") == "by_eye":
        forces = _whole(values, "mean_force"), _whole(values, "gust_force")
        tops = [BEAUFORT_TOP_MM_S[f] if f is not None and f < len(BEAUFORT_TOP_MM_S) else None for f in forces]
        mean, gust = tops[0], tops[1]
    else:
        return None
    return None if mean is None or gust is None else (mean, gust)


def _wind(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    speeds = wind_speeds(values)
    if speeds is None:
        return (_unmet("wind", "G140", "mean wind and gust are not both known", "read the wind at the boat for two minutes, mean and strongest gust"),)
    mean, gust = speeds
    if gust < mean:
        return (_unmet("wind", "G141", "the gust is given lower than the mean wind", "read both again: a gust is never below the mean"),)
    found = []
    for name, value, limit in (("mean", mean, "wind_mean"), ("gust", gust, "wind_gust")):
        top = policy.limit(limit)
        if value >= top:
            found.append(
                _unmet("wind", f"G14{2 if name == 'mean' else 3}", "mean wind %(value)s, it must be under %(limit)s" if name == "mean" else "gust %(value)s, it must be under %(limit)s", "wait for less wind, then read it again", value=Amount(value, "mm/s"), limit=Amount(top, "mm/s"))
            )
    return tuple(found)


def _leak_test(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    found = _yes(
        values, "leak_test",
        {
            "hoses_sound": ("a hose or fitting is not sound", "take the hose out of use and fetch a sound one"),
            "soaped": ("the joints were not tested with soapy water", "open the cylinder and put soapy water on every joint"),
        },
    )
    if values.get("bubbles") is not False:
        found += (_unmet("leak_test", "G150", "bubbles show a leak, or nobody looked", "close the cylinder, mend the joint, test again"),)
    return found


def _area(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    found = _yes(
        values, "area",
        {
            "people_clear": ("people stand too near", "send everybody but the crew away"),
            "nobody_under": ("somebody may be under the cover or aboard", "look under the film and aboard, and call everybody out"),
            "things_clear": ("things that burn lie too near", "move what burns away, or shield it"),
        },
    )
    distance, limit = _whole(values, "distance"), policy.limit("clear_distance")
    if distance is None or distance < limit:
        found += (_unmet("area", "G160", "the ground is not clear to %(limit)s", "clear or shield all round to that distance", limit=Amount(limit, "mm")),)
    return found


def _fire_watch(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    person = values.get("person")
    if not isinstance(person, str) or policy.person(person) is None:
        return (_unmet("fire_watch", "G170", "no fire watch is named", "name one of the crew as fire watch"),)
    found: tuple[Reason, ...] = ()
    if person == facts.holder:
        found += (_unmet("fire_watch", "G171", "the fire watch and the one with the tool are the same person", "name a second person: the fire watch has no other duty"),)
    if not policy.has_role(person, FIRE_WATCH):
        found += (_unmet("fire_watch", "G172", "%(person)s is not trained as fire watch", "name somebody whom the yard lists as fire watch", person=policy.people[person].name),)
    return found + _yes(
        values, "fire_watch",
        {
            "at_post": ("the fire watch is not at the post", "ask the fire watch to stand where the flame can be seen"),
            "equipped": ("the fire watch has no extinguisher or cannot raise the alarm", "give the fire watch the extinguisher and a phone"),
        },
    )


def _operator(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    person = values.get("person")
    known = policy.person(person) if isinstance(person, str) else None
    if known is None or not policy.has_role(known.id, TECHNICIAN):
        return (_unmet("operator", "G180", "nobody of the crew is named to hold the tool", "name the technician who holds the tool"),)
    if known.id != facts.holder:
        return (_unmet("operator", "G181", "%(person)s is not the technician of this job", "hand the job over to the one who holds the tool", person=known.name),)
    try:
        allowed = date.fromisoformat(known.flame_until) >= today
    except ValueError:
        allowed = False
    if not allowed:
        return (_unmet("operator", "G182", "the yard does not let %(person)s hold the tool today", "let a person hold it whom the yard has cleared this season", person=known.name),)
    return ()


def _gas(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    found: tuple[Reason, ...] = ()
    if values.get("smell") is not False:
        found += (_unmet("gas", "G190", "there is a smell of fuel or gas, or nobody checked", "find where it comes from, air the boat, check again low down"),)
    given = values.get("detector")
    reading, limit = _whole(values, "detector"), policy.limit("gas_lel")
    if given is None and policy.detector_required:
        found += (_unmet("gas", "G191", "the yard asks for a detector reading and there is none", "read the detector at the bilge, the vents and the cylinder"),)
    elif given is not None and (reading is None or reading >= limit):
        found += (_unmet("gas", "G192", "the detector shows too much gas, or no number", "stop, air the boat, close the cylinder, read again"),)
    return found


def _air(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    if facts.place not in ("outdoors", "indoors"):
        return (_unmet("air", "G200", "it is not known where the boat stands", "answer where the boat stands"),)
    if facts.place == "outdoors":
        return _yes(values, "air", {"open_air": ("the boat does not stand in the open air", "move the boat outdoors, or correct where it stands")})
    found: tuple[Reason, ...] = ()
    if not policy.indoor_permit or not policy.indoor_ventilation:
        found += (_unmet("air", "G201", "the yard has named no permit and ventilation for heat indoors", "move the boat outdoors"),)
    return found + _yes(values, "air", {"ventilated": ("the ventilation named by the yard does not run", "start it, and hold the permit at the boat")})


def _protection(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
    return _yes(
        values, "protection",
        {
            "gloves": ("no heat-proof gloves", "put on dry gloves that stand heat"),
            "eyes": ("no eye protection", "put on eye protection"),
            "clothing": ("clothing that melts or hangs loose", "change to close-fitting wool, leather or cotton"),
        },
    )


def _own_judge(id: str, mend: str) -> Callable[[Values, Facts, Policy, date], tuple[Reason, ...]]:
    def judge(values: Values, facts: Facts, policy: Policy, today: date) -> tuple[Reason, ...]:
        if values.get("holds") is True:
            return ()
        return (Reason("G210", id, "this was not confirmed", "the procedure asks for it before a flame", mend, {}, act="observe"),)

    return judge


def own_safeguard(id: str, name: str, ask: str, why: str, mend: str) -> Safeguard:
    """The row of a safeguard that a procedure adds: one question, answered yes."""
    return Safeguard(id, name, ask, why, mend, "other_minutes", (Field("holds", ask, "yes_no"),), _own_judge(id, mend), ("No longer so",))


SAFEGUARDS: dict[str, Safeguard] = {
    row.id: row
    for row in (
        Safeguard(
            "operator", "Operator allowed", "Who holds the tool?",
            "a flame in untrained hands burns people and boats", "name the technician who holds the tool", "other_minutes",
            (Field("person", "Who holds the tool?", "person"),),
            _operator, ("Another person takes the tool",),
        ),
        Safeguard(
            "protection", "Gloves, eyes, clothing", "Are hands, eyes and body protected?",
            "molten film and hot metal burn skin at a touch", "put on gloves, eye protection and close clothing", "protection_minutes",
            (
                Field("gloves", "Dry gloves that stand heat?", "yes_no"),
                Field("eyes", "Eye protection on?", "yes_no"),
                Field("clothing", "Close-fitting clothing that does not melt?", "yes_no"),
            ),
            _protection, ("Gloves or eye protection off",),
        ),
        Safeguard(
            "fuel_system", "Fuel system winterized", "Is the fuel system winterized?",
            "fuel that runs or vapour that stands aboard can catch the flame", "find what shows that the fuel system is winterized, or have it winterized first", "other_minutes",
            (
                Field("winterized", "Fuel system winterized as the engine's maker says?", "yes_no"),
                Field("shown_by", "What shows it?", "choice", options=(
                    ("work_order", "Signed work order"), ("tag", "Tag on the boat"), ("own_work", "I did it myself"), ("no_tank", "There is no tank aboard"),
                )),
            ),
            _fuel_system, ("Fuel was handled aboard",),
        ),
        Safeguard(
            "vents_taped", "Fuel vents taped", "Is every fuel vent taped and marked?",
            "vapour from an open fuel vent can meet the flame", "tape every fuel vent and set its marker", "other_minutes",
            (
                Field("taped", "Fuel vents taped, counted by touch", "count"),
                Field("markers", "Markers set below the film's edge", "count"),
            ),
            _vents_taped, ("A tape came off",),
        ),
        Safeguard(
            "extinguisher", "Extinguisher ready", "Is a charged extinguisher near the flame?",
            "a fire on film is out of hand within a minute", "stand a charged extinguisher of the right rating near, and read its label and tag", "other_minutes",
            (
                Field("rating", "Rating on its label", "text"),
                Field("charge", "Where does its gauge stand?", "choice", options=(("in_green", "In the green"), ("low", "Below the green"), ("unknown", "No gauge, or not readable"))),
                Field("distance", "Distance to where the flame will be", "length", unit="mm"),
                Field("inspected", "Last inspection on its tag", "date"),
            ),
            _extinguisher, ("The extinguisher was taken away", "The extinguisher was used"),
        ),
        Safeguard(
            "area", "People and things clear", "Is the ground clear all round?",
            "what lies near catches fire, and who stands near is burnt", "clear or shield all round the boat", "area_minutes",
            (
                Field("people_clear", "Everybody but the crew away?", "yes_no"),
                Field("nobody_under", "Nobody aboard or under the film?", "yes_no"),
                Field("things_clear", "Everything that burns moved away or shielded?", "yes_no"),
                Field("distance", "Cleared to what distance all round?", "length", unit="mm", up=False),
            ),
            _area, ("Somebody came near", "Something that burns came near", "Another boat is being fuelled near by"),
        ),
        Safeguard(
            "fire_watch", "Fire watch at post", "Who is the fire watch?",
            "the film itself burns: a second person must watch all the time", "name a second person as fire watch", "fire_watch_proof_minutes",
            (
                Field("person", "Who is the fire watch?", "person"),
                Field("at_post", "At the post, with no other duty?", "yes_no"),
                Field("equipped", "Extinguisher at hand, and able to raise the alarm?", "yes_no"),
            ),
            _fire_watch, ("The fire watch left", "The fire watch was given another duty"),
        ),
        Safeguard(
            "air", "Open air", "Does the boat stand in the open air?",
            "gas and fumes gather indoors", "look whether the boat stands in the open air, or whether the yard's ventilation runs", "other_minutes",
            (
                Field("open_air", "In the open air?", "yes_no", only_if=(PLACE, "outdoors")),
                Field("ventilated", "Does the yard's ventilation run, with its permit at the boat?", "yes_no", only_if=(PLACE, "indoors")),
            ),
            _air, ("The ventilation stopped",),
        ),
        Safeguard(
            "gas", "No fuel or gas smell", "Is there any smell of fuel or gas?",
            "a smell is vapour, and vapour burns", "smell low down, at the vents and at the bilge; at any smell find the source and air the boat first", "gas_minutes",
            (
                Field("smell", "Any smell of fuel or gas, low down, at the vents, at the bilge?", "yes_no"),
                Field("detector", "Detector reading, per cent of the lower limit", "ratio", unit="tenths of % LEL", optional=True),
            ),
            _gas, ("A smell of fuel or gas", "The detector sounds"),
        ),
        Safeguard(
            "leak_test", "Hoses and joints tight", "Are hoses and joints tight?",
            "a leak at a joint burns beside the hand", "put soapy water on every joint with the cylinder open", "other_minutes",
            (
                Field("hoses_sound", "Hoses and fittings sound?", "yes_no"),
                Field("soaped", "Soapy water on every joint, cylinder open?", "yes_no"),
                Field("bubbles", "Any bubbles?", "yes_no"),
            ),
            _leak_test, ("A hose was changed or damaged", "A leak"),
        ),
        Safeguard(
            "wind", "Wind under the limit", "What is the wind at the boat?",
            "wind blows the flame and lifts the film", "read the wind at the boat, mean and gust", "wind_minutes",
            (
                Field("how", "How was it read?", "choice", options=(("meter", "With a wind meter"), ("by_eye", "By eye, Beaufort"))),
                Field("mean", "Mean wind", "speed", unit="mm/s", only_if=("how", "meter")),
                Field("gust", "Strongest gust", "speed", unit="mm/s", only_if=("how", "meter")),
                Field("mean_force", "Mean wind, Beaufort force", "count", only_if=("how", "by_eye")),
                Field("gust_force", "Gusts, Beaufort force", "count", only_if=("how", "by_eye")),
            ),
            _wind, ("The wind got up",),
        ),
    )
}

DEBTS: dict[str, Debt] = {
    row.id: row
    for row in (
        Debt("taped_vents", "Taped fuel vents", "a taped vent lets pressure build in the tank as the hull warms", "take off every tape and count it", "vents_taped", "removed"),
        Debt("open_cylinder", "Open cylinder", "an open cylinder leaks its gas unseen", "close the cylinder and bleed the hose", "leak_test", taggable=False),
        Debt("fire_watch", "Fire watch after the flame", "film smoulders unseen long after the flame is out", "hold the fire watch for the yard's minutes", "fire_watch"),
    )
}

# Which debt a proof opens, with the field that gives its amount (None: one).
OPENED_BY_PROOF: dict[str, tuple[str, str | None]] = {"vents_taped": ("taped_vents", "taped"), "leak_test": ("open_cylinder", None)}
# Debts that lighting a flame opens, whatever was recorded before.
OPENED_BY_FLAME = ("open_cylinder", "fire_watch")
# Measures whose correction touches a safeguard at once.
FACT_MEASURES = {FUEL_VENTS: "vents_taped", PLACE: "air"}
