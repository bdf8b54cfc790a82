"""The ledger of a device: every job's entries in one database, each act on disk before it is acknowledged.

Rules kept here:
 1. One act, one transaction. When `append` has returned, all of it is on disk; when it raises, read the job again:
    what is there is what counts.
 2. Every act ends with the device's own mark (a MAC over the head); `sign` turns marks into signatures: at each seal,
    export, opening and closing. A tail that does not carry its mark was not written by this app and is never signed.
 3. Nobody adds to a job that has moved on since they last looked at it (two windows, two programs).
 4. A job begun on another device is only reviewed here: sent back, accepted, a tag cleared; and only when finished.
 5. A finished job is sealed only if the monitor, which reads the log on its own, has nothing against it. Its events
    are kept in any case.
Knows nothing of: clocks, the kernel, screens, which database it is. Proved by: tests/record/.
"""

from __future__ import annotations

import hmac
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from coach.core.canonical import text_hash
from coach.core.chain import ZEROS, Entry, extend, head_message, is_job_id, seal_message
from coach.core.events import Event
from coach.core.problems import Problem, RecordError, StoreError
from coach.record import refusals, rows
from coach.record.board import Board
from coach.record.check import check, named_documents
from coach.record.database import Database as SqliteDatabase
from coach.record.intake import take
from coach.record.keys import Signer
from coach.record.memory import Memory
from coach.record.seals import head_of, is_review, refuse_seal, row_faults, signed_by
from coach.record.store import (
    EVERYTHING,
    Conflict,
    Database,
    Head,
    JobParts,
    JobQuery,
    JobRow,
    Mark,
    Monitor,
    Signed,
    Transaction,
)
from coach.record.summary import MARKED, SEALING, empty_row


