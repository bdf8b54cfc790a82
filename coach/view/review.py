"""The supervisor's board as it is shown: every job by state, each flag with its reason and its moments.

Rules kept here:
 1. A flag is worded as a sign that asks for a look, never as a judgement of a person.
 2. What was only counted says so.
Knows nothing of: the toolkit, HTML, stores.
Called by: sheet.review, cli, tablet.  Proved by: tests/view/test_review.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from coach.core.rules import Rules
from coach.formats import clock_text, day_of_wall, moment_text
from coach.language import _, n_
from coach.view.checklist import story_text
from coach.view.isotime import iso
from coach.view.texts import words_text
from coach.yard.flags import BATCH_MS, BATCH_SIZE, LEAST_MS, OFTEN, Flag
from coach.yard.review import BOARD_ORDER, Board, Filters, Line
from coach.yard.shelf import name_of

STATE_WORDS = {
    "open": "Under way", "paused": "Paused", "stopped": "Stopped safely", "closed": "To review", "sent_back": "Sent back",
    "accepted": "Accepted", "tripped": "Trip", "flame": "Flame lit",
}  # fmt: skip
TITLES = {
    "finding": "The second reading objects",
    "record": "The record does not fit",
    "trip": "Trip while the flame was lit",
    "tag": "Hangs on a tag",
    "unidentified": "Taken at their word",
    "wrong_answer": "A question answered wrong",
    "quick": "Ticked sooner than it can be done",
    "batch": "Many ticks in one go",
    "excused": "Left out",
    "late_correction": "Corrected after the fact",
    "heat_refused": "Flame often refused",
    "lapsed": "Safeguards had lapsed",
}
WHYS = {
    "finding": "%(texts)s",
    "record": "%(texts)s",
    "trip": "Lost in the flame: %(about)s. See that the cause was mended before the flame was lit again.",
    "tag": "Still to be undone: %(about)s. The tag is cleared at the boat before the job is accepted.",
    "unidentified": "Did not show who they are: %(about)s. Ask them.",
    "wrong_answer": "Not as the record has it: %(about)s. Ask whether they looked.",
    "quick": "In less than %(least)d s, or in less than the procedure says it takes: %(about)s.",
    "batch": "%(size)d or more within %(seconds)d s: %(about)s. Ask whether they were done or only ticked.",
    "excused": "Not done, with a reason: %(about)s.",
    "late_correction": "Measured again when a step that relied on it was done: %(about)s. See that the work was mended too.",
    "heat_refused": "Asked for %(often)d times or more before it was safe, at: %(about)s.",
    "lapsed": "Shown too long ago when the flame was asked for, or lapsed while it burned: %(about)s.",
}
COUNTED = "Counted only: open the job to see the moments."
BAD = ("finding", "record", "trip")
MOST_NAMED, MOST_MOMENTS = 4, 5


@dataclass(frozen=True)
class MomentLine:
    """One event that a flag rests on."""

    seq: int
    at: str
    text: str


@dataclass(frozen=True)
class FlagLine:
    """One flag. tone: danger or warn; count: how often; more: how many moments are not listed."""

    kind: str
    tone: str
    title: str
    count: int
    why: str
    moments: tuple[MomentLine, ...]
    more: int

    @property
    def head(self) -> str:
        """Title and count."""
        return f"{self.title} ({self.count})"


@dataclass(frozen=True)
class JobLine:
    """One job. kind: the procedure's id; procedure: its title, where the job was read whole."""

    job: str
    boat: str
    state: str
    state_word: str
    who: str
    kind: str
    procedure: str
    started: str
    updated: str
    practice: bool
    flags: tuple[FlagLine, ...]

    @property
    def signs(self) -> str:
        """The flags' heads in one line."""
        return " · ".join(flag.head for flag in self.flags)


@dataclass(frozen=True)
class BoardView:
    """The board. asked: the filters in words; groups: the state's word with its jobs; apart: what exchange found of
    tablets."""

    yard: str
    asked: str
    told: str
    groups: tuple[tuple[str, tuple[JobLine, ...]], ...]
    left_out: str
    apart: tuple[str, ...] = ()


def board_view(
    board: Board, filters: Filters, yard: str, system: str = "us", zone: tzinfo | None = None, name: str = ""
) -> BoardView:
    """The board in the language in use.

    Args:
        board, filters: what was asked, and the answer.
        yard: the yard's name.
        system: units, us or metric.
        zone: whose days and times.
        name: of the person that the filters name.
    """
    groups = tuple(
        (_(STATE_WORDS[state]), tuple(job_line(line, system, zone) for line in lines)) for state, lines in board.groups
    )
    jobs = len(board.lines)
    flagged = sum(line.asks for line in board.lines)
    told = n_("%(count)d boat", "%(count)d boats", jobs) % {"count": jobs}
    told += ", " + n_("%(count)d to look at first", "%(count)d to look at first", flagged) % {"count": flagged}
    left = _("Older jobs are left out: ask for a week or a state.") if board.left_out else ""
    apart = tuple(words_text(words, system) for words in board.apart)
    return BoardView(yard, asked_text(filters, name), told, groups, left, apart)


