"""Keeps runs in the book of practice, and reads their judgements out of it again.

Rules kept here:
 1. A run is kept whole: its judgement, its events and its track, all as plain values.
 2. A judgement that cannot be read (an older program's) is passed over; the run's own row still counts.
Knows nothing of: how the book is stored.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from coach.practice.assessment import Assessment, as_dict, from_dict
from coach.practice.run import Run
from coach.yard.skillbook import RunRow, SkillBook


def keep(book: SkillBook, run: Run, done: Assessment, day: date) -> None:
    """Keep a run that is over. day: the real day, not the drill's. Raises StoreError."""
    body = {
        "assessment": as_dict(done),
        "events": [event.as_dict() for event in run.job.events],
        "track": [note.as_dict() for note in run.track],
        "number": run.number,
    }
    book.add_run(run.trainee, run.drill.id, day, done.passed, done.score, done.skills, body)


def judgement(row: RunRow) -> Assessment | None:
    """The judgement of a run in the book; None if it cannot be read."""
    try:
        return from_dict(row.body["assessment"])
    except (KeyError, TypeError):
        return None


def judgements(rows: Iterable[RunRow]) -> tuple[Assessment, ...]:
    """The judgements of these runs that can be read."""
    return tuple(done for done in map(judgement, rows) if done is not None)
