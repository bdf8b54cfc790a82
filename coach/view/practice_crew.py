"""The crew by skill as the lead sees it: who may hold the tool today, who goes with whom, what everybody gets wrong.

Rules kept here:
 1. Who may hold the tool is read as the gate reads it: the policy, tightened by the record.
 2. What the crew gets wrong is counted by people, not by names: it says what to teach, not whom to blame.
Knows nothing of: the toolkit, HTML, where the record is kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coach.core.policy import TECHNICIAN, Person, Policy
from coach.formats import day_text
from coach.language import _, n_
from coach.practice.assessment import Assessment
from coach.practice.questions import Question
from coach.view.drawing import Drawing, Legend, Line, Part, Polyline, Text
from coach.view.practice_result import finding_text
from coach.yard.skills import (
    BEGUN,
    CURRENT,
    LAPSED,
    NAMES,
    NEVER,
    SKILLS,
    USUAL_NEEDS,
    Needs,
    Season,
    Shown,
    Standing,
    cleared,
    standings,
)

MARKS = {NEVER: "–", BEGUN: "…", LAPSED: "!", CURRENT: "✓"}  # each goes with its word, which stands beside the table
STATE_WORDS = {NEVER: "not yet", BEGUN: "begun", LAPSED: "overdue", CURRENT: "current"}
ROLE_WORDS = {"technician": "Technician", "supervisor": "Supervisor", "fire_watch": "Fire watch"}
LINES = dict(zip(SKILLS, ("part", "band", "weld", "film", "tapeline", "strap", "belly"), strict=True))
WEEK = 7
MOST_WRONG = 8
WIDE, HIGH = 12.0, 4.5  # of the plot, in its own units
APART = 0.06  # of the step of one person: lines of the same count lie beside one another, never on the next count


@dataclass(frozen=True)
class Cell:
    """How one person stands in one skill. kept: per cent of accuracy left; needed: by one of their roles."""

    skill: str
    state: str
    word: str
    detail: str
    kept: int
    needed: bool


@dataclass(frozen=True)
class PersonLine:
    """One person. holds: whether they may hold the tool today; until or why not in words."""

    id: str
    name: str
    initials: str
    roles: str
    cells: tuple[Cell, ...]
    holds: bool
    tool: str


@dataclass(frozen=True)
class PairLine:
    """Who goes with whom, and for which skills."""

    learner: str
    mentor: str
    skills: str


@dataclass(frozen=True)
class WrongLine:
    """Something that several people get wrong: how many, of how many, and the procedure's reason."""

    what: str
    people: int
    of: int
    why: str


@dataclass(frozen=True)
class CrewView:
    """The whole page."""

    yard: str
    day: str
    asks: str
    heads: tuple[str, ...]
    people: tuple[PersonLine, ...]
    holders: tuple[str, ...]
    pairs: tuple[PairLine, ...]
    wrong: tuple[WrongLine, ...]
    plot: Drawing


def crew_view(
    policy: Policy,
    record: Sequence[Shown],
    needs: Needs | None,
    today: date,
    done: Sequence[Assessment] = (),
    asked: Mapping[str, tuple[int, int]] | None = None,
    made: Sequence[Question] = (),
) -> CrewView:
    """The crew today.

    Args:
        policy: the yard's own, not tightened.
        record: what was shown, in drills and accepted jobs.
        needs: what the yard asks; None if nothing, then usual needs are shown and none is enforced.
        today: the day.
        done: this season's judgements, for what the crew gets wrong.
        asked: by question, how many people were asked it this season and how many answered wrongly.
        made: the questions that there are.
    """
    wanted = needs or USUAL_NEEDS
    strict = cleared(policy, record, needs, today)
    people = tuple(_person(policy, strict, record, wanted, today, id) for id in policy.people)
    asks = (
        ""
        if needs
        else _("The yard asks for no skills: the policy alone says who may hold the tool. Write skills.yaml to ask.")
    )
    return CrewView(
        policy.yard, day_text(today), asks, tuple(_(NAMES[skill]) for skill in SKILLS), people,
        tuple(f"{person.name} ({person.tool})" for person in people if person.holds),
        pairs(policy, record, wanted, today), (*wrong_lines(done), *missed_lines(asked or {}, made)),
        crew_plot(policy, record, wanted, today),
    )  # fmt: skip


