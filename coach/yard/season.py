"""A season in counts: where heat is refused, what trips, which steps are left out or sent back, and by whom.

Rules kept here:
 1. Counts are of events, found by their marks and read from the jobs themselves. No store holds practice.
 2. A job whose record cannot be read is not counted, and is named.
Knows nothing of: screens, languages.
Called by: view.  Proved by: tests/yard/test_season.py.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from coach.core.events import Event
from coach.yard.review import Filters
from coach.yard.shelf import Shelf, Story, Unread, name_of

MARKED = ("flame_lit", "heat_refused", "tripped", "sent_back", "step_excused", "closed", "stopped_safely")
Counts = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class SentBack:
    """How often a supervisor sent a step of a technician back. by and technician are names."""

    step: str
    by: str
    technician: str
    count: int


@dataclass(frozen=True)
class Season:
    """Counts over a time. Pairs of id and count, most first; names: what an id is called, in English."""

    since: int
    until: int
    jobs: int
    flames: int
    refusals: int
    refused_steps: Counts
    refused_causes: Counts
    trip_causes: Counts
    excused_steps: Counts
    sent_back: tuple[SentBack, ...]
    names: Mapping[str, str] = field(default_factory=dict)
    unread: tuple[str, ...] = ()

    @property
    def sent_back_steps(self) -> Counts:
        """How often each step was sent back, most first."""
        counts: Counter[str] = Counter()
        for line in self.sent_back:
            counts[line.step] += line.count
        return _sorted(counts)


def season(shelf: Shelf, since: int, until: int, filters: Filters | None = None) -> Season:
    """The counts of since <= time < until (ms).

    filters: who (the technician at that moment), kind and state; the week is the caller's span.
    """
    wanted = filters or Filters()
    counts = _Counts()
    marks: dict[str, list[int]] = {}
    for mark in shelf.store.marks(MARKED, since, until):
        marks.setdefault(mark.job, []).append(mark.seq)
    for job, numbers in marks.items():
        found = shelf.read(job, lambda story, numbers=numbers: _picked(story, numbers, wanted))  # type: ignore[misc]
        counts.take(found)
    return counts.season(since, until)


@dataclass(frozen=True)
class _Tally:
    """What one event adds: to which count, under which keys, and what those are called."""

    into: str
    keys: tuple[tuple[str, ...], ...] = ()
    names: tuple[tuple[str, str], ...] = ()


def _picked(story: Story, numbers: Iterable[int], wanted: Filters) -> list[_Tally]:
    """What a job's marked events add; nothing if the job is not one of those asked for."""
    start = story.events[0].data
    if wanted.kind not in ("", start["procedure"]) or wanted.state not in ("", story.state):
        return []
    found = []
    for number in numbers:
        technician = story.technician(number)
        if wanted.who in ("", technician):
            found.append(_tally(story, story.events[number - 1], technician))
    return found


def _tally(story: Story, event: Event, technician: str) -> _Tally:
    data = event.data
    if event.kind == "sent_back":
        by, whose = str(data["name"]), story.name(technician)
        ids = tuple(str(item["step"]) for item in data["steps"])
        return _Tally(event.kind, tuple((id, by, whose) for id in ids), _named(story, ids))
    ids = ()
    if event.kind == "heat_refused":
        ids = tuple(dict.fromkeys(str(reason["about"]) for reason in data["reasons"]))
        step = str(data["step"])
        return _Tally(event.kind, ((step,), *((id,) for id in ids)), _named(story, (step, *ids)))
    if event.kind == "tripped":
        ids = (str(data["first"]["about"]),)
    elif event.kind == "step_excused":
        ids = (str(data["step"]),)
    return _Tally(event.kind, tuple((id,) for id in ids), _named(story, ids))


def _named(story: Story, ids: Iterable[str]) -> tuple[tuple[str, str], ...]:
    return tuple((id, name_of(story.rules, id)) for id in ids)


class _Counts:
    """The counts of a season while they are made. The first key of a refusal is its step, the others its causes."""

    def __init__(self) -> None:
        self.jobs = 0
        self.kinds: Counter[str] = Counter()
        self.steps: Counter[str] = Counter()
        self.by_kind: dict[str, Counter[tuple[str, ...]]] = {kind: Counter() for kind in MARKED}
        self.names: dict[str, str] = {}
        self.unread: list[str] = []

    def take(self, found: list[_Tally] | Unread) -> None:
        """Add what a job gave."""
        if isinstance(found, Unread):
            self.unread.append(found.job)
            return
        self.jobs += bool(found)
        for tally in found:
            self.kinds[tally.into] += 1
            keys = tally.keys
            if tally.into == "heat_refused":
                self.steps[keys[0][0]] += 1
                keys = keys[1:]
            self.by_kind[tally.into].update(keys)
            self.names |= dict(tally.names)

    def season(self, since: int, until: int) -> Season:
        """All that was counted."""
        pairs = {kind: Counter({key[0]: count for key, count in held.items()}) for kind, held in self.by_kind.items()}
        back = sorted(self.by_kind["sent_back"].items(), key=lambda pair: (-pair[1], pair[0]))
        return Season(
            since,
            until,
            self.jobs,
            self.kinds["flame_lit"],
            self.kinds["heat_refused"],
            _sorted(self.steps),
            _sorted(pairs["heat_refused"]),
            _sorted(pairs["tripped"]),
            _sorted(pairs["step_excused"]),
            tuple(SentBack(step, by, technician, count) for (step, by, technician), count in back),
            self.names,
            tuple(sorted(self.unread)),
        )


def _sorted(counter: Counter[str]) -> Counts:
    return tuple(sorted(counter.items(), key=lambda pair: (-pair[1], pair[0])))
