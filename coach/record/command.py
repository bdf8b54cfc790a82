"""The record's commands: send, receive, verify, keys, retire, office. Words in, lines out, an exit status.

Rules kept here:
 1. Statuses: 0 all is well, 1 something was found or refused, 2 it could not be done at all.
 2. Whatever happens is said in lines a person can act on; what was done before a failure stays done.
Knows nothing of: the command line's grammar (cli), the clock (the caller passes ms since 1970 UTC).
Called by: cli. The data folder is the desk's: ledger.sqlite, photos/, the key, the yard's list.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from coach.core.problems import CoachError, Problem, RecordError, fill, render
from coach.record import yard_keys
from coach.record.exchange import Received, Refused, no_folder
from coach.record.files import read_plain
from coach.record.keyring import LIMIT as KEYS_LIMIT
from coach.record.keyring import Keyring, KnownKey
from coach.record.keys import DeviceKey, key_id, public_from_pem
from coach.record.ledger import Ledger
from coach.record.office import open_office
from coach.record.photos import PhotoFolder
from coach.record.receive import receive as take_in
from coach.record.retention import due
from coach.record.retention import retire as take_away
from coach.record.sealed import verify_file
from coach.record.send import send as put_out

FINE, FOUND, MISUSE = 0, 1, 2
Out = Callable[[str], object]


@dataclass(frozen=True)
class Place:
    """What the commands need of a data folder."""

    folder: Path
    key: DeviceKey
    ledger: Ledger
    pictures: PhotoFolder
    keyring: Keyring | None

    @staticmethod
    def open(folder: Path) -> Place:
        """Open the folder. Raises RecordError, StoreError: key, ledger or list cannot be used."""
        key = DeviceKey.open(folder)
        ledger = Ledger.open(folder / "ledger.sqlite", key)
        return Place(folder, key, ledger, PhotoFolder(folder / "photos"), yard_keys.load(folder))


def guarded(out: Out, work: Callable[[], int]) -> int:
    """Run a command's work; what cannot be done is said, with status 2."""
    try:
        return work()
    except CoachError as error:
        for problem in error.problems:
            out(render(problem))
        return MISUSE


def send(folder: Path, to: Path, out: Out, unfinished: bool = False) -> int:
    """`coach send DIR`: put the sealed jobs of this device into a shared folder."""

    def work() -> int:
        place = Place.open(folder)
        if not to.exists():  # a stick that is not in: a folder made in its place would look like one
            raise RecordError(no_folder(to))
        sent = put_out(place.ledger, place.pictures, to, place.key, place.keyring, unfinished)
        for name in sent.written:
            out(f"sent      {name}")
        out(f"{len(sent.written)} sent, {sent.there} there before")
        for hash in sent.missing_photos:
            out(f"missing   picture {hash[:12]} is not on this device")
        _say_refused(sent.refused, out)
        return FOUND if sent.refused or sent.missing_photos else FINE

    return guarded(out, work)


def receive(folder: Path, source: Path, now: int, out: Out) -> int:
    """`coach receive DIR`: take in the jobs of a shared folder that hold against the yard's list of keys."""

    def work() -> int:
        place = Place.open(folder)
        return _receive_into(place.ledger, place, source, now, out)

    return guarded(out, work)


def office(folder: Path, address: str, sources: Sequence[Path], now: int, out: Out) -> int:
    """`coach office ADDRESS DIR...`: take jobs into an office's ledger on a server (or in another file)."""

    def work() -> int:
        place = Place.open(folder)
        ledger = open_office(address, place.key)
        status = FINE
        for source in sources:
            out(f"from {source}")
            status = max(status, _receive_into(ledger, place, source, now, out))
        out(f"{_many(len(ledger.heads()), 'job')} in the office's ledger")
        ledger.close()
        return status

    return guarded(out, work)


def verify(files: Sequence[Path], folder: Path, out: Out) -> int:
    """`coach verify FILE...`: check jobs' files, against the yard's list of keys if this device has one.

    Without a file: this device's own ledger, whole.
    """

    def work() -> int:
        status = FINE
        keyring = yard_keys.load(folder)
        checked = [(str(file), verify_file(file, keyring)) for file in files]
        if not files:
            checked = [("the ledger of this device", Place.open(folder).ledger.verify())]
        for name, problems in checked:
            out(f"{name}: {'DOES NOT VERIFY' if problems else 'verified'}")
            for problem in problems:
                out(render(problem))
            status = FOUND if problems else status
        if files and keyring is None:
            out("Each file was held against itself only: this device has no list of a yard's keys.")
        return status

    return guarded(out, work)


def findings(folder: Path, out: Out) -> int:
    """What receiving has found: forks, tablets that show less than before."""

    def work() -> int:
        found = Place.open(folder).ledger.memory.findings()
        for finding in found:
            out(f"{finding.code} {finding.job}: {finding.text}")
        out(_many(len(found), "finding"))
        return FOUND if found else FINE

    return guarded(out, work)


def retire(folder: Path, archive: Path, days: int, now: int, out: Out) -> int:
    """Write out every job that is older than the policy's retention_days, and take it from the ledger."""

    def work() -> int:
        place = Place.open(folder)
        status = FINE
        jobs = due(place.ledger, days, now)
        for row in jobs:
            try:
                left = take_away(
                    place.ledger, place.pictures, row.job, archive, place.key, days, now, place.keyring
                )  # fmt: skip
                out(f"left      {left.job}, {left.seq} entries, its file {left.file_hash[:12]}")
            except RecordError as error:
                status = FOUND
                for problem in error.problems:
                    out(render(problem))
        if not jobs:
            out(f"no sealed job has been over for more than {days} days")
        return status

    return guarded(out, work)


