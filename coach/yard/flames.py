"""Who had a flame lit, when, and with which safeguards at which values: the question of a fire inspector.

Rules kept here:
 1. Every flame that burned at any moment of the time asked for is given, with nothing left out because it looks bad;
    a job whose record cannot be read is named.
 2. What a safeguard was is read from the very event that the lighting named; if that is not a proof of this safeguard,
    it is given as not shown.
 3. Times are the wall clock's as the tablet had it. A flame that was lit in the time asked for is given even where the
    clock was set back before it went out.
Knows nothing of: screens, languages.
Called by: view.  Proved by: tests/yard/test_flames.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from typing import Any

from coach.core.events import Event
from coach.record.store import JobQuery
from coach.yard.shelf import Shelf, Story, Unread

DAY = 86_400_000
OUT, TRIPPED, BURNING = "out", "trip", "burning"


@dataclass(frozen=True)
class Shown:
    """What was stated of a safeguard: when (ms), by whom, in which event. event 0: it was not shown at all.

    identified: the persons who showed who they are when it was stated.
    """

    safeguard: str
    event: int = 0
    wall: int = 0
    by: str = ""
    met: bool = False
    values: Mapping[str, Any] = field(default_factory=dict)
    identified: tuple[str, ...] = ()


@dataclass(frozen=True)
class Flame:
    """One flame, from lit to out. Times in ms; out 0: no event says that it is out.

    end: out, trip or burning; lost: the record's reasons for a trip; shown: every safeguard as it was when the
    flame was lit; again: what was stated while it burned; watch_until: when the fire watch after it was called held, 0 if
    it was not; followed: whether another flame came first, after which one watch counts for both.
    """

    job: str
    boat: str
    story: Story
    practice: bool
    step: str
    operator: str
    event: int
    lit: int
    out: int
    end: str
    lost: tuple[Mapping[str, Any], ...]
    shown: tuple[Shown, ...]
    again: tuple[Shown, ...]
    watch_until: int
    followed: bool


@dataclass(frozen=True)
class Flames:
    """The flames by the time they were lit, and the jobs with a flame in this time whose records cannot be read."""

    found: tuple[Flame, ...]
    unread: tuple[Unread, ...] = ()


def flames(shelf: Shelf, since: int, until: int) -> Flames:
    """Every flame that burned at a moment of since <= time < until (ms).

    A flame that no event says is out burns on. One that is out and was lit more than a day before `since` is not looked
    for. Raises StoreError: the disk failed.
    """
    marks: dict[str, set[int]] = {}
    for mark in shelf.store.marks(("flame_lit",), since - DAY, until):
        marks.setdefault(mark.job, set()).add(mark.seq)
    for row in shelf.store.jobs(JobQuery(("flame", "tripped"))):
        marks.setdefault(row.job, set())
    found: list[Flame] = []
    unread: list[Unread] = []
    for job, numbers in marks.items():
        answer = shelf.read(job, lambda story, job=job, numbers=numbers: _of_job(job, story, numbers))  # type: ignore[misc]
        if isinstance(answer, Unread):
            unread.append(answer)
        else:
            burned = [flame for flame in answer if flame.lit >= since or not flame.out or flame.out >= since]
            found += [flame for flame in burned if flame.lit < until]
    return Flames(tuple(sorted(found, key=lambda flame: (flame.lit, flame.job, flame.event))), tuple(unread))


def _of_job(job: str, story: Story, numbers: AbstractSet[int]) -> list[Flame]:
    """The job's flames that are marked, and the one that burns on."""
    last = max((n for n, event in enumerate(story.events, 1) if event.kind in ("flame_lit", "flame_out")), default=0)
    burning = {last} if last and story.events[last - 1].kind == "flame_lit" else set()
    return [_flame(job, story, number) for number in numbers | burning]


def _flame(job: str, story: Story, number: int) -> Flame:
    events = story.events
    lit = events[number - 1]
    after = list(enumerate(events[number:], number + 1))
    trip = next(((n, e) for n, e in after if e.kind in ("tripped", "flame_out")), None)
    out = next(((n, e) for n, e in after if e.kind == "flame_out"), None)
    last = out[0] if out else len(events) + 1
    tripped = trip is not None and trip[1].kind == "tripped"
    return Flame(
        job=job,
        boat=story.boat,
        story=story,
        practice=bool(events[0].data["practice"]),
        step=str(lit.data["step"]),
        operator=str(lit.data["operator"]),
        event=number,
        lit=lit.at.wall,
        out=out[1].at.wall if out else 0,
        end=BURNING if out is None else TRIPPED if tripped else OUT,
        lost=tuple(trip[1].data["reasons"]) if trip is not None and tripped else (),
        shown=_proofs(story, lit),
        again=tuple(_shown(n, e, str(e.data["safeguard"])) for n, e in after if n < last and e.kind == "observed"),
        watch_until=_watch(after, last)[0],
        followed=_watch(after, last)[1],
    )


def _proofs(story: Story, lit: Event) -> tuple[Shown, ...]:
    """Every safeguard of the gate, by the event that the lighting named."""
    named = lit.data["proofs"]
    found = []
    for id in story.rules.safeguards:
        number = named.get(id, 0)
        event = story.events[number - 1] if isinstance(number, int) and 0 < number <= len(story.events) else None
        is_proof = event is not None and event.kind == "observed" and event.data.get("safeguard") == id
        found.append(_shown(number, event, id) if event is not None and is_proof else Shown(id))
    return tuple(found)


def _shown(number: int, event: Event, safeguard: str) -> Shown:
    data = event.data
    identified = tuple(data.get("identified", {}))
    return Shown(safeguard, number, event.at.wall, event.by, data.get("met") is True, data["values"], identified)


def _watch(after: Sequence[tuple[int, Event]], out: int) -> tuple[int, bool]:
    """When the fire watch owed for this flame was called held, 0 if it was not; and whether a later flame came first."""
    for number, event in after:
        if number > out and event.kind == "flame_lit":
            return 0, True
        if number > out and event.kind == "debt_cleared" and event.data["debt"] == "fire_watch":
            return event.at.wall, False
    return 0, False
