"""A store that is forgotten with the program: for practice, of which nothing may reach a ledger.

Knows nothing of: files.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coach.core.events import Event


class MemoryStore:
    """A store (job.JobStore) of one job, in memory only."""

    def __init__(self) -> None:
        self._events: list[Event] = []

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str]) -> object:
        """Keep the first events."""
        self._events = list(events)
        return None

    def append(self, job: str, events: Sequence[Event]) -> object:
        """Keep more events."""
        self._events.extend(events)
        return None

    def events(self, job: str) -> tuple[Event, ...]:
        """All of them."""
        return tuple(self._events)
