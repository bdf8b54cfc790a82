"""What practice shows: the drills there are, what a trainee is told, and what is to be seen and done at the boat now.

Rules kept here:
 1. Nothing is given away: what may be looked at is named, what it will show is not.
 2. Every text that a front end shows of practice says that it is practice.
Knows nothing of: the toolkit, how a run is judged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from coach.core.floors import BEAUFORT_TOP_MM_S
from coach.language import _, n_
from coach.practice.drill import DEBT, MEASURE, STOP, SUPERVISOR, TRIP, Drill
from coach.practice.run import Run
from coach.yard.skillbook import RunRow
from coach.yard.skills import NAMES

MARK = "PRACTICE – this is not the record of a real job"
# What a drill is about, in words that do not say what will happen.
TURN_WORDS = {TRIP: "In the flame", DEBT: "Afterwards", MEASURE: "Measuring", STOP: "Judgement"}
# What the wind looks like on land, by Beaufort force (WMO table, in our own words).
WIND_WORDS = (
    "Smoke goes straight up.", "Smoke leans a little.", "You feel the wind on your face.",
    "Twigs move, a small flag opens.", "Dust and paper lift.", "Small trees sway.",
    "Big branches move.", "Whole trees move.", "Twigs snap.",
)  # fmt: skip


def practice_mark() -> str:
    """What stands on every screen and sheet of practice."""
    return _(MARK)


@dataclass(frozen=True)
class DrillLine:
    """One drill in the list. best: the best score so far, -1 if it was never run; passed: whether it ever was."""

    id: str
    title: str
    kind: str
    skills: str
    best: int
    passed: bool
    runs: int


@dataclass(frozen=True)
class Briefing:
    """What a trainee is told before a drill."""

    id: str
    title: str
    about: str
    boat: str
    role: str
    skills: str
    when: str
    unproven: str


@dataclass(frozen=True)
class Choice:
    """Something to look at or to do: its id, its words, the minutes that it takes."""

    id: str
    words: str
    minutes: str


@dataclass(frozen=True)
class SiteView:
    """What is to be seen and done at the boat now. fresh: notices that were not read yet."""

    clock: str
    passed: str
    wind: str
    notices: tuple[str, ...]
    fresh: int
    looks: tuple[Choice, ...]
    deeds: tuple[Choice, ...]
    burning: bool
    gas: int
    over: str


def skill_names(skills: Sequence[str]) -> str:
    """Skills in words, with commas between."""
    return ", ".join(_(NAMES[skill]) for skill in skills)


def drill_lines(drills: Sequence[Drill], runs: Sequence[RunRow]) -> tuple[DrillLine, ...]:
    """The drills, with what one person has made of them. runs: of that person."""
    lines = []
    for drill in drills:
        own = [run for run in runs if run.drill == drill.id]
        best = max((run.score for run in own), default=-1)
        lines.append(
            DrillLine(drill.id, _(drill.title), _(TURN_WORDS[drill.turns_on]), skill_names(drill.skills), best,
                      any(run.passed for run in own), len(own))
        )  # fmt: skip
    return tuple(lines)


def briefing(drill: Drill, proven: bool) -> Briefing:
    """What is told before a drill. proven: whether the procedure has a proof; without one only practice may use it."""
    role = _("Supervisor") if drill.role == SUPERVISOR else _("Technician")
    unproven = "" if proven else _("This procedure has no proof yet. It can be practised; no real job can start on it.")
    return Briefing(
        drill.id,
        _(drill.title),
        _(drill.about),
        drill.boat,
        role,
        skill_names(drill.skills),
        clock_text(drill.starts),
        unproven,
    )


def clock_text(wall: int) -> str:
    """The time of a drill, which is nobody's real time: hours and minutes."""
    return datetime.fromtimestamp(wall / 1000, UTC).strftime("%H:%M")


def minute_text(second: int) -> str:
    """A moment of the time line: minutes and seconds since the drill began, from an hour on with hours."""
    hours, rest = divmod(max(0, second), 3600)
    minutes, seconds = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"


def lasts(seconds: int) -> str:
    """How long something takes, in whole minutes; under one in seconds."""
    if seconds < 60:
        return _("%(count)d s") % {"count": seconds}
    return n_("%(count)d minute", "%(count)d minutes", round(seconds / 60)) % {"count": round(seconds / 60)}


def wind_words(speed: float) -> str:
    """What the wind looks like, m/s."""
    force = next((force for force, top in enumerate(BEAUFORT_TOP_MM_S) if speed * 1000 <= top), len(WIND_WORDS) - 1)
    return _(WIND_WORDS[min(force, len(WIND_WORDS) - 1)])


def site_view(run: Run, read: int = 0) -> SiteView:
    """The site now. read: how many notices were read."""
    wind = run.world.wind.mean_at(run.second)
    notices = tuple(f"{minute_text(notice.second)}  {_(notice.text)}" for notice in reversed(run.notices))
    return SiteView(
        clock_text(run.clock().wall), minute_text(run.second), wind_words(wind), notices, len(run.notices) - read,
        tuple(Choice(look.id, _(look.ask), lasts(look.seconds)) for look in run.looks()),
        tuple(Choice(deed.id, _(deed.do), lasts(deed.seconds)) for deed in run.deeds()), run.world.burning,
        round(100 * run.world.gas.flame_share), run.over,
    )  # fmt: skip
