"""What the crew of a yard has shown: in drills (the book of practice), and in real jobs that were accepted (ledger).

Rules kept here:
 1. The ledger is only read. Practice jobs and jobs that nobody accepted count for nothing.
 2. What was read is kept until `forget`, or until another day begins: it is looked at before each job, not each step.
Knows nothing of: what a skill is needed for (skills), screens.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Protocol

from coach.core.model import Procedure
from coach.record.store import JobParts, JobQuery, JobRow
from coach.yard.real_jobs import shown_by_job
from coach.yard.skillbook import SkillBook
from coach.yard.skills import Shown


class Jobs(Protocol):
    """What is needed of a ledger."""

    def jobs(self, query: JobQuery = ...) -> list[JobRow]: ...

    def parts(self, job: str) -> JobParts: ...


class CrewRecord:
    """The record of one yard. read: makes a procedure of the text that a ledger keeps."""

    def __init__(self, book: SkillBook, ledger: Jobs, read: Callable[[str], Procedure]) -> None:
        self._book = book
        self._ledger = ledger
        self._read = read
        self._stages: dict[str, Mapping[str, str]] = {}
        self._kept: tuple[date, tuple[Shown, ...]] | None = None

    def shown(self, today: date) -> tuple[Shown, ...]:
        """Everything that anybody has shown. Raises StoreError, RecordError: the book or the ledger."""
        if self._kept is None or self._kept[0] != today:
            self._kept = (today, (*self._book.shown(), *self._of_jobs()))
        return self._kept[1]

    def forget(self) -> None:
        """Read the book and the ledger again the next time: something was added."""
        self._kept = None

    def _of_jobs(self) -> tuple[Shown, ...]:
        found: list[Shown] = []
        for row in self._ledger.jobs(JobQuery(states=("accepted",), practice=False)):
            parts = self._ledger.parts(row.job)
            events = [entry.event for entry in parts.entries]
            found += shown_by_job(events, self._stages_of(str(events[0].data["procedure_hash"]), parts.documents))
        return tuple(found)

    def _stages_of(self, hash: str, documents: Mapping[str, str]) -> Mapping[str, str]:
        if hash not in self._stages:
            self._stages[hash] = {step.id: step.stage for step in self._read(documents[hash]).steps}
        return self._stages[hash]
