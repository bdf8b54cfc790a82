"""What one tablet says it holds: a signed list of heads that travels with the jobs and shows what went missing.

The text, UTF-8, one statement a line:
    coach-heads 1
    tablet KEY-ID BASE64
    number N                        grows by one with each new list of this tablet
    JOB SEQ HASH                    one for each job, by job
    end SHA-256 KEY-ID SIGNATURE    over every byte above
Rules kept here:
 1. A list is whole and signed, or it is refused. An older list than the one known is passed over: it is no fault.
 2. A tablet's newer list never shows less than its older one. Where it does, entries were taken away (a tablet set
    back to an old copy, a file rewritten), and that is a finding for good. The same for two lists under one number.
Knows nothing of: folders, ledgers. Called by: exchange.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass

from coach.core.problems import Problem, RecordError
from coach.record.found import found
from coach.record.keys import Signer, fits, key_id, public_base64, public_from_base64, strict_base64
from coach.record.store import Finding, Head

FORM = "coach-heads 1"
LIMIT = 40_000_000
_HEAD = re.compile(r"([A-Za-z0-9][A-Za-z0-9._-]{0,63}) ([1-9][0-9]{0,5}) ([0-9a-f]{64})", re.ASCII)


@dataclass(frozen=True)
class HeadList:
    """One tablet's list as read."""

    key_id: str
    number: int
    heads: dict[str, Head]
    hash: str


def write(signer: Signer, number: int, heads: Iterable[Head]) -> bytes:
    """The text of a list."""
    body = _body(signer, number, heads)
    whole = hashlib.sha256(body).hexdigest()
    signature = base64.b64encode(signer.sign(_message(whole, signer.key_id))).decode()
    return body + f"end {whole} {signer.key_id} {signature}\n".encode()


def content_hash(heads: Iterable[Head]) -> str:
    """Names what a list says, whatever its number: equal heads, equal hash."""
    return hashlib.sha256("\n".join(_lines(heads)).encode()).hexdigest()


def read(raw: bytes) -> HeadList:
    """A list, if it is whole and signed by the tablet it names.

    Raises:
        RecordError X201: not this form, cut off, or changed.
    """
    lines = raw.decode("utf-8", "replace").split("\n")
    if len(raw) > LIMIT or len(lines) < 5 or lines[0] != FORM or lines[-1] != "":
        raise RecordError(_bad("it is no whole list of this form"))
    tablet, number, end = lines[1].split(" "), lines[2].split(" "), lines[-2].split(" ")
    public = public_from_base64(tablet[2]) if len(tablet) == 3 and tablet[0] == "tablet" else None
    if public is None or key_id(public) != tablet[1]:
        raise RecordError(_bad("it names no tablet's key"))
    if len(number) != 2 or number[0] != "number" or not re.fullmatch("[1-9][0-9]{0,9}", number[1], re.ASCII):
        raise RecordError(_bad("it has no number"))
    matches = [_HEAD.fullmatch(line) for line in lines[3:-2]]
    heads = {match[1]: Head(match[1], int(match[2]), match[3]) for match in matches if match}
    if len(heads) != len(matches):
        raise RecordError(_bad("a line names no head, or a job twice"))
    above = raw[: raw.rfind(b"\n", 0, -1) + 1]
    whole = hashlib.sha256(above).hexdigest()
    signature = strict_base64(end[3]) if len(end) == 4 and end[:3] == ["end", whole, tablet[1]] else None
    if signature is None or not fits(public, signature, _message(whole, tablet[1])):
        raise RecordError(_bad("its signature does not hold"))
    return HeadList(tablet[1], int(number[1]), heads, hashlib.sha256(raw).hexdigest())


def compare(older: HeadList, newer: HeadList, at: int) -> list[Finding]:
    """What a tablet's newer list took back from its older one; `at` is the caller's time in ms since 1970 UTC."""
    name = newer.key_id[:12]
    if older.number == newer.number:
        if older.hash == newer.hash:
            return []
        return [found("X304", "", {"tablet": name, "number": newer.number}, newer.hash, at)]
    taken_back = []
    for job, head in older.heads.items():
        now = newer.heads.get(job)
        slots = {"tablet": name, "job": job, "had": head.seq, "now": now.seq if now else 0}
        if now is None or now.seq < head.seq:
            taken_back.append(found("X303", job, slots, newer.hash, at))
        elif now.seq == head.seq and now.hash != head.hash:
            taken_back.append(found("X302", job, slots, newer.hash, at))
    return taken_back


def _body(signer: Signer, number: int, heads: Iterable[Head]) -> bytes:
    lines = [FORM, f"tablet {signer.key_id} {public_base64(signer.public)}", f"number {number}", *_lines(heads)]
    return ("\n".join(lines) + "\n").encode()


def _lines(heads: Iterable[Head]) -> list[str]:
    return [f"{head.job} {head.seq} {head.hash}" for head in sorted(heads, key=lambda head: head.job)]


def _message(whole: str, key: str) -> bytes:
    return f"coach heads 1\n{whole}\n{key}\n".encode()


def _bad(detail: str) -> Problem:
    return Problem(
        "X201",
        "this list of a tablet's jobs does not hold: %(detail)s",
        "what is missing could not be noticed with it",
        "have the tablet send again",
        slots={"detail": detail},
    )
