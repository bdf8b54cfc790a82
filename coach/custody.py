"""Who holds the records, at the command line: send, receive, verify, keys, retire, office. Words in, lines out, a status.

Rules kept here:
 1. Statuses: 0 all is well, 1 something was found or refused. What cannot be done at all is an error for the caller.
 2. Whatever happens is said in lines a person can act on; what was done before a failure stays done.
Knows nothing of: the command line's grammar (cli), the clock (the caller passes ms since 1970 UTC).
Called by: cli. The data folder is the desk's: ledger.sqlite, photos/, the key, the yard's list.
Proved by: tests/record/test_custody.py.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from coach import paths
from coach.core.problems import RecordError
from coach.language import _, n_
from coach.record import yard_keys
from coach.record.exchange import Received, Refused, no_folder
from coach.record.files import read_plain
from coach.record.found import words_of
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
from coach.view.texts import rendered, words_text

FINE, FOUND = 0, 1
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
        """Open the folder. Raises RecordError, StoreError: folder, key, ledger or list cannot be used."""
        made = paths.made_data_folder(folder)
        key = DeviceKey.open(made)
        ledger = Ledger.open(made / "ledger.sqlite", key)
        return Place(made, key, ledger, PhotoFolder(made / "photos"), yard_keys.load(made))


def send(folder: Path, to: Path, out: Out, unfinished: bool = False) -> int:
    """`coach send DIR`: put the sealed jobs of this device into a shared folder.

    Raises:
        RecordError, StoreError: as Place.open and record.send; X106: there is no such folder.
    """
    place = Place.open(folder)
    if not to.is_dir():  # a stick that is not in: a folder made in its place would look like one
        raise RecordError(no_folder(to))
    sent = put_out(place.ledger, place.pictures, to, place.key, place.keyring, unfinished)
    for name in sent.written:
        out(_("sent: %(file)s") % {"file": name})
    out(_("%(sent)s sent, %(there)s there before") % {"sent": len(sent.written), "there": sent.there})
    for hash in sent.missing_photos:
        out(_("missing: picture %(hash)s is not on this device") % {"hash": hash[:12]})
    _say_refused(sent.refused, out)
    return FOUND if sent.refused or sent.missing_photos else FINE


def receive(folder: Path, source: Path, now: int, out: Out) -> int:
    """`coach receive DIR`: take in the jobs of a shared folder that hold against the yard's list of keys.

    Raises:
        RecordError, StoreError: as Place.open and record.receive; X204: this device belongs to no yard.
    """
    place = Place.open(folder)
    return _receive_into(place.ledger, place, source, now, out)


def office(folder: Path, address: str, sources: Sequence[Path], now: int, out: Out) -> int:
    """`coach office ADDRESS DIR...`: take jobs into an office's ledger on a server (or in another file).

    Raises:
        RecordError, StoreError: as `receive` and open_office. What came from the folders before is kept.
    """
    place = Place.open(folder)
    _of_yard(place)
    ledger = open_office(address, place.key)
    status = FINE
    for source in sources:
        out(_("from %(folder)s:") % {"folder": source})
        status = max(status, _receive_into(ledger, place, source, now, out))
    held = len(ledger.heads())
    out(n_("%(count)d job in the office's ledger", "%(count)d jobs in the office's ledger", held) % {"count": held})
    ledger.close()
    return status


def verify(files: Sequence[Path], folder: Path, out: Out) -> int:
    """`coach verify FILE...`: check jobs' files, against the yard's list of keys if this device has one.

    Without a file: this device's own ledger, whole.

    Raises:
        RecordError, StoreError: the list, or this device's ledger, cannot be read at all.
    """
    status = FINE
    keyring = yard_keys.load(folder)
    checked = [(str(file), verify_file(file, keyring)) for file in files]
    if not files:
        checked = [(_("the ledger of this device"), Place.open(folder).ledger.verify())]
    for name, problems in checked:
        out((_("%(name)s: DOES NOT VERIFY") if problems else _("%(name)s: verified")) % {"name": name})
        for problem in problems:
            out(rendered(problem))
        status = FOUND if problems else status
    if files and keyring is None:
        out(_("Each file was held against itself only: this device has no list of a yard's keys."))
    return status


def retire(folder: Path, archive: Path, days: int, now: int, out: Out) -> int:
    """Write out every job that is older than the policy's retention_days, and take it from the ledger.

    Raises:
        RecordError R461: fewer days than the floor. StoreError: a disk failed; what left before is in the archive.
    """
    place = Place.open(folder)
    status = FINE
    jobs = due(place.ledger, days, now)
    for row in jobs:
        try:
            left = take_away(place.ledger, place.pictures, row.job, archive, place.key, days, now, place.keyring)
        except RecordError as error:
            status = FOUND
            for problem in error.problems:
                out(rendered(problem))
            continue
        words = n_(
            "%(job)s has left: %(count)d entry, its file %(hash)s", "%(job)s has left: %(count)d entries, its file %(hash)s",
            left.seq,
        )  # fmt: skip
        out(words % {"job": left.job, "count": left.seq, "hash": left.file_hash[:12]})
    if not jobs:
        none = n_(
            "no sealed job has been over for more than %(count)d day",
            "no sealed job has been over for more than %(count)d days",
            days,
        )
        out(none % {"count": days})
    return status


def show_keys(folder: Path, out: Out) -> int:
    """`coach keys`: this device's key and the yard's list. Raises RecordError, StoreError: they cannot be used."""
    made = paths.made_data_folder(folder)
    key, keyring = DeviceKey.open(made), yard_keys.load(made)
    out(_("this device: %(key)s") % {"key": key.key_id})
    out(key.public_pem.rstrip("\n"))
    if keyring is None:
        out(_("This device belongs to no yard."))
        return FINE
    out(_("the yard: %(key)s") % {"key": keyring.yard})
    for known in keyring.keys.values():
        if known.id == keyring.yard:
            continue
        out(f"{known.id}  {known.name}  {_standing(known)}")
    return FINE


def _standing(known: KnownKey) -> str:
    if known.revoked_at is not None:
        return _("revoked: %(why)s") % {"why": known.why}
    return _("replaced by a newer key") if known.replaced_by else _("in use")


def begin_yard(folder: Path, out: Out) -> int:
    """`coach keys begin`: this device's key becomes the yard's. Raises RecordError X206: it belongs to a yard."""
    made = paths.made_data_folder(folder)
    keyring = yard_keys.begin(made, DeviceKey.open(made))
    out(_("The yard's key is %(key)s. Read it out to each tablet; back up this folder.") % {"key": keyring.yard})
    return FINE


def join_yard(folder: Path, yard: str, file: Path, out: Out) -> int:
    """`coach keys trust ID FILE`: this device trusts the yard with this id, whose list is in the file.

    Raises:
        RecordError: the file or the id is not the yard's, or this device has a yard (yard_keys.trust).
    """
    keyring = yard_keys.trust(paths.made_data_folder(folder), yard, read_plain(file, KEYS_LIMIT))
    words = n_(
        "This device goes by the list of yard %(yard)s: %(count)d key.",
        "This device goes by the list of yard %(yard)s: %(count)d keys.",
        len(keyring.keys),
    )
    out(words % {"yard": keyring.yard[:12], "count": len(keyring.keys)})
    return FINE


def enrol(folder: Path, pem: Path, name: str, now: int, out: Out) -> int:
    """`coach keys enrol PEM --name NAME`: the yard takes a tablet's public key into its list.

    Raises:
        RecordError X204, X208: not the yard's device, X209: the key is in the list; the file holds no key.
    """
    place = Place.open(folder)
    keyring = _yard_itself(place)
    public = public_from_pem(read_plain(pem, 10_000).decode("ascii", "replace"), pem.name)
    known = keyring.keys.get(key_id(public))
    if known is not None:
        raise RecordError(yard_keys.enrolled(known))
    yard_keys.keep(place.folder, keyring.enrol(place.key, public, name, now))
    out(_("%(name)s is enrolled. The list travels with the next sending.") % {"name": name})
    return FINE


def revoke(folder: Path, key: str, why: str, now: int, out: Out) -> int:
    """`coach keys revoke ID --why WHY`: from now on only what the yard holds of this tablet counts.

    Raises:
        RecordError X204, X208: not the yard's device, X210: no key of the list that counts.
    """
    place = Place.open(folder)
    keyring = _yard_itself(place)
    known = keyring.keys.get(key)
    if known is None or known.revoked_at is not None:
        raise RecordError(yard_keys.not_revocable(key, keyring))
    yard_keys.keep(place.folder, keyring.revoke(place.key, key, why, now, place.ledger.heads()))
    words = _("%(name)s (%(key)s) is revoked. The list travels with the next sending.")
    out(words % {"name": known.name, "key": key[:12]})
    return FINE


def _of_yard(place: Place) -> Keyring:
    if place.keyring is None:
        raise RecordError(yard_keys.no_yard())
    return place.keyring


def _yard_itself(place: Place) -> Keyring:
    """The list, on the one device whose key may add to it."""
    keyring = _of_yard(place)
    if place.key.key_id != keyring.yard:
        raise RecordError(yard_keys.not_the_yards())
    return keyring


def _receive_into(ledger: Ledger, place: Place, source: Path, now: int, out: Out) -> int:
    got = take_in(ledger, place.pictures, source, _of_yard(place), now)
    if got.keyring.text != _of_yard(place).text:
        yard_keys.keep(place.folder, got.keyring)
        out(_("the yard's list of keys is newer now"))
    _say_received(got, out)
    return FOUND if got.refused or got.findings or got.missing_photos else FINE


def _say_received(got: Received, out: Out) -> None:
    for job in got.new:
        out(_("new: %(job)s") % {"job": job})
    for job in got.longer:
        out(_("longer: %(job)s") % {"job": job})
    counts = {"new": len(got.new), "longer": len(got.longer), "known": got.known}
    out(_("%(new)s new, %(longer)s longer, %(known)s known") % counts)
    for finding in got.findings:
        words = words_text(words_of(finding.text))
        out(_("FINDING: %(code)s %(text)s") % {"code": finding.code, "text": words})
    for hash in got.missing_photos:
        out(_("missing: picture %(hash)s is not on this device") % {"hash": hash[:12]})
    _say_refused(got.refused, out)


def _say_refused(refused: Sequence[Refused], out: Out) -> None:
    """The first fault of each file, whole; `coach verify FILE` names all of them."""
    for each in refused:
        out(_("REFUSED: %(file)s") % {"file": each.file})
        out(rendered(each.problems[0]))
