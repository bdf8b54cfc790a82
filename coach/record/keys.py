"""The device's signing key: made on first start, kept in the data folder, and how anyone checks what it signed.

Rules kept here:
 1. The private key never leaves its file, which only the user who runs the app may read; a file that others can
    read, or that cannot be read whole, is refused and never silently replaced: a new key is a new device.
 2. Signatures are Ed25519 (RFC 8032) over bytes that start with a line naming their purpose.
 3. A key's id is the first 32 hex digits of the SHA-256 of its 32 public bytes.

A stolen tablet can: show its own jobs; while unlocked, sign new entries and new jobs with its key; with the files in
hand and no passphrase, rewrite its own jobs and sign them again, dated as it likes. With a passphrase, the thief must
guess it first (each guess costs 32 MB and about 70 ms; four digits fall within the hour, so use a sentence).
It cannot: change a job that another device holds unseen (two signed heads for one number are proof), sign for another
tablet, pass its new work into the yard once the yard has revoked its key, or take back what it signed.
So: exchange daily, revoke at once, and trust of a lost tablet what others held before the loss.
Knows nothing of: jobs, the yard's list of keys (keyring.py). Called by: ledger, export, exchange, the shells.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import secrets
import stat
from pathlib import Path
from typing import Protocol

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
    load_pem_public_key,
)

from coach import disk
from coach.core.canonical import canonical, parse
from coach.core.problems import Problem, RecordError, StoreError
from coach.record.files import write_whole

PRIVATE_FILE = "device-key.pem"
WRAPPED_FILE = "device-key.locked"
PUBLIC_FILE = "device-key.pub.pem"

_DER_HEAD = bytes.fromhex("302a300506032b6570032100")  # RFC 8410 section 4: what comes before the 32 public bytes
_SCRYPT = {"n": 2**15, "r": 8, "p": 1}
_SCRYPT_MEMORY = 64 * 2**20


class Signer(Protocol):
    """Whoever can sign for a device: its own key, or a stand-in that keeps it in hardware."""

    @property
    def key_id(self) -> str:
        """32 hex digits that name the public key."""

    @property
    def public(self) -> bytes:
        """The 32 public bytes."""

    def sign(self, message: bytes) -> bytes:
        """The 64 bytes of an Ed25519 signature over the message."""

    def mac(self, message: bytes) -> bytes:
        """32 bytes that only this device can make and check: quick, for what is not yet signed."""


class DeviceKey:
    """An Ed25519 key in memory; `open` reads or makes the one of a data folder."""

    def __init__(self, private: Ed25519PrivateKey) -> None:
        self._private = private
        self.public = private.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
        self.key_id = key_id(self.public)
        secret = private.private_bytes(Encoding.Raw, PrivateFormat.Raw, NoEncryption())
        self._mac_secret = hashlib.sha256(b"coach mac secret 1\n" + secret).digest()

    @staticmethod
    def from_seed(seed: bytes) -> DeviceKey:
        """The key of 32 secret bytes (RFC 8032 section 5.1.5): for tests, drills and the demo, never for a yard."""
        return DeviceKey(Ed25519PrivateKey.from_private_bytes(seed))

    @staticmethod
    def open(folder: Path, passphrase: str | None = None) -> DeviceKey:
        """The key of this data folder; made on first start, under the passphrase if one is given.

        Raises:
            StoreError R311: the key file can be read by others, R312: cannot be read or written.
            RecordError R313: the file holds no key, R314: passphrase missing or wrong.
        """
        try:
            if (folder / WRAPPED_FILE).exists():
                key = _unwrap(_read_private(folder / WRAPPED_FILE), passphrase)
            elif (folder / PRIVATE_FILE).exists():
                key = _from_pem(_read_private(folder / PRIVATE_FILE))
            else:
                return _make(folder, passphrase)
            if not (folder / PUBLIC_FILE).exists():  # a first start that was cut off between the two files
                write_whole(folder / PUBLIC_FILE, key.public_pem.encode("ascii"))
            return key
        except OSError as fault:
            raise StoreError(_no_access(folder, fault)) from fault

    @staticmethod
    def renew(folder: Path, passphrase: str | None = None) -> tuple[DeviceKey, DeviceKey, bytes]:
        """Replace the key of this data folder: the old key, the new one, and the old one's word for the new.

        Close the ledger first: what the old key has not signed, nobody can sign any more. The yard puts the word into
        its list (keyring.Keyring.rotate).

        Raises:
            as `open`.
        """
        old, new = DeviceKey.open(folder, passphrase), DeviceKey(Ed25519PrivateKey.generate())
        proof = old.sign(rotation_message(old.key_id, new.key_id))
        try:
            _store(folder, new, passphrase)
        except OSError as fault:
            raise StoreError(_no_access(folder, fault)) from fault
        return old, new, proof

    @property
    def public_pem(self) -> str:
        """The public key as PEM, for openssl and for the yard's list."""
        return public_pem(self.public)

    def sign(self, message: bytes) -> bytes:
        """The 64 bytes of the Ed25519 signature."""
        return self._private.sign(message)

    def mac(self, message: bytes) -> bytes:
        """HMAC-SHA-256 (RFC 2104) under a secret made from the private key."""
        return hmac.digest(self._mac_secret, message, "sha256")

    def private_pem(self) -> bytes:
        """The private key as PEM, without a passphrase; only for its own file."""
        return self._private.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())


def key_id(public: bytes) -> str:
    """The id of a public key of 32 bytes."""
    return hashlib.sha256(public).hexdigest()[:32]


def public_pem(public: bytes) -> str:
    """A public key of 32 bytes as PEM (RFC 8410)."""
    return f"-----BEGIN PUBLIC KEY-----\n{public_base64(public)}\n-----END PUBLIC KEY-----\n"


