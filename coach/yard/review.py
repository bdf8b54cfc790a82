"""The supervisor's board: every job by state, with what needs a look first.

Rules kept here:
 1. Everything is answered from the store's rows and events; nothing is kept here but what can be made anew.
 2. Where only counts are at hand (older jobs beyond `deep`), the flags that counts can tell are given, and no others;
    the line says that it was only counted.
 3. A job whose record cannot be read stands on the board with that as its flag.
Knows nothing of: screens, languages, files.
Called by: view, cli, tablet.  Proved by: tests/yard/test_review.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import tzinfo

from coach.core.events import Event
from coach.core.problems import Phrase, RecordError, Words
from coach.core.rules import Rules
from coach.record.found import words_of
from coach.record.store import JobQuery, JobRow, Store
from coach.yard.flags import EXCUSED, FINDING, KINDS, OFTEN, RECORD, REFUSED, TAG, TRIP, Flag, flags_of
from coach.yard.shelf import Shelf, Story, Unread
from coach.yard.spans import week_span

# The states of the board in the order in which a supervisor looks at them.
BOARD_ORDER = ("flame", "tripped", "stopped", "closed", "sent_back", "open", "paused", "accepted")
GOING = ("flame", "tripped", "sent_back", "open", "paused")
MOST, DEEP = 500, 200  # rows of a board, and how many of them are read whole


@dataclass(frozen=True)
class Filters:
    """Which jobs: who, the technician's id; week as 2026-W45, of jobs that were under way in it; kind, the procedure's
    id; state as in BOARD_ORDER. '' is all."""

    who: str = ""
    week: str = ""
    kind: str = ""
    state: str = ""


@dataclass(frozen=True)
class Line:
    """One job on the board, with its flags, gravest first.

    deep: whether the job was read whole; if so, `rules` are its own and `told` its events that a flag names, by number.
    """

    row: JobRow
    flags: tuple[Flag, ...] = ()
    deep: bool = False
    rules: Rules | None = None
    told: Mapping[int, Event] = field(default_factory=dict)

    @property
    def asks(self) -> bool:
        """Whether it asks for a look: a job that was accepted only if its record does not fit."""
        return any(self.row.state != "accepted" or flag.kind in (FINDING, RECORD) for flag in self.flags)


@dataclass(frozen=True)
class Board:
    """The lines by state, those with the gravest flags first.

    left_out: whether older jobs were left out; apart: what exchange found of tablets, or of jobs that are not held here,
    whatever the filters are.
    """

    groups: tuple[tuple[str, tuple[Line, ...]], ...]
    left_out: bool = False
    apart: tuple[Words, ...] = ()

    @property
    def lines(self) -> tuple[Line, ...]:
        """All lines."""
        return tuple(line for _state, lines in self.groups for line in lines)


class Reviewer:
    """Makes boards of one store. A job is read whole once for each of its heads."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._lines: dict[str, Line] = {}

    def board(self, filters: Filters, zone: tzinfo | None = None, most: int = MOST, deep: int = DEEP) -> Board:
        """The board of the jobs that fit.

        Args:
            filters: which jobs.
            zone: whose weeks; the device's own by default.
            most: rows at most.
            deep: how many of them are read whole for their flags.

        Raises:
            ValueError: filters.week is no week. StoreError: the disk failed.
        """
        rows = _rows(self.shelf.store, filters, zone, most + 1)
        noted = _noted(self.shelf.store)
        lines = [self._line(row, noted.get(row.job, ()), place < deep) for place, row in enumerate(rows[:most])]
        groups = [(state, [line for line in lines if line.row.state == state]) for state in BOARD_ORDER]
        shown = tuple((state, tuple(sorted(held, key=gravity))) for state, held in groups if held)
        return Board(shown, len(rows) > most, _apart(self.shelf.store, noted))

    def line(self, row: JobRow) -> Line:
        """One job, read whole. Raises StoreError: the disk failed."""
        return self._line(row, _noted(self.shelf.store).get(row.job, ()), True)

    def _line(self, row: JobRow, noted: tuple[Words, ...], deep: bool) -> Line:
        line = self._deep(row) if deep else Line(row, _counted(row))
        if noted:
            line = replace(line, flags=_in_order((Flag(RECORD, len(noted), texts=noted), *line.flags)))
        return line

    def _deep(self, row: JobRow) -> Line:
        known = self._lines.get(row.job)
        if known is None or known.row != row:
            found = self.shelf.read(row.job, lambda story: _whole(row, story))
            known = _unread(row, found) if isinstance(found, Unread) else found
            self._lines[row.job] = known
        return known


