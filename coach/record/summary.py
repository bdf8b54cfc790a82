"""The board's row of a job, folded from its events: state, who, what, and the counts that ask for a look.

Rules kept here:
 1. A row is a function of the entries alone; a store may forget and remake it at any time.
 2. A kind of event that is not named here changes the time and the number of entries, nothing else.
Knows nothing of: the kernel's state (this is only for lists), databases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from coach.core.chain import Entry
from coach.core.events import Event
from coach.record.store import JobQuery, JobRow

STATE_AFTER = {
    "job_started": "open",
    "paused": "paused",
    "resumed": "open",
    "flame_lit": "flame",
    "flame_out": "open",
    "tripped": "tripped",
    "trip_reset": "open",
    "closed": "closed",
    "stopped_safely": "stopped",
    "sent_back": "sent_back",
    "accepted": "accepted",
}
OVER = frozenset({"closed", "stopped", "accepted"})
SEALING = frozenset({"closed", "stopped_safely", "sent_back", "accepted"})
# kinds that a review looks up over all jobs by time
MARKED = frozenset(
    "flame_lit flame_out heat_refused tripped step_excused debt_tagged withdrawn closed stopped_safely sent_back "
    "accepted step_reopened handed_over".split()
)

def row_of(job: str, entries: Iterable[Entry], sealed_at: int, own: bool) -> JobRow:
    """The row of a whole job. `sealed_at`: number of the last sealed entry, 0 if none."""
    row = empty_row(job, own)
    for entry in entries:
        row = row_after(row, entry, entry.event)
    return replace(row, sealed=row.entries > 0 and sealed_at == row.entries)


def fits(row: JobRow, query: JobQuery) -> bool:
    """Whether a row is one that the query asks for."""
    is_due = query.ended_since is None and query.ended_until is None
    if row.ended:
        is_due = (query.ended_since or 0) <= row.ended and (query.ended_until is None or row.ended < query.ended_until)
    return (
        is_due
        and (not query.states or row.state in query.states)
        and query.technician in ("", row.technician)
        and query.procedure in ("", row.procedure)
        and query.practice in (None, row.practice)
    )


def empty_row(job: str, own: bool) -> JobRow:
    """The row before the first event."""
    return JobRow(job, "open", "", "", "", "", "", False, 0, 0, 0, 0, "", False, own)


def row_after(row: JobRow, entry: Entry, event: Event) -> JobRow:
    """The row after one more event; the seal is gone, as it covered only what came before."""
    state = STATE_AFTER.get(event.kind, row.state)
    changes: dict[str, object] = {
        "entries": entry.seq,
        "head": entry.hash,
        "updated": event.at.wall,
        "ended": event.at.wall if state in OVER else 0,
        "sealed": False,
        "state": state,
    }
    if event.kind in _CHANGES:
        changes |= _CHANGES[event.kind](row, event)
    return replace(row, **changes)  # type: ignore[arg-type]


def _start(row: JobRow, event: Event) -> dict[str, object]:
    return {
        "boat": _text(event, "boat"),
        "procedure": _text(event, "procedure"),
        "version": _text(event, "version"),
        "technician": _text(event, "technician"),
        "name": _text(event, "name"),
        "practice": event.data.get("practice") is True,
        "started": event.at.wall,
    }


def _text(event: Event, name: str) -> str:
    value = event.data.get(name, "")
    if isinstance(value, dict):
        value = value.get("name", "")
    return value if isinstance(value, str) else str(value)


def _handed_over(row: JobRow, event: Event) -> dict[str, object]:
    return {"technician": _text(event, "to"), "name": _text(event, "name")}


def _measured(row: JobRow, event: Event) -> dict[str, object]:
    return {"corrections": row.corrections + (event.data.get("previous") is not None)}


_CHANGES: dict[str, Callable[[JobRow, Event], dict[str, object]]] = {
    "job_started": _start,
    "handed_over": _handed_over,
    "measured": _measured,
    "heat_refused": lambda row, event: {"heat_refused": row.heat_refused + 1},
    "tripped": lambda row, event: {"trips": row.trips + 1},
    "step_excused": lambda row, event: {"excused": row.excused + 1},
    "debt_tagged": lambda row, event: {"tags": row.tags + 1},
    "tag_cleared": lambda row, event: {"tags": max(0, row.tags - 1)},
}
