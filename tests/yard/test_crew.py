"""The crew's PINs: kept as hashes, guessed slowly, set by the right people; a wait outlives restarts and set clocks."""

from __future__ import annotations

import hashlib
import sqlite3
import stat
from itertools import pairwise, product
from pathlib import Path

import pytest

from coach.core.problems import StoreError
from coach.practice.clock import HandClock
from coach.yard.crew import COST, WAITS, CrewPins, weak
from tests.helpers.people import MORNING, POLICY

CHEAP = 2**4  # scrypt's n in tests of everything but the hash itself
PIN, OTHER = "4081", "7306"


class Tablet:
    """A data folder with PINs and a clock that is moved by hand."""

    def __init__(self, folder: Path, cost: int = CHEAP) -> None:
        self.file = folder / "crew.sqlite"
        self.clock = HandClock(MORNING)
        self.cost = cost
        self.start()

    def start(self) -> None:
        """The program starts (again)."""
        self.pins = CrewPins(self.file, self.cost)

    def check(self, pin: str, person: str = "ana") -> list[str]:
        return [reason.code for reason in self.pins.check(person, pin, self.clock())]

    def wait(self) -> int:
        """Seconds that a try is refused for now; 0 if it is judged. Costs a try if it is."""
        (reason,) = self.pins.check("ana", "0000", self.clock())
        return int(str(reason.slots.get("seconds", 0)))

    def begin(self, person: str, pin: str, voucher: str = "", voucher_pin: str = "") -> list[str]:
        return [reason.text() for reason in self.pins.begin(POLICY, person, pin, self.clock(), voucher, voucher_pin)]


@pytest.fixture
def tablet(tmp_path: Path) -> Tablet:
    made = Tablet(tmp_path)
    assert made.begin("ana", PIN) == []
    return made


def locked(tablet: Tablet, tries: int) -> Tablet:
    """After so many wrong tries in a row, each as soon as it is judged."""
    for number in range(tries):
        tablet.clock.pass_seconds(WAITS[number - 1] if number else 0)
        tablet.check("0000")
    return tablet


# -- what is kept ------------------------------------------------------------------------------------------------------


def test_the_right_pin_shows_who_it_is_and_no_other_does(tablet: Tablet) -> None:
    assert tablet.check(PIN) == []
    assert tablet.check(OTHER) == ["L105"]
    assert tablet.check(PIN + "0") == ["L105"]
    assert tablet.check(PIN) == []
    assert tablet.check("") == ["L105"]
    assert tablet.check(PIN, "joel") == ["L104"]


def test_the_hash_is_scrypt_with_a_salt_a_person(tmp_path: Path) -> None:
    """RFC 7914 scrypt, by the standard library, over the file's own salt and cost; two people, two salts."""
    tablet = Tablet(tmp_path, COST)
    tablet.begin("ana", PIN)
    tablet.begin("joel", PIN)
    rows = sqlite3.connect(tablet.file).execute("SELECT salt, cost, key FROM pin").fetchall()
    assert len({salt for salt, _cost, _key in rows}) == len({key for _salt, _cost, key in rows}) == 2
    for salt, cost, key in rows:
        assert (len(salt), cost) == (16, 32_768)
        assert key == hashlib.scrypt(PIN.encode(), salt=salt, n=cost, r=8, p=1, maxmem=2**27, dklen=32)
    assert tablet.check(PIN) == []


def test_the_pin_itself_is_nowhere_in_the_file(tmp_path: Path) -> None:
    tablet = Tablet(tmp_path)
    tablet.begin("ana", "408173065294")
    tablet.pins.change("ana", "408173065294", "918273640519", tablet.clock())
    raw = tablet.file.read_bytes()
    assert b"408173065294" not in raw and b"918273640519" not in raw


def test_an_old_hash_is_written_over(tablet: Tablet) -> None:
    (old,) = sqlite3.connect(tablet.file).execute("SELECT key FROM pin").fetchone()
    assert old in tablet.file.read_bytes()
    assert tablet.pins.change("ana", PIN, OTHER, tablet.clock()) == ()
    assert old not in tablet.file.read_bytes()


def test_nobody_but_the_owner_of_the_device_reads_the_file(tablet: Tablet) -> None:
    assert stat.S_IMODE(tablet.file.stat().st_mode) == 0o600


def test_a_later_version_may_raise_the_cost_and_old_pins_still_count(tablet: Tablet) -> None:
    tablet.cost = CHEAP * 4
    tablet.start()
    assert tablet.check(PIN) == []