def _person(policy: Policy, strict: Policy, record: Sequence[Shown], needs: Needs, today: date, id: str) -> PersonLine:
    person = policy.people[id]
    found = standings(record, id, needs, today)
    wanted = {skill for role in person.roles for skill in needs.roles.get(role, ())}
    cells = tuple(_cell(found[skill], skill in wanted) for skill in SKILLS)
    until = strict.people[id].flame_until
    holds = TECHNICIAN in person.roles and until >= today.isoformat()
    lacking = [skill for skill in needs.roles.get(TECHNICIAN, ()) if found[skill].state != CURRENT]
    tool = _("until %(day)s") % {"day": day_text(date.fromisoformat(until))} if holds else _why_not(person, lacking)
    roles = ", ".join(_(ROLE_WORDS[role]) for role in sorted(person.roles, reverse=True))
    return PersonLine(id, person.name, initials(person.name), roles, cells, holds, tool)


def initials(name: str) -> str:
    """The first letters of a name, at most three, for the head of a narrow column."""
    return "".join(word[0] for word in name.split())[:3].upper()


def mark_words() -> str:
    """What the marks in the table mean, on one line."""
    return "   ".join(f"{MARKS[state]} {_(STATE_WORDS[state])}" for state in (CURRENT, LAPSED, BEGUN, NEVER))


def _why_not(person: Person, lacking: Sequence[str]) -> str:
    """Why somebody may not hold the tool today."""
    if TECHNICIAN not in person.roles:
        return _("no technician")
    if not person.flame_until:
        return _("not cleared by the yard")
    if lacking:
        return _("needs: %(skills)s") % {"skills": ", ".join(_(NAMES[skill]) for skill in lacking)}
    return _("cleared until %(day)s") % {"day": day_text(date.fromisoformat(person.flame_until))}


def _cell(found: Standing, needed: bool) -> Cell:
    detail = ""
    if found.last is not None:
        detail = _("%(day)s, drills %(drills)d, jobs %(jobs)d") % {
            "day": day_text(found.last),
            "drills": found.drills,
            "jobs": found.jobs,
        }
    return Cell(found.skill, found.state, _(STATE_WORDS[found.state]), detail, round(100 * found.kept), needed)


def pairs(policy: Policy, record: Sequence[Shown], needs: Needs, today: date) -> tuple[PairLine, ...]:
    """Who goes with whom today: whoever lacks a skill of their role goes with somebody who has most of what they lack.

    Each goes with one other; who lacks most is served first, and among equals the order of the crew list decides.
    """
    have = {
        id: {skill for skill, each in standings(record, id, needs, today).items() if each.state == CURRENT}
        for id in policy.people
    }
    lack = {
        id: {skill for role in person.roles for skill in needs.roles.get(role, ())} - have[id]
        for id, person in policy.people.items()
    }
    free, lines = list(policy.people), []
    for learner in sorted(policy.people, key=lambda id: (-len(lack[id]), list(policy.people).index(id))):
        if not lack[learner] or learner not in free:
            continue
        others = [id for id in free if id != learner and have[id] & lack[learner]]
        if not others:
            continue
        mentor = max(others, key=lambda id: (len(have[id] & lack[learner]), -len(lack[id]), -free.index(id)))
        skills = [skill for skill in SKILLS if skill in have[mentor] & lack[learner]]
        lines.append(
            PairLine(policy.people[learner].name, policy.people[mentor].name, ", ".join(_(NAMES[s]) for s in skills))
        )
        free = [id for id in free if id not in (learner, mentor)]
    return tuple(lines)


