"""Reads a job's file (the form is in export.py) without trusting a byte of it, and says what does not fit.

Rules kept here:
 1. Limits before work: size, number and length of lines, depth of what is in them; nothing is unpacked.
 2. One spelling only: a line that could be written in another way is refused, so no changed byte goes unseen.
 3. The lines' order is the form's; every line is known; nothing follows the end.
 4. Faults are named with the line or the entry; all of them, not the first.
Knows nothing of: databases. Called by: exchange, the verify command.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from coach.core.canonical import parse
from coach.core.chain import ZEROS, Entry, is_job_id
from coach.core.problems import Phrase, Place, Problem, RecordError, Words
from coach.record import photos
from coach.record.check import KeyList, check
from coach.record.export import FORM
from coach.record.files import read_plain
from coach.record.keys import fits, public_from_base64, strict_base64
from coach.record.store import JobParts, Signed

LIMIT = 64_000_000  # bytes of a file
LINE_LIMIT = 4_000_000  # bytes of a line: a procedure's text; an event with a drawn signature has about 20,000
LINES_LIMIT = 100_000
MOST_PROBLEMS = 200  # a file with more is not read on
_ORDER = ("form", "job", "app", "key", "text", "photo", "entries", "entry", "head", "seal", "end")
_LINES = {
    "form": re.compile(re.escape(FORM).encode()),
    "job": re.compile(rb"job ([A-Za-z0-9._-]{1,64})"),
    "app": re.compile(rb"app ([0-9A-Za-z.+-]{1,40})"),
    "key": re.compile(rb"key ([0-9a-f]{32}) ([A-Za-z0-9+/=]{60})"),
    "text": re.compile(rb'text ([0-9a-f]{64}) (".*")'),
    "photo": re.compile(rb"photo ([0-9a-f]{64})"),
    "entries": re.compile(rb"entries ([1-9][0-9]{0,5})"),
    "entry": re.compile(rb"([1-9][0-9]{0,5}) ([0-9a-f]{64}) (\{.*\})"),
    "head": re.compile(rb"head ([1-9][0-9]{0,5}) ([0-9a-f]{32}) ([A-Za-z0-9+/=]{88})"),
    "seal": re.compile(rb"seal ([1-9][0-9]{0,5}) ([0-9a-f]{32}) ([A-Za-z0-9+/=]{88})"),
    "end": re.compile(rb"end ([0-9a-f]{64}) ([0-9a-f]{32}) ([A-Za-z0-9+/=]{88})"),
}
_ONCE = ("form", "job", "app", "entries", "end")


@dataclass(frozen=True)
class Sealed:
    """A job's file as read: its parts, the pictures it names, the number of entries it promises, and its end line.

    whole: the SHA-256 that the end names; writer, signature: of the device that wrote the file.
    """

    parts: JobParts
    photos: tuple[str, ...]
    app: str
    count: int
    whole: str
    writer: str
    signature: bytes


def read(raw: bytes, name: str = "record") -> Sealed:
    """The file's content, if its form is right; `faults` says whether it is true.

    Raises:
        RecordError R501: too large, R502: not this form, R503: a line that does not belong or is not as written,
            R504: the end is missing or something follows it. All faults, with their lines.
    """
    reader = _Reader(name)
    reader.take(raw)
    if reader.problems:
        raise RecordError(*reader.problems)
    return reader.sealed()


def faults(sealed: Sealed, raw: bytes, keyring: KeyList | None = None) -> list[Problem]:
    """What is not true in a file whose form is right; empty if all fits.

    Codes: those of check.check; R505 the bytes are not those that were signed at the end, R506 another number of
    entries than promised, R507 the list of pictures does not fit the events, R508 the end's signature does not hold.
    """
    problems = check(sealed.parts, keyring)
    count = len(sealed.parts.entries)
    if count != sealed.count:
        problems.append(_wrong_count(sealed.count, count))
    try:
        named = photos.named_in(sealed.parts.entries)
    except RecordError:  # the chain's own check has named the entry
        named = list(sealed.photos)
    if tuple(named) != sealed.photos:
        problems.append(_wrong_photos())
    return problems + _end_faults(sealed, raw, keyring)


def verify_bytes(raw: bytes, name: str = "record", keyring: KeyList | None = None) -> list[Problem]:
    """Everything that does not fit in a file's bytes; as `read` and `faults`."""
    reader = _Reader(name)
    reader.take(raw)
    if reader.problems and not reader.is_whole:
        return reader.problems
    return reader.problems + faults(reader.sealed(), raw, keyring)