def board(shelf: Shelf, filters: Filters, zone: tzinfo | None = None, most: int = MOST, deep: int = DEEP) -> Board:
    """One board; see Reviewer.board."""
    return Reviewer(shelf).board(filters, zone, most, deep)


def gravity(line: Line) -> tuple[int, int, int, str]:
    """The order of lines: the gravest flag first, then the most flags, then the newest change."""
    worst = KINDS.index(line.flags[0].kind) if line.flags else len(KINDS)
    return worst, -len(line.flags), -line.row.updated, line.row.job


def people_of(rows: Sequence[JobRow]) -> tuple[tuple[str, str], ...]:
    """Who worked on these jobs, as pairs of id and name, by name."""
    return tuple(sorted({row.technician: row.name for row in rows}.items(), key=lambda pair: (pair[1], pair[0])))


def _rows(store: Store, filters: Filters, zone: tzinfo | None, limit: int) -> list[JobRow]:
    states = (filters.state,) if filters.state else ()
    if not filters.week:
        return store.jobs(JobQuery(states, filters.who, filters.kind, limit=limit))
    span = week_span(filters.week, zone)
    if span is None:
        raise ValueError(filters.week)
    since, until = span
    going = tuple(state for state in states or GOING if state in GOING)
    rows = store.jobs(JobQuery(going, filters.who, filters.kind, started_until=until)) if going else []
    rows = [row for row in rows if row.updated >= since][:limit]
    over = JobQuery(states, filters.who, filters.kind, ended_since=since, started_until=until, limit=limit - len(rows))
    return rows + store.jobs(over)


def _noted(store: Store) -> dict[str, tuple[Words, ...]]:
    """What exchange has found, by job."""
    found: dict[str, tuple[Words, ...]] = {}
    for finding in store.memory.findings():
        found[finding.job] = (*found.get(finding.job, ()), words_of(finding.text))
    return found


def _apart(store: Store, noted: Mapping[str, tuple[Words, ...]]) -> tuple[Words, ...]:
    """The findings that no line of any board can carry."""
    return tuple(text for job, texts in noted.items() if not _is_held(store, job) for text in texts)


def _is_held(store: Store, job: str) -> bool:
    try:
        return bool(store.events(job))
    except RecordError:
        return False


def _whole(row: JobRow, story: Story) -> Line:
    flags = flags_of(story.rules, story.events)
    told = {number: story.events[number - 1] for flag in flags for number in flag.events}
    return Line(row, flags, True, story.rules, told)


def _unread(row: JobRow, found: Unread) -> Line:
    text = Phrase(found.problem.what, found.problem.slots)
    return Line(row, _in_order((Flag(RECORD, 1, texts=(text,)), *_counted(row))))


def _counted(row: JobRow) -> tuple[Flag, ...]:
    counts = ((TRIP, row.trips, 1), (TAG, row.tags, 1), (EXCUSED, row.excused, 1), (REFUSED, row.heat_refused, OFTEN))
    return tuple(Flag(kind, count) for kind, count, least in counts if count >= least)


def _in_order(flags: tuple[Flag, ...]) -> tuple[Flag, ...]:
    return tuple(sorted(flags, key=lambda flag: KINDS.index(flag.kind)))
