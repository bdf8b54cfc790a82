"""Limits: what is shipped, what a yard may set, and the floor that nothing goes beyond."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.floors import BEAUFORT_TOP_MM_S, LIMITS, bounded, within
from coach.core.monitor_values import strictest
from coach.core.policy import Policy, YardLimit
from tests.helpers.people import POLICY, policy

# What the facts of the trade and the law say, once more by hand: limit -> (shipped, floor). Sources in floors.py.
DUE = {
    "wind_mean": (5_400, 7_600), "wind_gust": (8_000, 11_600), "wind_minutes": (15, 15), "gas_minutes": (30, 60),
    "area_minutes": (60, 60), "fire_watch_proof_minutes": (60, 60), "protection_minutes": (120, 240),
    "other_minutes": (240, 480), "gas_lel": (100, 100), "clear_distance": (10_668, 10_668),
    "extinguisher_distance": (9_144, 9_144), "extinguisher_days": (30, 31), "extinguisher_a": (2, 2),
    "extinguisher_b": (20, 20), "fire_watch_minutes": (60, 30), "retention_days": (366, 366),
}
LEAST = {"clear_distance", "extinguisher_a", "extinguisher_b", "fire_watch_minutes", "retention_days"}


def test_the_limits_are_those_of_the_sources() -> None:
    assert {id: (rule.shipped, rule.floor) for id, rule in LIMITS.items()} == DUE
    assert {id for id, rule in LIMITS.items() if rule.sense == "least"} == LEAST
    assert {rule.sense for rule in LIMITS.values()} == {"least", "most"}


@pytest.mark.parametrize("id", LIMITS)
def test_what_is_shipped_is_within_the_floor_and_has_a_source(id: str) -> None:
    rule = LIMITS[id]
    assert within(id, rule.shipped) and rule.source and rule.unit and rule.name
    assert bounded(id, None) == rule.shipped == POLICY.limit(id)
    assert POLICY.is_shipped(id) and POLICY.source(id) == rule.source


@pytest.mark.parametrize("id", LIMITS)
def test_at_the_floor_is_allowed_and_one_beyond_counts_as_the_floor(id: str) -> None:
    rule = LIMITS[id]
    beyond = rule.floor + (1 if rule.sense == "most" else -1)
    assert within(id, rule.floor) and bounded(id, rule.floor) == rule.floor
    assert not within(id, beyond) and bounded(id, beyond) == rule.floor
    made_by_hand = policy(**{id: beyond})  # type: ignore[arg-type]
    assert made_by_hand.limit(id) == rule.floor
    assert made_by_hand.source(id) == rule.source  # a yard's value that does not count is not its source either
    assert not made_by_hand.is_shipped(id)


@pytest.mark.parametrize("id", LIMITS)
def test_tighter_than_the_floor_is_taken_as_it_is(id: str) -> None:
    rule = LIMITS[id]
    tighter = rule.floor - 1 if rule.sense == "most" else rule.floor + 1
    assert within(id, tighter) and bounded(id, tighter) == tighter
    own = Policy("Pell Harbour Boatyard", limits={id: YardLimit(tighter, "film maker's sheet")})
    assert own.limit(id) == tighter and own.source(id) == "film maker's sheet"


def test_a_loose_policy_made_by_hand_is_still_bounded() -> None:
    loose = policy(wind_gust=40_000, clear_distance=1, fire_watch_minutes=1)
    assert [loose.limit(id) for id in ("wind_gust", "clear_distance", "fire_watch_minutes")] == [11_600, 10_668, 30]


@pytest.mark.parametrize("value", [0, -1, -10**9])
@pytest.mark.parametrize("id", LIMITS)
def test_nothing_may_be_set_to_zero_or_below(id: str, value: int) -> None:
    assert not within(id, value)


def test_there_is_no_unknown_limit() -> None:
    with pytest.raises(KeyError, match="wind_colour"):
        bounded("wind_colour", 3)
    with pytest.raises(KeyError, match="wind_colour"):
        POLICY.limit("wind_colour")


@given(st.sampled_from(sorted(LIMITS)), st.integers(-10**6, 10**6))
def test_no_policy_loosens_a_floor_and_the_monitor_reads_limits_alike(id: str, value: int) -> None:
    rule = LIMITS[id]
    yard = policy(**{id: value})  # type: ignore[arg-type]
    assert (yard.limit(id) <= rule.floor) if rule.sense == "most" else (yard.limit(id) >= rule.floor)
    assert yard.limit(id) == strictest(yard, id)


def test_the_wind_scale_is_that_of_the_world_meteorological_organization() -> None:
    # WMO table, upper ends in m/s (facts-safety 4.1, verified), and its formula v = 0.836 B^1.5 at B + 1/2 (memory)
    assert BEAUFORT_TOP_MM_S == (200, 1_500, 3_300, 5_400, 7_900, 10_700, 13_800, 17_100, 20_700, 24_400, 28_400,
        32_600)
    for force, top in enumerate(BEAUFORT_TOP_MM_S):
        assert abs(836 * (force + 0.5) ** 1.5 - top) <= 100


def test_the_units_come_from_exact_ones() -> None:
    assert LIMITS["clear_distance"].floor == round(35 * 304.8)  # 35 ft, exact foot of NIST SP 811
    assert LIMITS["extinguisher_distance"].floor == round(30 * 304.8)
    assert LIMITS["wind_mean"].floor == round(17 * 447.04, -2)  # 17 mph, 7.6 m/s as read
    assert LIMITS["wind_gust"].floor == round(26 * 447.04, -2)


def test_who_is_in_the_crew() -> None:
    assert POLICY.has_role("joel", "fire_watch") and not POLICY.has_role("joel", "supervisor")
    assert not POLICY.has_role("nobody", "technician") and POLICY.person("nobody") is None
