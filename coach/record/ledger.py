"""The ledger of a device: every job's entries in one SQLite file, each act on disk before it is acknowledged.

Rules kept here:
 1. One act, one transaction. When `append` has returned, all of it is on disk; when it raises, read the job again:
    what is there is what counts.
 2. Every act ends with the device's own mark (a MAC over the head); `sign` turns marks into signatures: at each seal,
    export, opening and closing. A tail that does not carry its mark was not written by this app and is never signed.
 3. Nobody adds to a job that has moved on since they last looked at it (two windows, two programs).
 4. A job begun on another device is only reviewed here: sent back, accepted, a tag cleared; and only when finished.
 5. A finished job is sealed only if the monitor, which reads the log on its own, has nothing against it. Its events
    are kept in any case.
Knows nothing of: clocks, the kernel, screens. Proved by: tests/record/.
"""

from __future__ import annotations

import hmac
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from coach.core.canonical import text_hash
from coach.core.chain import ZEROS, Entry, extend, head_message, is_job_id, seal_message, verify
from coach.core.events import Event
from coach.core.problems import Problem, RecordError, StoreError
from coach.record import refusals, rows
from coach.record.board import Board
from coach.record.check import check, named_documents
from coach.record.database import Database
from coach.record.keys import Signer
from coach.record.memory import Memory
from coach.record.store import Head, JobParts, JobQuery, JobRow, Mark, Monitor, Signed
from coach.record.summary import MARKED, OVER, SEALING, empty_row, row_of

REVIEWABLE = OVER | {"sent_back"}
REVIEWING = frozenset({"sent_back", "accepted", "tag_cleared"})


