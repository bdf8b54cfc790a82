"""The yard's list of keys on this device: which yard it belongs to, told once by a person, and the list as last seen.

Files in the data folder: `yard` (the id of the yard's key, one line) and `yard-keys` (keyring.py says the form).
Rules kept here:
 1. The yard's id is set by a person and never changed by a stick; another yard is another data folder.
 2. The kept list is only replaced by one that goes on from it.
Knows nothing of: jobs. Called by: custody.
"""

from __future__ import annotations

import re
from pathlib import Path

from coach import disk
from coach.core.problems import Problem, RecordError, StoreError
from coach.record.exchange import two_lists
from coach.record.files import read_plain, write_whole
from coach.record.keyring import LIMIT, Keyring, KnownKey
from coach.record.keys import Signer

YARD_FILE, LIST_FILE = "yard", "yard-keys"


def load(folder: Path) -> Keyring | None:
    """The list this device goes by; None if it belongs to no yard yet.

    Raises:
        RecordError R331 to R333: a file of ours was changed; X101 to X104: it cannot be read. X205: the yard is known,
            its list was not received yet.
    """
    if not (folder / YARD_FILE).exists():
        return None
    yard = read_plain(folder / YARD_FILE, 100).decode("ascii", "replace").strip()
    if not (folder / LIST_FILE).exists():
        raise RecordError(_no_list(yard))
    return Keyring.read(read_plain(folder / LIST_FILE, LIMIT), yard)


def begin(folder: Path, signer: Signer) -> Keyring:
    """Make this device the yard's: its key is the yard's key from now on.

    Raises:
        RecordError X206: it belongs to a yard. StoreError R443: the disk failed.
    """
    if (folder / YARD_FILE).exists():
        raise RecordError(_has_yard())
    keyring = Keyring.begin(signer)
    _write(folder / LIST_FILE, keyring.text)
    _write(folder / YARD_FILE, keyring.yard.encode("ascii") + b"\n")
    return keyring


def trust(folder: Path, yard: str, text: bytes) -> Keyring:
    """Join a yard: its key's id as a person read it out, and its list as it came.

    Raises:
        RecordError X206: it belongs to a yard, X207: no key's id, R331 to R333: the list is not that yard's.
            StoreError R443: the disk failed.
    """
    if (folder / YARD_FILE).exists():
        raise RecordError(_has_yard())
    if not re.fullmatch("[0-9a-f]{32}", yard, re.ASCII):
        raise RecordError(_no_id(yard))
    keyring = Keyring.read(text, yard)
    _write(folder / LIST_FILE, keyring.text)
    _write(folder / YARD_FILE, yard.encode("ascii") + b"\n")
    return keyring


def keep(folder: Path, keyring: Keyring) -> None:
    """Keep a list that goes on from the one held.

    Raises:
        RecordError X202: it does not go on from it. StoreError R443: the disk failed.
    """
    held = load(folder)
    if held is None or not keyring.goes_on_from(held):
        raise RecordError(two_lists())
    if keyring.text != held.text:
        _write(folder / LIST_FILE, keyring.text)


def _write(path: Path, data: bytes) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, data)
    except OSError as fault:
        raise StoreError(_not_kept(path, fault)) from fault


def _no_list(yard: str) -> Problem:
    return Problem(
        "X205",
        "this device knows its yard (%(yard)s) but has no list of the yard's keys",
        "without the list nobody can tell whose tablet signed a record",
        "fetch the file yard-keys from the yard into the data folder",
        slots={"yard": yard[:12]},
    )


def _has_yard() -> Problem:
    return Problem(
        "X206",
        "this device belongs to a yard",
        "with two yards nobody could tell whose word counts",
        "use another data folder for another yard",
    )


def _no_id(text: str) -> Problem:
    return Problem(
        "X207",
        "'%(text)s' is no key's id",
        "the id is how this device knows the yard's hand",
        "type the 32 letters and digits that the yard's own device shows",
        slots={"text": text[:40]},
    )


def _not_kept(path: Path, fault: OSError) -> Problem:
    return Problem(
        "R443",
        "the file %(file)s could not be written (%(detail)s)",
        "the list of keys must survive a restart",
        disk.write_cure(fault),
        slots={"file": path.name, "detail": fault.strerror or str(fault)},
    )


def no_yard() -> Problem:
    """Nothing to hold a tablet's key against."""
    return Problem(
        "X204",
        "this device belongs to no yard, so it cannot tell whose tablets to believe",
        "anyone can make a key and sign a record of their own",
        "on the yard's own device: coach keys begin; on a tablet: coach keys trust ID FILE",
    )


def not_the_yards() -> Problem:
    """Only the yard's own device keeps the list."""
    return Problem(
        "X208",
        "this device's key is not the yard's",
        "only the yard's own key may say whose tablets count",
        "do it on the device on which the yard's list was begun",
    )


def enrolled(known: KnownKey) -> Problem:
    """A key that has its place."""
    return Problem(
        "X209",
        "the key %(key)s is in the list already, as %(name)s",
        "a tablet has one place in the list",
        "see the list with: coach keys; a key that was revoked never comes back, the tablet makes a new one",
        slots={"key": known.id[:12], "name": known.name},
    )


def not_revocable(key: str, keyring: Keyring) -> Problem:
    """No such key, or revoked before."""
    good = ", ".join(known.id for known in keyring.keys.values() if known.revoked_at is None)
    return Problem(
        "X210",
        "'%(key)s' is no key of the list that still counts",
        "only a key that counts can be revoked",
        "write the whole key, one of: %(keys)s",
        slots={"key": key, "keys": good},
    )
