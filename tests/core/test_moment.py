"""How old something is: both clocks must agree, and a doubt never makes it younger."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.moment import Moment
from coach.core.monitor_stay import trusted_age

START = Moment(1_000_000_000, 50_000, "boot-1", "run-1")
MINUTE = 60_000


def later(wall: int, steady: int, boot: str = "boot-1", run: str = "run-1") -> Moment:
    return Moment(START.wall + wall, START.steady + steady, boot, run)


@pytest.mark.parametrize(
    ("now", "age"),
    [
        (later(0, 0), 0),
        (later(MINUTE, MINUTE), MINUTE),
        (later(MINUTE, MINUTE, run="run-2"), MINUTE),  # another run of the program: the clocks still agree
        (later(MINUTE, MINUTE, boot="boot-2"), None),
        # forward and back by a hand on the wall clock: 5 s and a hundredth of the age are let pass
        (later(5_000, 0), 5_000),
        (later(5_001, 0), None),
        (later(-5_000, 0), 0),
        (later(-5_001, 0), None),
        (later(100_000 + 6_000, 100_000), 106_000),
        (later(100_000 + 6_001, 100_000), None),
        (later(100_000 - 6_000, 100_000), 100_000),
        (later(100_000 - 6_001, 100_000), None),
        (later(MINUTE, 0), None),
        (later(0, MINUTE), None),
        (later(3_600_000, MINUTE), None),
        # the steady clock never runs backwards within one start of the device
        (later(0, -1), None),
        (later(-1, -1), None),
        (later(MINUTE, -1), None),
    ],
)
def test_an_age_counts_only_if_both_clocks_agree(now: Moment, age: int | None) -> None:
    assert START.age_at(now) == age
    assert trusted_age(START, now) == age


def test_time_that_passes_passes_on_both_clocks() -> None:
    assert START.plus(1_500) == Moment(START.wall + 1_500, START.steady + 1_500, "boot-1", "run-1")


moments = st.builds(
    Moment, st.integers(-10**13, 10**13), st.integers(0, 10**11), st.sampled_from(["a", "b"]),
    st.sampled_from(["x", "y"])
)
near = st.builds(
    lambda start, wall, steady: (start, Moment(start.wall + wall, start.steady + steady, start.boot, start.run)),
    moments, st.integers(-20_000, 200_000), st.integers(-5, 200_000),
)


@given(near)
def test_the_two_readings_of_an_age_agree(pair: tuple[Moment, Moment]) -> None:
    earlier, now = pair
    assert earlier.age_at(now) == trusted_age(earlier, now)


@given(moments, moments)
def test_an_age_is_never_below_zero_and_never_below_either_clock(earlier: Moment, now: Moment) -> None:
    age = earlier.age_at(now)
    if age is not None:
        assert age >= max(0, now.wall - earlier.wall, now.steady - earlier.steady)
        assert earlier.boot == now.boot


@given(moments, st.integers(0, 10**10))
def test_honest_time_is_believed(start: Moment, passed: int) -> None:
    assert start.age_at(start.plus(passed)) == passed
