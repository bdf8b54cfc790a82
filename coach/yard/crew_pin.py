"""A person's PIN: how it is kept, how it is checked, and how long a wrong one makes everybody wait.

Rules kept here:
 1. A PIN is never kept: only scrypt of it (RFC 7914; 32 MB and about 70 ms a try), with a salt of its own, and with
    the device's own secret mixed in, so that the list of hashes without the device tells nothing.
 2. After 5 wrong tries in a row the person waits 1 minute, then 2, 4 ... up to an hour; a right one ends the count.
    A wait is counted by both clocks: setting the clock, or starting the device anew, begins it again.
 3. Nobody touched the screen for 5 minutes: it is locked, whoever was at it. A clock in doubt locks too.
What a PIN can do: keep a colleague from signing as another on a shared tablet. What it cannot: stop a thief who has
the tablet's files and its key (four digits are 10,000 tries, about a quarter of an hour).
Knows nothing of: files, who is in the crew (policy), what is signed.
"""

from __future__ import annotations

import hashlib
import hmac
import itertools
import secrets
from dataclasses import dataclass, replace

from coach.core.moment import Moment
from coach.core.problems import PolicyError, Problem

SHORTEST, LONGEST = 4, 12
FREE_TRIES = 5
FIRST_WAIT_MS, LONGEST_WAIT_MS = 60_000, 3_600_000
AWAY_MS = 300_000
_N, _R, _P = 2**15, 8, 1
_MEMORY = 64 * 2**20


@dataclass(frozen=True)
class Tries:
    """Wrong tries of one person in a row, and the moment of the last; kept by the caller, also over a restart."""

    wrong: int = 0
    last: Moment | None = None


def hash_pin(pin: str, device_secret: bytes = b"") -> str:
    """The text to keep for a PIN; two calls give two texts.

    Args:
        pin: 4 to 12 digits, not all the same and not a run such as 1234 or 8765.
        device_secret: the device's own (keys.DeviceKey.mac over a fixed text); the same when checking.

    Raises:
        PolicyError L601: not such a PIN.
    """
    if not _is_fit(pin):
        raise PolicyError(_unfit())
    salt = secrets.token_bytes(16)
    return f"scrypt {_N} {_R} {_P} {salt.hex()} {_stretch(pin, device_secret, salt).hex()}"


def fits(pin: str, kept: str, device_secret: bytes = b"") -> bool:
    """Whether this is the PIN that was kept. A kept text that cannot be read fits no PIN."""
    words = kept.split(" ")
    if len(words) != 6 or words[:4] != ["scrypt", str(_N), str(_R), str(_P)]:
        return False
    try:
        salt, hash = bytes.fromhex(words[4]), bytes.fromhex(words[5])
    except ValueError:
        return False
    return hmac.compare_digest(_stretch(pin, device_secret, salt), hash)


def wait_ms(tries: Tries, now: Moment) -> int:
    """How long until the next try is taken; 0 if now. An age that the clocks do not agree on counts as none."""
    if tries.wrong < FREE_TRIES or tries.last is None:
        return 0
    due: int = min(FIRST_WAIT_MS << (tries.wrong - FREE_TRIES), LONGEST_WAIT_MS)
    age = tries.last.age_at(now)
    return due if age is None else max(0, due - age)


def settle(tries: Tries, now: Moment) -> Tries:
    """The count as it stands when the screen asks: after a restart or a clock that jumped, the wait begins again now.

    Without this a person would wait for ever after a restart; call it before wait_ms and keep the answer.
    """
    if tries.last is not None and tries.last.age_at(now) is None:
        return replace(tries, last=now)
    return tries


def attempt(pin: str, kept: str, tries: Tries, now: Moment, device_secret: bytes = b"") -> tuple[Tries, Problem | None]:
    """One try: the count to keep (before anything else is done), and why it was not taken; None if it was right.

    L602: must wait, the PIN was not looked at. L603: wrong.
    """
    tries = settle(tries, now)
    left = wait_ms(tries, now)
    if left:
        return tries, _must_wait(left)
    if fits(pin, kept, device_secret):
        return Tries(), None
    tries = Tries(min(tries.wrong + 1, 1000), now)
    return tries, _wrong(max(0, FREE_TRIES - tries.wrong))


def is_away(last_touch: Moment, now: Moment) -> bool:
    """Whether the screen must be locked: nobody touched it for 5 minutes, or the clocks give no answer."""
    age = last_touch.age_at(now)
    return age is None or age >= AWAY_MS


def _is_fit(pin: str) -> bool:
    if not (SHORTEST <= len(pin) <= LONGEST and pin.isascii() and pin.isdigit()):
        return False
    steps = {int(after) - int(before) for before, after in itertools.pairwise(pin)}
    return steps not in ({0}, {1}, {-1})


def _stretch(pin: str, device_secret: bytes, salt: bytes) -> bytes:
    secret = hmac.digest(device_secret, pin.encode("utf-8"), "sha256")
    return hashlib.scrypt(secret, salt=salt, n=_N, r=_R, p=_P, maxmem=_MEMORY, dklen=32)


def _unfit() -> Problem:
    return Problem(
        "L601",
        "this PIN cannot be used",
        "a PIN is 4 to 12 digits; all the same or a run such as 1234 is the first that others try",
        "choose another",
    )


def _must_wait(left: int) -> Problem:
    return Problem(
        "L602",
        "too many wrong PINs: %(seconds)d seconds to wait",
        "so that nobody finds a PIN by trying",
        "wait, or let the supervisor sign in",
        slots={"seconds": -(-left // 1000)},
    )


def _wrong(left: int) -> Problem:
    return Problem(
        "L603",
        "this is not the PIN of this person; %(left)d more tries before a wait",
        "everyone signs only as themself",
        "type it again, or choose your own name",
        slots={"left": left},
    )
