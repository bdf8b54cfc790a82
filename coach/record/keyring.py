"""The yard's list of keys: which tablets it enrolled, replaced or revoked; a text that only the yard's key extends.

The text, UTF-8, one statement a line, each signed by the yard's key over the SHA-256 of all bytes above it:
    coach-keys 1
    yard KEY-ID BASE64
    {"act":"enrol","at":...,"key":BASE64,"name":...} SIGNATURE
    {"act":"rotate","at":...,"key":BASE64,"name":...,"old":KEY-ID,"proof":BASE64} SIGNATURE
    {"act":"revoke","at":...,"held":[[JOB, NUMBER, HASH], ...],"key":KEY-ID,"why":...} SIGNATURE
Rules kept here:
 1. A list only grows: a newer one begins with every byte of the older one, or it is another list (a fork) and refused.
 2. A rotated key was replaced by its own word (`proof`, signed by the old key); what it signed stays good.
 3. Of a revoked key only what the yard says it held at that time (`held`) stays good: a thief can date as he likes.
 4. Which key is the yard's is told to a device once, by a person, and then kept (`yard` in `read`).
Knows nothing of: clocks, folders, jobs' content. Called by: check, exchange, the shells.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from coach.core.canonical import canonical, parse
from coach.core.problems import Phrase, Place, Problem, RecordError, Words
from coach.record.keys import Signer, fits, key_id, public_base64, public_from_base64, rotation_message, strict_base64
from coach.record.store import Head, JobParts

FORM = "coach-keys 1"
LIMIT = 8_000_000


@dataclass(frozen=True)
class KnownKey:
    """A key as the yard's list stands now. Times in ms since 1970 UTC; `held`: number and hash by job if revoked."""

    id: str
    public: bytes
    name: str
    enrolled_at: int
    replaced_by: str = ""
    revoked_at: int | None = None
    why: str = ""
    held: dict[str, tuple[int, str]] = field(default_factory=dict)


class Keyring:
    """The list as read or as extended. Unchanging: every act gives a new one."""

    def __init__(self, text: bytes, yard: str, keys: dict[str, KnownKey]) -> None:
        self.text = text
        self.yard = yard
        self.keys = keys

    @staticmethod
    def begin(yard: Signer) -> Keyring:
        """The list of a new yard; the yard's own key is its first member."""
        text = f"{FORM}\nyard {yard.key_id} {public_base64(yard.public)}\n".encode()
        return Keyring.read(text, yard.key_id)

    @staticmethod
    def read(text: bytes, yard: str) -> Keyring:
        """The list of the yard whose key has the id `yard`.

        Raises:
            RecordError R331: not this form, R333: of another yard, R332: a statement that does not hold.
        """
        lines = text.split(b"\n")
        if len(text) > LIMIT or lines[0] != FORM.encode() or lines[-1] != b"" or len(lines) < 3:
            raise RecordError(_no_list())
        words = lines[1].decode("ascii", "replace").split(" ")
        public = public_from_base64(words[2]) if len(words) == 3 and words[0] == "yard" else None
        if public is None or words[1] != yard or key_id(public) != yard:
            raise RecordError(_other_yard(yard))
        keys = {yard: KnownKey(yard, public, "yard", 0)}
        done = len(lines[0]) + len(lines[1]) + 2
        for number, line in enumerate(lines[2:-1], start=3):
            statement = _signed_statement(line, text[:done], public, number)
            _apply(statement, keys, number)
            done += len(line) + 1
        return Keyring(text, yard, keys)

    def enrol(self, yard: Signer, public: bytes, name: str, at: int) -> Keyring:
        """The list with a tablet's key added."""
        return self._said(yard, {"act": "enrol", "at": at, "key": public_base64(public), "name": name})

    def rotate(self, yard: Signer, old: str, public: bytes, proof: bytes, at: int) -> Keyring:
        """The list with a tablet's key replaced; `proof` is the old key's signature over keys.rotation_message."""
        name = self.keys[old].name if old in self.keys else ""
        said = {"act": "rotate", "at": at, "key": public_base64(public), "name": name, "old": old}
        return self._said(yard, said | {"proof": base64.b64encode(proof).decode()})

    def revoke(self, yard: Signer, key: str, why: str, at: int, held: Iterable[Head] = ()) -> Keyring:
        """The list with a key revoked; `held`: the heads of the tablet's jobs that the yard has in its hands."""
        heads = [[head.job, head.seq, head.hash] for head in sorted(held, key=lambda head: head.job)]
        return self._said(yard, {"act": "revoke", "at": at, "held": heads, "key": key, "why": why})

    def goes_on_from(self, older: Keyring) -> bool:
        """Whether this list is the older one, with or without more statements."""
        return self.text.startswith(older.text)

    def doubt(self, key: str, seq: int, parts: JobParts) -> Problem | None:
        """Why a signature by this key over entry `seq` of a job does not count for this yard; None if it does.

        R321 the yard never enrolled the key, R322 it was revoked and the yard did not hold this entry at the time.
        """
        known = self.keys.get(key)
        if known is None:
            return _unknown(key)
        if known.revoked_at is None:
            return None
        held_seq, held_hash = known.held.get(parts.job, (0, ""))
        if seq <= held_seq <= len(parts.entries) and parts.entries[held_seq - 1].hash == held_hash:
            return None
        return _revoked(known, seq)

    def _said(self, yard: Signer, statement: dict[str, Any]) -> Keyring:
        body = canonical(statement)
        signature = yard.sign(_message(self.text, body))
        line = body + b" " + base64.b64encode(signature) + b"\n"
        return Keyring.read(self.text + line, self.yard)


