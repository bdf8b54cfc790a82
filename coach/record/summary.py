"""The board's row of a job, folded from its events: state, who, what, and the counts that ask for a look.

Rules kept here:
 1. A row is a function of the entries alone; a store may forget and remake it at any time.
 2. A kind of event that is not named here changes the time and the number of entries, nothing else.
Knows nothing of: the kernel's state (this is only for lists), databases.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

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
    [
        "flame_lit",
        "flame_out",
        "heat_refused",
        "tripped",
        "step_excused",
        "debt_tagged",
        "withdrawn",
        "closed",
        "stopped_safely",
        "sent_back",
        "accepted",
        "step_reopened",
        "handed_over",
    ]
)


def row_of(job: str, entries: Sequence[Entry], sealed_at: int, own: bool) -> JobRow:
    """The row of a whole job. `sealed_at`: number of the last sealed entry, 0 if none."""
    row = row_after(empty_row(job, own), entries, [entry.event for entry in entries])
    return replace(row, sealed=row.entries > 0 and sealed_at == row.entries)


def fits(row: JobRow, query: JobQuery) -> bool:
    """Whether a row is one that the query asks for."""
    is_due = query.ended_since is None and query.ended_until is None
    if row.ended:
        is_due = (query.ended_since or 0) <= row.ended and (query.ended_until is None or row.ended < query.ended_until)
    return (
        is_due
        and (query.started_until is None or row.started < query.started_until)
        and (not query.states or row.state in query.states)
        and query.technician in ("", row.technician)
        and query.procedure in ("", row.procedure)
        and query.practice in (None, row.practice)
    )


def empty_row(job: str, own: bool) -> JobRow:
    """The row before the first event."""
    return JobRow(job, "open", "", "", "", "", "", False, 0, 0, 0, 0, "", False, own)


def row_after(row: JobRow, entries: Sequence[Entry], events: Sequence[Event]) -> JobRow:
    """The row after more events, which are those of `entries`; the seal is gone: it covered what came before."""
    if not entries:
        return row
    now = {field: getattr(row, field) for field in _FOLDED}
    for event in events:
        state = STATE_AFTER.get(event.kind)
        if state is not None:
            now["state"] = state
        change = _CHANGES.get(event.kind)
        if change is not None:
            change(now, event)
    last = events[-1].at.wall
    return replace(
        row,
        entries=entries[-1].seq,
        head=entries[-1].hash,
        updated=last,
        ended=last if now["state"] in OVER else 0,
        sealed=False,
        **now,
    )


_FOLDED = (
    "state", "boat", "procedure", "version", "technician", "name", "practice", "started", "heat_refused", "trips",
    "excused", "tags", "corrections",
)  # fmt: skip


def _start(now: dict[str, Any], event: Event) -> None:
    now |= {name: _text(event, name) for name in ("boat", "procedure", "version", "technician", "name")}
    now |= {"practice": event.data.get("practice") is True, "started": event.at.wall}


def _handed_over(now: dict[str, Any], event: Event) -> None:
    now |= {"technician": _text(event, "to"), "name": _text(event, "name")}


def _measured(now: dict[str, Any], event: Event) -> None:
    now["corrections"] += event.data.get("previous") is not None


def _count(name: str, by: int = 1) -> Callable[[dict[str, Any], Event], None]:
    def change(now: dict[str, Any], event: Event) -> None:
        now[name] = max(0, now[name] + by)

    return change


def _text(event: Event, name: str) -> str:
    value = event.data.get(name, "")
    if isinstance(value, dict):
        value = value.get("name", "")
    return value if isinstance(value, str) else str(value)


_CHANGES: dict[str, Callable[[dict[str, Any], Event], None]] = {
    "job_started": _start,
    "handed_over": _handed_over,
    "measured": _measured,
    "heat_refused": _count("heat_refused"),
    "tripped": _count("trips"),
    "step_excused": _count("excused"),
    "debt_tagged": _count("tags"),
    "tag_cleared": _count("tags", -1),
}
