"""What every store of records can do, whichever database is under it, and the plain values it answers with.

Rules kept here:
 1. The entries are the truth. Everything else a store answers (rows, marks) is made from them and can be made anew.
 2. What a store has acknowledged is on disk; what it could not store it says, with a StoreError.
 3. A store never reads a clock: times are those of the events, or come from the caller.
Knows nothing of: SQL, files, keys. Implemented by: ledger.py (SQLite), postgres.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any, Protocol

from coach.core.chain import Entry
from coach.core.events import Event
from coach.core.problems import Problem, RecordError, StoreError

Run = Callable[[str, Sequence[object]], list[Any]]
Monitor = Callable[[Sequence[Event]], Sequence[object]]


class Conflict(StoreError):
    """The database refused a row that is there already, or that is not the next: someone else was quicker."""


class Transaction(Protocol):
    """A transaction under way: what sqlite3's connection and psycopg's have in common, with `?` for values."""

    def execute(self, sql: str, values: Sequence[object] = ()) -> Any:
        """Run a statement; the answer has fetchone, fetchall and rowcount."""


class Database(Protocol):
    """The database under a ledger: database.py (SQLite) or postgres.py. Statements are common to both."""

    read_only: Problem | None
    body: str  # the SQL that gives an entry's body as bytes

    def rows(self, sql: str, values: Sequence[object] = ()) -> list[Any]:
        """All rows of a query, within the transaction if one is under way."""

    def change(self) -> AbstractContextManager[Transaction]:
        """One transaction, for `with`: on disk when the block has ended, undone if the block raises."""

    def damage(self) -> list[str]:
        """What the database's own check finds wrong."""

    def close(self) -> None:
        """Let go of it; the next use opens it again."""


@dataclass(frozen=True)
class Head:
    """The last entry of a job as somebody holds it."""

    job: str
    seq: int
    hash: str


@dataclass(frozen=True)
class Signed:
    """A device's signature over the entries of a job up to number `seq`."""

    seq: int
    key_id: str
    signature: bytes


@dataclass(frozen=True)
class JobRow:
    """One line of the board. Times in ms since 1970 UTC; states as in summary.STATE_AFTER.

    ended: the time of the last event if nothing is left to do but to review (closed, stopped, accepted), else 0.
    """

    job: str
    state: str
    boat: str
    procedure: str
    version: str
    technician: str
    name: str
    practice: bool
    started: int
    updated: int
    ended: int
    entries: int
    head: str
    sealed: bool
    own: bool
    heat_refused: int = 0
    trips: int = 0
    excused: int = 0
    tags: int = 0
    corrections: int = 0


@dataclass(frozen=True)
class JobQuery:
    """Which rows of the board: every field that is set must fit. Times as in JobRow.

    Jobs that are not over come first, then those that are; each newest change first. `ended_since` and `ended_until`
    (exclusive) leave out jobs that are not over; `started_until` (exclusive) does not.
    """

    states: tuple[str, ...] = ()
    technician: str = ""
    procedure: str = ""
    practice: bool | None = None
    ended_since: int | None = None
    ended_until: int | None = None
    limit: int | None = None
    offset: int = 0
    started_until: int | None = None


EVERYTHING = JobQuery()


@dataclass(frozen=True)
class Mark:
    """One event that a review asks for over all jobs, found by kind and time."""

    job: str
    seq: int
    kind: str
    wall: int


@dataclass(frozen=True)
class Finding:
    """Something about a job that a person must look at and that no later file takes away: a fork, a truncation."""

    code: str
    job: str
    text: str
    kept: str
    at: int


@dataclass(frozen=True)
class JobParts:
    """All that a store holds of one job: what an export is written from and what a received file brings."""

    job: str
    entries: tuple[Entry, ...]
    signatures: tuple[Signed, ...]
    seals: tuple[Signed, ...]
    keys: Mapping[str, bytes]
    documents: Mapping[str, str]


class Memory(Protocol):
    """What a store remembers of exchanges with other devices (memory.py says more of each)."""

    def was_received(self, file_hash: str) -> bool:
        """Whether a file with this SHA-256 was taken in, or sent, before."""

    def note_received(self, file_hash: str, job: str, seq: int) -> None:
        """Remember it."""

    def note_finding(self, finding: Finding) -> bool:
        """Keep a finding for good; whether it is new."""

    def findings(self) -> list[Finding]:
        """All findings, oldest first."""

    def told(self, key_id: str) -> bytes | None:
        """The newest list of heads known of a tablet."""

    def note_told(self, key_id: str, number: int, raw: bytes) -> None:
        """Keep a tablet's newer list in place of the older."""


class Store(Protocol):
    """A store of jobs. Errors: StoreError if the disk or the database failed, RecordError if the record is wrong."""

    @property
    def memory(self) -> Memory:
        """What it remembers of exchanges."""

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str]) -> list[Entry]:
        """Begin a job with its first events; `documents` are the texts whose hashes job_started names."""

    def append(self, job: str, events: Sequence[Event], after: int | None = None) -> list[Entry]:
        """Add events; returns when they are on disk. `after`: the number of entries the caller has seen."""

    def sign(self) -> int:
        """Sign every job's own entries that are not yet signed; returns the number of signatures."""

    def seal(self, job: str) -> Signed:
        """The seal of a finished job; made now if the monitor has nothing against it."""

    def jobs(self, query: JobQuery = EVERYTHING) -> list[JobRow]:
        """Rows of the board."""

    def events(self, job: str) -> tuple[Event, ...]:
        """All events of a job, in order."""

    def entries(self, job: str) -> tuple[Entry, ...]:
        """All entries of a job, in order, bytes as stored."""

    def parts(self, job: str) -> JobParts:
        """All that is held of one job."""

    def add(self, parts: JobParts) -> int:
        """Store entries written elsewhere (already verified); returns how many were new."""

    def add_all(self, batch: Sequence[tuple[JobParts, str]]) -> list[int | RecordError]:
        """As `add`, for many jobs in one transaction; with each the file to remember as received ("" for none)."""

    def retire(self, job: str, seq: int, hash: str, file_hash: str, at: int) -> None:
        """Take a job away that was written out (retention.py), and remember its head and its file's hash."""

    def heads(self) -> list[Head]:
        """The head of every job, also of those that were retired."""

    def marks(self, kinds: Sequence[str], since: int, until: int) -> list[Mark]:
        """Events of these kinds with since <= wall < until, oldest first."""

    def verify(self, job: str | None = None) -> list[Problem]:
        """What does not fit in one job or in all."""

    def close(self) -> None:
        """Let go of the database."""
