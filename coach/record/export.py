"""A job as one text file that anyone can check without this app; how it is written, and what it must hold.

The file is UTF-8, lines end with one line feed, words are parted by one space, in this order:
    coach-job 1                                   the form's name and version
    job ID
    app VERSION                                   of the device that wrote this file
    key KEY-ID BASE64                             one for each key below; BASE64 is the middle line of its PEM
    text SHA-256 JSON-TEXT                        the procedure's and the policy's exact text, as a JSON string
    photo SHA-256                                 one for each picture named by an event; the pictures lie beside
    entries COUNT
    NUMBER HASH EVENT                             one an entry, EVENT in canonical form (RFC 8785), as stored
    head NUMBER KEY-ID SIGNATURE                  each device's last signature before another went on (base64)
    seal NUMBER KEY-ID SIGNATURE                  the job is finished and the monitor had nothing against it
    end SHA-256 KEY-ID SIGNATURE                  over every byte above; so no line can be cut off

By hand, with sha256sum and openssl, F being the file, J the job, P the hash of the entry before (64 zeros at first):
    event 7 fits its hash:   { printf 'coach entry 1\\n%s\\n7\\n%s\\n' "$J" "$P"; grep '^7 ' F | cut -d' ' -f3- |
                             tr -d '\\n'; } | sha256sum
    the file is whole:       head -n -1 F | sha256sum          (the second word of the last line)
    a signature holds:       printf 'coach head 1\\n%s\\n%s\\n%s\\n%s\\n' "$J" NUMBER HASH KEY-ID > m
                             ('coach seal 1' for a seal; 'coach file 1\\nSHA-256\\nKEY-ID\\n' for the end)
                             printf '%s' SIGNATURE | openssl base64 -d -A > s
                             printf -- '-----BEGIN PUBLIC KEY-----\\n%s\\n-----END PUBLIC KEY-----\\n' BASE64 > k
                             openssl pkeyutl -verify -pubin -inkey k -rawin -in m -sigfile s
    the key is the yard's:   its KEY-ID stands in the yard's list; without that, a file only agrees with itself.
Knows nothing of: databases, folders. Proved by: tests/record/test_export.py, test_tamper.py.
"""

from __future__ import annotations

import base64
import hashlib

from coach import __version__
from coach.core.canonical import canonical
from coach.core.problems import RecordError
from coach.record import photos
from coach.record.keys import Signer, public_base64
from coach.record.refusals import no_signer
from coach.record.store import JobParts, Signed, Store

FORM = "coach-job 1"
FILE_TAG = "coach file 1"


def export(store: Store, job: str, signer: Signer | None) -> bytes:
    """The file of a job, signed at its end by this device.

    Raises:
        RecordError R410: no key, R414: no such job. StoreError: the disk failed.
    """
    if signer is None:
        raise RecordError(no_signer())
    return write(store.parts(job), signer)


def write(parts: JobParts, signer: Signer) -> bytes:
    """The file of what is held of a job."""
    heads = last_of_each_run(parts.signatures)
    used = {signed.key_id for signed in (*heads, *parts.seals)}
    keys = {id: public for id, public in parts.keys.items() if id in used} | {signer.key_id: signer.public}
    lines = [FORM.encode(), f"job {parts.job}".encode(), f"app {__version__}".encode()]
    lines += [f"key {id} {public_base64(keys[id])}".encode() for id in sorted(keys)]
    lines += [f"text {hash} ".encode() + canonical(parts.documents[hash]) for hash in sorted(parts.documents)]
    lines += [f"photo {hash}".encode() for hash in photos.named_in(parts.entries)]
    lines.append(f"entries {len(parts.entries)}".encode())
    lines += [f"{entry.seq} {entry.hash} ".encode() + entry.body for entry in parts.entries]
    lines += [_signed_line("head", signed) for signed in heads]
    lines += [_signed_line("seal", signed) for signed in parts.seals]
    body = b"\n".join(lines) + b"\n"
    whole = hashlib.sha256(body).hexdigest()
    signature = signer.sign(f"{FILE_TAG}\n{whole}\n{signer.key_id}\n".encode())
    return body + f"end {whole} {signer.key_id} {base64.b64encode(signature).decode()}\n".encode()


def last_of_each_run(signatures: tuple[Signed, ...]) -> list[Signed]:
    """The signatures that matter to a reader: of each run of one device, the last; it covers all before it."""
    kept: list[Signed] = []
    for signed in sorted(signatures, key=lambda each: each.seq):
        if kept and kept[-1].key_id == signed.key_id:
            kept.pop()
        kept.append(signed)
    return kept


def file_name(parts: JobParts) -> str:
    """The name under which a job's file travels: job, number of entries, start of the last hash."""
    last = parts.entries[-1]
    return f"{parts.job}.{last.seq}.{last.hash[:16]}.coach"


def _signed_line(word: str, signed: Signed) -> bytes:
    return f"{word} {signed.seq} {signed.key_id} {base64.b64encode(signed.signature).decode()}".encode()
