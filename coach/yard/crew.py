"""The crew's PINs on this tablet: how a person shows that they are who they say, kept outside the policy.

Rules kept here:
 1. A PIN is kept only as its scrypt hash with a salt of its own, in a file that its owner alone may read, and is
    compared in constant time. It is never in the ledger, the policy, an export or what tablets exchange.
 2. A wrong try is on disk before it is judged: pulling the plug gives nobody a free try.
 3. Waiting counts on the device's steady clock alone. Setting the clock changes nothing; after a start of the device
    the whole wait begins anew.
 4. A first PIN, or a new one for somebody who forgot theirs, needs a supervisor's PIN as soon as any supervisor has
    one. Nobody learns another's PIN from here, and a PIN is changed only by its owner.
Knows nothing of: screens, jobs, what a person may do (policy, kernel).

What it is worth, plainly: four digits are one of about ten thousand. At the screen a thief gets seven tries in the
first half hour and then one an hour, so half of all PINs take more than half a year of switched-on time. Whoever can
read the tablet's storage tries them all elsewhere: at a tenth of a second a try that is a quarter of an hour for four
digits, a day for six. So a PIN keeps one colleague from signing as another; it does not keep a thief from the data.
That is for the tablet's own lock and encryption, and the yard revokes the key of a tablet that is gone. Anyone may
lock a colleague out for an hour by wrong tries; a supervisor ends that by a new PIN.
Proved by: tests/yard/test_crew.py.
"""

from __future__ import annotations

import hashlib
import hmac
import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from coach.core.moment import Moment
from coach.core.policy import SUPERVISOR, Person, Policy
from coach.core.problems import Problem, Reason, StoreError

LEAST, MOST = 4, 12  # digits
COST = 2**15  # scrypt's n; with r = 8 a try needs 32 MB and about a tenth of a second
_BLOCK, _LANES, _KEY, _SALT = 8, 1, 32, 16
# Seconds to wait after so many wrong tries in a row; the last holds for all that follow. Ours.
WAITS = (0, 0, 30, 60, 300, 900, 3_600)
_TABLE = """CREATE TABLE IF NOT EXISTS pin (
    person TEXT PRIMARY KEY, salt BLOB NOT NULL, cost INTEGER NOT NULL, key BLOB NOT NULL,
    wrong INTEGER NOT NULL DEFAULT 0, boot TEXT NOT NULL DEFAULT '', since INTEGER NOT NULL DEFAULT 0,
    given_by TEXT NOT NULL, given_at INTEGER NOT NULL) WITHOUT ROWID"""


class CrewPins:
    """The PINs of one data folder. Every answer is a list of reasons; an empty one means yes."""

    def __init__(self, path: Path, cost: int = COST) -> None:
        """path: the file, made if need be; cost: scrypt's n for new PINs. Raises StoreError L120."""
        self.path = path
        self._cost = cost
        try:
            os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
        except OSError as fault:
            raise StoreError(_not_kept(path, fault.strerror or str(fault))) from fault
        with self._change() as db:
            db.execute(_TABLE)

    def has(self, person: str) -> bool:
        """Whether this person has a PIN here."""
        with self._change() as db:
            return db.execute("SELECT 1 FROM pin WHERE person = ?", (person,)).fetchone() is not None

    def vouchers(self, policy: Policy, person: str) -> tuple[Person, ...]:
        """The supervisors with a PIN who can vouch for a new PIN of this person; empty while no supervisor has one."""
        able = tuple(one for one in policy.people.values() if SUPERVISOR in one.roles and self.has(one.id))
        return tuple(one for one in able if one.id != person) or able

    def check(self, person: str, pin: str, now: Moment) -> tuple[Reason, ...]:
        """Why this is not shown to be the person: no PIN, still to wait, or a wrong PIN. Raises StoreError L120."""
        with self._change() as db:
            row = db.execute("SELECT salt, cost, key, wrong, boot, since FROM pin WHERE person = ?", (person,)).fetchone()
            if row is None:
                return (_no_pin(person),)
            salt, cost, key, wrong, boot, since = row
            left = _seconds_left(db, person, wrong, boot, since, now)
            if left > 0:
                return (_wait(person, left),)
            _count(db, person, wrong + 1, now)
        if not hmac.compare_digest(_hash(pin, salt, cost), key):
            due = _due(wrong + 1)
            return (_wait(person, due) if due else _wrong(person),)
        with self._change() as db:
            _count(db, person, 0, now)
        return ()

    def begin(
        self, policy: Policy, person: str, pin: str, now: Moment, voucher: str = "", voucher_pin: str = ""
    ) -> tuple[Reason, ...]:
        """Give a person their first PIN, or a new one in place of a forgotten one.

        Args:
            policy: whose crew it is.
            person: who gets the PIN; they choose it.
            pin: the new PIN.
            now: the moment it is asked.
            voucher: the supervisor who stands for it; not needed while no supervisor has a PIN.
            voucher_pin: that supervisor's own PIN.
        """
        reasons = (*_unknown(policy, person), *weak(person, pin))
        able = self.vouchers(policy, person)
        own = able and all(one.id == person for one in able)
        if self.has(person) and (not able or own):
            reasons += (_has_one(person),)
        elif able and voucher not in [one.id for one in able]:
            reasons += (_no_voucher(person, able),)
        elif able and not reasons:
            reasons += self.check(voucher, voucher_pin, now)
        if not reasons:
            self._keep(person, pin, voucher or person, now)
        return reasons

    def change(self, person: str, old: str, new: str, now: Moment) -> tuple[Reason, ...]:
        """The owner changes their PIN."""
        reasons = weak(person, new)
        if not reasons and old == new:
            reasons = (_same(person),)
        reasons = reasons or self.check(person, old, now)
        if not reasons:
            self._keep(person, new, person, now)
        return reasons

    def _keep(self, person: str, pin: str, by: str, now: Moment) -> None:
        salt = secrets.token_bytes(_SALT)
        key = _hash(pin, salt, self._cost)
        with self._change() as db:
            db.execute(
                "REPLACE INTO pin (person, salt, cost, key, given_by, given_at) VALUES (?, ?, ?, ?, ?, ?)",
                (person, salt, self._cost, key, by, now.wall),
            )

    @contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """One transaction on a connection of its own; on disk when the block has ended. Raises StoreError L120."""
        db = None
        try:
            db = sqlite3.connect(self.path, timeout=5, isolation_level=None)
            db.execute("PRAGMA synchronous = FULL")
            db.execute("PRAGMA secure_delete = ON")  # an old hash is written over
            db.execute("BEGIN IMMEDIATE")
            yield db
            db.execute("COMMIT")
        except sqlite3.Error as fault:
            raise StoreError(_not_kept(self.path, str(fault))) from fault
        finally:
            if db is not None:
                db.close()