def asked_text(filters: Filters, name: str = "") -> str:
    """The filters in words; '' if none is set."""
    pairs = (
        (_("Crew"), name or filters.who),
        (_("Week"), filters.week),
        (_("Kind"), filters.kind),
        (_("State"), _(STATE_WORDS.get(filters.state, filters.state))),
    )
    return ", ".join(f"{word}: {value}" for word, value in pairs if value)


def job_line(line: Line, system: str = "us", zone: tzinfo | None = None) -> JobLine:
    """One job with its flags."""
    row = line.row
    return JobLine(
        row.job, row.boat, row.state, _(STATE_WORDS.get(row.state, row.state)), row.name, row.procedure,
        _(line.rules.procedure.title) if line.rules else row.procedure, moment_text(row.started, zone),
        f"{day_of_wall(row.updated, zone)}, {clock_text(row.updated, zone, seconds=False)}", row.practice, tuple(flag_line(line, flag, system, zone) for flag in line.flags),
    )  # fmt: skip


def flag_line(line: Line, flag: Flag, system: str = "us", zone: tzinfo | None = None) -> FlagLine:
    """One flag with its reason and its first moments."""
    names = _names(line.rules, flag.about)
    slots = {
        "texts": " ".join(words_text(words, system) for words in flag.texts), "about": names, "often": OFTEN,
        "least": LEAST_MS // 1000, "size": BATCH_SIZE, "seconds": BATCH_MS // 1000,
    }  # fmt: skip
    told = bool(flag.texts) if flag.kind in ("finding", "record") else bool(flag.events)
    why = _(WHYS[flag.kind]) % slots if told else _(COUNTED)
    shown = flag.events[:MOST_MOMENTS] if line.rules else ()
    moments = tuple(_moment(line, number, system, zone) for number in shown)
    tone = "danger" if flag.kind in BAD else "warn"
    return FlagLine(flag.kind, tone, _(TITLES[flag.kind]), flag.count, why, moments, len(flag.events) - len(moments))


def _moment(line: Line, number: int, system: str, zone: tzinfo | None) -> MomentLine:
    event = line.told[number]
    assert line.rules is not None
    at = f"{day_of_wall(event.at.wall, zone)}, {clock_text(event.at.wall, zone)}"
    person = line.rules.policy.person(event.by)
    return MomentLine(number, at, f"{person.name if person else event.by}: {story_text(line.rules, event, system)}")


def _names(rules: Rules | None, about: Sequence[str]) -> str:
    """What a flag is about, the first few by name."""
    shown = [_name(rules, id) for id in about[:MOST_NAMED]]
    if len(about) > MOST_NAMED:
        shown.append(_("and %(count)d more") % {"count": len(about) - MOST_NAMED})
    return "; ".join(shown)


def _name(rules: Rules | None, id: str) -> str:
    if rules is None:
        return id
    person = rules.policy.person(id)
    return person.name if person else _(name_of(rules, id)).rstrip(".?")


def board_lines(view: BoardView) -> list[str]:
    """The board for a terminal."""
    lines = [f"{view.yard}: {view.told}" if view.yard else view.told]
    if view.asked:
        lines.append(view.asked)
    lines += [f"! {_(TITLES['record'])}: {text}" for text in view.apart]
    for word, jobs in view.groups:
        lines += ["", word.upper()]
        for job in jobs:
            practice = f"  {_('PRACTICE')}" if job.practice else ""
            lines.append(f"  {job.boat}  ({job.who}, {job.kind}, {job.updated})  {job.job}{practice}")
            for flag in job.flags:
                lines.append(f"    ! {flag.head}: {flag.why}")
                lines += [f"        {moment.seq:>4}  {moment.at}  {moment.text}" for moment in flag.moments]
                if flag.more:
                    lines.append("              " + _("and %(count)d more") % {"count": flag.more})
    if view.left_out:
        lines += ["", view.left_out]
    return lines


def board_data(board: Board, zone: tzinfo | None = None) -> list[dict[str, Any]]:
    """The board for programs: ids and ISO 8601 times, nothing translated."""
    return [_line_data(line, zone) for state in BOARD_ORDER for line in board.lines if line.row.state == state]


def _line_data(line: Line, zone: tzinfo | None) -> dict[str, Any]:
    row = line.row
    return {
        "job": row.job, "boat": row.boat, "state": row.state, "technician": row.technician, "name": row.name,
        "kind": row.procedure, "practice": row.practice, "started": iso(row.started, zone), "updated": iso(row.updated, zone),
        "read_whole": line.deep, "flags": [_flag_data(line, flag, zone) for flag in line.flags],
    }  # fmt: skip


def _flag_data(line: Line, flag: Flag, zone: tzinfo | None) -> dict[str, Any]:
    moments = [
        {"event": number, "at": iso(line.told[number].at.wall, zone), "kind": line.told[number].kind, "by": line.told[number].by}
        for number in flag.events if number in line.told
    ]  # fmt: skip
    return {
        "kind": flag.kind, "count": flag.count, "about": list(flag.about), "texts": [str(words) for words in flag.texts],
        "moments": moments,
    }  # fmt: skip