class Ledger:
    """A store (store.Store). One instance a thread; several programs may hold the same database."""

    def __init__(self, database: Database, signer: Signer | None = None, monitor: Monitor | None = None) -> None:
        """Take a database that is open; sign what a sudden end left unsigned. `open` says what the others are."""
        self.memory = Memory(database)
        self._database = database
        self._run = database.rows
        self._board = Board(database)
        self._signer = signer
        self._monitor = monitor
        self._seen: dict[str, Head] = {}  # the head of each job as this ledger last told it
        self._going: set[str] = set()  # own jobs that were not over when this ledger last wrote to them
        self._sign_if_possible()

    @staticmethod
    def open(path: Path, signer: Signer | None = None, monitor: Monitor | None = None) -> Ledger:
        """Open or make the ledger in the SQLite file at `path`.

        Args:
            path: the file; its folder is made if need be.
            signer: the device's key; without it the ledger only reads and receives.
            monitor: answers with what it has against a finished job's events; without it nothing is sealed.

        Raises:
            StoreError R401 to R408: the disk, or a file of a newer version.
        """
        return Ledger(SqliteDatabase(path), signer, monitor)

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
            job: its id, also a file name: A-Z a-z 0-9 . _ - (64 at most). No other tablet may use the same.
            events: the first is job_started.
            documents: the procedure's and the policy's exact texts; their SHA-256 are the event's procedure_hash
                and policy_hash (canonical.text_hash).

        Raises:
            RecordError R411: bad id or first event, R412: job exists, R413: a text that the start names is not given,
                R423: practice.
            StoreError: the disk failed; nothing was begun unless R409 says so.
        """
        self._signing()
        if not is_job_id(job) or not events or events[0].kind != "job_started":
            raise RecordError(refusals.no_start(job))
        if events[0].data.get("practice") is not False:
            raise RecordError(refusals.is_practice(job))
        texts = {text_hash(text): text for text in documents}
        made = extend(job, 0, ZEROS, events)
        missing = [hash for hash in named_documents(tuple(made)) if hash not in texts]
        if missing:
            raise RecordError(*(refusals.no_document(hash) for hash in missing))

        def fill(db: Transaction) -> None:
            if rows.head(self._run, job) is not None or rows.is_retired(self._run, job):
                raise RecordError(refusals.job_exists(job))
            for item in texts.items():
                db.execute(rows.PUT_DOCUMENT, item)
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

        def fill_next(db: Transaction) -> None:
            """The quick way: the table's own trigger refuses a number that is not the next."""
            assert seen is not None
            made.extend(extend(job, seen.seq, seen.hash, events))
            self._insert(db, made)
            for entry, event in zip(made, events):
                if event.kind in MARKED:
                    db.execute(rows.PUT_MARK, (event.kind, event.at.wall, job, entry.seq))

        def fill(db: Transaction) -> None:
            row = self._writable(job, seen.seq if after is None and seen else after, events)
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
        waiting = [job for (job,) in self._run(rows.UNSIGNED, ())]
        if not waiting:
            return 0
        made = 0
        with self._database.change() as db:
            numbers = {signer.key_id: rows.signer_number(db, signer)}
            self._board.catch_up(db)
            for job in waiting:
                head = rows.head(self._run, job)
                if head is not None and self._is_marked(head):
                    rows.insert_signed(db, "signature", job, [signed_by(signer, head)], numbers)
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
        refuse_seal(parts, self._monitor)
        heads = [signed for signed in parts.signatures if signed.seq == last.seq]
        made = Signed(last.seq, signer.key_id, signer.sign(seal_message(job, last.seq, last.hash, signer.key_id)))
        with self._database.change() as db:
            numbers = {id: rows.key_number(db, id, public) for id, public in parts.keys.items()}
            numbers[signer.key_id] = rows.signer_number(db, signer)
            rows.insert_signed(db, "signature", job, heads, numbers)
            rows.insert_signed(db, "seal", job, [made], numbers)
            db.execute("UPDATE job SET sealed = 1 WHERE job = ? AND entries = ?", (job, last.seq))
        return made

    def jobs(self, query: JobQuery = EVERYTHING) -> list[JobRow]:
        """The board's rows that fit: jobs that are not over first, then the others, each newest change first."""
        return self._board.jobs(query)

    def heads(self) -> list[Head]:
        """The head of every job by job, also of those that were retired."""
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
        entries = rows.entries(self._run, self._database.body, job)
        if not entries:
            raise RecordError(refusals.no_job(job))
        head = Head(job, entries[-1].seq, entries[-1].hash)
        if self._seen.get(job) != head:
            self._seen[job] = head
            self._going.discard(job)
        return entries

    def parts(self, job: str) -> JobParts:
        """All that is held of a job, signed to its last entry if that is this device's; errors as in `events`."""
        parts, signer = self._parts(job), self._signer
        head = head_of(parts.entries)
        if signer is None or any(signed.seq == head.seq for signed in parts.signatures) or not self._is_marked(head):
            return parts
        signatures = (*parts.signatures, signed_by(signer, head))
        return replace(parts, signatures=signatures, keys={**parts.keys, signer.key_id: signer.public})

    def add(self, parts: JobParts) -> int:
        """Store what another device wrote; returns the number of entries that were new.

        The parts must have been checked. Entries held already stay; the new must go on from them.

        Raises:
            RecordError R419: they tell another history than the one held, R423: practice. StoreError: the disk failed.
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
                    answers.append(take(db, self._run, self._board, parts))
                except RecordError as error:  # raised before anything of this job was written
                    answers.append(error)
                    continue
                self._going.discard(parts.job)
                if file_hash:
                    db.execute(rows.PUT_RECEIVED, (file_hash, parts.job, len(parts.entries)))
        return answers

    def retire(self, job: str, seq: int, hash: str, file_hash: str, at: int) -> None:
        """Take a job away that was written out and checked (retention.retire does both), and remember that it was here.

        Raises:
            RecordError R414: no such job, R415: it has another head by now. StoreError: the disk failed.
        """
        with self._database.change() as db:
            head = rows.head(self._run, job)
            if head is None:
                raise RecordError(refusals.no_job(job))
            if (head.seq, head.hash) != (seq, hash):
                raise RecordError(refusals.moved_on(job, seq, head.seq))
            db.execute("INSERT INTO retired VALUES (?, ?, ?, ?, ?)", (job, seq, hash, file_hash, at))
            for table in ("seal", "signature", "entry", "mark", "job"):
                db.execute(f"DELETE FROM {table} WHERE job = ?", (job,))
        self._seen.pop(job, None)
        self._going.discard(job)

    def verify(self, job: str | None = None) -> list[Problem]:
        """What does not fit: chain, signatures, seals, texts, and the board's row. Without a job: all, and the file.

        Raises:
            StoreError: the file cannot be read at all. RecordError R414: no such job.
        """
        if job is not None:
            parts = self._parts(job)
            own = self._is_marked(head_of(parts.entries))
            return check(parts, tail_known=own) + row_faults(parts, self._board.row(job))
        problems = [refusals.damaged(text) for text in self._database.damage()]
        if problems:
            return problems
        for each in sorted(name for (name,) in self._run("SELECT DISTINCT job FROM entry", ())):
            problems += self.verify(each)
        return problems

    def rebuild(self) -> int:
        """Make the board's rows and the marks anew from the entries; returns the number of jobs.

        Raises:
            StoreError: the disk failed.
        """
        return self._board.rebuild()

    def close(self) -> None:
        """Sign what is unsigned and let go of the database; a later use opens it again."""
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

    def _write(self, job: str, fill: Callable[[Transaction], None], made: list[Entry]) -> list[Entry]:
        """Run one act's transaction; after a failed disk, say whether the act is in the database all the same."""
        try:
            with self._database.change() as db:
                fill(db)
        except StoreError as error:
            self._going.discard(job)
            if isinstance(error, Conflict):
                self._refuse_late(job)
            if made and rows.is_held(self._run, made[-1]):
                raise StoreError(*error.problems, refusals.stored_all_the_same(job)) from error
            raise
        self._seen[job] = head_of(made)
        return made

    def _refuse_late(self, job: str) -> None:
        """Say so if a row was refused because someone else went on with the job."""
        seen, held = self._seen.get(job), rows.head(self._run, job)
        if seen is not None and held is not None and held.seq != seen.seq:
            raise RecordError(refusals.moved_on(job, seen.seq, held.seq))

    def _insert(self, db: Transaction, made: Sequence[Entry]) -> None:
        """Write the entries of one act with the device's mark at the last."""
        rows.insert_entries(db, made, self._mark(head_of(made)))

    def _writable(self, job: str, seen: int | None, events: Sequence[Event]) -> JobRow:
        """The row of a job that may take these events; refuses with the reason."""
        row = self._board.row(job)
        if row is None:
            raise RecordError(refusals.no_job(job))
        if seen is not None and seen != row.entries:
            raise RecordError(refusals.moved_on(job, seen, row.entries))
        if not row.own and not is_review(row, events):
            raise RecordError(refusals.not_ours(job))
        head = Head(job, row.entries, row.head)
        if not self._is_marked(head) and not rows.is_signed(self._run, head):
            raise RecordError(refusals.not_our_tail(job))
        return row

    def _mark(self, head: Head) -> bytes:
        signer = self._signing()
        return signer.mac(head_message(head.job, head.seq, head.hash, signer.key_id))

    def _is_marked(self, head: Head) -> bool:
        """Whether this device's app wrote the entries up to this head."""
        if self._signer is None:
            return False
        mac = rows.mac_of(self._run, head)
        return mac is not None and hmac.compare_digest(mac, self._mark(head))

    def _parts(self, job: str) -> JobParts:
        return rows.parts(self._run, self.entries(job))
