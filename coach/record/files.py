"""Files written whole or not at all, and hostile files read without harm.

Rules kept here:
 1. A file appears under its name only when all its bytes are on disk: written beside it, synced, renamed, and the
    folder synced. A name that exists is replaced by the rename alone.
 2. Reading takes plain files only: no links, devices, pipes or folders, never more than the given size, and the
    check is made on the opened file, not on its name.
Knows nothing of: jobs, keys. Called by: keys, photos, export, exchange.
"""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path

from coach import disk
from coach.core.problems import Problem, RecordError

STRANGE = "take this file away, or send it again from the tablet that wrote it"


def write_whole(path: Path, data: bytes, mode: int = 0o644) -> None:
    """Write a file that is on disk, whole, when this returns; after a failure the old file (or none) is there.

    Raises:
        OSError: the disk refused; the half-written neighbour is taken away.
    """
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Bring a folder's list of names to disk (POSIX; elsewhere the rename itself has to do)."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def read_plain(path: Path, limit: int) -> bytes:
    """The bytes of a plain file of at most `limit` bytes.

    Raises:
        RecordError X101: a link, X102: no plain file, X103: too large, X104: cannot be read.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        if path.is_symlink():
            raise RecordError(_link(path))
        with os.fdopen(os.open(path, flags), "rb") as file:
            about = os.fstat(file.fileno())
            if not stat.S_ISREG(about.st_mode):
                raise RecordError(_not_plain(path))
            if about.st_size <= limit:
                data = file.read(limit + 1)
                if len(data) <= limit:
                    return data
            raise RecordError(_too_large(path, limit))
    except OSError as fault:
        raise RecordError(_unreadable(path, fault)) from fault


def _link(path: Path) -> Problem:
    return Problem(
        "X101",
        "the file %(file)s is a link",
        "a link can lead to any file of this device",
        STRANGE,
        slots={"file": _shown(path)},
    )


def _not_plain(path: Path) -> Problem:
    return Problem(
        "X102",
        "the file %(file)s is no plain file",
        "reading it may never end",
        STRANGE,
        slots={"file": _shown(path)},
    )


def _too_large(path: Path, limit: int) -> Problem:
    return Problem(
        "X103",
        "the file %(file)s is larger than %(limit)s bytes",
        "no record of a job is so large",
        STRANGE,
        slots={"file": _shown(path), "limit": f"{limit:,}"},
    )


def _unreadable(path: Path, fault: OSError) -> Problem:
    return Problem(
        "X104",
        "the file %(file)s cannot be read: %(detail)s",
        "what cannot be read cannot be checked",
        disk.read_cure(fault),
        slots={"file": _shown(path), "detail": fault.strerror or str(fault)},
    )


def _shown(path: Path) -> str:
    """The file's name without anything that a terminal would act on."""
    return repr(path.name)[1:-1]
