"""The chain of a job's entries: each carries the hash of the one before, so none can change, go or move unseen.

Rules kept here:
 1. An entry's hash covers the job's id, its number, the hash before it and its bytes as stored:
        SHA-256("coach entry 1\n" job "\n" number "\n" previous hash in hex "\n" canonical event bytes)
    The first line keeps these hashes apart from every other use of SHA-256 here; no field before the last can hold
    a line break, so no two entries share one text. Numbers count from 1; before the first stand 64 zeros.
 2. `verify` reads the bytes as stored and shares no code with `link`: a slip in one shows in the other.
 3. A head is (job, number, hash); the text that a device signs over it is written here, once.
Knows nothing of: keys, files, databases. Proved by: tests/core/test_chain.py.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from coach.core.canonical import canonical, parse
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import Phrase, Problem, RecordError, Words

ZEROS = "0" * 64
ENTRY_TAG = "coach entry 1"
HEAD_TAG = "coach head 1"
SEAL_TAG = "coach seal 1"

_JOB_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}", re.ASCII)
_FIELDS = {name: type(value) for name, value in Event("", Moment(0, 0), "").as_dict().items()}


@dataclass(frozen=True)
class Entry:
    """One event in its place in the chain. `body`: the event's canonical bytes as stored; hashes in hex."""

    job: str
    seq: int
    prev: str
    hash: str
    body: bytes

    @cached_property
    def event(self) -> Event:
        """The event. Raises RecordError R205 if the bytes are no event in canonical form."""
        try:
            plain = parse(self.body)
        except RecordError as error:
            raise RecordError(*(_no_event(self.seq, _caused(problem)) for problem in error.problems)) from None
        faults = _shape_faults(plain, self.seq)
        if faults:
            raise RecordError(*faults)
        return Event.from_dict(plain)


def is_job_id(text: str) -> bool:
    """Whether a text may name a job: 1 to 64 of A-Z a-z 0-9 . _ - and not a sign first; safe as a file's name."""
    return _JOB_ID.fullmatch(text) is not None and ".." not in text


def link(previous_hash: str, job: str, seq: int, event: Mapping[str, Any]) -> str:
    """The hash of the entry that holds `event` (its plain form) as number `seq` after `previous_hash`.

    Raises:
        RecordError R101 to R106: the event has no canonical form.
    """
    return hash_body(previous_hash, job, seq, canonical(event))


def hash_body(previous_hash: str, job: str, seq: int, body: bytes) -> str:
    """As `link`, for canonical bytes that are already at hand."""
    head = f"{ENTRY_TAG}\n{job}\n{seq}\n{previous_hash}\n".encode("ascii")
    return hashlib.sha256(head + body).hexdigest()


def extend(job: str, seq: int, previous_hash: str, events: Iterable[Event]) -> list[Entry]:
    """The entries of `events` after number `seq` with `previous_hash` (0 and ZEROS at the start of a job)."""
    entries: list[Entry] = []
    for event in events:
        seq += 1
        body = canonical(event.as_dict())
        hash = hash_body(previous_hash, job, seq, body)
        entries.append(Entry(job, seq, previous_hash, hash, body))
        previous_hash = hash
    return entries


def head_message(job: str, seq: int, hash: str, key_id: str) -> bytes:
    """What a device signs to say: these entries, up to this one, are as I hold them."""
    return f"{HEAD_TAG}\n{job}\n{seq}\n{hash}\n{key_id}\n".encode("ascii")


def seal_message(job: str, seq: int, hash: str, key_id: str) -> bytes:
    """What a device signs to say: this job is finished here, and the monitor has nothing against it."""
    return f"{SEAL_TAG}\n{job}\n{seq}\n{hash}\n{key_id}\n".encode("ascii")