def test_a_damaged_file_is_said_and_nothing_is_let_through(tablet: Tablet) -> None:
    tablet.file.write_bytes(b"no database at all, but long enough to be looked at as one" * 20)
    with pytest.raises(StoreError) as caught:
        tablet.check(PIN)
    assert str(caught.value) == (
        "L120 the crew's PINs in crew.sqlite cannot be read or written (file is not a database)\n"
        "    why   nobody can show who they are\n"
        "    mend  see that the data folder can be written; if the file is damaged, take it away and let everyone choose a new PIN"
    )


# -- waiting -----------------------------------------------------------------------------------------------------------


def test_the_wait_grows_with_every_wrong_try(tablet: Tablet) -> None:
    waits = []
    for _ in range(9):
        waits.append(tablet.wait())
        tablet.clock.pass_seconds(waits[-1])
    assert waits == [0, 0, 30, 60, 300, 900, 3_600, 3_600, 3_600]
    assert all(one <= two for one, two in pairwise(WAITS))


def test_during_the_wait_even_the_right_pin_is_not_judged(tablet: Tablet) -> None:
    locked(tablet, 4)
    tablet.clock.pass_seconds(59)
    (reason,) = tablet.pins.check("ana", PIN, tablet.clock())
    assert reason.text() == "too many wrong PINs: wait 1 min - wait with the tablet on, or ask a supervisor for a new PIN"
    tablet.clock.pass_seconds(1)
    assert tablet.check(PIN) == []


def test_a_try_during_the_wait_does_not_make_it_longer(tablet: Tablet) -> None:
    locked(tablet, 4)
    for _ in range(50):
        tablet.check("0000")
        tablet.clock.pass_seconds(1)
    assert tablet.wait() == 10


def test_the_right_pin_clears_the_count(tablet: Tablet) -> None:
    locked(tablet, 2)
    assert tablet.check(PIN) == []
    assert [tablet.wait() for _ in range(3)] == [0, 0, 30]


def test_one_persons_wrong_tries_do_not_stop_another(tablet: Tablet) -> None:
    tablet.begin("joel", OTHER)
    locked(tablet, 6)
    assert tablet.check(OTHER, "joel") == []


