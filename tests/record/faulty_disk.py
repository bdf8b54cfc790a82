"""A disk that fails, dies or loses power at a chosen call: a VFS put in front of SQLite's own, by ctypes.

The program under test is unchanged: Python's sqlite3 module and this file load the same SQLite library, and the VFS
registered here becomes its default. Every write, sync, truncation and deletion of a file is counted and can be made to
fail once or from then on, to end the process by SIGKILL, or to be the moment of a power cut.

What a power cut leaves is modelled on the fsync study (Rebello et al., USENIX ATC 2020) and on ALICE
(Pillai et al., OSDI 2014): bytes are on disk only after a sync of their file that succeeded; of later writes each may be
there whole, in part (in sectors of 512 bytes) or not, in any order; writes before a *failed* sync are lost for good,
though reading still shows them until the cut. A new file's name is on disk with its first sync (SQLite syncs the folder
then); a deletion may be undone by the cut until the folder is synced (`folder_synced`).
"""

from __future__ import annotations

import ctypes
import os
import random
import signal
import sqlite3
import tempfile
from collections.abc import Callable
from ctypes import CFUNCTYPE, POINTER, Structure, c_char_p, c_int, c_int64, c_void_p, cast, pointer
from dataclasses import dataclass, field
from pathlib import Path

import pytest

OK, IOERR_WRITE, IOERR_FSYNC, IOERR_TRUNCATE, FULL = 0, 10 | (3 << 8), 10 | (4 << 8), 10 | (6 << 8), 13
IOERR_DELETE = 10 | (10 << 8)
SECTOR = 512

# names are passed on as addresses: SQLite keeps the pointer, so it must stay SQLite's own
_Open = CFUNCTYPE(c_int, c_void_p, c_void_p, c_void_p, c_int, POINTER(c_int))
_Delete = CFUNCTYPE(c_int, c_void_p, c_void_p, c_int)
_Write = CFUNCTYPE(c_int, c_void_p, c_void_p, c_int, c_int64)
_Truncate = CFUNCTYPE(c_int, c_void_p, c_int64)
_Sync = CFUNCTYPE(c_int, c_void_p, c_int)


class _Vfs(Structure):
    _fields_ = [
        ("iVersion", c_int), ("szOsFile", c_int), ("mxPathname", c_int), ("pNext", c_void_p), ("zName", c_char_p),
        ("pAppData", c_void_p), ("xOpen", c_void_p), ("xDelete", c_void_p), *((f"x{n}", c_void_p) for n in range(13)),
    ]  # fmt: skip


class _Methods(Structure):
    _fields_ = [
        ("iVersion", c_int), ("xClose", c_void_p), ("xRead", c_void_p), ("xWrite", c_void_p), ("xTruncate", c_void_p),
        ("xSync", c_void_p), *((f"x{n}", c_void_p) for n in range(13)),
    ]  # fmt: skip


class _File(Structure):
    _fields_ = [("pMethods", POINTER(_Methods))]


@dataclass
class Plan:
    """What happens at which call. `part`: how many halves of a failing or dying write reach the file, 0 to 2."""

    at: int = 0
    kind: str = ""  # "error", "full", "kill", or "" for nothing
    part: int = 0
    for_ever: bool = False


@dataclass
class Stored:
    """One file as the disk has it: the bytes that a sync made sure of, and what was asked since."""

    durable: bytearray = field(default_factory=bytearray)
    exists: bool = False  # its name is on disk
    is_deleted: bool = False  # and the folder not synced since
    pending: list[tuple[int, bytes | None]] = field(default_factory=list)  # (offset, data) or (size, None)


# Every disk that was ever installed: a connection that is collected late still closes its files through it.
_INSTALLED: list[FaultyDisk] = []


