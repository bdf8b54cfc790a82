"""The ledger's SQL: how entries, signatures, rows and marks stand in the SQLite tables of schema.py.

Rules kept here: none but the tables' own; ledger.py decides what may be written.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from operator import attrgetter
from typing import Any

from coach.core.chain import ZEROS, Entry
from coach.record.keys import Signer
from coach.record.store import Head, JobQuery, JobRow, Signed

_NAMES = [field.name for field in fields(JobRow)]
_VALUES = attrgetter(*_NAMES)  # dataclasses.astuple copies every value and costs five times as much
_FLAGS = tuple(place for place, name in enumerate(_NAMES) if name in ("practice", "sealed", "own"))
_PUT_ROW = f"REPLACE INTO job ({', '.join(_NAMES)}) VALUES ({', '.join('?' * len(_NAMES))})"
COLUMNS = ", ".join(_NAMES)
ENDED = _NAMES.index("ended")
GOING = f"SELECT {COLUMNS} FROM job WHERE ended = 0"
ROW = f"SELECT {COLUMNS} FROM job WHERE job = ?"
# the body as bytes: text that was made invalid from outside must still be read, to be named
ENTRIES = "SELECT seq, CAST(body AS BLOB), hash FROM entry WHERE job = ? ORDER BY seq"
TAIL = "SELECT seq, CAST(body AS BLOB), hash FROM entry WHERE job = ? AND seq > ? ORDER BY seq"
MAC = "SELECT mac FROM entry WHERE job = ? AND seq = ?"
LAGGING = (
    "SELECT job FROM job WHERE ended = 0 AND EXISTS "
    "(SELECT 1 FROM entry WHERE entry.job = job.job AND entry.seq = job.entries + 1)"
)
UNSIGNED = (
    "SELECT job.job FROM job JOIN entry ON entry.job = job.job AND mac IS NOT NULL "
    "AND seq = (SELECT max(seq) FROM entry WHERE entry.job = job.job) WHERE (ended = 0 OR NOT sealed) "
    "AND NOT EXISTS (SELECT 1 FROM signature WHERE signature.job = entry.job AND signature.seq = entry.seq)"
)
RECEIVED = "INSERT OR IGNORE INTO received VALUES (?, ?, ?)"
_INSERT = "INSERT INTO entry VALUES (?, ?, ?, ?, ?)"


def head(db: sqlite3.Connection, job: str) -> Head | None:
    """The last entry of a job; None if there is no such job."""
    found = db.execute("SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (job,)).fetchone()
    return Head(job, found[0], found[1].hex()) if found else None


def mac_of(db: sqlite3.Connection, head: Head) -> bytes | None:
    """The device's own mark of authenticity at an entry, if it carries one."""
    found = db.execute(MAC, (head.job, head.seq)).fetchone()
    return found[0] if found else None


def is_signed(db: sqlite3.Connection, head: Head) -> bool:
    """Whether a signature stands at this entry."""
    sql = "SELECT 1 FROM signature WHERE job = ? AND seq = ?"
    return db.execute(sql, (head.job, head.seq)).fetchone() is not None


def holds(run: Callable[[str, Sequence[object]], Iterable[Any]], entry: Entry) -> bool:
    """Whether this very entry is in the table."""
    sql = "SELECT 1 FROM entry WHERE job = ? AND seq = ? AND hash = ?"
    return bool(list(run(sql, (entry.job, entry.seq, bytes.fromhex(entry.hash)))))


def entries_of(job: str, found: Iterable[Any], prev: str = ZEROS) -> tuple[Entry, ...]:
    """Entries from rows of ENTRIES or TAIL, the first of which follows the hash `prev`."""
    made = []
    for seq, body, hash in found:
        made.append(Entry(job, seq, prev, hash.hex(), body))
        prev = made[-1].hash
    return tuple(made)


def signer_number(db: sqlite3.Connection, signer: Signer) -> int:
    """The number under which a device's key stands in the tables; it is added if new."""
    return key_number(db, signer.key_id, signer.public)


def key_number(db: sqlite3.Connection, id: str, public: bytes) -> int:
    """As signer_number, for a public key."""
    found = db.execute("SELECT no FROM signer WHERE id = ?", (id,)).fetchone()
    if found:
        return int(found[0])
    return int(db.execute("INSERT INTO signer (id, public) VALUES (?, ?)", (id, public)).lastrowid or 0)


def is_begun(db: sqlite3.Connection, job: str) -> bool:
    """Whether the job was begun on this device (under this key or one before it)."""
    return db.execute("SELECT 1 FROM begun WHERE job = ?", (job,)).fetchone() is not None


def insert_entries(db: sqlite3.Connection, made: Sequence[Entry], mac: bytes | None) -> None:
    """Add entries; `mac` goes with the last."""
    last = len(made)
    for place, each in enumerate(made, start=1):
        values = (each.job, each.seq, each.body.decode(), bytes.fromhex(each.hash), mac if place == last else None)
        db.execute(_INSERT, values)


def insert_signed(
    db: sqlite3.Connection, table: str, job: str, signed: Iterable[Signed], numbers: Mapping[str, int]
) -> None:
    """Add signatures to the table `signature` or `seal`; those that are there stay."""
    sql = f"INSERT OR IGNORE INTO {table} VALUES (?, ?, ?, ?)"
    db.executemany(sql, [(job, each.seq, numbers[each.key_id], each.signature) for each in signed])


def put_row(db: sqlite3.Connection, row: JobRow) -> None:
    """Write a row of the board."""
    db.execute(_PUT_ROW, _VALUES(row))


def put_mark(db: sqlite3.Connection, entry: Entry, kind: str, wall: int) -> None:
    """Index an event of a kind that a review looks up."""
    db.execute("INSERT OR IGNORE INTO mark VALUES (?, ?, ?, ?)", (kind, wall, entry.job, entry.seq))


def job_row(values: Sequence[Any]) -> JobRow:
    """A row of COLUMNS as a value."""
    made = list(values)
    for place in _FLAGS:
        made[place] = bool(made[place])
    return JobRow(*made)


def over(query: JobQuery, state: str, limit: int | None) -> tuple[str, list[object]]:
    """The statement and its values for the jobs that are over and fit, newest first. summary.fits says the same.

    state: one of the query's states, or empty for any.
    """
    wanted: list[tuple[str, object]] = []
    for text, value in (
        ("state = ?", state or None),
        ("technician = ?", query.technician or None),
        ("procedure = ?", query.procedure or None),
        ("practice = ?", query.practice),
        ("ended >= ?", query.ended_since),
        ("ended < ?", query.ended_until),
    ):
        if value is not None:
            wanted.append((text, value))
    where = " AND ".join(["ended > 0", *(text for text, _ in wanted)])
    sql = f"SELECT {COLUMNS} FROM job WHERE {where} ORDER BY ended DESC, job LIMIT ?"
    return sql, [*(value for _, value in wanted), -1 if limit is None else limit]
