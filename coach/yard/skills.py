"""Who is ready for what: the record of skills shown, when they lapse, and the policy tightened by it.

Rules kept here:
 1. A skill is current from what was shown: enough drills passed, enough supervised jobs, and one of them this season.
 2. It lapses at the season's end, and after the half-life of trained accuracy at the latest.
 3. `cleared` only ever takes away: nobody holds the tool longer, or has a role more, than the yard's policy says.
Knows nothing of: drills, ledgers, files (skills_file, skillbook), screens.
Source of the half-life: half of trained accuracy is lost after 6.5 months without use (Tatel and Ackerman, doi
10.1037/bul0000481: 1,344 effects), so somebody who comes back after the summer is asked again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN, Person, Policy

FRAME, BAND, WELD, SHRINK, GATE, WATCHING, REVIEWING = (
    "frame",
    "band",
    "weld",
    "shrink",
    "gate",
    "fire_watch",
    "reviewing",
)
SKILLS: tuple[str, ...] = (FRAME, BAND, WELD, SHRINK, GATE, WATCHING, REVIEWING)
NAMES: dict[str, str] = {
    FRAME: "Frame and sizing",
    BAND: "Perimeter band",
    WELD: "Weld",
    SHRINK: "Shrink",
    GATE: "Safety gate",
    WATCHING: "Fire watch",
    REVIEWING: "Review",
}
HALF_LIFE_DAYS = 198  # 6.5 months
NEVER, BEGUN, LAPSED, CURRENT = "never", "begun", "lapsed", "current"
DRILL, JOB = "drill", "job"

_STAGES: dict[str, str] = {
    **dict.fromkeys(
        (
            "sizing",
            "sizing-trailer",
            "sizing-stands",
            "sizing-mast",
            "sizing-two-films",
            "frame",
            "frame-finish",
            "frame-top",
            "base",
        ),
        FRAME,
    ),
    **dict.fromkeys(("band", "belly-bands"), BAND),
    **dict.fromkeys(("weld", "weld-legs", "weld-mast", "weld-rig", "seams"), WELD),
    **dict.fromkeys(("shrink", "shrink-top", "shrink-fly", "patch"), SHRINK),
    **dict.fromkeys(("arrival", "heat-gate", "flame-out", "vent-reopened"), GATE),
    "after-flame": WATCHING,
}


def skill_of_stage(stage: str) -> str:
    """The skill that a stage of the shipped procedures shows; '' for stages that show none of ours."""
    return _STAGES.get(stage, "")


@dataclass(frozen=True)
class Shown:
    """One time that a person was seen at a skill. how: drill or job; about: the drill's or the job's id."""

    person: str
    skill: str
    how: str
    day: date
    passed: bool
    about: str


@dataclass(frozen=True)
class Season:
    """The part of the year in which the skills are used, as (month, day) pairs; it may run over the new year.

    early: days before it from which a refresher counts for it.
    """

    first: tuple[int, int] = (9, 1)
    last: tuple[int, int] = (5, 31)
    early: int = 45

    def around(self, day: date) -> tuple[date, date]:
        """First day that counts and last day of the season that this day lies in, or of the next one."""
        for year in (day.year - 1, day.year, day.year + 1):
            begin = date(year, *self.first)
            over = self.last < self.first
            end = date(year + over, *self.last)
            counts = begin - timedelta(days=self.early)
            if day <= end:
                return counts, end
        raise AssertionError("one of three years has a season that is not over")


@dataclass(frozen=True)
class Least:
    """What it takes to have a skill: different drills passed, and supervised jobs done, at any time."""

    drills: int = 1
    jobs: int = 0


@dataclass(frozen=True)
class Needs:
    """What the yard asks: which skills each role needs, what it takes to have one, the season, the longest gap."""

    roles: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    least: Mapping[str, Least] = field(default_factory=dict)
    season: Season = Season()
    refresh_days: int = HALF_LIFE_DAYS

    def of(self, skill: str) -> Least:
        """What it takes to have this skill."""
        return self.least.get(skill, Least())


USUAL_NEEDS = Needs({TECHNICIAN: (GATE, WELD, SHRINK), FIRE_WATCH: (WATCHING,), SUPERVISOR: (REVIEWING,)})


@dataclass(frozen=True)
class Standing:
    """How one person stands in one skill on one day. until: last day on which it is current, None if it is not."""

    skill: str
    state: str
    drills: int
    jobs: int
    last: date | None
    until: date | None
    kept: float


def kept_after(days: int) -> float:
    """The share of trained accuracy that is left after days without use, 1 to 0. Halves every 198 days."""
    return float(0.5 ** (max(0, days) / HALF_LIFE_DAYS))


def standing(record: Iterable[Shown], person: str, skill: str, needs: Needs, today: date) -> Standing:
    """How a person stands in a skill today."""
    own = [each for each in record if each.person == person and each.skill == skill and each.day <= today]
    good = [each for each in own if each.passed]
    drills = len({each.about for each in good if each.how == DRILL})
    jobs = len({each.about for each in good if each.how == JOB})
    last = max((each.day for each in good), default=None)
    if last is None:
        return Standing(skill, BEGUN if own else NEVER, 0, 0, None, None, 0.0)
    kept = kept_after((today - last).days)
    least = needs.of(skill)
    if drills < least.drills or jobs < least.jobs:
        return Standing(skill, BEGUN, drills, jobs, last, None, kept)
    begin, end = needs.season.around(today)
    until = min(end, last + timedelta(days=min(needs.refresh_days, HALF_LIFE_DAYS)))
    is_current = last >= begin and until >= today
    return Standing(skill, CURRENT if is_current else LAPSED, drills, jobs, last, until if is_current else None, kept)


def standings(record: Sequence[Shown], person: str, needs: Needs, today: date) -> dict[str, Standing]:
    """How a person stands in every skill."""
    return {skill: standing(record, person, skill, needs, today) for skill in SKILLS}


def role_until(record: Sequence[Shown], person: str, role: str, needs: Needs, today: date) -> date | None:
    """The last day on which a person has every skill that a role needs; None if one is missing today.

    A role that needs nothing is had for ever.
    """
    found = [standing(record, person, skill, needs, today).until for skill in needs.roles.get(role, ())]
    if any(until is None for until in found):
        return None
    return min((until for until in found if until is not None), default=date.max)


def cleared(policy: Policy, record: Sequence[Shown], needs: Needs | None, today: date) -> Policy:
    """The policy as the record allows it today: the gate's safeguard 'operator' reads `flame_until` from it.

    Args:
        policy: the yard's; its hash and document stay, as it is the same policy read more strictly.
        record: what the crew has shown.
        needs: what the yard asks; None if it asks nothing, then the policy alone counts.
        today: the day that counts.

    Returns:
        The policy with flame_until brought forward, and roles taken away, where a skill is missing or lapsed.
    """
    if needs is None:
        return policy
    people = {id: _allowed(person, record, needs, today) for id, person in policy.people.items()}
    return replace(policy, people=people)


def _allowed(person: Person, record: Sequence[Shown], needs: Needs, today: date) -> Person:
    roles = frozenset(
        role
        for role in person.roles
        if role == TECHNICIAN or role_until(record, person.id, role, needs, today) is not None
    )
    until = person.flame_until
    if TECHNICIAN in person.roles and until:
        skilled = role_until(record, person.id, TECHNICIAN, needs, today)
        until = min(until, skilled.isoformat()) if skilled is not None else ""
    return replace(person, roles=roles, flame_until=until)
