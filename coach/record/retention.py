"""Jobs that are old enough leave the ledger: written out, read back and checked, and only then taken away.

Rules kept here:
 1. Nothing leaves before its time: at least the floor of `retention_days` (floors.py) after its last entry, and only
    jobs that are over and sealed.
 2. Nothing leaves before its file and its pictures lie whole on another disk, read back from there and verified.
 3. That a job was here stays known for good, with its head and its file's hash: a gap can be told from a loss, and
    an old stick does not bring it back.
Knows nothing of: clocks, policies (the caller asks the policy). Proved by: tests/record/test_retention.py.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from coach import disk
from coach.core.floors import within
from coach.core.problems import Problem, RecordError, StoreError
from coach.record import export, photos, sealed
from coach.record.check import KeyList
from coach.record.files import read_plain, write_whole
from coach.record.keys import Signer
from coach.record.photos import PhotoFolder
from coach.record.store import JobQuery, JobRow, Store

DAY_MS = 86_400_000


@dataclass(frozen=True)
class Retired:
    """A job that left: its head, the SHA-256 of its file in the archive, and the caller's time (ms since 1970 UTC)."""

    job: str
    seq: int
    hash: str
    file_hash: str
    at: int


def due(store: Store, days: int, now: int) -> list[JobRow]:
    """The sealed jobs that have been over for more than `days` days.

    Args:
        store: the ledger.
        days: the policy's retention_days; not below the floor of 366.
        now: ms since 1970 UTC.

    Raises:
        RecordError R461: fewer days than the floor. StoreError: the disk failed.
    """
    if not within("retention_days", days):
        raise RecordError(_too_soon(days))
    return [row for row in store.jobs(JobQuery(ended_until=now - days * DAY_MS)) if row.sealed]


def retire(
    store: Store, pictures: PhotoFolder, job: str, archive: Path, signer: Signer, days: int, now: int,
    keyring: KeyList | None = None,
) -> Retired:  # fmt: skip
    """Write one job out into the folder `archive` and take it from the ledger.

    Args:
        archive: a folder on another disk; the job's file goes there, its pictures into `photos` beside it.
        keyring: the yard's list of keys; what does not hold against it does not leave.

    Raises:
        RecordError R461: too soon, R462: not over or not sealed, or its file does not verify. StoreError R463: the
            archive's disk failed; StoreError R40x: the ledger's. In all cases the job is still in the ledger.
    """
    if job not in {row.job for row in due(store, days, now)}:
        raise RecordError(_not_due(job, "it is not over, not sealed, or not old enough"))
    parts = store.parts(job)
    path = archive / export.file_name(parts)
    try:
        (archive / "photos").mkdir(parents=True, exist_ok=True)
        kept = PhotoFolder(archive / "photos")
        for hash in photos.named_in(parts.entries):
            kept.keep(read_plain(pictures.path(hash), photos.LIMIT))
        write_whole(path, export.write(parts, signer))
    except OSError as fault:
        raise StoreError(_archive_failed(archive, fault)) from fault
    faults = sealed.verify_file(path, keyring)
    if faults:
        raise RecordError(_not_due(job, "its file in the archive does not verify"), *faults)
    raw = read_plain(path, sealed.LIMIT)
    last = parts.entries[-1]
    left = Retired(job, last.seq, last.hash, hashlib.sha256(raw).hexdigest(), now)
    store.retire(left.job, left.seq, left.hash, left.file_hash, left.at)
    return left


def _too_soon(days: int) -> Problem:
    return Problem(
        "R461",
        "%(days)d days are fewer than a record must be kept",
        "records of hot work are asked for up to a year later (WAC 296-67-351)",
        "set retention_days in the yard's policy to 366 or more",
        slots={"days": days},
    )


def _not_due(job: str, detail: str) -> Problem:
    return Problem(
        "R462",
        "job '%(job)s' stays in the ledger: %(detail)s",
        "what leaves the ledger must be whole elsewhere first",
        "look at the job; try again when it is mended",
        slots={"job": job, "detail": detail},
    )


def _archive_failed(archive: Path, fault: OSError) -> Problem:
    return Problem(
        "R463",
        "the archive %(folder)s did not take it (%(detail)s)",
        "what leaves the ledger must be whole elsewhere first; the job is still in the ledger",
        disk.write_cure(fault),
        slots={"folder": archive.name, "detail": fault.strerror or str(fault)},
    )
