"""Jobs travel between devices through any shared folder or stick: `send` puts them there, `receive` takes them in.

The folder holds
    jobs/JOB.COUNT.HASH.coach     a job's file (export.py), under a name that changes when the job does
    photos/SHA-256.jpg            the pictures that the jobs name
    heads/KEY-ID.NUMBER.heads     what each tablet says it holds (headlist.py)
    yard-keys                     the yard's list of keys (keyring.py)
Rules kept here:
 1. Files appear whole or not at all; a file is never changed, only added. So both sides may stop at any moment and
    start again, in any order, any number of times, over copies that came late, twice or not at all.
 2. Nothing in the folder is trusted: size, kind of file, form, chain, signatures and the yard's list of keys are
    checked before anything is stored; what fails is refused with its reason and stays where it is.
 3. A job only grows. An older copy of what is held changes nothing; another history is kept beside and reported, and
    so is a tablet that shows less than before. Nothing is merged by guess.
 4. Whatever a device has received it passes on when it sends, with its origin's signatures.
Here: the folder's names, what both sides answer with, and the words of their refusals. send.py and receive.py do it.
Knows nothing of: networks, clocks. Proved by: tests/record/test_exchange.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from coach import disk
from coach.core.problems import Problem
from coach.record.keyring import Keyring
from coach.record.store import Finding

KEYS_FILE = "yard-keys"
MOST_FILES = 200_000


@dataclass(frozen=True)
class Refused:
    """A file that was not taken in, and why."""

    file: str
    problems: tuple[Problem, ...]


@dataclass
class Sent:
    """What `send` did."""

    written: list[str] = field(default_factory=list)
    there: int = 0
    missing_photos: list[str] = field(default_factory=list)
    refused: list[Refused] = field(default_factory=list)


@dataclass
class Received:
    """What `receive` did. `keyring`: the yard's list as it now stands, for the caller to keep."""

    keyring: Keyring
    new: list[str] = field(default_factory=list)
    longer: list[str] = field(default_factory=list)
    known: int = 0
    refused: list[Refused] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    missing_photos: list[str] = field(default_factory=list)


def folder_failed(folder: Path, fault: OSError) -> Problem:
    """The stick is full, was pulled, or may not be written."""
    return Problem(
        "R441",
        "the folder %(folder)s did not take everything (%(detail)s)",
        "some jobs are not on their way yet; those that were written are whole",
        disk.write_cure(fault),
        slots={"folder": folder.name, "detail": fault.strerror or str(fault)},
    )


def not_kept(folder: Path, fault: OSError) -> Problem:
    """This device's own disk took no copy of a second history."""
    return Problem(
        "R442",
        "a file that tells a job in another way could not be kept in %(folder)s (%(detail)s)",
        "both histories must be kept until a person has looked at them",
        disk.write_cure(fault),
        slots={"folder": folder.name, "detail": fault.strerror or str(fault)},
    )


def no_folder(folder: Path) -> Problem:
    """Nothing there."""
    return Problem(
        "X106",
        "there is no folder %(folder)s",
        "nothing can be sent to it or taken from it",
        "put in the stick, or give the right folder",
        slots={"folder": folder},
    )


def linked(path: Path) -> Problem:
    """A folder of the exchange is a link."""
    return Problem(
        "X105",
        "%(folder)s is a link to another place",
        "a link can lead to any folder of this device",
        "take the link away; the folder is made anew when a tablet sends",
        slots={"folder": path.name},
    )


def too_many(path: Path, count: int) -> Problem:
    """Far too many files."""
    return Problem(
        "X107",
        "%(folder)s holds more than %(count)d files",
        "no yard has so many; reading them all could keep this device busy for days",
        "look at what is in the folder and take away what is not yours",
        slots={"folder": path.name, "count": count},
    )


def two_lists() -> Problem:
    """The yard's list of keys has forked."""
    return Problem(
        "X202",
        "the yard's list of keys in this folder does not go on from the one on this device",
        "two lists by one hand mean that the yard's key was used in two places",
        "ask the yard which list is true before you trust new tablets",
    )


def unknown_tablet(key: str) -> Problem:
    """A list of heads by a stranger."""
    return Problem(
        "X203",
        "a list of jobs comes from the key %(key)s, which the yard did not enrol or has revoked",
        "a stranger could raise false alarms with it",
        "if the tablet is the yard's, enrol its key",
        slots={"key": key[:12]},
    )
