"""One connection to a ledger's SQLite file: opened durable, given up after every failure, opened again.

Rules kept here:
 1. A commit has returned only when its bytes are on disk: write-ahead log, synchronous FULL.
 2. After a failed write or sync nothing is tried again on the same connection (the system may have marked the lost
    pages as clean): it is closed and the file opened anew, and what is then in the file is what counts.
 3. A file that cannot be written is shown all the same, from a copy made with its write-ahead log, read-only, and
    the reason is at hand in `read_only`. Nothing is repaired by guess.
 4. Two programs may share the file; a writer waits five seconds for the other, then says so.
Knows nothing of: jobs and events. Called by: ledger.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from coach import disk
from coach.core.problems import Phrase, Problem, StoreError
from coach.record.files import sync_folder
from coach.record.schema import guard, migrate
from coach.record.store import Conflict

WAIT_S = 5.0
_PRAGMAS = (
    # Whole pages go to the log: small ones cost less. A log that is used again early does not grow, and bytes written
    # over cost a sync less than bytes added (tests/bench/bench_record.py measures both).
    "page_size=2048", "wal_autocheckpoint=500",
    "synchronous=FULL", "fullfsync=ON", "checkpoint_fullfsync=ON",
    "foreign_keys=ON", "recursive_triggers=ON", "trusted_schema=OFF", "cell_size_check=ON",
)  # fmt: skip
# what the disk did, by SQLite's primary code: code, what, mend
_WORDS = {
    sqlite3.SQLITE_BUSY: ("R401", "another window or program is writing to the ledger", "wait a moment and try again"),
    sqlite3.SQLITE_FULL: ("R402", "the disk is full", "free some space, then do the last act again"),
    sqlite3.SQLITE_READONLY: ("R403", "the disk does not let the app write", "make the disk writable, start again"),
    sqlite3.SQLITE_CANTOPEN: ("R403", "the ledger cannot be opened for writing", "see that the folder is writable"),
    sqlite3.SQLITE_IOERR: ("R404", "the disk failed while writing or reading", ("do the last act again; copy the data "
                           "folder to another disk soon")),
    sqlite3.SQLITE_CORRUPT: ("R405", "the ledger's file is damaged", ("keep the file as it is, bring back the last "
                             "copy, and receive the yard's jobs again")),
    sqlite3.SQLITE_NOTADB: ("R445", "the ledger's file is no ledger", "see that the data folder is the right one"),
}  # fmt: skip
_NO_RIGHT = sqlite3.OperationalError("no right to write this file")
_NO_RIGHT.sqlite_errorcode, _NO_RIGHT.sqlite_errorname = sqlite3.SQLITE_READONLY, "SQLITE_READONLY"
# from a damaged file SQLite's own words may come in bytes that Python's module cannot read
FAULTS = (sqlite3.Error, UnicodeDecodeError)
_HARMLESS = frozenset({sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_CONSTRAINT})
_UNWRITABLE = frozenset({sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR})


class Database:
    """The connection of a ledger (store.Database). Not for use by several threads at once."""

    body = "CAST(body AS BLOB)"

    def __init__(self, path: Path) -> None:
        """Open or make the file.

        Raises:
            StoreError R401 to R408: as the disk's fault says, or the file is of a newer version.
        """
        self.path = path
        self.read_only: Problem | None = None
        self._copy: tempfile.TemporaryDirectory[str] | None = None
        self._db: sqlite3.Connection | None = None
        self._open()

    def rows(self, sql: str, values: Sequence[object] = ()) -> list[Any]:
        """All rows of a query.

        Raises:
            StoreError: the disk failed.
        """
        try:
            return self.live().execute(sql, values).fetchall()
        except FAULTS as fault:
            raise self.failed(fault) from fault

    def change(self) -> Change:
        """One transaction, for `with`: on disk when the block has ended, undone if the block raises.

        Raises:
            StoreError: the disk failed or is read-only, or another program kept the file for more than 5 s.
        """
        return Change(self)

    def damage(self) -> list[str]:
        """What SQLite's own check of the file finds wrong."""
        return [text for (text,) in self.rows("PRAGMA integrity_check") if text != "ok"]

    def close(self) -> None:
        """Let go of the file; the next use opens it again."""
        if self._db is not None:
            self._db.close()
            self._db = None
        if self._copy is not None:
            self._copy.cleanup()
            self._copy = None
        self.read_only = None

    def live(self) -> sqlite3.Connection:
        """The connection; the file is opened again if it was given up."""
        if self._db is None:
            self._open()
        assert self._db is not None
        return self._db

    def _open(self) -> None:
        is_new = not self.path.exists()
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._db = _connect(self.path)
            if not os.access(self.path, os.W_OK):  # SQLite would notice at the first act only
                self.read_only = _problem(_NO_RIGHT, self.path)
                return
            sync_folder(self.path.parent)  # the names of new files, and that the first journal is gone
        except FAULTS as fault:
            if _primary(fault) not in _UNWRITABLE or is_new:
                raise StoreError(_problem(fault, self.path)) from fault
            self._open_copy(_problem(fault, self.path))
        except OSError as fault:
            raise StoreError(_no_folder(self.path, fault)) from fault

    def _open_copy(self, reason: Problem) -> None:
        """Open a copy of the file and its write-ahead log, for reading, because of `reason`."""
        self._copy = tempfile.TemporaryDirectory(prefix="coach-")
        copy = Path(self._copy.name) / self.path.name
        try:
            shutil.copyfile(self.path, copy)
            log = self.path.with_name(self.path.name + "-wal")
            if log.exists():
                shutil.copyfile(log, copy.with_name(copy.name + "-wal"))
            self._db = _connect(copy)
        except (*FAULTS, OSError) as fault:
            self.close()
            raise StoreError(reason) from fault
        self.read_only = reason

    def undo(self) -> None:
        """Take back the open transaction, if there is one."""
        if self._db is not None and self._db.in_transaction:
            try:
                self._db.execute("ROLLBACK")
            except FAULTS:  # the connection is of no use any more; closing it undoes the rest
                self.close()

    def failed(self, fault: sqlite3.Error | UnicodeDecodeError) -> StoreError:
        """Undo, give up the connection if the disk is in doubt, and say what happened."""
        problem = _problem(fault, self.path)
        self.undo()
        if _primary(fault) not in _HARMLESS:
            self.close()
        return Conflict(problem) if _primary(fault) == sqlite3.SQLITE_CONSTRAINT else StoreError(problem)


