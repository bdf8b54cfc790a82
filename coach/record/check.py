"""Whether all that is held of a job fits together: chain, signatures, seals, texts, and the yard's list of keys.

Rules kept here:
 1. Every entry is covered by a signature at or after it; every signature and seal fits the entry that it names.
 2. A signature counts only with a key that is at hand, and for a yard only with a key that the yard enrolled.
 3. The messages that were signed are written out here again, apart from chain.py: a slip in one shows in the other.
Knows nothing of: files, databases. Called by: ledger, postgres, export, exchange.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from coach.core.canonical import text_hash
from coach.core.chain import Entry, verify
from coach.core.problems import Problem, RecordError
from coach.record.keys import fits, key_id
from coach.record.store import JobParts, Signed


class KeyList(Protocol):
    """What `check` asks of the yard's list of keys (keyring.Keyring)."""

    def doubt(self, key: str, seq: int, parts: JobParts) -> Problem | None:
        """Why a signature by this key over entry `seq` of these parts does not count; None if it does."""


def check(parts: JobParts, keyring: KeyList | None = None, tail_known: bool = False) -> list[Problem]:
    """Everything that does not fit in a job, or an empty list.

    tail_known: the device that holds the job knows its last, unsigned entries for its own (by its MAC).

    Codes: those of chain.verify; R301 signature does not fit, R302 last entries unsigned, R303 key missing or not
    its own, R304 seal does not fit, R305 procedure or policy text missing or changed; the key list's R321, R322.
    """
    problems = verify(parts.entries)
    by_seq = {entry.seq: entry for entry in parts.entries}
    for id, public in parts.keys.items():
        if key_id(public) != id:
            problems.append(_wrong_key(id))
    for signed in parts.signatures:
        problems += _signature_faults("head", signed, by_seq, parts, keyring)
    for signed in parts.seals:
        problems += _signature_faults("seal", signed, by_seq, parts, keyring)
    covered = max((signed.seq for signed in parts.signatures), default=0)
    if parts.entries and covered < parts.entries[-1].seq and not tail_known:
        problems.append(_unsigned(covered + 1, parts.entries[-1].seq))
    return problems + _document_faults(parts)


def _signature_faults(
    word: str, signed: Signed, by_seq: Mapping[int, Entry], parts: JobParts, keyring: KeyList | None
) -> list[Problem]:
    entry = by_seq.get(signed.seq)
    public = parts.keys.get(signed.key_id)
    if entry is None:
        return [_bad_signature(word, signed, "there is no such entry")]
    if public is None:
        return [_no_key(word, signed)]
    lines = ("coach " + word + " 1", parts.job, str(signed.seq), entry.hash, signed.key_id, "")
    if not fits(public, signed.signature, "\n".join(lines).encode()):
        return [_bad_signature(word, signed, "the signature does not fit the entry")]
    doubt = keyring.doubt(signed.key_id, signed.seq, parts) if keyring else None
    return [doubt] if doubt else []


def _document_faults(parts: JobParts) -> list[Problem]:
    problems = [_wrong_text(hash) for hash, text in parts.documents.items() if text_hash(text) != hash]
    for name in named_documents(parts.entries):
        if name not in parts.documents:
            problems.append(_no_text(name))
    return problems


def named_documents(entries: tuple[Entry, ...]) -> list[str]:
    """The hashes of the texts that a job's start names; empty if the start cannot be read."""
    try:
        data = entries[0].event.data if entries else {}
    except RecordError:  # the chain's own check has named this fault
        return []
    found = [data.get("procedure_hash"), data.get("policy_hash")]
    return [hash for hash in found if isinstance(hash, str) and hash]


_KEEP = "keep the tablet and this record, call the supervisor"


def _bad_signature(word: str, signed: Signed, detail: str) -> Problem:
    slots = {"seq": signed.seq, "key": signed.key_id[:12], "detail": detail}
    why = "the record was changed after this device signed it, or this device never signed it"
    if word == "head":
        what = "the signature of entry %(seq)d by key %(key)s does not hold: %(detail)s"
        return Problem("R301", what, why, _KEEP, slots=slots)
    return Problem("R304", "the seal of entry %(seq)d by key %(key)s does not hold: %(detail)s", why, _KEEP, slots=slots)


def _unsigned(first: int, last: int) -> Problem:
    return Problem(
        "R302",
        "entries %(first)d to %(last)d carry no device's signature",
        "anyone could have added them",
        _KEEP,
        slots={"first": first, "last": last},
    )


def _no_key(word: str, signed: Signed) -> Problem:
    return Problem(
        "R303",
        "the key %(key)s that signed entry %(seq)d is missing",
        "a signature without its key proves nothing",
        "export the job again from the tablet that wrote it",
        slots={"key": signed.key_id[:12], "seq": signed.seq},
    )


def _wrong_key(id: str) -> Problem:
    return Problem(
        "R306",
        "the public key under the name %(key)s is another key",
        "someone may have put in a key of their own",
        _KEEP,
        slots={"key": id[:12]},
    )


def _wrong_text(hash: str) -> Problem:
    return Problem(
        "R305",
        "the procedure or policy text kept under %(hash)s was changed",
        "the record no longer shows by which rules the job was done",
        _KEEP,
        slots={"hash": hash[:12]},
    )


def _no_text(hash: str) -> Problem:
    return Problem(
        "R307",
        "the procedure or policy text %(hash)s is missing",
        "the record does not show by which rules the job was done",
        "export the job again from the tablet that wrote it",
        slots={"hash": hash[:12]},
    )
