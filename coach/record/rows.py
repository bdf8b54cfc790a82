"""The ledger's SQL: how entries, signatures, rows and marks stand in the tables, the same for SQLite and PostgreSQL.

Rules kept here:
 1. A value of another kind than the table's comes from a damaged file: it is said, never passed on.
ledger.py decides what may be written. `run` is Database.rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from operator import attrgetter
from typing import Any

from coach.core.chain import ZEROS, Entry
from coach.core.problems import StoreError
from coach.record.check import named_documents
from coach.record.keys import Signer
from coach.record.refusals import damaged
from coach.record.store import Head, JobParts, JobQuery, JobRow, Run, Signed, Transaction

_NAMES = [field.name for field in fields(JobRow)]
_VALUES = attrgetter(*_NAMES)  # dataclasses.astuple copies every value and costs five times as much
_FLAGS = tuple(place for place, name in enumerate(_NAMES) if name in ("practice", "sealed", "own"))
_KINDS = tuple(int if field.type in ("int", "bool") else str for field in fields(JobRow))
COLUMNS = ", ".join(_NAMES)
ENDED = _NAMES.index("ended")
PUT_ROW = (
    f"INSERT INTO job ({COLUMNS}) VALUES ({', '.join('?' * len(_NAMES))}) "
    f"ON CONFLICT (job) DO UPDATE SET {', '.join(f'{name} = excluded.{name}' for name in _NAMES[1:])}"
)
PUT_ENTRY = "INSERT INTO entry VALUES (?, ?, ?, ?, ?)"
PUT_MARK = "INSERT INTO mark VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING"
PUT_DOCUMENT = "INSERT INTO document VALUES (?, ?) ON CONFLICT DO NOTHING"
PUT_RECEIVED = "INSERT INTO received VALUES (?, ?, ?) ON CONFLICT DO NOTHING"
PUT_SIGNED = {
    "signature": "INSERT INTO signature VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
    "seal": "INSERT INTO seal VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
}
_GOING = f"SELECT {COLUMNS} FROM job WHERE ended = 0"
ROW = f"SELECT {COLUMNS} FROM job WHERE job = ?"
LAGGING = (
    "SELECT job FROM job WHERE ended = 0 AND EXISTS "
    "(SELECT 1 FROM entry WHERE entry.job = job.job AND entry.seq = job.entries + 1)"
)
UNSIGNED = (
    "SELECT job.job FROM job JOIN entry ON entry.job = job.job AND mac IS NOT NULL "
    "AND seq = (SELECT max(seq) FROM entry WHERE entry.job = job.job) WHERE (ended = 0 OR sealed = 0) "
    "AND NOT EXISTS (SELECT 1 FROM signature WHERE signature.job = entry.job AND signature.seq = entry.seq)"
)
_SIGNED = {
    table: f"SELECT seq, id, public, signature FROM {table} JOIN signer ON no = signer WHERE job = ? ORDER BY seq, no"
    for table in ("signature", "seal")
}


def head(run: Run, job: str) -> Head | None:
    """The last entry of a job; None if there is no such job."""
    found = run("SELECT seq, hash FROM entry WHERE job = ? ORDER BY seq DESC LIMIT 1", (job,))
    return Head(job, found[0][0], found[0][1].hex()) if _sound(found, int, bytes) else None


def mac_of(run: Run, head: Head) -> bytes | None:
    """The device's own mark of authenticity at an entry, if it carries one."""
    found = run("SELECT mac FROM entry WHERE job = ? AND seq = ?", (head.job, head.seq))
    return found[0][0] if found else None


def is_signed(run: Run, head: Head) -> bool:
    """Whether a signature stands at this entry."""
    return bool(run("SELECT 1 FROM signature WHERE job = ? AND seq = ?", (head.job, head.seq)))


def holds(run: Run, entry: Entry) -> bool:
    """Whether this very entry is in the table."""
    sql = "SELECT 1 FROM entry WHERE job = ? AND seq = ? AND hash = ?"
    return bool(run(sql, (entry.job, entry.seq, bytes.fromhex(entry.hash))))


def is_held(run: Run, entry: Entry) -> bool:
    """As `holds`, after a disk that failed: no where it cannot be asked."""
    try:
        return holds(run, entry)
    except StoreError:  # the disk is gone altogether: the first error has said so
        return False


def is_begun(run: Run, job: str) -> bool:
    """Whether the job was begun on this device (under this key or one before it)."""
    return bool(run("SELECT 1 FROM begun WHERE job = ?", (job,)))


def is_retired(run: Run, job: str) -> bool:
    """Whether the job was written out and taken away."""
    return bool(run("SELECT 1 FROM retired WHERE job = ?", (job,)))