def public_base64(public: bytes) -> str:
    """The middle line of the PEM: all that a file of ours needs to carry."""
    return base64.b64encode(_DER_HEAD + public).decode("ascii")


def public_from_base64(text: str) -> bytes | None:
    """The 32 bytes of a PEM's middle line, or None if it is not exactly one Ed25519 public key."""
    raw = strict_base64(text)
    if raw is None or len(raw) != 44 or not raw.startswith(_DER_HEAD):
        return None
    return raw[len(_DER_HEAD) :]


def strict_base64(text: str) -> bytes | None:
    """The bytes of a base64 text, or None; unlike the common decoders it takes one spelling only."""
    try:
        raw = base64.b64decode(text, validate=True)
    except ValueError:
        return None
    return raw if base64.b64encode(raw).decode("ascii") == text else None


def public_from_pem(text: str, file: str = PUBLIC_FILE) -> bytes:
    """The 32 public bytes of a PEM text; `file` is the name of the file that it came from.

    Raises:
        RecordError R313: not the PEM of an Ed25519 public key.
    """
    try:
        key = load_pem_public_key(text.encode("utf-8"))
    except ValueError:
        key = None
    if not isinstance(key, Ed25519PublicKey):
        raise RecordError(_no_key(file))
    return key.public_bytes(Encoding.Raw, PublicFormat.Raw)


def fits(public: bytes, signature: bytes, message: bytes) -> bool:
    """Whether the signature over the message is by this public key."""
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def rotation_message(old: str, new: str) -> bytes:
    """What a tablet's old key signs to name the new one."""
    return f"coach key rotation 1\n{old}\n{new}\n".encode("ascii")


def _make(folder: Path, passphrase: str | None) -> DeviceKey:
    folder.mkdir(parents=True, exist_ok=True)
    key = DeviceKey(Ed25519PrivateKey.generate())
    _store(folder, key, passphrase)
    return key


def _store(folder: Path, key: DeviceKey, passphrase: str | None) -> None:
    if passphrase is None:
        write_whole(folder / PRIVATE_FILE, key.private_pem(), mode=0o600)
    else:
        write_whole(folder / WRAPPED_FILE, _wrap(key, passphrase), mode=0o600)
    write_whole(folder / PUBLIC_FILE, key.public_pem.encode("ascii"), mode=0o644)


def _read_private(path: Path) -> bytes:
    with path.open("rb") as file:
        mode = stat.S_IMODE(os.fstat(file.fileno()).st_mode)
        if os.name == "posix" and mode & 0o077:  # other systems keep rights elsewhere; the folder is the user's own
            raise StoreError(_readable(path, mode))
        return file.read(10_000)


def _from_pem(raw: bytes) -> DeviceKey:
    try:
        private = load_pem_private_key(raw, password=None)
    except (ValueError, TypeError):
        private = None
    if not isinstance(private, Ed25519PrivateKey):
        raise RecordError(_no_key(PRIVATE_FILE))
    return DeviceKey(private)


def _wrap(key: DeviceKey, passphrase: str) -> bytes:
    salt, nonce = secrets.token_bytes(16), secrets.token_bytes(12)
    box = ChaCha20Poly1305(_stretch(passphrase, salt)).encrypt(nonce, key.private_pem(), b"coach locked key 1")
    form = {"form": "coach locked key 1", "salt": salt.hex(), "nonce": nonce.hex(), "box": box.hex()}
    return canonical(form)


def _unwrap(raw: bytes, passphrase: str | None) -> DeviceKey:
    try:
        form = parse(raw)
        salt, nonce, box = (bytes.fromhex(form[name]) for name in ("salt", "nonce", "box"))
    except (RecordError, KeyError, TypeError, ValueError):
        raise RecordError(_no_key(WRAPPED_FILE)) from None
    if passphrase is None:
        raise RecordError(_locked("the tablet's key is locked and needs its passphrase"))
    try:
        pem = ChaCha20Poly1305(_stretch(passphrase, salt)).decrypt(nonce, box, b"coach locked key 1")
    except (InvalidTag, ValueError):
        raise RecordError(_locked("the tablet's key does not open with this passphrase")) from None
    return _from_pem(pem)


def _stretch(passphrase: str, salt: bytes) -> bytes:
    return hashlib.scrypt(passphrase.encode("utf-8"), salt=salt, dklen=32, maxmem=_SCRYPT_MEMORY, **_SCRYPT)


def _readable(path: Path, mode: int) -> Problem:
    return Problem(
        "R311",
        "the key file %(file)s can be read by others (mode %(mode)s)",
        "whoever copied it can sign as this tablet",
        "take the rights away (chmod 600), and have the yard revoke this key if the tablet was out of your hands",
        slots={"file": path.name, "mode": f"{mode:03o}"},
    )


def _no_access(folder: Path, fault: OSError) -> Problem:
    return Problem(
        "R312",
        "the key folder %(folder)s cannot be used: %(detail)s",
        "without its key the tablet can sign nothing",
        disk.write_cure(fault),
        slots={"folder": str(folder), "detail": fault.strerror or str(fault)},
    )


def _no_key(file: str) -> Problem:
    return Problem(
        "R313",
        "%(file)s holds no Ed25519 key",
        "nothing can be signed or checked with it",
        "bring back the file from its copy, or have the yard enrol a new key",
        slots={"file": file},
    )


def _locked(what: str) -> Problem:
    return Problem(
        "R314",
        what,
        "the passphrase keeps a thief from signing",
        "type the passphrase again; if it is lost, enrol a new key at the yard",
    )