def test_a_wrong_try_counts_before_it_is_judged(tablet: Tablet, monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the plug were pulled while the hash is being computed."""

    def unplugged(*_: object, **__: object) -> bytes:
        raise KeyboardInterrupt

    for _ in range(3):
        with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
            patch.setattr("coach.yard.crew.hashlib.scrypt", unplugged)
            tablet.check(PIN)
        tablet.start()
    assert tablet.wait() == 30


def test_a_new_start_of_the_program_goes_on_with_the_wait(tablet: Tablet) -> None:
    locked(tablet, 5)
    tablet.clock.pass_seconds(100)
    tablet.clock.restart("run-2")
    tablet.start()
    assert tablet.wait() == 200


@pytest.mark.parametrize("seconds", [3_600, 86_400 * 400, -3_600, -86_400 * 400])
def test_setting_the_clock_neither_ends_nor_lengthens_the_wait(tablet: Tablet, seconds: int) -> None:
    locked(tablet, 5)
    tablet.clock.pass_seconds(100)
    tablet.clock.turn_wall(seconds)
    assert tablet.wait() == 200


def test_a_new_start_of_the_device_begins_the_whole_wait_anew(tablet: Tablet) -> None:
    locked(tablet, 5)
    tablet.clock.pass_seconds(299)
    tablet.clock.restart("run-2", "boot-2")
    tablet.start()
    assert tablet.wait() == 300
    tablet.clock.pass_seconds(300)
    assert tablet.check(PIN) == []


def test_a_thief_with_a_hundred_tries_needs_days(tablet: Tablet) -> None:
    began = tablet.clock().steady
    for _ in range(100):
        tablet.clock.pass_seconds(tablet.wait())
    assert (tablet.clock().steady - began) / 86_400_000 > 3.8


# -- who sets and changes a PIN ----------------------------------------------------------------------------------------


def test_the_first_supervisor_needs_nobody_and_everybody_after_needs_a_supervisor(tmp_path: Path) -> None:
    tablet = Tablet(tmp_path)
    assert tablet.begin("marta", OTHER) == []
    ask = "a supervisor has to confirm a new PIN - ask Marta Oduya to enter their own PIN"
    assert tablet.begin("ana", PIN) == [ask]
    assert tablet.begin("ana", PIN, "joel", PIN) == [ask]
    assert tablet.begin("ana", PIN, "ana", PIN) == [ask]
    assert tablet.begin("ana", PIN, "marta", PIN) == ["this is not the PIN - try again, or ask a supervisor for a new PIN"]
    assert not tablet.pins.has("ana")
    assert tablet.begin("ana", PIN, "marta", OTHER) == []
    assert tablet.check(PIN) == []


def test_guessing_a_supervisors_pin_by_way_of_a_new_one_is_as_slow(tmp_path: Path) -> None:
    tablet = Tablet(tmp_path)
    tablet.begin("marta", OTHER)
    for _ in range(3):
        tablet.begin("ana", PIN, "marta", "0000")
    assert tablet.check(OTHER, "marta") == ["L106"]


def test_a_supervisor_gives_a_new_pin_to_who_forgot_theirs_and_the_wait_ends(tablet: Tablet) -> None:
    tablet.begin("marta", OTHER)
    locked(tablet, 7)
    assert tablet.begin("ana", "5927", "marta", OTHER) == []
    assert tablet.check("5927") == []
    assert tablet.check(PIN) == ["L105"]


def test_nobody_takes_a_pin_over_while_no_supervisor_has_one(tablet: Tablet) -> None:
    has = ["this person has a PIN already - change it with the old one, or ask another supervisor"]
    assert tablet.begin("ana", "5927") == has
    assert tablet.begin("ana", "5927", "joel", "") == has


def test_a_supervisor_does_not_vouch_for_themself(tmp_path: Path) -> None:
    tablet = Tablet(tmp_path)
    tablet.begin("marta", OTHER)
    assert tablet.begin("marta", "5927", "marta", OTHER) == [
        "this person has a PIN already - change it with the old one, or ask another supervisor"
    ]
    tablet.begin("ivo", PIN, "marta", OTHER)
    assert tablet.begin("marta", "5927", "marta", OTHER) == [
        "a supervisor has to confirm a new PIN - ask Ivo Brandt to enter their own PIN"
    ]
    assert tablet.begin("marta", "5927", "ivo", PIN) == []


def test_only_the_owner_changes_a_pin_and_only_to_another(tablet: Tablet) -> None:
    change = tablet.pins.change
    assert [reason.code for reason in change("ana", "0000", OTHER, tablet.clock())] == ["L105"]
    assert [reason.code for reason in change("ana", PIN, PIN, tablet.clock())] == ["L109"]
    assert [reason.code for reason in change("ana", PIN, "1111", tablet.clock())] == ["L102"]
    assert change("ana", PIN, OTHER, tablet.clock()) == ()
    assert (tablet.check(OTHER), tablet.check(PIN)) == ([], ["L105"])


def test_a_stranger_gets_no_pin(tablet: Tablet) -> None:
    assert tablet.begin("nobody", "5927") == ["nobody of the crew has this id - choose one of the crew"]


# -- which PINs will do ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("pin", ["", "1", "408", "4081730652941", "40a1", "٤٠٨١", "４０８１", "-408", "4 81", "40.1"])
def test_a_pin_has_4_to_12_plain_digits(pin: str) -> None:
    assert [reason.text() for reason in weak("ana", pin)] == ["a PIN has 4 to 12 digits - choose 4 digits or more"]


# The twenty most used of a published count of 3.4 million four-digit PINs, as remembered; no source at hand.
MOST_USED = ("1234 1111 0000 1212 7777 1004 2000 4444 2222 6969 9999 3333 5555 6666 1122 1313 8888 4321 2001 1010").split()


@pytest.mark.parametrize("pin", [pin for pin in MOST_USED if pin != "1004"])
def test_what_is_tried_first_is_refused(pin: str) -> None:
    assert [reason.code for reason in weak("ana", pin)] == ["L102"]


@pytest.mark.parametrize("pin", ["8901", "2109", "1221", "1112", "1987", "2026", "2580", "123456", "000000", "987654", "417417", "12341234"])
def test_runs_repeats_and_years_are_refused(pin: str) -> None:
    assert [reason.text() for reason in weak("ana", pin)] == [
        "this PIN is easily guessed - choose digits that follow no pattern"
    ]


def test_most_pins_are_left_to_choose_from() -> None:
    left = sum(not weak("ana", "".join(digits)) for digits in product("0123456789", repeat=4))
    assert 9_000 < left < 9_300