class Change:
    """A transaction under way; a class and not a generator, as every act passes through it."""

    def __init__(self, database: Database) -> None:
        self._database = database
        if database.read_only is not None:
            database.close()  # perhaps the disk takes writes again
        self._db = database.live()
        if database.read_only is not None:
            raise StoreError(database.read_only)

    def __enter__(self) -> sqlite3.Connection:
        try:
            self._db.execute("BEGIN IMMEDIATE")
        except FAULTS as fault:
            raise self._database.failed(fault) from fault
        return self._db

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: object) -> None:
        if error is None:
            try:
                self._db.execute("COMMIT")
            except FAULTS as fault:
                raise self._database.failed(fault) from fault
        elif isinstance(error, FAULTS):
            raise self._database.failed(error) from error
        else:
            self._database.undo()


def _connect(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    try:
        for pragma in _PRAGMAS:
            db.execute(f"PRAGMA {pragma}")
        (mode,) = db.execute("PRAGMA journal_mode=WAL").fetchone()
        if mode != "wal":
            raise sqlite3.OperationalError(f"the journal stays '{mode}'")
        migrate(db)
        guard(db)
    except BaseException:
        db.close()
        raise
    return db


def _primary(fault: sqlite3.Error | UnicodeDecodeError) -> int:
    """SQLite's primary result code; 0 for an error of Python's own layer."""
    if isinstance(fault, UnicodeDecodeError):
        return sqlite3.SQLITE_CORRUPT
    return getattr(fault, "sqlite_errorcode", 0) & 0xFF


def _problem(fault: sqlite3.Error | UnicodeDecodeError, path: Path) -> Problem:
    code, what, mend = _WORDS.get(
        _primary(fault),
        ("R406", "the ledger did not take it", "do the last act again; if it comes back, tell the yard"),
    )
    name = getattr(fault, "sqlite_errorname", type(fault).__name__)
    return Problem(
        code,
        "%(what)s (%(file)s: %(detail)s, %(sign)s)",
        "what the screen has acknowledged before is kept; the last act may not be",
        mend,
        slots={"what": Phrase(what), "file": path.name, "detail": str(fault), "sign": name},
    )


def _no_folder(path: Path, fault: OSError) -> Problem:
    return Problem(
        "R444",
        "the folder %(folder)s cannot be used (%(detail)s)",
        "without it nothing can be recorded",
        disk.write_cure(fault),
        slots={"folder": str(path.parent), "detail": fault.strerror or str(fault)},
    )
