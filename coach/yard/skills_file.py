"""Reads what the yard asks of its crew's skills from YAML: `skills.yaml` in the data folder.

    season: {from: 09-01, to: 05-31}     # month-day; may run over the new year
    early: 45 days                       # a refresher this long before the season counts for it
    refresh: 180 days                    # longest gap; at most 198 days
    roles:
      technician: [gate, weld, shrink]
      fire_watch: [fire_watch]
      supervisor: [reviewing]
    skills:
      gate: {drills: 3, jobs: 1}         # different drills passed, supervised jobs done; 1 and 0 if not said

Rules kept here:
 1. Without the file the yard asks for no skills: flame_until of the policy alone counts, and the crew page says so.
 2. The longest gap can only be shortened.
Knows nothing of: who has which skill.
"""

from __future__ import annotations

import re
from pathlib import Path

from coach.core.policy import ROLES
from coach.core.problems import PolicyError, ProcedureError
from coach.reader.faults import Faults
from coach.reader.fields import Fields, unknown_word
from coach.reader.files import read_bytes
from coach.reader.nodes import read_tree
from coach.reader.scalars import read_quantity
from coach.yard.skills import HALF_LIFE_DAYS, SKILLS, Least, Needs, Season

FILE = "skills.yaml"
KEYS = ("season", "early", "refresh", "roles", "skills")
_DAY = re.compile(r"(\d{2})-(\d{2})")
_LONGEST = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DAY_SECONDS = 86_400
MOST_DRILLS = 20


def yard_needs(folder: Path) -> Needs | None:
    """What the yard of a data folder asks; None if it has no such file. Raises PolicyError."""
    file = folder / FILE
    return load_needs(file) if file.is_file() else None


def load_needs(path: Path) -> Needs:
    """What a file asks. Raises PolicyError: every fault, with its place."""
    try:
        data = read_bytes(path, str(path))
    except ProcedureError as error:
        raise PolicyError(*error.problems) from error
    return read_needs(data, str(path))


def read_needs(data: bytes, file: str) -> Needs:
    """What the bytes of a file ask. Raises PolicyError: every fault, with its place."""
    faults = Faults(PolicyError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    fields = Fields(tree, faults, "what the yard asks", KEYS)
    usual = Season()
    season = Season(*_season(fields, usual), _days(fields, "early", usual.early, 180))
    made = Needs(_roles(fields), _least(fields), season, _days(fields, "refresh", HALF_LIFE_DAYS, HALF_LIFE_DAYS))
    faults.stop_if_any()
    return made


def _season(fields: Fields, usual: Season) -> tuple[tuple[int, int], tuple[int, int]]:
    node = fields.node("season")
    if node is None:
        return usual.first, usual.last
    inside = Fields(node, fields.faults, "a season", ("from", "to"))
    return _month_day(inside, "from", usual.first), _month_day(inside, "to", usual.last)


def _month_day(fields: Fields, key: str, otherwise: tuple[int, int]) -> tuple[int, int]:
    due = "a month and day such as 09-01"
    scalar = fields.scalar(key, required=True, due=due)
    match = _DAY.fullmatch(scalar.text) if scalar else None
    if match and 1 <= int(match[1]) <= 12 and 1 <= int(match[2]) <= _LONGEST[int(match[1]) - 1]:
        return int(match[1]), int(match[2])
    if scalar is not None:
        fields.wrong(key, scalar, due)
    return otherwise


def _days(fields: Fields, key: str, otherwise: int, most: int) -> int:
    if not fields.has(key):
        return otherwise
    scalar = fields.scalar(key, due="a duration such as 45 days")
    quantity = read_quantity(fields.faults, scalar, "duration")
    if quantity is None:
        return otherwise
    days = int(quantity.value) // _DAY_SECONDS
    if not 0 <= days <= most:
        fields.faults.add(
            "L130",
            "'%(key)s' is %(found)s days, expected at most %(most)s",
            "skill fades: half of trained accuracy is gone after 6.5 months without use",
            "write a shorter time",
            fields.place_of(key),
            key=key,
            found=days,
            most=most,
        )
        return otherwise
    return days


def _roles(fields: Fields) -> dict[str, tuple[str, ...]]:
    node = fields.node("roles")
    if node is None:
        fields.missing("roles")
        return {}
    inside = Fields(node, fields.faults, "the roles", ROLES)
    found = {}
    for role in ROLES:
        if inside.has(role):
            words = inside.words(role, "skills")
            for word in words:
                if word.text not in SKILLS:
                    unknown_word(fields.faults, word, f"'{role}'", SKILLS)
            found[role] = tuple(word.text for word in words if word.text in SKILLS)
    return found


def _least(fields: Fields) -> dict[str, Least]:
    found = {}
    for id, node in fields.pairs("skills", "skills, each under its id"):
        if id.text not in SKILLS:
            unknown_word(fields.faults, id, "'skills'", SKILLS)
        inside = Fields(node, fields.faults, "a skill", ("drills", "jobs"))
        drills = inside.whole("drills", 0, MOST_DRILLS) if inside.has("drills") else 1
        jobs = inside.whole("jobs", 0, MOST_DRILLS) if inside.has("jobs") else 0
        found[id.text] = Least(1 if drills is None else drills, jobs or 0)
    return found