class Ledger:
    """A store (store.Store) on SQLite. One instance a thread; several programs may hold the same file."""

    def __init__(self, database: Database, signer: Signer | None, monitor: Monitor | None) -> None:
        self._database = database
        self._board = Board(database)
        self.memory = Memory(database)
        self._signer = signer
        self._monitor = monitor
        self._seen: dict[str, Head] = {}  # the head of each job as this ledger last told it
        self._going: set[str] = set()  # own jobs that were not over when this ledger last wrote to them

    @staticmethod
    def open(path: Path, signer: Signer | None = None, monitor: Monitor | None = None) -> Ledger:
        """Open or make the ledger at `path`, and sign what a sudden end left unsigned.

        Args:
            path: the SQLite file; its folder is made if need be.
            signer: the device's key; without it the ledger only reads and receives.
            monitor: answers with what it has against a finished job's events; without it nothing is sealed.

        Raises:
            StoreError R401 to R408: the disk, or a file of a newer version.
        """
        ledger = Ledger(Database(path), signer, monitor)
        ledger._sign_if_possible()
        return ledger

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
        signer = self._signing()
        if not is_job_id(job) or not events or events[0].kind != "job_started":
            raise RecordError(refusals.no_start(job))
        texts = {text_hash(text): text for text in documents}
        made = extend(job, 0, ZEROS, events)
        missing = [hash for hash in named_documents(tuple(made)) if hash not in texts]
        if missing:
            raise RecordError(*(refusals.no_document(hash) for hash in missing))

        def fill(db: sqlite3.Connection) -> None:
            if rows.head(db, job) is not None:
                raise RecordError(refusals.job_exists(job))
            for hash, text in texts.items():
                db.execute("INSERT OR IGNORE INTO document VALUES (?, ?)", (hash, text))
            self._insert(db, made)
            db.execute("INSERT INTO begun VALUES (?)", (job,))
            self._board.put(db, empty_row(job, own=True), made, events)

        return self._write(job, fill, made)

    def append(self, job: str, events: Sequence[Event], after: int | None = None) -> list[Entry]:
        """Add events to a job; returns their entries when they are on disk.

        Args:
            job: the job.
            events: in order; none gives an empty answer and writes nothing.
            after: the number of entries the caller has seen; left out, the number this ledger last told.

        Raises:
            RecordError R414: no such job, R415: the job has moved on, R416: not ours to go on with, R422: its last
                entries were changed from outside.
            StoreError: the disk failed; none of the events was stored unless R409 says so.
        """
        if not events:
            return []
        self._signing()
        seen = self._seen.get(job)
        made: list[Entry] = []

        def fill_next(db: sqlite3.Connection) -> None:
            """The quick way: the table's own trigger refuses a number that is not the next."""
            assert seen is not None
            made.extend(extend(job, seen.seq, seen.hash, events))
            self._insert_next(db, made, seen)
            for entry, event in zip(made, events):
                if event.kind in MARKED:
                    rows.put_mark(db, entry, event.kind, event.at.wall)

        def fill(db: sqlite3.Connection) -> None:
            row = self._writable(db, job, seen.seq if after is None and seen else after, events)
            made.extend(extend(job, row.entries, row.head, events))
            self._insert(db, made)
            row = self._board.put(db, row, made, events)
            (self._going.discard if row.ended or not row.own else self._going.add)(job)

        goes_on = seen is not None and job in self._going and after in (None, seen.seq)
        quick = goes_on and SEALING.isdisjoint([event.kind for event in events])
        return self._write(job, fill_next if quick else fill, made)

    def sign(self) -> int:
        """Sign every own job whose last entries are not yet signed; returns the number of signatures made.

        Without a key, or if nothing can be written, 0. For idle moments; opening and closing call it.

        Raises:
            StoreError: the disk failed.
        """
        signer = self._signer
        if signer is None or self.read_only is not None:
            return 0
        waiting = [job for (job,) in self._database.rows(rows.UNSIGNED)]
        if not waiting:
            return 0
        made = 0
        with self._database.change() as db:
            number = rows.signer_number(db, signer)
            self._board.catch_up(db)
            for job in waiting:
                head = rows.head(db, job)
                if head is not None and self._is_marked(rows.mac_of(db, head), head):
                    signed = Signed(head.seq, signer.key_id, signer.sign(head_message(job, head.seq, head.hash, signer.key_id)))
                    rows.insert_signed(db, "signature", job, [signed], {signer.key_id: number})
                    made += 1
        return made

    def seal(self, job: str) -> Signed:
        """The seal over the whole of a finished job; made now if there is none yet and the monitor agrees.

        Raises:
            RecordError R417: not finished, R418: the monitor objects, or there is none; R201 to R207, R422: the job
                was changed from outside. StoreError: the disk failed.
        """
        signer = self._signing()
        parts = self.parts(job)
        last = parts.entries[-1]
        for signed in parts.seals:
            if signed.seq == last.seq and signed.key_id == signer.key_id:
                return signed
        faults = verify(parts.entries)
        if faults:
            raise RecordError(*faults)
        if last.event.kind not in SEALING:
            raise RecordError(refusals.not_finished(job))
        if self._monitor is None:
            raise RecordError(refusals.objection(job, "no monitor has read it"))
        objections = self._monitor([entry.event for entry in parts.entries])
        if objections:
            raise RecordError(*(refusals.objection(job, str(each)) for each in objections))
        heads = [signed for signed in parts.signatures if signed.seq == last.seq]
        if not heads:
            raise RecordError(refusals.not_our_tail(job))
        made = Signed(last.seq, signer.key_id, signer.sign(seal_message(job, last.seq, last.hash, signer.key_id)))
        with self._database.change() as db:
            numbers = {id: rows.key_number(db, id, public) for id, public in parts.keys.items()}
            rows.insert_signed(db, "signature", job, heads, numbers)
            rows.insert_signed(db, "seal", job, [made], {signer.key_id: rows.signer_number(db, signer)})
            db.execute("UPDATE job SET sealed = 1 WHERE job = ? AND entries = ?", (job, last.seq))
        return made

    def jobs(self, query: JobQuery = JobQuery()) -> list[JobRow]:
        """The board's rows that fit: jobs that are not over first, then the others, each newest change first."""
        return self._board.jobs(query)

    def heads(self) -> list[Head]:
        """The head of every job, by job."""
        return self._board.heads()

    def marks(self, kinds: Sequence[str], since: int, until: int) -> list[Mark]:
        """Events of these kinds (of summary.MARKED) with since <= wall < until, oldest first."""
        return self._board.marks(kinds, since, until)

    def events(self, job: str) -> tuple[Event, ...]:
        """All events of a job in order.

        Raises:
            RecordError R414: no such job, R205: an entry is no event. StoreError: the disk failed.
        """
        return tuple(entry.event for entry in self.entries(job))

    def entries(self, job: str) -> tuple[Entry, ...]:
        """All entries of a job in order; errors as in `events`."""
        entries = rows.entries_of(job, self._database.rows(rows.ENTRIES, (job,)))
        if not entries:
            raise RecordError(refusals.no_job(job))
        head = Head(job, entries[-1].seq, entries[-1].hash)
        if self._seen.get(job) != head:
            self._seen[job] = head
            self._going.discard(job)
        return entries

    def parts(self, job: str) -> JobParts:
        """All that is held of a job, signed to its last entry if that is this device's; errors as in `events`."""
        parts = self._parts(job)
        last = parts.entries[-1]
        signer = self._signer
        if signer is None or any(signed.seq == last.seq for signed in parts.signatures) or not self._knows_tail(parts):
            return parts
        signed = Signed(last.seq, signer.key_id, signer.sign(head_message(job, last.seq, last.hash, signer.key_id)))
        return replace(
            parts, signatures=(*parts.signatures, signed), keys={**parts.keys, signer.key_id: signer.public}
        )

    def add(self, parts: JobParts) -> int:
        """Store what another device wrote; returns the number of entries that were new.

        The parts must have been checked. Entries held already stay; the new must go on from them.

        Raises:
            RecordError R419: they tell another history than the one held. StoreError: the disk failed.
        """
        (answer,) = self.add_all([(parts, "")])
        if isinstance(answer, RecordError):
            raise answer
        return answer

    def add_all(self, batch: Sequence[tuple[JobParts, str]]) -> list[int | RecordError]:
        """As `add`, for many jobs in one transaction: each answer is what `add` would answer or raise.

        With each job the SHA-256 of the file it came in, to be remembered as received; empty for none.
        """
        answers: list[int | RecordError] = []
        with self._database.change() as db:
            for parts, file_hash in batch:
                try:
                    answers.append(self._add(db, parts))
                except RecordError as error:  # raised before anything of this job was written
                    answers.append(error)
                if file_hash:
                    db.execute(rows.RECEIVED, (file_hash, parts.job, len(parts.entries)))
        return answers

    def verify(self, job: str | None = None) -> list[Problem]:
        """What does not fit: chain, signatures, seals, texts, and the board's row. Without a job: all, and the file.

        Raises:
            StoreError: the file cannot be read at all. RecordError R414: no such job.
        """
        if job is not None:
            parts = self._parts(job)
            return check(parts, tail_known=self._knows_tail(parts)) + self._row_faults(parts)
        lines = [text for (text,) in self._database.rows("PRAGMA integrity_check") if text != "ok"]
        problems = [refusals.damaged(text) for text in lines]
        for (each,) in self._database.rows("SELECT DISTINCT job FROM entry ORDER BY job"):
            problems += self.verify(each)
        return problems

    def rebuild(self) -> int:
        """Make the board's rows and the marks anew from the entries; returns the number of jobs.

        Raises:
            StoreError: the disk failed.
        """
        return self._board.rebuild()

    def close(self) -> None:
        """Sign what is unsigned and let go of the file; a later use opens it again."""
        self._sign_if_possible()
        self._database.close()

    def _sign_if_possible(self) -> None:
        """At opening and closing a disk that takes nothing is no reason to stop: what is there can still be shown.

        Unsigned entries keep the device's mark and are signed another time; the next act meets the disk and says so.
        """
        try:
            self.sign()
        except StoreError:
            self._database.close()

    def _signing(self) -> Signer:
        if self._signer is None:
            raise RecordError(refusals.no_signer())
        return self._signer

    def _write(self, job: str, fill: Callable[[sqlite3.Connection], None], made: list[Entry]) -> list[Entry]:
        """Run one act's transaction; after a failed disk, say whether the act is in the file all the same."""
        try:
            with self._database.change() as db:
                fill(db)
        except StoreError as error:
            self._going.discard(job)
            if made and self._is_held(made[-1]):
                raise StoreError(*error.problems, refusals.stored_all_the_same(job)) from error
            raise
        last = made[-1]
        self._seen[job] = Head(job, last.seq, last.hash)
        return made

    def _is_held(self, entry: Entry) -> bool:
        try:
            return rows.holds(self._database.rows, entry)
        except StoreError:  # the disk is gone altogether: the first error has said so
            return False

    def _insert(self, db: sqlite3.Connection, made: Sequence[Entry]) -> None:
        """Write the entries of one act with the device's mark at the last."""
        last = made[-1]
        rows.insert_entries(db, made, self._mark(last.job, last.seq, last.hash))

    def _insert_next(self, db: sqlite3.Connection, made: Sequence[Entry], seen: Head) -> None:
        try:
            self._insert(db, made)
        except sqlite3.IntegrityError:
            held = rows.head(db, seen.job)
            if held is None or held.seq == seen.seq:
                raise
            raise RecordError(refusals.moved_on(seen.job, seen.seq, held.seq)) from None

    def _writable(self, db: sqlite3.Connection, job: str, seen: int | None, events: Sequence[Event]) -> JobRow:
        """The row of a job that may take these events; refuses with the reason."""
        row = self._board.row(job)
        if row is None:
            raise RecordError(refusals.no_job(job))
        if seen is not None and seen != row.entries:
            raise RecordError(refusals.moved_on(job, seen, row.entries))
        if not row.own and (row.state not in REVIEWABLE or any(event.kind not in REVIEWING for event in events)):
            raise RecordError(refusals.not_ours(job))
        head = Head(job, row.entries, row.head)
        if not self._is_marked(rows.mac_of(db, head), head) and not rows.is_signed(db, head):
            raise RecordError(refusals.not_our_tail(job))
        return row

    def _mark(self, job: str, seq: int, hash: str) -> bytes:
        signer = self._signing()
        return signer.mac(head_message(job, seq, hash, signer.key_id))

    def _is_marked(self, mac: bytes | None, head: Head) -> bool:
        """Whether this device's app wrote the entries up to this head."""
        if mac is None or self._signer is None:
            return False
        return hmac.compare_digest(mac, self._mark(head.job, head.seq, head.hash))

    def _add(self, db: sqlite3.Connection, parts: JobParts) -> int:
        job = parts.job
        row = self._board.row(job)
        count = row.entries if row else 0
        goes_on = row is None or (count <= len(parts.entries) and parts.entries[count - 1].hash == row.head)
        if not goes_on and not rows.holds(db.execute, parts.entries[-1]):
            raise RecordError(refusals.forked(job))
        new = parts.entries[count:]
        for hash, text in parts.documents.items():
            db.execute("INSERT OR IGNORE INTO document VALUES (?, ?)", (hash, text))
        numbers = {id: rows.key_number(db, id, public) for id, public in parts.keys.items()}
        rows.insert_entries(db, new, None)
        rows.insert_signed(db, "signature", job, parts.signatures, numbers)
        rows.insert_signed(db, "seal", job, parts.seals, numbers)
        row = row or empty_row(job, own=rows.is_begun(db, job))
        self._board.put(db, row, new, [entry.event for entry in new])
        self._going.discard(job)
        return len(new)

    def _knows_tail(self, parts: JobParts) -> bool:
        last = parts.entries[-1]
        ((mac,),) = self._database.rows(rows.MAC, (parts.job, last.seq))
        return self._is_marked(mac, Head(parts.job, last.seq, last.hash))

    def _parts(self, job: str) -> JobParts:
        entries = self.entries(job)
        signers = {no: (id, public) for no, id, public in self._database.rows("SELECT * FROM signer")}
        found = {
            table: self._database.rows(f"SELECT seq, signer, signature FROM {table} WHERE job = ? ORDER BY seq", (job,))
            for table in ("signature", "seal")
        }
        signatures, seals = (
            tuple(Signed(seq, signers[no][0], value) for seq, no, value in found[table]) for table in found
        )
        used = {signed.key_id for signed in (*signatures, *seals)}
        keys = {id: public for id, public in signers.values() if id in used}
        documents: dict[str, str] = {}
        for hash in named_documents(entries):
            documents |= dict(self._database.rows("SELECT hash, text FROM document WHERE hash = ?", (hash,)))
        return JobParts(job, entries, signatures, seals, keys, documents)

    def _row_faults(self, parts: JobParts) -> list[Problem]:
        row = self._board.row(parts.job)
        sealed = max((seal.seq for seal in parts.seals), default=0)
        try:
            due = row_of(parts.job, parts.entries, sealed, own=False)
        except RecordError:  # entries that are no events are named by the chain's own check
            return []
        if row is not None and replace(row, own=False) == due:
            return []
        return [refusals.wrong_row(parts.job)]
