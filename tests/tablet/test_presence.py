"""The walk-away lock and who counts as identified, without any screen."""

from __future__ import annotations

import pytest

from coach.practice.clock import HandClock
from coach.tablet.presence import Presence
from tests.helpers.people import MORNING


def entered(asks: bool = True) -> tuple[Presence, HandClock]:
    clock, presence = HandClock(MORNING), Presence(asks)
    presence.enter("ana", clock())
    return presence, clock


@pytest.mark.parametrize(("seconds", "gone"), [(0, False), (299, False), (300, True), (3_000, True)])
def test_five_minutes_without_a_touch(seconds: int, gone: bool) -> None:
    presence, clock = entered()
    clock.pass_seconds(seconds)
    assert presence.gone(clock()) is gone


def test_every_touch_begins_the_five_minutes_anew() -> None:
    presence, clock = entered()
    for _ in range(10):
        clock.pass_seconds(299)
        assert not presence.gone(clock())
        presence.touch(clock())


@pytest.mark.parametrize("seconds", [-3_600, 3_600])
def test_clocks_that_disagree_lock(seconds: int) -> None:
    presence, clock = entered()
    clock.turn_wall(seconds)
    assert presence.gone(clock())


def test_a_locked_tablet_and_an_empty_one_have_nothing_to_lock() -> None:
    presence, clock = entered()
    presence.lock()
    clock.pass_minutes(60)
    assert presence.locked and not presence.gone(clock())
    presence.leave()
    presence.lock()
    assert not presence.locked and not presence.gone(clock())


def test_who_is_identified() -> None:
    presence, _clock = entered()
    assert presence.identified("ana") == (("ana", "pin"),)
    assert presence.identified("ana", "joel") == (("ana", "pin"), ("joel", "pin"))
    assert presence.identified("ana", "ana") == (("ana", "pin"),)
    assert presence.identified("marta") == ()
    presence.lock()
    assert presence.identified("ana") == ()


def test_standing_in_is_locked_from_the_start() -> None:
    presence, clock = entered()
    presence.stand_in("joel")
    assert (presence.person, presence.locked, presence.identified("joel")) == ("joel", True, ())
    presence.enter("joel", clock())
    assert presence.identified("joel") == (("joel", "pin"),)


def test_without_pins_nothing_is_locked_and_nobody_identified() -> None:
    presence, clock = entered(asks=False)
    clock.pass_minutes(600)
    assert not presence.gone(clock())
    presence.lock()
    assert not presence.locked
    assert presence.identified("ana", "joel") == ()
    presence.stand_in("joel")
    assert not presence.locked