def _message(above: bytes, body: bytes) -> bytes:
    return b"coach keys 1\n" + hashlib.sha256(above).hexdigest().encode() + b"\n" + body


def _signed_statement(line: bytes, above: bytes, yard: bytes, number: int) -> dict[str, Any]:
    body, _, text = line.rpartition(b" ")
    signature = strict_base64(text.decode("ascii", "replace"))
    if signature is None or not fits(yard, signature, _message(above, body)):
        raise RecordError(_bad_statement(number, "the yard's signature does not hold"))
    statement = parse(body)
    if not isinstance(statement, dict):
        raise RecordError(_bad_statement(number, "it says nothing"))
    return statement


def _apply(said: dict[str, Any], keys: dict[str, KnownKey], number: int) -> None:
    act = {"enrol": _enrol, "rotate": _rotate, "revoke": _revoke}.get(str(said.get("act")))
    if act is None:
        raise RecordError(_bad_statement(number, Phrase("'%(word)s' is no act of this form", {"word": str(said.get("act"))[:40]})))
    fault: Words
    try:
        fault = act(said, keys)
    except (KeyError, TypeError, ValueError):
        fault = "a field is missing or of a wrong kind"
    if fault:
        raise RecordError(_bad_statement(number, fault))


def _enrol(said: dict[str, Any], keys: dict[str, KnownKey]) -> Words:
    public = public_from_base64(said["key"])
    if public is None:
        return Phrase("it holds no key")
    if key_id(public) in keys:
        return Phrase("the key is in the list")
    keys[key_id(public)] = KnownKey(key_id(public), public, str(said["name"]), int(said["at"]))
    return ""


def _rotate(said: dict[str, Any], keys: dict[str, KnownKey]) -> Words:
    public, old = public_from_base64(said["key"]), keys.get(said["old"])
    proof = strict_base64(said["proof"])
    if public is None or proof is None or old is None or old.revoked_at is not None or old.replaced_by:
        return Phrase("the old or the new key cannot be used")
    if not fits(old.public, proof, rotation_message(old.id, key_id(public))):
        return Phrase("the old key did not name the new one")
    fault = _enrol(said, keys)
    if not fault:
        keys[old.id] = KnownKey(old.id, old.public, old.name, old.enrolled_at, key_id(public))
    return fault


def _revoke(said: dict[str, Any], keys: dict[str, KnownKey]) -> Words:
    old = keys.get(said["key"])
    if old is None or old.revoked_at is not None:
        return Phrase("the key is not in the list, or was revoked before")
    held = {str(job): (int(seq), str(hash)) for job, seq, hash in said["held"]}
    why, at = str(said["why"]), int(said["at"])
    keys[old.id] = KnownKey(old.id, old.public, old.name, old.enrolled_at, old.replaced_by, at, why, held)
    return ""


def _no_list() -> Problem:
    return Problem(
        "R331",
        "this is no list of a yard's keys, or it stops before its end",
        "without the list nobody can tell whose tablet signed a record",
        "fetch the list again from the yard",
    )


def _other_yard(yard: str) -> Problem:
    return Problem(
        "R333",
        "this list of keys is not by the yard's key %(yard)s",
        "a list by another hand could let a stranger's tablet in",
        "fetch the list from the yard, or ask the yard for its key's id and set it on this device",
        slots={"yard": yard[:12]},
    )


def _bad_statement(line: int, detail: Words) -> Problem:
    return Problem(
        "R332",
        "line %(line)d of the yard's list of keys does not hold: %(detail)s",
        "the list was changed, or cut and put together",
        "fetch the list again from the yard",
        Place("yard-keys", line),
        {"line": line, "detail": detail},
    )


def _unknown(key: str) -> Problem:
    return Problem(
        "R321",
        "the yard never enrolled the key %(key)s",
        "anyone can make a key and sign a record of their own",
        "do not trust this record; if the tablet is the yard's, enrol its key",
        slots={"key": key[:12]},
    )


def _revoked(known: KnownKey, seq: int) -> Problem:
    return Problem(
        "R322",
        "entry %(seq)d is signed by %(name)s, whose key %(key)s the yard revoked (%(why)s)",
        "whoever has the lost key can sign and date entries as they like; the yard did not hold this one before",
        "do not trust entries beyond those the yard held; ask the people named in the record",
        slots={"seq": seq, "name": known.name, "key": known.id[:12], "why": known.why},
    )