def show_keys(folder: Path, out: Out) -> int:
    """`coach keys`: this device's key and the yard's list."""

    def work() -> int:
        key, keyring = DeviceKey.open(folder), yard_keys.load(folder)
        out(f"this device  {key.key_id}")
        out(key.public_pem.rstrip("\n"))
        if keyring is None:
            out("This device belongs to no yard.")
            return FINE
        out(f"the yard     {keyring.yard}")
        for known in keyring.keys.values():
            state = (
                "revoked: " + known.why if known.revoked_at is not None else "replaced" if known.replaced_by else "good"
            )
            out(f"{known.id}  {known.name}  {state}")
        return FINE

    return guarded(out, work)


def begin_yard(folder: Path, out: Out) -> int:
    """`coach keys begin`: this device's key becomes the yard's."""

    def work() -> int:
        keyring = yard_keys.begin(folder, DeviceKey.open(folder))
        out(f"The yard's key is {keyring.yard}. Read it out to each tablet; back up this folder.")
        return FINE

    return guarded(out, work)


def join_yard(folder: Path, yard: str, file: Path, out: Out) -> int:
    """`coach keys trust ID FILE`: this device trusts the yard with this id, whose list is in the file."""

    def work() -> int:
        keyring = yard_keys.trust(folder, yard, read_plain(file, KEYS_LIMIT))
        out(f"This device goes by the list of yard {keyring.yard[:12]}: {_many(len(keyring.keys), 'key')}.")
        return FINE

    return guarded(out, work)


def enrol(folder: Path, pem: Path, name: str, now: int, out: Out) -> int:
    """`coach keys enrol PEM --name NAME`: the yard takes a tablet's public key into its list."""

    def work() -> int:
        place = Place.open(folder)
        public = public_from_pem(read_plain(pem, 10_000).decode("ascii", "replace"))
        keyring = _yard_itself(place)
        known = keyring.keys.get(key_id(public))
        if known is not None:
            raise RecordError(_enrolled(known))
        yard_keys.keep(folder, keyring.enrol(place.key, public, name, now))
        out(f"{name} is enrolled. The list travels with the next sending.")
        return FINE

    return guarded(out, work)


def revoke(folder: Path, key: str, why: str, now: int, out: Out) -> int:
    """`coach keys revoke ID --why WHY`: from now on only what the yard holds of this tablet counts."""

    def work() -> int:
        place = Place.open(folder)
        keyring = _yard_itself(place)
        known = keyring.keys.get(key)
        if known is None or known.revoked_at is not None:
            raise RecordError(_not_revocable(key, keyring))
        yard_keys.keep(folder, keyring.revoke(place.key, key, why, now, place.ledger.heads()))
        out(f"{known.name} ({key[:12]}) is revoked. The list travels with the next sending.")
        return FINE

    return guarded(out, work)


def _many(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _of_yard(place: Place) -> Keyring:
    if place.keyring is None:
        raise RecordError(_no_yard())
    return place.keyring


def _yard_itself(place: Place) -> Keyring:
    """The list, on the one device whose key may add to it."""
    keyring = _of_yard(place)
    if place.key.key_id != keyring.yard:
        raise RecordError(
            Problem(
                "X208",
                "this device's key is not the yard's",
                "only the yard's own key may say whose tablets count",
                "do it on the device on which the yard's list was begun",
            )
        )
    return keyring


def _enrolled(known: KnownKey) -> Problem:
    return Problem(
        "X209",
        "the key %(key)s is in the list already, as %(name)s",
        "a tablet has one place in the list",
        "see the list with: coach keys; a key that was revoked never comes back, the tablet makes a new one",
        slots={"key": known.id[:12], "name": known.name},
    )


def _not_revocable(key: str, keyring: Keyring) -> Problem:
    good = ", ".join(known.id for known in keyring.keys.values() if known.revoked_at is None)
    return Problem(
        "X210",
        "'%(key)s' is no key of the list that still counts",
        "only a key that counts can be revoked",
        "write the whole key, one of: %(keys)s",
        slots={"key": key, "keys": good},
    )


def _receive_into(ledger: Ledger, place: Place, source: Path, now: int, out: Out) -> int:
    got = take_in(ledger, place.pictures, source, _of_yard(place), now)
    if got.keyring.text != _of_yard(place).text:
        yard_keys.keep(place.folder, got.keyring)
        out("the yard's list of keys is newer now")
    _say_received(got, out)
    return FOUND if got.refused or got.findings or got.missing_photos else FINE


def _say_received(got: Received, out: Out) -> None:
    for word, jobs in (("new", got.new), ("longer", got.longer)):
        for job in jobs:
            out(f"{word:9} {job}")
    out(f"{len(got.new)} new, {len(got.longer)} longer, {got.known} known")
    for finding in got.findings:
        out(f"FINDING   {finding.code} {finding.text}")
    for hash in got.missing_photos:
        out(f"missing   picture {hash[:12]}")
    _say_refused(got.refused, out)


def _say_refused(refused: Sequence[Refused], out: Out) -> None:
    for each in refused:
        first = each.problems[0]
        out(f"REFUSED   {each.file}: {first.code} {fill(first.what, first.slots)}")
        out(f"          {fill(first.mend, first.slots)}")


def _no_yard() -> Problem:
    return Problem(
        "X204",
        "this device belongs to no yard, so it cannot tell whose tablets to believe",
        "anyone can make a key and sign a record of their own",
        "on the yard's own device: coach keys begin; on a tablet: coach keys trust ID FILE",
    )
