"""Reads the yard's policy from YAML: its own limits with their source, its people, what it demands besides.

    yard: Pell Harbour Boatyard
    units: us                        # or metric
    languages: [en, es]
    time_zone: America/New_York      # whose days the review asks for; left out: the device's own
    detector_required: true
    indoor_permit: Permit board in hall 2      # both or none
    indoor_ventilation: Extract fan of hall 2
    limits:
      wind_mean: {value: 10 mph, source: sheet of the film's maker}
    frame: {ground_snow: 30 psf, code: asce7-16, strap_break: 1500 lbf}   # what a frame is checked against
    people:
      ana: {name: Ana Ruiz, roles: [technician], flame_until: 2027-12-31}

Rules kept here:
 1. A limit looser than its floor is refused with the floor and its source; it is never quietly bounded.
 2. Units are converted to the limit's own small unit, and rounded to the stricter side.
 3. The text is as strict as a procedure's: same reader, same faults, all of them at once.
Knows nothing of: the kernel, screens.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

from coach import paths
from coach.core.amount import Amount, Figures
from coach.core.canonical import composed, text_hash
from coach.core.floors import LIMITS, LimitRule, within
from coach.core.policy import ROLES, SNOW_CODES, TECHNICIAN, FrameRules, Person, Policy, YardLimit
from coach.core.problems import Phrase, PolicyError, ProcedureError
from coach.core.units import KIND_PHRASES
from coach.reader.faults import Faults, clip
from coach.reader.fields import Fields, check_id, unknown_word
from coach.reader.files import read_bytes
from coach.reader.nodes import Node, Scalar, read_tree
from coach.reader.scalars import read_quantity

POLICY_KEYS = (
    "yard", "units", "languages", "people", "limits", "detector_required", "indoor_permit", "indoor_ventilation", "frame",
    "time_zone",
)
FRAME_KEYS = ("ground_snow", "code", "strap_break")
PERSON_KEYS = ("name", "roles", "flame_until")
LIMIT_KEYS = ("value", "source")
UNIT_SYSTEMS = ("us", "metric")
_LANGUAGE = re.compile(r"[a-z]{2,3}(_[A-Z]{2})?")
_ZONE = re.compile(r"[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z0-9_+-]+)*", re.ASCII)
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
# For each unit of a limit: the kind in which it is written, and how many of it make one SI unit.
_WRITTEN: dict[str, tuple[str, Fraction]] = {
    "mm/s": ("speed", Fraction(1000)), "mm": ("length", Fraction(1000)), "min": ("duration", Fraction(1, 60)),
    "days": ("duration", Fraction(1, 86_400)), "tenths of % LEL": ("ratio", Fraction(1000)),
    "A": ("count", Fraction(1)), "B": ("count", Fraction(1)),
}


def load_policy(path: str | Path) -> Policy:
    """The policy of a file. Its hash is the SHA-256 of its text, which `document` keeps.

    Raises:
        PolicyError: every fault, with its place; among them every limit that is looser than its floor.
    """
    try:
        data = read_bytes(Path(path), str(path))
    except ProcedureError as error:
        raise PolicyError(*error.problems) from error
    return read_policy(data, str(path))


def shipped_policy() -> Policy:
    """The policy before the yard has set one: shipped limits, nobody in the crew, so nobody may light a flame."""
    return Policy("", hash=text_hash(""))


def demo_policy() -> Policy:
    """An invented yard with an invented crew, for trying out and for practice."""
    return load_policy(_demo())


def demo_hash() -> str:
    """The hash of `demo_policy`, without reading what it says."""
    return _document(read_bytes(_demo(), _demo().name))[1]


def _demo() -> Path:
    return paths.procedures() / "yard" / "demo-policy.yaml"


def _document(data: bytes) -> tuple[str, str]:
    """The text of a policy as it is kept, and its hash."""
    document = composed(data.decode("utf-8-sig"))
    return document, text_hash(document)


def read_policy(data: bytes, file: str) -> Policy:
    """The policy that the bytes of a file say.

    Raises:
        PolicyError: every fault, with its place.
    """
    faults = Faults(PolicyError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    fields = Fields(tree, faults, "a policy", POLICY_KEYS)
    permit, ventilation = _indoors(fields)
    policy = Policy(
        fields.text("yard", required=True),
        {id.text: _person(faults, id, node) for id, node in fields.pairs("people", "people, each under their id")},
        _limits(fields), fields.flag("detector_required"), permit, ventilation, _languages(fields),
        fields.word("units", UNIT_SYSTEMS) or "us", _frame(fields), _time_zone(fields),
    )
    faults.stop_if_any()
    document, hash = _document(data)
    return replace(policy, hash=hash, document=document)


def _indoors(fields: Fields) -> tuple[str, str]:
    """Permit and ventilation for heat indoors: one without the other would look like leave and be none."""
    permit, ventilation = fields.text("indoor_permit"), fields.text("indoor_ventilation")
    for there, missing in (("indoor_permit", "indoor_ventilation"), ("indoor_ventilation", "indoor_permit")):
        if fields.has(there) and not fields.has(missing):
            fields.faults.add(
                "L001", "'%(there)s' is named and '%(missing)s' is not",
                "heat indoors needs both, or it stays forbidden",
                "add '%(missing)s:', or delete '%(there)s:'", fields.place_of(there), there=there, missing=missing,
            )
    return permit, ventilation


def _frame(fields: Fields) -> FrameRules:
    """What frames are checked against; a yard that says nothing has no check under snow."""
    node = fields.node("frame")
    if node is None:
        return FrameRules()
    inner = Fields(node, fields.faults, "what a frame is checked against", FRAME_KEYS)
    ground = read_quantity(fields.faults, inner.scalar("ground_snow", due="a pressure"), "pressure")
    strap = read_quantity(fields.faults, inner.scalar("strap_break", due="a force"), "force")
    code = inner.word("code", SNOW_CODES) or SNOW_CODES[0]
    return FrameRules(math.ceil(ground.value) if ground else 0, code, math.floor(strap.value) if strap else 0)


def _time_zone(fields: Fields) -> str:
    """The zone's name; whether this device knows the zone is asked when a day of it is asked for."""
    scalar = fields.scalar("time_zone", due="a time zone")
    if scalar is None or _ZONE.fullmatch(scalar.text):
        return scalar.text if scalar else ""
    fields.faults.add(
        "L012", "'%(found)s' is not the name of a time zone", "the yard's days could not be told",
        "write it as the tz database has it, such as America/New_York", scalar.place, found=clip(scalar.text),
    )
    return ""