class FaultyDisk:
    """The VFS and its model. Use `install` once in a process, then `plan` for each run."""

    def __init__(self) -> None:
        self.calls = 0
        self.log: list[str] = []
        self.plan = Plan()
        self.files: dict[str, Stored] = {}
        self.at_cut: Callable[[], None] | None = None
        self._paths: dict[int, str] = {}
        self._methods: dict[int, tuple[_Methods, _Methods]] = {}
        self._original: ctypes._Pointer[_Vfs] | None = None
        try:
            self._library = ctypes.CDLL("libsqlite3.so.0")
        except OSError:
            pytest.skip("the system has no SQLite library of its own")
        self._library.sqlite3_vfs_find.restype = POINTER(_Vfs)

    def install(self) -> FaultyDisk:
        """Become SQLite's default VFS."""
        _INSTALLED.append(self)
        original = self._library.sqlite3_vfs_find(None)
        self._original = original
        self._vfs = _Vfs.from_buffer_copy(original.contents)
        self._vfs.zName = b"coach-faulty"
        self._vfs.pNext = None
        self._keep = [_Open(self._open), _Delete(self._delete), _Write(self._write), _Truncate(self._truncate),
                      _Sync(self._sync)]  # fmt: skip
        self._real_open = cast(self._vfs.xOpen, _Open)
        self._real_delete = cast(self._vfs.xDelete, _Delete)
        self._vfs.xOpen = cast(self._keep[0], c_void_p)
        self._vfs.xDelete = cast(self._keep[1], c_void_p)
        assert self._library.sqlite3_vfs_register(pointer(self._vfs), 1) == 0
        with tempfile.TemporaryDirectory() as folder:
            sqlite3.connect(Path(folder) / "x.db").execute("CREATE TABLE x (y)").connection.close()
        if not self.calls:
            self.remove()
            pytest.skip("this Python carries an SQLite of its own, out of reach of the faulty disk")
        return self

    def remove(self) -> None:
        """Give SQLite its own VFS back."""
        self._library.sqlite3_vfs_unregister(pointer(self._vfs))
        self._library.sqlite3_vfs_register(self._original, 1)

    def start(self, plan: Plan | None = None) -> None:
        """Begin a run: count from 1, forget files and faults."""
        self.calls, self.log, self.plan = 0, [], plan or Plan()
        self.files, self.at_cut = {}, None

    def folder_synced(self) -> None:
        """The program has synced the folder: what was deleted stays so."""
        self.files = {path: stored for path, stored in self.files.items() if not stored.is_deleted}

    def image(self, chance: random.Random) -> tuple[tuple[str, bytes], ...]:
        """What a power cut now would leave of every file: names and bytes."""
        left = []
        for path, stored in self.files.items():
            made = bytearray(stored.durable)
            exists = stored.exists
            if stored.is_deleted and chance.random() < 0.5:
                continue
            for offset, data in stored.pending:
                fate = chance.choice(("whole", "part", "none"))
                if fate == "none":
                    continue
                exists = exists or chance.random() < 0.5
                _apply(made, offset, data if data is None or fate == "whole" else _torn(data, chance))
            if exists:
                left.append((Path(path).name, bytes(made)))
        return tuple(sorted(left))

    def _fault(self, what: str) -> Plan | None:
        """Count a call; the plan if it is due now."""
        self.calls += 1
        self.log.append(what)
        if self.at_cut is not None:
            self.at_cut()
        due = self.plan.kind and (self.calls == self.plan.at or (self.plan.for_ever and self.calls > self.plan.at))
        return self.plan if due else None

    def _open(self, vfs: int, name: int | None, file: int, flags: int, out: object) -> int:
        code = self._real_open(vfs, name, file, flags, out)
        if code != OK or not name:
            return code
        path = os.fsdecode(ctypes.string_at(name))
        handle = cast(file, POINTER(_File)).contents
        address = ctypes.addressof(handle.pMethods.contents)
        if address not in self._methods:
            real = handle.pMethods.contents
            changed = _Methods.from_buffer_copy(real)
            changed.xWrite = cast(self._keep[2], c_void_p)
            changed.xTruncate = cast(self._keep[3], c_void_p)
            changed.xSync = cast(self._keep[4], c_void_p)
            self._methods[address] = (real, changed)
            self._real = (cast(real.xWrite, _Write), cast(real.xTruncate, _Truncate), cast(real.xSync, _Sync))
        handle.pMethods = pointer(self._methods[address][1])
        self._paths[file] = path
        if path not in self.files or self.files[path].is_deleted:
            held = Path(path).read_bytes() if Path(path).exists() else b""
            self.files[path] = Stored(bytearray(held), exists=bool(held))
        return code

    def _write(self, file: int, data: int, size: int, offset: int) -> int:
        path = self._paths[file]
        raw = ctypes.string_at(data, size)
        plan = self._fault(f"write {Path(path).name} {size}@{offset}")
        if plan:
            part = size * plan.part // 2
            if part:
                self._real[0](file, data, part, offset)
                self.files[path].pending.append((offset, raw[:part]))
            return self._end(plan, IOERR_WRITE)
        code = self._real[0](file, data, size, offset)
        self.files[path].pending.append((offset, raw))
        return code

    def _truncate(self, file: int, size: int) -> int:
        path = self._paths[file]
        plan = self._fault(f"truncate {Path(path).name} {size}")
        if plan:
            return self._end(plan, IOERR_TRUNCATE)
        self.files[path].pending.append((size, None))
        return self._real[1](file, size)

    def _sync(self, file: int, flags: int) -> int:
        stored = self.files[self._paths[file]]
        plan = self._fault(f"sync {Path(self._paths[file]).name}")
        if plan:
            stored.pending.clear()  # the system marked the pages clean: no later sync will write them
            return self._end(plan, IOERR_FSYNC)
        code = self._real[2](file, flags)
        for offset, data in stored.pending:
            _apply(stored.durable, offset, data)
        stored.pending.clear()
        stored.exists = True
        return code

    def _delete(self, vfs: int, name: int, sync_folder: int) -> int:
        path = os.fsdecode(ctypes.string_at(name))
        plan = self._fault(f"delete {Path(path).name}")
        if plan:
            return self._end(plan, IOERR_DELETE)
        code = self._real_delete(vfs, name, sync_folder)
        if path in self.files and code == OK:
            self.files[path].is_deleted = True
            if sync_folder:
                self.folder_synced()
        return code

    def _end(self, plan: Plan, code: int) -> int:
        if plan.kind == "kill":
            os.kill(os.getpid(), signal.SIGKILL)
        return FULL if plan.kind == "full" else code


def _apply(content: bytearray, offset: int, data: bytes | None) -> None:
    if data is None:
        del content[offset:]
        return
    if len(content) < offset:
        content.extend(bytes(offset - len(content)))
    content[offset : offset + len(data)] = data


def _torn(data: bytes, chance: random.Random) -> bytes:
    sectors = (len(data) + SECTOR - 1) // SECTOR
    return data[: SECTOR * chance.randrange(sectors)] if sectors > 1 else data[: chance.randrange(len(data) + 1)]
