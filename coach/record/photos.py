"""Pictures of a job: kept as files named by their SHA-256 in a folder beside the ledger, named so in the events.

Rules kept here:
 1. An event names a picture by its SHA-256, 64 lower-case hex digits. Every text of that form in an event's data is
    a picture's name, save under names that end in `_hash` (a procedure's, a policy's).
 2. A picture is on disk before the event that names it is written; a picture never changes, its name is its hash.
Knows nothing of: what is on a picture, the ledger. Called by: the shells, export, exchange.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from coach import disk
from coach.core.chain import Entry
from coach.core.problems import Problem, RecordError, StoreError
from coach.record.files import read_plain, write_whole

LIMIT = 12_000_000  # bytes of one picture
_NAME = re.compile(r"[0-9a-f]{64}", re.ASCII)
_IN_BODY = re.compile(rb'"[0-9a-f]{64}"')


class PhotoFolder:
    """The pictures of one device."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def keep(self, data: bytes) -> str:
        """Store a picture; returns its hash, by which an event names it, when the picture is on disk.

        Raises:
            RecordError R431: larger than 12 MB. StoreError R432: the disk failed.
        """
        if len(data) > LIMIT:
            raise RecordError(_too_large(len(data)))
        hash = hashlib.sha256(data).hexdigest()
        path = self.path(hash)
        try:
            if not path.exists():
                self.folder.mkdir(parents=True, exist_ok=True)
                write_whole(path, data)
        except OSError as fault:
            raise StoreError(_not_stored(fault)) from fault
        return hash

    def path(self, hash: str) -> Path:
        """Where the picture with this hash lies, or would lie."""
        return self.folder / f"{hash}.jpg"

    def fault(self, hash: str) -> Problem | None:
        """R433 if the picture is missing, R434 if it is not the one that was named; None if it is there and true."""
        try:
            data = read_plain(self.path(hash), LIMIT)
        except RecordError:
            return _missing(hash)
        return None if hashlib.sha256(data).hexdigest() == hash else changed(hash)


def named_in(entries: Iterable[Entry]) -> list[str]:
    """The hashes of all pictures that these entries name, each once, in order of the text."""
    return sorted({hash for entry in entries if _IN_BODY.search(entry.body) for hash in _names(entry.event.data)})


def _names(value: object) -> Iterator[str]:
    if isinstance(value, str):
        if _NAME.fullmatch(value):
            yield value
    elif isinstance(value, Mapping):
        for name, item in value.items():
            if not str(name).endswith("_hash"):
                yield from _names(item)
    elif isinstance(value, (list, tuple)):
        for item in value:
            yield from _names(item)


def _too_large(size: int) -> Problem:
    return Problem(
        "R431",
        "the picture has %(size)d bytes",
        "pictures travel on sticks and are kept for years; 12 MB is the most",
        "take it with fewer pixels",
        slots={"size": size},
    )


def _not_stored(fault: OSError) -> Problem:
    return Problem(
        "R432",
        "the picture was not stored (%(detail)s)",
        "the step cannot name a picture that is not there",
        disk.write_cure(fault),
        slots={"detail": fault.strerror or str(fault)},
    )


def _missing(hash: str) -> Problem:
    return Problem(
        "R433",
        "the picture %(hash)s is missing",
        "the record names it as evidence",
        "fetch it from the tablet that took it",
        slots={"hash": hash[:12]},
    )


def changed(hash: str) -> Problem:
    """A picture whose bytes are not those that were named."""
    return Problem(
        "R434",
        "the picture %(hash)s is not the one that was recorded",
        "it was changed or exchanged after the step",
        "keep it, fetch the true one from the tablet that took it, call the supervisor",
        slots={"hash": hash[:12]},
    )
