"""What `coach send`, `coach receive` and `coach keys` do: jobs over a shared folder, and the yard's list of keys.

Rules kept here:
 1. A tablet takes nothing in before it knows its yard: the yard's id is typed or scanned once, by a person.
 2. The yard's own key lies in the folder `yard` of the data folder, on one device only; that device enrols and revokes.
Knows nothing of: how files are checked (receive), what a list of keys holds (keyring).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from coach.core.problems import Problem, RecordError, StoreError, render
from coach.record.exchange import Received, Sent
from coach.record.files import read_plain, write_whole
from coach.record.keyring import LIMIT, Keyring
from coach.record.keys import DeviceKey, Signer, public_from_pem, public_pem
from coach.record.ledger import Ledger
from coach.record.photos import PhotoFolder
from coach.record.receive import receive
from coach.record.send import send

LIST_FILE, YARD_FILE, YARD_FOLDER = "yard-keys", "yard-id", "yard"
Say = Callable[[str], None]


class Box:
    """What these commands need of a device: its data folder, ledger, pictures, key, and the time (ms since 1970 UTC)."""

    def __init__(self, folder: Path, ledger: Ledger, photos: PhotoFolder, signer: Signer, now: int) -> None:
        self.folder = folder
        self.ledger = ledger
        self.photos = photos
        self.signer = signer
        self.now = now

    def keyring(self) -> Keyring | None:
        """The yard's list as this device has it; None before it knows its yard."""
        yard = self.folder / YARD_FILE
        if not yard.is_file():
            return None
        return Keyring.read(read_plain(self.folder / LIST_FILE, LIMIT), yard.read_text("ascii").strip())

    def keep(self, keyring: Keyring) -> None:
        """Keep the list, whole or not at all."""
        try:
            write_whole(self.folder / LIST_FILE, keyring.text)
            write_whole(self.folder / YARD_FILE, keyring.yard.encode("ascii"))
        except OSError as fault:
            raise StoreError(Problem("R470", "the yard's list of keys could not be kept (%(why)s)", "this device would not know its yard",
                                     "free some space, then do it again", slots={"why": fault.strerror})) from fault


def run_send(box: Box, folder: Path, say: Say) -> int:
    """Put every sealed job into the folder; exit status."""
    sent: Sent = send(box.ledger, box.photos, folder, box.signer, box.keyring())
    say(f"{len(sent.written)} files written, {sent.there} were there")
    for photo in sent.missing_photos:
        say(f"  photo missing: {photo}")
    return _refusals(sent.refused, say) or (1 if sent.missing_photos else 0)


def run_receive(box: Box, folder: Path, say: Say) -> int:
    """Take in what holds from the folder; exit status."""
    keyring = box.keyring()
    if keyring is None:
        raise RecordError(Problem("R471", "this device does not know its yard", "jobs of strangers must not be taken for the yard's own",
                                  "type the yard's id once: coach keys trust ID FILE, with the file yard-keys of the shared folder"))
    got: Received = receive(box.ledger, box.photos, folder, keyring, box.now)
    box.keep(got.keyring)
    say(f"{len(got.new)} jobs new, {len(got.longer)} longer, {got.known} known")
    for finding in got.findings:
        say(f"  LOOK: {finding.code} {finding.job}: {finding.text}")
    for photo in got.missing_photos:
        say(f"  photo missing: {photo}")
    return _refusals(got.refused, say) or (1 if got.findings or got.missing_photos else 0)


def _refusals(refused: Sequence[object], say: Say) -> int:
    for each in refused:
        say(f"  REFUSED {each.file}")  # type: ignore[attr-defined]
        for problem in each.problems:  # type: ignore[attr-defined]
            say("    " + render(problem).replace("\n", "\n    "))
    return 1 if refused else 0


def run_keys(box: Box, act: str, words: Sequence[str], name: str, why: str, say: Say) -> int:
    """The acts of `coach keys`: show, begin, trust ID FILE, enrol PEM --name NAME, revoke KEY --why WHY."""
    if act == "begin":
        yard = DeviceKey.open(box.folder / YARD_FOLDER)
        begun = box.keyring() or Keyring.begin(yard).enrol(yard, box.signer.public, "this tablet", box.now)
        box.keep(begun)
    elif act == "trust":
        box.keep(Keyring.read(read_plain(Path(words[1]), LIMIT), words[0]))
    elif act in ("enrol", "revoke"):
        yard, keyring = DeviceKey.open(box.folder / YARD_FOLDER), _known(box)
        if act == "enrol":
            pem = read_plain(Path(words[0]), LIMIT).decode("utf-8", "replace")
            box.keep(keyring.enrol(yard, public_from_pem(pem), name, box.now))
        else:
            box.keep(keyring.revoke(yard, words[0], why, box.now, box.ledger.heads()))
    _show(box, say)
    return 0


def _known(box: Box) -> Keyring:
    keyring = box.keyring()
    if keyring is None or not (box.folder / YARD_FOLDER).is_dir():
        raise RecordError(Problem("R472", "the yard's own key is not on this device", "only the yard enrols and revokes tablets",
                                  "do it on the yard's device, or begin a yard here: coach keys begin"))
    return keyring


def _show(box: Box, say: Say) -> None:
    say(f"this tablet  {box.signer.key_id}")
    say(public_pem(box.signer.public).strip())
    keyring = box.keyring()
    if keyring is None:
        say("no yard yet: coach keys begin on the yard's device, coach keys trust ID FILE on the others")
        return
    say(f"yard         {keyring.yard}")
    for key in keyring.keys.values():
        state = "revoked" if key.revoked_at is not None else "replaced" if key.replaced_by else "enrolled"
        say(f"  {key.id}  {key.name}  {state}")
