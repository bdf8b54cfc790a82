"""Takes jobs from a shared folder in (exchange.py says how it looks and by which rules).

Called by: the receive command, the office. Proved by: tests/record/test_exchange.py, test_hostile_folder.py.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from coach.core.problems import Problem, RecordError, StoreError
from coach.record import exchange, headlist, photos, sealed
from coach.record.files import read_plain, write_whole
from coach.record.found import told_otherwise
from coach.record.keyring import LIMIT as KEYS_LIMIT
from coach.record.keyring import Keyring
from coach.record.photos import PhotoFolder
from coach.record.store import Finding, Store

TOGETHER, TOGETHER_BYTES = 100, 8_000_000  # jobs stored in one transaction, and the bytes of their files


def receive(store: Store, pictures: PhotoFolder, folder: Path, keyring: Keyring, at: int) -> exchange.Received:
    """Take in every job, picture and list from a folder that holds against the yard's list of keys.

    Args:
        store: the ledger.
        pictures: its pictures; files that tell a job in another way are kept beside them, in the folder `kept`.
        folder: the shared folder or stick; nothing in it is changed.
        keyring: the yard's list as this device has it.
        at: ms since 1970 UTC by the caller's clock, noted with findings.

    Raises:
        RecordError X106: there is no such folder. StoreError: this device's own disk failed; what was taken in before
            is kept, and a second call goes on.
    """
    if not folder.is_dir():
        raise RecordError(exchange.no_folder(folder))
    receiver = _Receiver(store, pictures, folder, exchange.Received(keyring), at)
    receiver.keys()
    for path in receiver.files("jobs", ".coach"):
        receiver.job(path)
    receiver.store_waiting()
    for path in receiver.files("heads", ".heads"):
        receiver.heads(path)
    return receiver.got


class _Receiver:
    """One call of `receive`."""

    def __init__(self, store: Store, pictures: PhotoFolder, folder: Path, got: exchange.Received, at: int) -> None:
        self.store = store
        self.pictures = pictures
        self.folder = folder
        self.got = got
        self.at = at
        self.waiting: list[tuple[sealed.Sealed, bytes, str]] = []  # checked jobs, to be stored together

    def keys(self) -> None:
        """The yard's list, if there is one that goes on from ours."""
        path = self.folder / exchange.KEYS_FILE
        if not path.exists() and not path.is_symlink():
            return
        try:
            there = Keyring.read(read_plain(path, KEYS_LIMIT), self.got.keyring.yard)
        except RecordError as error:
            self.refuse(exchange.KEYS_FILE, *error.problems)
            return
        if there.goes_on_from(self.got.keyring):
            self.got.keyring = there
        elif not self.got.keyring.goes_on_from(there):
            self.refuse(exchange.KEYS_FILE, exchange.two_lists())

    def files(self, name: str, ending: str) -> Iterator[Path]:
        """Files of one kind, by name; a folder that is a link or holds far too many names is refused."""
        place = self.folder / name
        if place.is_symlink():
            self.refuse(name, exchange.linked(place))
            return
        if not place.is_dir():
            return
        with os.scandir(place) as entries:
            names = [entry.name for entry in islice(entries, exchange.MOST_FILES + 1)]
        if len(names) > exchange.MOST_FILES:
            self.refuse(name, exchange.too_many(place, exchange.MOST_FILES))
            return
        for each in sorted(names):
            if each.endswith(ending) and not each.startswith("."):
                yield place / each

    def job(self, path: Path) -> None:
        """One job's file."""
        try:
            raw = read_plain(path, sealed.LIMIT)
            file_hash = hashlib.sha256(raw).hexdigest()
            if self.store.memory.was_received(file_hash):
                self.got.known += 1
                return
            held = sealed.read(raw, path.name)
            faults = sealed.faults(held, raw, self.got.keyring)
        except RecordError as error:
            self.refuse(path.name, *error.problems)
            return
        if faults:
            self.refuse(path.name, *faults)
            return
        missing = [hash for hash in held.photos if not self.photo(hash)]
        self.got.missing_photos += missing
        self.waiting.append((held, raw, "" if missing else file_hash))
        if len(self.waiting) >= TOGETHER or sum(len(raw) for _, raw, _ in self.waiting) >= TOGETHER_BYTES:
            self.store_waiting()

    def store_waiting(self) -> None:
        """Store the jobs that were checked, in one transaction; one that tells another history is kept beside."""
        waiting, self.waiting = self.waiting, []
        if not waiting:
            return
        answers = self.store.add_all([(held.parts, file_hash) for held, _, file_hash in waiting])
        for (held, raw, _), answer in zip(waiting, answers, strict=True):
            job = held.parts.job
            if isinstance(answer, RecordError):
                file_hash = self.keep(raw)
                self.find(told_otherwise(job, answer.problems[0], file_hash, self.at))
                self.store.memory.note_received(file_hash, job, held.count)
            elif answer == 0:
                self.got.known += 1
            elif answer == held.count:
                self.got.new.append(job)
            else:
                self.got.longer.append(job)

    def keep(self, raw: bytes) -> str:
        """Keep a file that cannot be stored as the job's history; returns its hash, which is its name."""
        file_hash = hashlib.sha256(raw).hexdigest()
        folder = self.pictures.folder.parent / "kept"
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_whole(folder / f"{file_hash}.coach", raw)
        except OSError as fault:
            raise StoreError(exchange.not_kept(folder, fault)) from fault
        return file_hash

    def photo(self, hash: str) -> bool:
        """Whether the picture is held, from before or from now on."""
        if self.pictures.fault(hash) is None:
            return True
        path = self.folder / "photos" / f"{hash}.jpg"
        if not path.exists() and not path.is_symlink():
            return False
        try:
            data = read_plain(path, photos.LIMIT)
        except RecordError as error:
            self.refuse(path.name, *error.problems)
            return False
        if hashlib.sha256(data).hexdigest() != hash:
            self.refuse(path.name, photos.changed(hash))
            return False
        self.pictures.keep(data)
        return True

    def heads(self, path: Path) -> None:
        """One tablet's list of heads."""
        try:
            raw = read_plain(path, headlist.LIMIT)
            told = headlist.read(raw)
        except RecordError as error:
            self.refuse(path.name, *error.problems)
            return
        known = self.got.keyring.keys.get(told.key_id)
        if known is None or known.revoked_at is not None:
            self.refuse(path.name, exchange.unknown_tablet(told.key_id))
            return
        before = self.store.memory.told(told.key_id)
        last = headlist.read(before) if before else None
        if last is not None and told.number < last.number:
            return
        for finding in headlist.compare(last, told, self.at) if last else []:
            self.find(finding)
        if last is None or told.number > last.number:
            self.store.memory.note_told(told.key_id, told.number, raw)

    def find(self, finding: Finding) -> None:
        """Keep a finding, and report it if it is new."""
        if self.store.memory.note_finding(finding):
            self.got.findings.append(finding)

    def refuse(self, name: str, *problems: Problem) -> None:
        """Report a file that was not taken in."""
        self.got.refused.append(exchange.Refused(name, problems))
