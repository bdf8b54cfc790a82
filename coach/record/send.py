"""Puts a device's jobs into a shared folder (exchange.py says how it looks and by which rules).

Called by: the send command, the tablet. Proved by: tests/record/test_exchange.py.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from coach.core.problems import RecordError, StoreError
from coach.record import exchange, export, headlist, photos, sealed
from coach.record.files import read_plain, write_whole
from coach.record.keyring import LIMIT as KEYS_LIMIT
from coach.record.keyring import Keyring
from coach.record.keys import Signer
from coach.record.photos import PhotoFolder
from coach.record.store import JobQuery, JobRow, Store


def send(
    store: Store, pictures: PhotoFolder, folder: Path, signer: Signer, keyring: Keyring | None = None,
    unfinished: bool = False,
) -> exchange.Sent:  # fmt: skip
    """Put every sealed job, its pictures and this device's list of heads into a folder.

    Args:
        store: the ledger.
        pictures: its pictures.
        folder: the shared folder or stick.
        signer: the device's key.
        keyring: the yard's list of keys, passed on if the folder has none or an older one.
        unfinished: also jobs that are not sealed (for a board at the office); they are signed, not sealed.

    Raises:
        RecordError X105, X106: the folder cannot be used. StoreError R441: the folder's disk failed; what was
            written before is whole. StoreError R40x: the ledger's disk failed.
    """
    sent = exchange.Sent()
    try:
        _prepare(folder)
        for row in store.jobs(JobQuery()):
            if row.sealed or unfinished:
                _send_job(store, pictures, folder, signer, row, keyring, sent)
        _send_heads(store, folder, signer)
        if keyring is not None:
            _send_keys(folder, keyring, sent)
    except OSError as fault:
        raise StoreError(exchange.folder_failed(folder, fault)) from fault
    return sent


def _prepare(folder: Path) -> None:
    for name in ("jobs", "photos", "heads"):
        path = folder / name
        path.mkdir(parents=True, exist_ok=True)
        if path.is_symlink():
            raise RecordError(exchange.linked(path))


def _send_job(
    store: Store, pictures: PhotoFolder, folder: Path, signer: Signer, row: JobRow, keyring: Keyring | None,
    sent: exchange.Sent,
) -> None:  # fmt: skip
    path = folder / "jobs" / f"{row.job}.{row.entries}.{row.head[:16]}.coach"
    if _is_there(store, path, row, keyring):
        sent.there += 1
        return
    parts = store.parts(row.job)
    for hash in photos.named_in(parts.entries):
        _send_photo(pictures, folder, hash, sent)
    raw = export.write(parts, signer)
    write_whole(path, raw)
    store.memory.note_received(hashlib.sha256(raw).hexdigest(), row.job, row.entries)
    sent.written.append(path.name)


def _is_there(store: Store, path: Path, row: JobRow, keyring: Keyring | None) -> bool:
    """Whether a good file with this job stands under this name; another's rubbish under it is written over."""
    try:
        raw = read_plain(path, sealed.LIMIT)
        if store.memory.was_received(hashlib.sha256(raw).hexdigest()):
            return True
        held = sealed.read(raw)
    except RecordError:
        return False
    last = held.parts.entries[-1] if held.parts.entries else None
    return last is not None and last.hash == row.head and not sealed.faults(held, raw, keyring)


def _send_photo(pictures: PhotoFolder, folder: Path, hash: str, sent: exchange.Sent) -> None:
    there = folder / "photos" / f"{hash}.jpg"
    try:
        data = read_plain(pictures.path(hash), photos.LIMIT)
    except RecordError:
        sent.missing_photos.append(hash)
        return
    if not there.is_symlink() and there.is_file() and there.stat().st_size == len(data):
        return
    write_whole(there, data)


def _send_heads(store: Store, folder: Path, signer: Signer) -> None:
    heads = store.heads()
    before = store.memory.told(signer.key_id)
    last = headlist.read(before) if before else None
    number = last.number if last else 0
    if last is None or headlist.content_hash(last.heads.values()) != headlist.content_hash(heads):
        number += 1
    raw = headlist.write(signer, number, heads)
    if raw != before:
        store.memory.note_told(signer.key_id, number, raw)
    path = folder / "heads" / f"{signer.key_id}.{number}.heads"
    if not path.exists():
        write_whole(path, raw)
    for older in sorted((folder / "heads").glob(f"{signer.key_id}.*.heads")):
        if older != path and not older.is_symlink():
            older.unlink()


def _send_keys(folder: Path, keyring: Keyring, sent: exchange.Sent) -> None:
    path = folder / exchange.KEYS_FILE
    try:
        there = Keyring.read(read_plain(path, KEYS_LIMIT), keyring.yard)
        if there.goes_on_from(keyring):
            return
        if not keyring.goes_on_from(there):
            sent.refused.append(exchange.Refused(exchange.KEYS_FILE, (exchange.two_lists(),)))
            return
    except RecordError:  # none there, or no list at all: ours is written
        pass
    write_whole(path, keyring.text)