def verify_file(path: Path, keyring: KeyList | None = None) -> list[Problem]:
    """Everything that does not fit in a job's file and its pictures, in a folder `photos` beside it or one level up.

    Without the yard's list of keys a file can only be held against itself.
    """
    try:
        raw = read_plain(path, LIMIT)
    except RecordError as error:
        return list(error.problems)
    problems = verify_bytes(raw, path.name, keyring)
    if problems:
        return problems
    beside, above = path.parent / "photos", path.parent.parent / "photos"
    folder = photos.PhotoFolder(above if above.is_dir() and not beside.is_dir() else beside)
    return [fault for hash in read(raw, path.name).photos if (fault := folder.fault(hash))]


class _Reader:
    """Takes a file line by line; collects the faults and goes on where it can."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.fields: dict[str, list[tuple[str, ...]]] = {kind: [] for kind in _ORDER}
        self.entries: list[Entry] = []
        self.documents: dict[str, str] = {}
        self.keys: dict[str, bytes] = {}
        self.signed: dict[str, list[Signed]] = {"head": [], "seal": [], "end": []}

    @property
    def is_whole(self) -> bool:
        """Whether enough was read to go on checking."""
        return all(len(self.fields[kind]) == 1 for kind in _ONCE) and len(self.signed["end"]) == 1

    def take(self, raw: bytes) -> None:
        if len(raw) > LIMIT or raw.count(b"\n") > LINES_LIMIT:
            self.problems.append(_too_large())
            return
        if not raw.startswith(FORM.encode() + b"\n"):
            self.problems.append(_not_ours(self.name))
            return
        if not raw.endswith(b"\n"):
            self.problems.append(_no_end())
        stage = 0
        for number, line in enumerate(raw.removesuffix(b"\n").split(b"\n"), start=1):
            stage = self._line(number, line, stage)
            if len(self.problems) >= MOST_PROBLEMS:
                return
        for kind in _ONCE:
            if len(self.fields[kind]) != 1:
                self.problems.append(_no_end() if kind == "end" else self._not_one(kind))

    def sealed(self) -> Sealed:
        """What was read."""
        job, app, count = (self.fields[kind][0][0] for kind in ("job", "app", "entries"))
        heads, seals = tuple(self.signed["head"]), tuple(self.signed["seal"])
        parts = JobParts(job, tuple(self.entries), heads, seals, self.keys, self.documents)
        named = tuple(hash for (hash,) in self.fields["photo"])
        whole, writer, _ = self.fields["end"][0]
        return Sealed(parts, named, app, int(count), whole, writer, self.signed["end"][0].signature)

    def _line(self, number: int, line: bytes, stage: int) -> int:
        """Take one line; returns the stage of the form at which the next may stand."""
        word = line.split(b" ", 1)[0]
        kind = "entry" if word.isdigit() else "form" if word == b"coach-job" else word.decode("ascii", "replace")
        pattern = _LINES.get(kind)
        match = pattern.fullmatch(line) if pattern and len(line) <= LINE_LIMIT else None
        if match is None:
            self._bad(number, line, "it is no line of this form")
            return stage
        place = _ORDER.index(kind)
        if place < stage or (place == stage and kind in _ONCE and number > 1):
            self._bad(number, line, Phrase("a '%(word)s' line may not stand here", {"word": kind}))
            return stage
        self._keep(kind, match, number, line)
        return place

    def _keep(self, kind: str, match: re.Match[bytes], number: int, line: bytes) -> None:
        words = match.groups()
        if kind == "entry":
            job = self.fields["job"][0][0] if self.fields["job"] else ""
            prev = self.entries[-1].hash if self.entries else ZEROS
            self.entries.append(Entry(job, int(words[0]), prev, words[1].decode(), words[2]))
            return
        texts = tuple(word.decode("ascii", "replace") for word in words) if kind != "text" else ()
        self.fields[kind].append(texts)
        if kind == "job" and not is_job_id(texts[0]):
            self._bad(number, line, "it names no job")
        elif kind == "text":
            self._keep_text(words[0].decode(), words[1], number, line)
        elif kind == "key":
            public = public_from_base64(texts[1])
            if public is None or texts[0] in self.keys:
                self._bad(number, line, "it holds no key of its own")
            else:
                self.keys[texts[0]] = public
        elif kind in self.signed:
            signature = strict_base64(texts[2])
            if signature is None:
                self._bad(number, line, "its signature is not as it was written")
            else:
                seq = int(texts[0]) if kind != "end" else 0
                self.signed[kind].append(Signed(seq, texts[1], signature))

    def _keep_text(self, hash: str, raw: bytes, number: int, line: bytes) -> None:
        try:
            self.documents[hash] = parse(raw)
        except RecordError:
            self._bad(number, line, "its text is not as it was written")

    def _bad(self, number: int, line: bytes, detail: Words) -> None:
        shown = line[:60].decode("utf-8", "replace")
        place = Place(self.name, number, 1, "", shown)
        self.problems.append(
            Problem(
                "R503",
                "line %(line)d does not belong: %(detail)s",
                "every line of a record has its place and one spelling; this one was changed, put in or moved",
                "keep this file and fetch the job again from the tablet that wrote it",
                place,
                {"line": number, "detail": detail},
            )
        )

    def _not_one(self, kind: str) -> Problem:
        return Problem(
            "R509",
            "the line '%(kind)s' is there %(count)d times, not once",
            "every line of a record has its place",
            "keep this file and fetch the job again from the tablet that wrote it",
            slots={"kind": kind, "count": len(self.fields[kind])},
        )


def _end_faults(sealed: Sealed, raw: bytes, keyring: KeyList | None) -> list[Problem]:
    above = raw[: raw.rfind(b"\n", 0, -1) + 1]
    found = hashlib.sha256(above).hexdigest()
    problems = [] if found == sealed.whole else [_wrong_bytes(sealed.whole, found)]
    public = sealed.parts.keys.get(sealed.writer)
    message = f"coach file 1\n{sealed.whole}\n{sealed.writer}\n".encode()
    if public is None or not fits(public, sealed.signature, message):
        problems.append(_wrong_end(sealed.writer))
    doubt = keyring.doubt(sealed.writer, len(sealed.parts.entries), sealed.parts) if keyring else None
    return problems + ([doubt] if doubt else [])


_FETCH = "keep this file and fetch the job again from the tablet that wrote it"


def _too_large() -> Problem:
    return Problem(
        "R501",
        "the file is larger than any record of a job",
        "reading it could fill this device",
        "do not use it; fetch the job again from the tablet that wrote it",
    )


def _not_ours(name: str) -> Problem:
    return Problem(
        "R502",
        "the file does not begin with '%(form)s'",
        "it is no job's record of this form",
        "see that it is the right file; a newer form needs a newer app",
        Place(name),
        {"form": FORM},
    )


def _no_end() -> Problem:
    return Problem("R504", "the file stops before its end", "entries after it may have been cut off", _FETCH)


def _wrong_bytes(written: str, found: str) -> Problem:
    return Problem(
        "R505",
        "the bytes of the file are not those that were signed: expected %(expected)s, found %(found)s",
        "something in it was changed, put in or taken out",
        _FETCH,
        slots={"expected": written[:12], "found": found[:12]},
    )


def _wrong_count(promised: int, found: int) -> Problem:
    return Problem(
        "R506",
        "the file promises %(promised)d entries and holds %(found)d",
        "entries were taken out or put in",
        _FETCH,
        slots={"promised": promised, "found": found},
    )


def _wrong_photos() -> Problem:
    return Problem(
        "R507",
        "the list of pictures does not fit the events",
        "a picture could be missed without anyone noticing",
        _FETCH,
    )


def _wrong_end(key: str) -> Problem:
    return Problem(
        "R508",
        "the signature at the end by key %(key)s does not hold",
        "the file was changed after it was written, or another device wrote it",
        _FETCH,
        slots={"key": key[:12]},
    )
