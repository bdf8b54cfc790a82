"""The ledger's SQL: how entries, rows and marks stand in the SQLite tables of schema.py.

Rules kept here: none but the tables' own; ledger.py decides what may be written.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import astuple, fields
from typing import Any

from coach.core.chain import ZEROS, Entry
from coach.record.store import Head, JobQuery, JobRow
from coach.record.summary import MARKED

COLUMNS = ", ".join(field.name for field in fields(JobRow))
ENTRIES = "SELECT seq, CAST(body AS BLOB), hash, signer, signature FROM entry WHERE job = ? ORDER BY seq"
FIRST_SIGNER = (
    "SELECT signer.id FROM entry JOIN signer ON signer.no = entry.signer WHERE job = ? AND signature IS NOT NULL "
    "ORDER BY seq LIMIT 1"
)
_PUT_ROW = f"REPLACE INTO job ({COLUMNS}) VALUES ({', '.join('?' * len(fields(JobRow)))})"
_FLAGS = tuple(place for place, field in enumerate(fields(JobRow)) if field.name in ("practice", "sealed", "own"))


def head(db: sqlite3.Connection, job: str) -> Head | None:
    """The last entry of a job; None if there is no such job."""
    found = db.execute("SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (job,)).fetchone()
    return Head(job, found[0], found[1].hex()) if found else None


def holds(run: Callable[[str, Sequence[object]], Iterable[Any]], entry: Entry) -> bool:
    """Whether this very entry is in the table."""
    sql = "SELECT 1 FROM entry WHERE job = ? AND seq = ? AND hash = ?"
    return bool(list(run(sql, (entry.job, entry.seq, bytes.fromhex(entry.hash)))))


def entries_of(job: str, found: Iterable[Any]) -> tuple[Entry, ...]:
    """Entries from rows of ENTRIES."""
    made, prev = [], ZEROS
    for seq, body, hash, *_ in found:
        made.append(Entry(job, seq, prev, hash.hex(), body))
        prev = made[-1].hash
    return tuple(made)


def signer_number(db: sqlite3.Connection, id: str, public: bytes) -> int:
    """The number under which a key stands in the tables; it is added if new."""
    found = db.execute("SELECT no FROM signer WHERE id = ?", (id,)).fetchone()
    if found:
        return int(found[0])
    return int(db.execute("INSERT INTO signer (id, public) VALUES (?, ?)", (id, public)).lastrowid or 0)


def insert_entries(db: sqlite3.Connection, made: Sequence[Entry], signed: Mapping[int, tuple[int, bytes]]) -> None:
    """Add entries; `signed` gives signer number and signature by entry number."""
    none = (None, None)
    db.executemany(
        "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)",
        [
            (each.job, each.seq, each.body.decode("utf-8"), bytes.fromhex(each.hash), *signed.get(each.seq, none))
            for each in made
        ],
    )


def put_row(db: sqlite3.Connection, row: JobRow) -> None:
    """Write a row of the board."""
    db.execute(_PUT_ROW, astuple(row))


def put_mark(db: sqlite3.Connection, entry: Entry, kind: str, wall: int) -> None:
    """Index an event if a review looks its kind up."""
    if kind in MARKED:
        db.execute("INSERT OR IGNORE INTO mark VALUES (?, ?, ?, ?)", (kind, wall, entry.job, entry.seq))


def job_row(values: Sequence[Any]) -> JobRow:
    """A row of COLUMNS as a value."""
    made = list(values)
    for place in _FLAGS:
        made[place] = bool(made[place])
    return JobRow(*made)


def board(query: JobQuery) -> tuple[str, list[object]]:
    """The statement and its values for a query of the board."""
    wanted: list[tuple[str, tuple[object, ...]]] = []
    if query.states:
        wanted.append((f"state IN ({', '.join('?' * len(query.states))})", query.states))
    for text, value in (
        ("technician = ?", query.technician or None),
        ("procedure = ?", query.procedure or None),
        ("practice = ?", query.practice),
        ("updated >= ?", query.updated_since),
        ("updated < ?", query.updated_until),
    ):
        if value is not None:
            wanted.append((text, (value,)))
    where = " AND ".join(text for text, _ in wanted) or "1"
    values = [value for _, each in wanted for value in each]
    limit = -1 if query.limit is None else query.limit
    sql = f"SELECT {COLUMNS} FROM job WHERE {where} ORDER BY updated DESC, job LIMIT ? OFFSET ?"
    return sql, [*values, limit, query.offset]