def _languages(fields: Fields) -> tuple[str, ...]:
    kept = []
    for item in fields.list("languages", "languages"):
        if isinstance(item, Scalar) and _LANGUAGE.fullmatch(item.text):
            kept.append(item.text)
        elif isinstance(item, Scalar):
            fields.faults.add(
                "L002", "'%(found)s' is not a language code", "its texts could not be found",
                "write its code: en, es, fr, ht or pt_BR",
                item.place, found=clip(item.text),
            )
        else:
            fields.wrong("languages", item, "a list of languages")
    return tuple(dict.fromkeys(kept)) or ("en",)


def _person(faults: Faults, id: Scalar, node: Node) -> Person:
    check_id(faults, id)
    fields = Fields(node, faults, "a person", PERSON_KEYS)
    roles = fields.words("roles", "roles", required=True)
    for role in roles:
        if role.text not in ROLES:
            unknown_word(faults, role, "'roles'", ROLES)
    held = frozenset(role.text for role in roles if role.text in ROLES)
    until = _flame_until(fields)
    if until and roles and TECHNICIAN not in held:  # roles that could not be read are told already
        faults.add(
            "L003", "'flame_until' for somebody who is no %(role)s", "only a technician holds the tool",
            "add the role %(role)s, or delete 'flame_until'", fields.place_of("flame_until"), role=TECHNICIAN,
        )
    return Person(id.text, fields.text("name", required=True), held, until)


def _flame_until(fields: Fields) -> str:
    scalar = fields.scalar("flame_until", due="a date such as 2027-12-31")
    if scalar is None:
        return ""
    try:
        if _DATE.fullmatch(scalar.text):
            return date.fromisoformat(scalar.text).isoformat()
    except ValueError:
        fields.wrong("flame_until", scalar, "a day that the calendar has, such as 2027-12-31")
        return ""
    fields.wrong("flame_until", scalar, "a date such as 2027-12-31")
    return ""


def _limits(fields: Fields) -> dict[str, YardLimit]:
    limits = {}
    for id, node in fields.pairs("limits", "limits, each under its id"):
        rule = LIMITS.get(id.text)
        if rule is None:
            unknown_word(fields.faults, id, "'limits'", tuple(LIMITS))
            continue
        own = _limit(fields.faults, rule, node)
        if own is not None:
            limits[rule.id] = own
    return limits


def _limit(faults: Faults, rule: LimitRule, node: Node) -> YardLimit | None:
    fields = Fields(node, faults, "a limit", LIMIT_KEYS)
    kind, _ = _WRITTEN[rule.unit]
    written = fields.scalar("value", required=True, due=KIND_PHRASES.get(kind, kind))
    source = fields.text("source", required=True)
    quantity = read_quantity(faults, written, kind)
    if written is None or quantity is None:
        return None
    value = in_unit(rule, quantity.value)
    if not within(rule.id, value):
        _refuse_loose(faults, rule, written)
        return None
    return YardLimit(value, source)


def in_unit(rule: LimitRule, si: Fraction | float) -> int:
    """An SI value as a whole number of the limit's unit, rounded to the stricter side."""
    exact = Fraction(si) * _WRITTEN[rule.unit][1]
    return math.floor(exact) if rule.sense == "most" else math.ceil(exact)


def _refuse_loose(faults: Faults, rule: LimitRule, written: Scalar) -> None:
    amount = Amount(rule.floor, rule.unit)
    shown = list(dict.fromkeys((amount.text("us"), amount.text("metric"))))
    floor = amount if len(shown) == 1 else Phrase("%(first)s or %(last)s", {"first": Figures(shown[0]), "last": Figures(shown[1])})
    bound = "more than nothing and at most" if rule.sense == "most" else "at least"
    faults.add(
        "L010", "the limit %(id)s (%(name)s) is %(found)s, expected %(bound)s %(floor)s",
        "no policy may go beyond the floor. Its source: %(source)s",
        "write a stricter value, or delete the limit: the shipped "
        "one then holds", written.place, id=rule.id, name=rule.name, found=clip(written.text), bound=bound,
        floor=floor, source=rule.source,
    )
