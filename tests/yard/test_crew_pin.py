"""PINs: kept as scrypt, refused if too easy, and a wait that neither a clock nor a restart can shorten."""

from __future__ import annotations

import hashlib

import pytest

from coach.core.moment import Moment
from coach.core.problems import PolicyError
from coach.yard.crew_pin import (
    AWAY_MS,
    FIRST_WAIT_MS,
    LONGEST_WAIT_MS,
    Tries,
    attempt,
    fits,
    hash_pin,
    is_away,
    settle,
    wait_ms,
)

NOON = Moment(1_917_000_000_000, 10_000_000, "boot-1")
KEPT = hash_pin("4071", b"device")


def test_rfc_7914_scrypt_vector() -> None:
    # RFC 7914 section 12, second vector: the library that does the work
    assert (
        hashlib.scrypt(b"password", salt=b"NaCl", n=1024, r=8, p=16, dklen=64)
        .hex()
        .startswith("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162")
    )


def test_a_pin_is_kept_as_a_hash_of_its_own() -> None:
    assert "4071" not in KEPT
    assert hash_pin("4071", b"device") != KEPT
    assert fits("4071", KEPT, b"device")
    assert not fits("4072", KEPT, b"device")
    assert not fits("4071", KEPT, b"another device")


@pytest.mark.parametrize(
    "kept", ["", "scrypt", "scrypt 2 8 1 00 00", KEPT + " x", KEPT[:-1], KEPT.replace("32768", "16")]
)
def test_a_spoiled_hash_fits_nothing(kept: str) -> None:
    assert not fits("4071", kept, b"device")


@pytest.mark.parametrize("pin", ["", "123", "1234", "8765", "0000", "12a4", "4071 ", "1" * 13, "٤٠٧١", "-407"])
def test_a_pin_that_is_none_or_too_easy(pin: str) -> None:
    with pytest.raises(PolicyError) as caught:
        hash_pin(pin)
    assert str(caught.value) == (
        "L601 this PIN cannot be used\n"
        "    why   a PIN is 4 to 12 digits; all the same or a run such as 1234 is the first that others try\n"
        "    mend  choose another"
    )


def test_five_wrong_tries_then_a_wait_that_doubles() -> None:
    tries, now = Tries(), NOON
    for left in (4, 3, 2, 1, 0):
        tries, problem = attempt("1970", KEPT, tries, now, b"device")
        assert problem is not None
        assert problem.code == "L603"
        assert problem.slots["left"] == left
    waits = []
    for _ in range(8):
        waits.append(wait_ms(tries, now))
        again, problem = attempt("4071", KEPT, tries, now.plus(waits[-1] - 1), b"device")  # right, but too early
        assert problem is not None
        assert (again, problem.code) == (tries, "L602")
        now = now.plus(waits[-1])
        tries, problem = attempt("1970", KEPT, tries, now, b"device")
    assert waits == [min(FIRST_WAIT_MS * 2**n, LONGEST_WAIT_MS) for n in range(8)]
    tries, problem = attempt("4071", KEPT, tries, now.plus(LONGEST_WAIT_MS), b"device")
    assert (tries, problem) == (Tries(), None)


@pytest.mark.parametrize(
    "later",
    [
        Moment(NOON.wall + 10**9, NOON.steady, "boot-1"),  # the clock was set forward
        Moment(NOON.wall - 10**9, NOON.steady + 10**9, "boot-1"),  # and back
        Moment(NOON.wall + 10**9, 5, "boot-2"),  # the device was started anew
    ],
)
def test_neither_a_clock_nor_a_restart_shortens_the_wait(later: Moment) -> None:
    tries = Tries(5, NOON)
    assert wait_ms(tries, later) == FIRST_WAIT_MS
    settled = settle(tries, later)
    assert settled == Tries(5, later)
    assert wait_ms(settled, later.plus(FIRST_WAIT_MS - 1)) == 1
    assert wait_ms(settled, later.plus(FIRST_WAIT_MS)) == 0  # and it does end
    assert attempt("4071", KEPT, tries, later, b"device")[1].code == "L602"  # type: ignore[union-attr]


def test_settling_changes_nothing_else() -> None:
    for tries in (Tries(), Tries(3, NOON)):
        assert settle(tries, NOON.plus(1000)) == tries


def test_after_five_minutes_the_screen_is_locked() -> None:
    assert not is_away(NOON, NOON.plus(AWAY_MS - 1))
    assert is_away(NOON, NOON.plus(AWAY_MS))
    assert is_away(NOON, Moment(NOON.wall, NOON.steady, "boot-2"))
    assert is_away(NOON, Moment(NOON.wall - 600_000, NOON.steady + 1000, "boot-1"))