def weak(person: str, pin: str) -> tuple[Reason, ...]:
    """Why this PIN will not do: too short, too long, no digits, or one of those that are guessed first.

    Source: that repeats, runs, pairs and years lead every published count of PINs in use; from memory.
    """
    if not (pin.isascii() and pin.isdigit() and LEAST <= len(pin) <= MOST):
        what, mend = "a PIN has %(least)s to %(most)s digits", "choose %(least)s digits or more"
        return (Reason("L101", person, what, "fewer are guessed at once", mend, {"least": LEAST, "most": MOST}),)
    steps = {(int(b) - int(a)) % 10 for a, b in zip(pin, pin[1:], strict=False)}
    half = len(pin) // 2
    trivial = (
        len(steps) == 1 and steps <= {0, 1, 9},  # 0000, 1234, 9876, 8901
        len(set(pin)) <= 2 and len(pin) == 4,  # 1212, 1122, 1221, 1112
        len(pin) % 2 == 0 and pin[:half] == pin[half:] and half > 1,  # 123123
        len(pin) == 4 and pin[:2] in ("19", "20"),  # years
        pin in ("2580", "0852", "1379", "147258", "159753"),  # lines on the keypad
    )
    if any(trivial):
        why = "repeats, runs, pairs and years are the first that anybody tries"
        return (Reason("L102", person, "this PIN is easily guessed", why, "choose digits that follow no pattern"),)
    return ()


def _hash(pin: str, salt: bytes, cost: int) -> bytes:
    memory = 128 * cost * _BLOCK * 2
    return hashlib.scrypt(pin.encode(), salt=salt, n=cost, r=_BLOCK, p=_LANES, maxmem=memory, dklen=_KEY)


def _due(wrong: int) -> int:
    """Seconds to wait after so many wrong tries."""
    return WAITS[min(wrong, len(WAITS)) - 1] if wrong else 0


def _seconds_left(db: sqlite3.Connection, person: str, wrong: int, boot: str, since: int, now: Moment) -> int:
    """Seconds still to wait, at least 1 while any time is left. In another start of the device the wait begins anew."""
    due = _due(wrong)
    if due and (boot != now.boot or now.steady < since):
        _count(db, person, wrong, now)
        since = now.steady
    return -(-max(0, due * 1000 - (now.steady - since)) // 1000)


def _count(db: sqlite3.Connection, person: str, wrong: int, now: Moment) -> None:
    db.execute("UPDATE pin SET wrong = ?, boot = ?, since = ? WHERE person = ?", (wrong, now.boot, now.steady, person))


def _unknown(policy: Policy, person: str) -> tuple[Reason, ...]:
    if policy.person(person) is not None:
        return ()
    return (Reason("L103", person, "nobody of the crew has this id", "a PIN belongs to a person", "choose one of the crew"),)


def _no_pin(person: str) -> Reason:
    return Reason("L104", person, "this person has no PIN on this tablet yet", "an act is signed only as oneself",
                  "choose a PIN first")


def _wrong(person: str) -> Reason:
    return Reason("L105", person, "this is not the PIN", "an act is signed only as oneself", "try again, or ask a supervisor for a new PIN")


def _wait(person: str, seconds: int) -> Reason:
    minutes = -(-seconds // 60)
    return Reason("L106", person, "too many wrong PINs: wait %(minutes)s min", "guessing must take too long to be worth it",
                  "wait with the tablet on, or ask a supervisor for a new PIN", {"minutes": minutes, "seconds": seconds})


def _has_one(person: str) -> Reason:
    return Reason("L107", person, "this person has a PIN already", "nobody sets another's PIN", "change it with the old one, or ask another supervisor")


def _no_voucher(person: str, able: tuple[Person, ...]) -> Reason:
    names = ", ".join(one.name for one in able)
    return Reason("L108", person, "a supervisor has to confirm a new PIN", "else anybody could become anybody",
                  "ask %(names)s to enter their own PIN", {"names": names})


def _same(person: str) -> Reason:
    return Reason("L109", person, "the new PIN is the old one", "a PIN that somebody saw stays seen", "choose another")


def _not_kept(path: Path, detail: str) -> Problem:
    return Problem("L120", "the crew's PINs in %(file)s cannot be read or written (%(detail)s)", "nobody can show who they are",
                   "see that the data folder can be written; if the file is damaged, take it away and let everyone choose a new PIN",
                   slots={"file": path.name, "detail": detail})