def entries(run: Run, body: str, job: str, after: int = 0, prev: str = ZEROS) -> tuple[Entry, ...]:
    """A job's entries after number `after`, whose hash is `prev`. `body`: Database.body.

    The body comes as bytes: text that was made invalid from outside must still be read, to be named.
    """
    sql = f"SELECT seq, {body}, hash FROM entry WHERE job = ? AND seq > ? ORDER BY seq"
    made = []
    for seq, raw, hash in _sound(run(sql, (job, after)), int, bytes, bytes):
        made.append(Entry(job, seq, prev, hash.hex(), raw))
        prev = made[-1].hash
    return tuple(made)


def signed(run: Run, table: str, job: str) -> tuple[list[Signed], dict[str, bytes]]:
    """A job's signatures or seals, and the keys that made them."""
    found = _sound(run(_SIGNED[table], (job,)), int, str, bytes, bytes)
    return [Signed(seq, id, value) for seq, id, _, value in found], {id: public for _, id, public, _ in found}


def documents(run: Run, hashes: Iterable[str]) -> dict[str, str]:
    """The kept texts of these hashes."""
    found: dict[str, str] = {}
    for hash in hashes:
        found |= dict(_sound(run("SELECT hash, text FROM document WHERE hash = ?", (hash,)), str, str))
    return found


def parts(run: Run, entries: tuple[Entry, ...]) -> JobParts:
    """All that is held of the job with these entries, of which there is at least one."""
    job = entries[0].job
    signatures, keys = signed(run, "signature", job)
    seals, sealing_keys = signed(run, "seal", job)
    texts = documents(run, named_documents(entries))
    return JobParts(job, entries, tuple(signatures), tuple(seals), keys | sealing_keys, texts)


def signer_number(db: Transaction, signer: Signer) -> int:
    """The number under which a device's key stands in the tables; it is added if new."""
    return key_number(db, signer.key_id, signer.public)


def key_number(db: Transaction, id: str, public: bytes) -> int:
    """As signer_number, for a public key."""
    found = db.execute("SELECT no FROM signer WHERE id = ?", (id,)).fetchone()
    if not found:
        found = db.execute("INSERT INTO signer (id, public) VALUES (?, ?) RETURNING no", (id, public)).fetchone()
    return int(found[0])


def insert_entries(db: Transaction, made: Sequence[Entry], mac: bytes | None) -> None:
    """Add entries; `mac` goes with the last."""
    last = len(made)
    for place, each in enumerate(made, start=1):
        values = (each.job, each.seq, each.body.decode(), bytes.fromhex(each.hash), mac if place == last else None)
        db.execute(PUT_ENTRY, values)


def insert_signed(db: Transaction, table: str, job: str, signed: Iterable[Signed], numbers: Mapping[str, int]) -> None:
    """Add signatures to the table `signature` or `seal`; those that are there stay."""
    for each in signed:
        db.execute(PUT_SIGNED[table], (job, each.seq, numbers[each.key_id], each.signature))


def row_values(row: JobRow) -> list[object]:
    """The values of a row of the board in the order of COLUMNS; yes and no as 1 and 0."""
    values = list(_VALUES(row))
    for place in _FLAGS:
        values[place] = int(values[place])
    return values


def job_row(values: Sequence[Any]) -> JobRow:
    """A row of COLUMNS as a value."""
    (sound,) = _sound([values], *_KINDS)
    made = list(sound)
    for place in _FLAGS:
        made[place] = bool(made[place])
    return JobRow(*made)


def _sound(found: list[Any], *kinds: type) -> list[Any]:
    """The rows, if every value is of its kind; otherwise the file is damaged (StoreError R421)."""
    for values in found:
        if tuple(map(type, values)) != kinds:
            raise StoreError(damaged("a value is of another kind than its column"))
    return found


def going(states: tuple[str, ...]) -> tuple[str, list[object]]:
    """The statement and its values for the rows of jobs that are not over, in one of these states, or in any if none."""
    if not states:
        return _GOING, []
    return f"{_GOING} AND state IN ({', '.join('?' * len(states))})", list(states)


def over(query: JobQuery, state: str, limit: int | None, offset: int = 0) -> tuple[str, list[object]]:
    """The statement and its values for the jobs that are over and fit, newest first. summary.fits says the same.

    state: one of the query's states, or empty for any.
    """
    wanted: list[tuple[str, object]] = []
    for text, value in (
        ("state = ?", state or None),
        ("technician = ?", query.technician or None),
        ("procedure = ?", query.procedure or None),
        ("practice = ?", None if query.practice is None else int(query.practice)),
        ("ended >= ?", query.ended_since),
        ("ended < ?", query.ended_until),
        ("started < ?", query.started_until),
    ):
        if value is not None:
            wanted.append((text, value))
    where = " AND ".join(["ended > 0", *(text for text, _ in wanted)])
    values = [value for _, value in wanted]
    sql = f"SELECT {COLUMNS} FROM job WHERE {where} ORDER BY ended DESC, job"
    if limit is None and not offset:
        return sql, values
    return sql + " LIMIT ? OFFSET ?", [*values, 2**62 if limit is None else limit, offset]