def wrong_lines(done: Sequence[Assessment]) -> tuple[WrongLine, ...]:
    """What several people got wrong, the most people first."""
    people: dict[tuple[str, str], set[str]] = {}
    words: dict[tuple[str, str], tuple[str, str]] = {}
    for run in done:
        for finding in run.findings:
            key = (finding.code, str(finding.slots.get("good", "")) + finding.about)
            people.setdefault(key, set()).add(run.trainee)
            words[key] = (finding_text(finding), finding.why)
    everybody = len({run.trainee for run in done})
    keys = sorted((key for key in people if len(people[key]) > 1), key=lambda key: (-len(people[key]), key))
    return tuple(WrongLine(words[key][0], len(people[key]), everybody, _(words[key][1])) for key in keys[:MOST_WRONG])


def missed_lines(asked: Mapping[str, tuple[int, int]], made: Sequence[Question]) -> tuple[WrongLine, ...]:
    """The questions that several people answered wrongly, the most people first; the why is the right answer."""
    found = [
        WrongLine(_(each.ask) % {"do": _(each.do)}, asked[each.id][1], asked[each.id][0], _(each.choices[0]))
        for each in made
        if each.id in asked and asked[each.id][1] > 1
    ]
    return tuple(sorted(found, key=lambda line: -line.people)[:MOST_WRONG])


def crew_plot(policy: Policy, record: Sequence[Shown], needs: Needs, today: date) -> Drawing:
    """How many of the crew are current in each skill, week by week over the season, up to today.

    Lines of the same count lie a little apart, so that each is seen.
    """
    begin, end = needs.season.around(today)
    weeks = [begin + timedelta(days=WEEK * n) for n in range((end - begin).days // WEEK + 1)]
    past = [day for day in weeks if day <= today] or [begin]
    most = max(1, len(policy.people))
    parts: list[Part] = list(_axes(weeks, most, needs.season))
    counts = _counts(policy, record, needs, past)
    apart = APART * HIGH / most
    for place, skill in enumerate(SKILLS):
        lift = apart * (place - len(SKILLS) // 2)
        points = tuple(
            (WIDE * i / max(1, len(weeks) - 1), HIGH * count / most + lift) for i, count in enumerate(counts[skill])
        )
        parts.append(Polyline(points if len(points) > 1 else (points[0], points[0]), LINES[skill]))
    legend = tuple(Legend(_(NAMES[skill]), LINES[skill]) for skill in SKILLS)
    title = n_(
        "How many of %(count)d are current in each skill", "How many of %(count)d are current in each skill", most
    ) % {"count": most}
    return Drawing("crew", title, tuple(parts), legend)


def _axes(weeks: Sequence[date], most: int, season: Season) -> list[Part]:
    parts: list[Part] = [Line((0, 0), (WIDE, 0), "guide"), Line((0, 0), (0, HIGH), "guide")]
    parts += [
        Text((0, HIGH * count / most), str(count), "left", "soft") for count in range(0, most + 1, max(1, most // 5))
    ]
    for n, day in enumerate(weeks):
        if n % 8 == 0:
            parts.append(Text((WIDE * n / max(1, len(weeks) - 1), -0.05), day.strftime("%Y-%m"), "bottom", "soft"))
    return parts


def _counts(policy: Policy, record: Sequence[Shown], needs: Needs, days: Sequence[date]) -> Mapping[str, list[int]]:
    """How many are current in each skill on each day."""
    own: dict[str, list[Shown]] = {id: [] for id in policy.people}
    for each in record:
        if each.person in own:
            own[each.person].append(each)
    counts: dict[str, list[int]] = {skill: [] for skill in SKILLS}
    for day in days:
        found = [standings(mine, id, needs, day) for id, mine in own.items()]
        for skill in SKILLS:
            counts[skill].append(sum(each[skill].state == CURRENT for each in found))
    return counts