def verify(entries: Iterable[Entry]) -> list[Problem]:
    """Everything that does not fit in a job's entries, in their order; empty if all fits.

    Codes: R201 gap, repetition or wrong order; R202 entry of another job; R203 does not follow the entry before;
    R204 the content does not fit the hash; R205 no event in canonical form; R206 the first event does not start a
    job; R207 no entries at all. A fault in one entry does not hide faults in later ones.
    """
    problems: list[Problem] = []
    job: str | None = None
    wanted_seq, wanted_prev = 1, b"0" * 64
    for entry in entries:
        if job is None:
            job = entry.job
        if entry.seq != wanted_seq:
            problems.append(_wrong_number(entry.seq, wanted_seq))
        if entry.job != job:
            problems.append(_wrong_job(entry, job))
        if entry.prev.encode() != wanted_prev:
            problems.append(_not_following(entry, wanted_prev.decode()))
        digest = hashlib.sha256()
        for part in (b"coach entry 1", entry.job.encode(), b"%d" % entry.seq, entry.prev.encode()):
            digest.update(part)
            digest.update(b"\x0a")
        digest.update(entry.body)
        if digest.hexdigest() != entry.hash:
            problems.append(_changed(entry, digest.hexdigest()))
        problems += _event_faults(entry)
        wanted_seq, wanted_prev = entry.seq + 1, entry.hash.encode()
    if job is None:
        problems.append(_nothing())
    return problems


def _event_faults(entry: Entry) -> list[Problem]:
    try:
        event = entry.event
    except RecordError as error:
        return list(error.problems)
    if entry.seq == 1 and event.kind != "job_started":
        return [_wrong_start(event.kind)]
    return []


def _shape_faults(plain: Any, seq: int) -> list[Problem]:
    """What keeps a parsed value from being an event: missing, unknown and wrong fields."""
    if not isinstance(plain, dict):
        return [_no_event(seq, Phrase("it is no map"))]
    if {name: type(value) for name, value in plain.items()} == _FIELDS:
        return []
    faults = [
        _no_event(seq, Phrase("'%(field)s' is missing", {"field": name})) for name in _FIELDS if name not in plain
    ]
    faults += [
        _no_event(seq, Phrase("'%(field)s' is unknown", {"field": name})) for name in plain if name not in _FIELDS
    ]
    for name, kind in _FIELDS.items():
        if name in plain and type(plain[name]) is not kind:
            slots = {"field": name, "is": type(plain[name]).__name__, "due": kind.__name__}
            faults.append(_no_event(seq, Phrase("'%(field)s' is a %(is)s, not a %(due)s", slots)))
    return faults


_KEEP = "keep the tablet and this file, do not export again, call the supervisor"


def _wrong_number(found: int, expected: int) -> Problem:
    return Problem(
        "R201",
        "entry %(found)d stands where entry %(expected)d is due",
        "an entry was taken out, put in, repeated or moved",
        _KEEP,
        slots={"found": found, "expected": expected},
    )


def _wrong_job(entry: Entry, job: str) -> Problem:
    return Problem(
        "R202",
        "entry %(seq)d belongs to job '%(found)s', not to '%(expected)s'",
        "a piece of another record was put in here",
        _KEEP,
        slots={"seq": entry.seq, "found": entry.job, "expected": job},
    )


def _not_following(entry: Entry, expected: str) -> Problem:
    return Problem(
        "R203",
        "entry %(seq)d does not follow the entry before it: previous hash expected %(expected)s, found %(found)s",
        "the record was changed at or before this entry",
        _KEEP,
        slots={"seq": entry.seq, "expected": expected[:12], "found": entry.prev[:12]},
    )


def _changed(entry: Entry, computed: str) -> Problem:
    return Problem(
        "R204",
        "the content of entry %(seq)d does not fit its hash: hash expected %(expected)s, found %(found)s",
        "this entry was changed after it was written",
        _KEEP,
        slots={"seq": entry.seq, "expected": entry.hash[:12], "found": computed[:12]},
    )


def _caused(cause: Problem) -> Phrase:
    return Phrase("%(cause)s (%(code)s)", {"cause": Phrase(cause.what, cause.slots), "code": cause.code})


def _no_event(seq: int, detail: Words) -> Problem:
    return Problem(
        "R205",
        "entry %(seq)d cannot be read as an event: %(detail)s",
        "what cannot be read cannot be shown to anyone",
        _KEEP,
        slots={"seq": seq, "detail": detail},
    )


def _wrong_start(kind: str) -> Problem:
    return Problem(
        "R206",
        "the first event is '%(kind)s', not 'job_started'",
        "a record without its start does not say which boat and which procedure it is about",
        _KEEP,
        slots={"kind": kind},
    )


def _nothing() -> Problem:
    return Problem(
        "R207",
        "the record holds no entries",
        "an empty record proves nothing",
        "export the job again from the tablet that wrote it",
    )
