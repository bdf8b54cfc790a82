"""The ledger of a device: every job's entries in one SQLite file, each act on disk before it is acknowledged.

Rules kept here:
 1. One act, one transaction: its entries, this device's signature over the last of them, the board's row. When
    `append` has returned, all of it is on disk; when it raises, read the job again: what is there is what counts.
 2. Nobody adds to a job that has moved on since they last looked at it (two windows, two programs).
 3. A job begun on another device is only reviewed here: sent back, accepted, a tag cleared; and only when finished.
 4. A finished job is sealed only if the monitor, which reads the log on its own, has nothing against it. Its events
    are kept in any case.
Knows nothing of: clocks, the kernel, screens. Proved by: tests/record/.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import astuple, replace
from pathlib import Path

from coach.core.canonical import text_hash
from coach.core.chain import ZEROS, Entry, extend, head_message, is_job_id, seal_message
from coach.core.events import Event
from coach.core.problems import Problem, RecordError, StoreError
from coach.record import refusals, rows
from coach.record.check import check, named_documents
from coach.record.database import Database
from coach.record.keys import Signer
from coach.record.store import Finding, Head, JobParts, JobQuery, JobRow, Mark, Monitor, Signed
from coach.record.summary import SEALING, empty_row, row_after, row_of

FINISHED = frozenset({"closed", "stopped", "sent_back", "accepted"})
REVIEWING = frozenset({"sent_back", "accepted", "tag_cleared"})


class Ledger:
    """A store (store.Store) on SQLite. One instance a thread; several programs may hold the same file."""

    def __init__(self, database: Database, signer: Signer | None, monitor: Monitor | None) -> None:
        self._database = database
        self._signer = signer
        self._monitor = monitor
        self._seen: dict[str, int] = {}

    @staticmethod
    def open(path: Path, signer: Signer | None = None, monitor: Monitor | None = None) -> Ledger:
        """Open or make the ledger at `path`.

        Args:
            path: the SQLite file; its folder is made if need be.
            signer: the device's key; without it the ledger only reads and receives.
            monitor: answers with what it has against a finished job's events; without it nothing is sealed.

        Raises:
            StoreError R401 to R408: the disk, or a file of a newer version.
        """
        return Ledger(Database(path), signer, monitor)

    @property
    def read_only(self) -> Problem | None:
        """Why this ledger only shows and takes nothing in; None as long as it takes."""
        return self._database.read_only

    @property
    def key_id(self) -> str:
        """The id of this device's key; empty without one."""
        return self._signer.key_id if self._signer else ""

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str] = ()) -> list[Entry]:
        """Begin a job; returns its first entries when they are on disk.

        Args:
            job: its id, also a file name: A-Z a-z 0-9 . _ - (64 at most).
            events: the first is job_started.
            documents: the procedure's and the policy's exact texts; their SHA-256 are the event's procedure_hash
                and policy_hash (canonical.text_hash).

        Raises:
            RecordError R411: bad id or first event, R412: job exists, R413: a text that the start names is not given.
            StoreError: the disk failed; nothing was begun unless R409 says so.
        """
        if not is_job_id(job) or not events or events[0].kind != "job_started":
            raise RecordError(refusals.no_start(job))
        texts = {text_hash(text): text for text in documents}
        made = extend(job, 0, ZEROS, events)
        missing = [hash for hash in named_documents(tuple(made)) if hash not in texts]
        if missing:
            raise RecordError(*(refusals.no_document(hash) for hash in missing))

        def fill(db: sqlite3.Connection) -> list[Entry]:
            if rows.head(db, job) is not None:
                raise RecordError(refusals.job_exists(job))
            for hash, text in texts.items():
                db.execute("INSERT OR IGNORE INTO document VALUES (?, ?)", (hash, text))
            self._insert(db, made, events, empty_row(job, own=True))
            return made

        return self._write(job, fill, made)

    def append(self, job: str, events: Sequence[Event], after: int | None = None) -> list[Entry]:
        """Add events to a job; returns their entries when they are on disk.

        Args:
            job: the job.
            events: in order; none gives an empty answer and writes nothing.
            after: the number of entries the caller has seen; left out, the number this ledger last told.

        Raises:
            RecordError R414: no such job, R415: the job has moved on, R416: not ours to go on with.
            StoreError: the disk failed; none of the events was stored unless R409 says so.
        """
        if not events:
            return []
        made: list[Entry] = []

        def fill(db: sqlite3.Connection) -> list[Entry]:
            head = rows.head(db, job)
            if head is None:
                raise RecordError(refusals.no_job(job))
            seen = self._seen.get(job, head.seq) if after is None else after
            if seen != head.seq:
                raise RecordError(refusals.moved_on(job, seen, head.seq))
            row = rows.job_row(db.execute(f"SELECT {rows.COLUMNS} FROM job WHERE job = ?", (job,)).fetchone())
            if not row.own:
                _refuse_foreign(row, events)
            made.extend(extend(job, head.seq, head.hash, events))
            self._insert(db, made, events, row)
            return made

        return self._write(job, fill, made)

    def seal(self, job: str) -> Signed:
        """The seal over the whole of a finished job; made now if there is none yet and the monitor agrees.

        Raises:
            RecordError R417: not finished, R418: the monitor objects, or there is none. StoreError: the disk failed.
        """
        signer = self._signing()
        parts = self.parts(job)
        last = parts.entries[-1]
        for signed in parts.seals:
            if signed.seq == last.seq and signed.key_id == signer.key_id:
                return signed
        events = [entry.event for entry in parts.entries]
        if events[-1].kind not in SEALING:
            raise RecordError(refusals.not_finished(job))
        if self._monitor is None:
            raise RecordError(refusals.objection(job, "no monitor has read it"))
        objections = self._monitor(events)
        if objections:
            raise RecordError(*(refusals.objection(job, str(each)) for each in objections))
        signature = signer.sign(seal_message(job, last.seq, last.hash, signer.key_id))
        with self._database.change() as db:
            values = (job, last.seq, rows.signer_number(db, signer.key_id, signer.public), signature)
            db.execute("INSERT OR IGNORE INTO seal VALUES (?, ?, ?, ?)", values)
            db.execute("UPDATE job SET sealed = 1 WHERE job = ? AND entries = ?", (job, last.seq))
        return Signed(last.seq, signer.key_id, signature)

    def jobs(self, query: JobQuery = JobQuery()) -> list[JobRow]:
        """The board's rows that fit, newest change first."""
        return [rows.job_row(row) for row in self._database.rows(*rows.board(query))]

    def events(self, job: str) -> tuple[Event, ...]:
        """All events of a job in order.

        Raises:
            RecordError R414: no such job, R205: an entry is no event. StoreError: the disk failed.
        """
        return tuple(entry.event for entry in self.entries(job))

    def entries(self, job: str) -> tuple[Entry, ...]:
        """All entries of a job in order; errors as in `events`."""
        return self.parts(job).entries

    def parts(self, job: str) -> JobParts:
        """All that is held of a job; errors as in `events`."""
        found = self._database.rows(rows.ENTRIES, (job,))
        if not found:
            raise RecordError(refusals.no_job(job))
        seals = self._database.rows("SELECT seq, signer, signature FROM seal WHERE job = ? ORDER BY seq, signer", (job,))
        used = {row[3] for row in found if row[3] is not None} | {row[1] for row in seals}
        signers = {no: (id, public) for no, id, public in self._database.rows("SELECT * FROM signer") if no in used}
        entries = rows.entries_of(job, found)
        self._seen[job] = entries[-1].seq
        return JobParts(
            job,
            entries,
            tuple(Signed(seq, signers[no][0], value) for seq, _, _, no, value in found if no is not None),
            tuple(Signed(seq, signers[no][0], value) for seq, no, value in seals),
            dict(signers.values()),
            self._documents(entries),
        )

    def add(self, parts: JobParts) -> int:
        """Store what another device wrote; returns the number of entries that were new.

        The parts must have been checked. Entries held already stay; the new must go on from them.

        Raises:
            RecordError R419: they tell another history than the one held. StoreError: the disk failed.
        """
        with self._database.change() as db:
            held = rows.head(db, parts.job)
            count = held.seq if held else 0
            known = count == 0 or (count <= len(parts.entries) and parts.entries[count - 1].hash == held.hash)
            if not known and not rows.holds(db.execute, parts.entries[-1]):
                raise RecordError(refusals.forked(parts.job))
            for hash, text in parts.documents.items():
                db.execute("INSERT OR IGNORE INTO document VALUES (?, ?)", (hash, text))
            numbers = {id: rows.signer_number(db, id, public) for id, public in parts.keys.items()}
            signed = {each.seq: (numbers[each.key_id], each.signature) for each in parts.signatures}
            new = parts.entries[count:]
            rows.insert_entries(db, new, signed)
            for seal in parts.seals:
                values = (parts.job, seal.seq, numbers[seal.key_id], seal.signature)
                db.execute("INSERT OR IGNORE INTO seal VALUES (?, ?, ?, ?)", values)
            self._remake_row(db, parts.job)
        return len(new)

    def heads(self) -> list[Head]:
        """The head of every job, by job."""
        return [Head(*row) for row in self._database.rows("SELECT job, entries, head FROM job ORDER BY job")]

    def marks(self, kinds: Sequence[str], since: int, until: int) -> list[Mark]:
        """Events of these kinds (of summary.MARKED) with since <= wall < until, oldest first."""
        sql = "SELECT job, seq, kind, wall FROM mark WHERE kind = ? AND wall >= ? AND wall < ?"
        found = [Mark(*row) for kind in kinds for row in self._database.rows(sql, (kind, since, until))]
        return sorted(found, key=lambda mark: (mark.wall, mark.job, mark.seq))

    def verify(self, job: str | None = None) -> list[Problem]:
        """What does not fit: chain, signatures, seals, texts, and the board's row. Without a job: all, and the file.

        Raises:
            StoreError: the file cannot be read at all. RecordError R414: no such job.
        """
        if job is not None:
            parts = self.parts(job)
            return check(parts) + self._row_faults(parts)
        lines = [text for (text,) in self._database.rows("PRAGMA integrity_check") if text != "ok"]
        problems = [refusals.damaged(text) for text in lines]
        for (each,) in self._database.rows("SELECT DISTINCT job FROM entry ORDER BY job"):
            problems += self.verify(each)
        return problems

    def rebuild(self) -> int:
        """Make the board's rows and the marks anew from the entries; returns the number of jobs."""
        with self._database.change() as db:
            db.execute("DELETE FROM job")
            db.execute("DELETE FROM mark")
            names = [name for (name,) in db.execute("SELECT DISTINCT job FROM entry ORDER BY job").fetchall()]
            for name in names:
                self._remake_row(db, name)
        return len(names)

    def was_received(self, file_hash: str) -> bool:
        """Whether a file with this SHA-256 was taken in before."""
        return bool(self._database.rows("SELECT 1 FROM received WHERE hash = ?", (file_hash,)))

    def note_received(self, file_hash: str, job: str, seq: int) -> None:
        """Remember a file that was taken in whole."""
        with self._database.change() as db:
            db.execute("INSERT OR IGNORE INTO received VALUES (?, ?, ?)", (file_hash, job, seq))

    def note_finding(self, finding: Finding) -> None:
        """Keep a finding for good; the same one twice is kept once."""
        with self._database.change() as db:
            sql = "INSERT OR IGNORE INTO finding (code, job, text, kept, at) VALUES (?, ?, ?, ?, ?)"
            db.execute(sql, astuple(finding))

    def findings(self) -> list[Finding]:
        """All findings, oldest first."""
        return [Finding(*row) for row in self._database.rows("SELECT code, job, text, kept, at FROM finding ORDER BY no")]

    def close(self) -> None:
        """Let go of the file."""
        self._database.close()

    def _signing(self) -> Signer:
        if self._signer is None:
            raise RecordError(refusals.no_signer())
        return self._signer

    def _write(self, job: str, fill: Callable[[sqlite3.Connection], list[Entry]], made: list[Entry]) -> list[Entry]:
        """Run one act's transaction; after a failed disk, say whether the act is in the file all the same."""
        self._signing()
        try:
            with self._database.change() as db:
                made = fill(db)
        except StoreError as error:
            if made and self._is_held(made[-1]):
                raise StoreError(*error.problems, refusals.stored_all_the_same(job)) from error
            raise
        self._seen[job] = made[-1].seq
        return made

    def _is_held(self, entry: Entry) -> bool:
        try:
            return rows.holds(self._database.rows, entry)
        except StoreError:  # the disk is gone altogether: the first error has said so
            return False

    def _insert(
        self, db: sqlite3.Connection, made: Sequence[Entry], events: Sequence[Event], row: JobRow
    ) -> None:
        """Write entries, the signature over the last of them, the marks and the board's row."""
        signer, last = self._signing(), made[-1]
        number = rows.signer_number(db, signer.key_id, signer.public)
        signature = signer.sign(head_message(last.job, last.seq, last.hash, signer.key_id))
        rows.insert_entries(db, made, {last.seq: (number, signature)})
        for entry, event in zip(made, events, strict=True):
            row = row_after(row, entry, event)
            rows.put_mark(db, entry, event.kind, event.at.wall)
        rows.put_row(db, row)

    def _documents(self, entries: tuple[Entry, ...]) -> dict[str, str]:
        found: dict[str, str] = {}
        for hash in named_documents(entries):
            found |= dict(self._database.rows("SELECT hash, text FROM document WHERE hash = ?", (hash,)))
        return found

    def _remake_row(self, db: sqlite3.Connection, job: str) -> None:
        entries = rows.entries_of(job, db.execute(rows.ENTRIES, (job,)))
        first = db.execute(rows.FIRST_SIGNER, (job,)).fetchone()
        sealed = db.execute("SELECT coalesce(max(seq), 0) FROM seal WHERE job = ?", (job,)).fetchone()[0]
        rows.put_row(db, row_of(job, entries, sealed, own=bool(first) and first[0] == self.key_id))
        for entry in entries:
            event = entry.event
            rows.put_mark(db, entry, event.kind, event.at.wall)

    def _row_faults(self, parts: JobParts) -> list[Problem]:
        found = self._database.rows(f"SELECT {rows.COLUMNS} FROM job WHERE job = ?", (parts.job,))
        sealed = max((seal.seq for seal in parts.seals), default=0)
        try:
            due = row_of(parts.job, parts.entries, sealed, own=False)
        except RecordError:  # entries that are no events are named by the chain's own check
            return []
        if found and replace(rows.job_row(found[0]), own=False) == due:
            return []
        return [refusals.wrong_row(parts.job)]


def _refuse_foreign(row: JobRow, events: Sequence[Event]) -> None:
    """Refuse what another device's job may not take from here."""
    if row.state not in FINISHED or any(event.kind not in REVIEWING for event in events):
        raise RecordError(refusals.not_ours(row.job))
