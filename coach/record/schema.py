"""The SQLite tables, their locks against change, and the named migrations that make them.

Rules kept here:
 1. Entries, signatures, seals, documents, keys and findings are only ever added (until their job is retired):
    triggers abort every update and delete, and the connection's authorizer refuses the statements that could get
    round them. Neither stops another program with the file in its hands; the chain and the signatures show what it
    did.
 2. A migration is a named function, runs once, in a transaction of its own with its own row. A file with a
    migration unknown here was written by a newer version and is left alone.
 3. `job` and `mark` are indices made from the entries, `told` is each tablet's newest list; they alone may be
    updated. The row of a job that is not over (`ended` is 0) may lag behind its entries; whoever reads it catches up
    first. So an act costs one row, no index.
Knows nothing of: events' meaning. Called by: database.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from coach import __version__
from coach.core.problems import Problem, StoreError

_KEPT = ("entry", "begun", "signature", "seal", "signer", "document", "finding", "received", "migration")

_TABLES = """
CREATE TABLE entry (
  job TEXT NOT NULL, seq INTEGER NOT NULL CHECK (seq >= 1), body TEXT NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32), mac BLOB, PRIMARY KEY (job, seq)
);
CREATE TABLE begun (job TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TABLE signature (
  job TEXT NOT NULL, seq INTEGER NOT NULL, signer INTEGER NOT NULL REFERENCES signer(no), signature BLOB NOT NULL,
  PRIMARY KEY (job, seq, signer), FOREIGN KEY (job, seq) REFERENCES entry(job, seq)
) WITHOUT ROWID;
CREATE TABLE seal (
  job TEXT NOT NULL, seq INTEGER NOT NULL, signer INTEGER NOT NULL REFERENCES signer(no), signature BLOB NOT NULL,
  PRIMARY KEY (job, seq, signer), FOREIGN KEY (job, seq) REFERENCES entry(job, seq)
) WITHOUT ROWID;
CREATE TABLE signer (no INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, public BLOB NOT NULL);
CREATE TABLE document (hash TEXT PRIMARY KEY, text TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE received (hash TEXT PRIMARY KEY, job TEXT NOT NULL, seq INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE finding (
  no INTEGER PRIMARY KEY, code TEXT NOT NULL, job TEXT NOT NULL, text TEXT NOT NULL, kept TEXT NOT NULL,
  at INTEGER NOT NULL, UNIQUE (code, job, kept)
);
CREATE TABLE job (
  job TEXT PRIMARY KEY, state TEXT NOT NULL, boat TEXT NOT NULL, procedure TEXT NOT NULL, version TEXT NOT NULL,
  technician TEXT NOT NULL, name TEXT NOT NULL, practice INTEGER NOT NULL, started INTEGER NOT NULL,
  updated INTEGER NOT NULL, ended INTEGER NOT NULL, entries INTEGER NOT NULL, head TEXT NOT NULL,
  sealed INTEGER NOT NULL,
  own INTEGER NOT NULL, heat_refused INTEGER NOT NULL, trips INTEGER NOT NULL, excused INTEGER NOT NULL,
  tags INTEGER NOT NULL, corrections INTEGER NOT NULL
) WITHOUT ROWID;
CREATE TABLE told (key_id TEXT PRIMARY KEY, number INTEGER NOT NULL, list BLOB NOT NULL);
CREATE TABLE mark (
  kind TEXT NOT NULL, wall INTEGER NOT NULL, job TEXT NOT NULL, seq INTEGER NOT NULL,
  PRIMARY KEY (kind, wall, job, seq)
) WITHOUT ROWID;
CREATE INDEX job_ended ON job (ended DESC);
CREATE INDEX job_state ON job (state, ended DESC);
CREATE INDEX job_technician ON job (technician, ended DESC);
CREATE TRIGGER entry_in_order BEFORE INSERT ON entry
WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM entry WHERE job = NEW.job)
BEGIN SELECT RAISE(ABORT, 'entries are only added, one after the other'); END;
"""


_RETIRED = """
CREATE TABLE retired (
  job TEXT PRIMARY KEY, seq INTEGER NOT NULL, hash TEXT NOT NULL, file_hash TEXT NOT NULL, at INTEGER NOT NULL
) WITHOUT ROWID;
"""
_LEAVING = ("seal", "signature", "entry")  # of a retired job, in the order in which they may go


def first_tables(db: sqlite3.Connection) -> None:
    """All tables of the first version."""
    for statement in _statements(_TABLES):
        db.execute(statement)
    for table in _KEPT[:-1]:
        _lock(db, table)


def retired_jobs(db: sqlite3.Connection) -> None:
    """Jobs may leave once they are noted as retired (retention.py)."""
    for statement in _statements(_RETIRED):
        db.execute(statement)
    _lock(db, "retired")
    for table in _LEAVING:
        db.execute(f"DROP TRIGGER {table}_no_delete")
        db.execute(
            f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} "
            "WHEN NOT EXISTS (SELECT 1 FROM retired WHERE retired.job = OLD.job AND retired.seq >= OLD.seq) "
            "BEGIN SELECT RAISE(ABORT, 'the record is only ever added to'); END"
        )


MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = (first_tables, retired_jobs)


def migrate(db: sqlite3.Connection) -> None:
    """Bring a database to this version.

    Raises:
        StoreError R408: it was written by a newer version. sqlite3.Error: the disk failed.
    """
    db.execute("BEGIN IMMEDIATE")
    try:
        done = _done(db)
        unknown = done - {step.__name__ for step in MIGRATIONS}
        if unknown:
            raise StoreError(_newer(sorted(unknown)))
        if not _has_list(db):
            db.execute("CREATE TABLE migration (name TEXT PRIMARY KEY, app TEXT NOT NULL) WITHOUT ROWID")
            _lock(db, "migration")
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise
    for step in MIGRATIONS:
        _run(db, step)


def guard(db: sqlite3.Connection) -> None:
    """Refuse, on this connection, every statement that could change what is kept."""
    db.set_authorizer(_allowed)


def _run(db: sqlite3.Connection, step: Callable[[sqlite3.Connection], None]) -> None:
    db.execute("BEGIN IMMEDIATE")
    try:
        if not db.execute("SELECT 1 FROM migration WHERE name = ?", (step.__name__,)).fetchone():
            step(db)
            db.execute("INSERT INTO migration VALUES (?, ?)", (step.__name__, __version__))
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def _has_list(db: sqlite3.Connection) -> bool:
    return db.execute("SELECT 1 FROM sqlite_master WHERE name = 'migration'").fetchone() is not None


def _done(db: sqlite3.Connection) -> set[str]:
    if not _has_list(db):
        return set()
    return {str(name) for (name,) in db.execute("SELECT name FROM migration")}


def _statements(script: str) -> list[str]:
    found, text = [], ""
    for line in script.splitlines():
        text += line + "\n"
        if sqlite3.complete_statement(text):
            found.append(text)
            text = ""
    return found


def _lock(db: sqlite3.Connection, table: str) -> None:
    for act in ("UPDATE", "DELETE"):
        db.execute(
            f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, 'the record is only ever added to'); END"
        )


_PLAIN = frozenset(
    (sqlite3.SQLITE_SELECT, sqlite3.SQLITE_READ, sqlite3.SQLITE_FUNCTION, sqlite3.SQLITE_TRANSACTION,
     sqlite3.SQLITE_INSERT, sqlite3.SQLITE_RECURSIVE)
)  # fmt: skip
_PRAGMAS = frozenset({"integrity_check", "quick_check", "wal_checkpoint", "data_version"})
_REMADE = frozenset({"job", "mark", "told"})


def _allowed(action: int, first: str | None, second: str | None, base: str | None, trigger: str | None) -> int:
    if action in _PLAIN and not str(first).startswith("sqlite_"):
        return sqlite3.SQLITE_OK
    if action == sqlite3.SQLITE_SELECT or (action == sqlite3.SQLITE_READ and first == "sqlite_master"):
        return sqlite3.SQLITE_OK
    if action in (sqlite3.SQLITE_UPDATE, sqlite3.SQLITE_DELETE) and first in _REMADE:
        return sqlite3.SQLITE_OK
    if action == sqlite3.SQLITE_DELETE and first in _LEAVING:  # the table's trigger asks whether the job is retired
        return sqlite3.SQLITE_OK
    if action == sqlite3.SQLITE_PRAGMA and first in _PRAGMAS:
        return sqlite3.SQLITE_OK
    return sqlite3.SQLITE_DENY


def _newer(names: list[str]) -> Problem:
    return Problem(
        "R408",
        "this ledger was written by a newer version of the app (%(names)s)",
        "an older version could read it wrongly",
        "update the app on this device",
        slots={"names": ", ".join(names)},
    )
