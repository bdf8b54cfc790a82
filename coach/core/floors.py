"""The limits of the gate: what is shipped, and the floor that no policy and no procedure can go beyond.

Rules kept here:
 1. Every limit that the gate or a debt compares with is a row of LIMITS, with its unit and its source.
 2. A policy may tighten a limit, never loosen it beyond the floor; the gate asks `bounded`, so that even a policy
    made by hand cannot.
Values are whole numbers in small named units, so that records need no floats.
Knows nothing of: procedures, files, time.
These are cautious defaults of an administrative control. Local fire codes, the film's and the tool's instructions and
licensed practice come first; none of these numbers is a permission.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LimitRule:
    """One limit. sense 'most': a policy may only go down to a smaller value; 'least': only up to a larger one."""

    id: str
    unit: str
    shipped: int
    floor: int
    sense: str
    name: str
    source: str


def _most(id: str, unit: str, shipped: int, floor: int, name: str, source: str) -> LimitRule:
    return LimitRule(id, unit, shipped, floor, "most", name, source)


def _least(id: str, unit: str, shipped: int, floor: int, name: str, source: str) -> LimitRule:
    return LimitRule(id, unit, shipped, floor, "least", name, source)


_ROOF = "UK roof-work guidance for long sheets (17 and 26 mph), read second-hand; not written for a flame under film"
_OURS = "a cautious value of ours, no source"

LIMITS: dict[str, LimitRule] = {
    rule.id: rule
    for rule in (
        _most("wind_mean", "mm/s", 5_400, 7_600, "mean wind", f"shipped: top of Beaufort 3, {_OURS}; floor: {_ROOF}"),
        _most("wind_gust", "mm/s", 8_000, 11_600, "gust", f"shipped: {_OURS}; floor: {_ROOF}"),
        _most("wind_minutes", "min", 15, 15, "age of a wind reading", _OURS),
        _most("gas_minutes", "min", 30, 60, "age of a gas check", _OURS),
        _most("area_minutes", "min", 60, 60, "age of the look round", _OURS),
        _most("fire_watch_proof_minutes", "min", 60, 60, "age of the fire watch's word", _OURS),
        _most("protection_minutes", "min", 120, 240, "age of the look at gloves and eyes", _OURS),
        _most("other_minutes", "min", 240, 480, "age of any other proof", "within the day: IFC 3504.3 asks at least daily"),
        _most("gas_lel", "tenths of % LEL", 100, 100, "gas reading", "29 CFR 1915.14(b), 10 % of the lower limit, memory"),
        _least("clear_distance", "mm", 10_668, 10_668, "distance cleared", "29 CFR 1915.504(b)(3): 35 ft"),
        _most("extinguisher_distance", "mm", 9_144, 9_144, "distance of the extinguisher", "IFC 2018 3504.2.6: 30 ft"),
        _most("extinguisher_days", "days", 30, 31, "days since its inspection", "NFPA 10 7.2.1: monthly, read second-hand"),
        _least("extinguisher_a", "A", 2, 2, "extinguisher rating A", "IFC 2018 3504.2.6: 2-A:20-B:C"),
        _least("extinguisher_b", "B", 20, 20, "extinguisher rating B", "IFC 2018 3504.2.6: 2-A:20-B:C"),
        _least(
            "fire_watch_minutes", "min", 60, 30, "fire watch after the flame",
            "shipped: NFPA 51B-2019 (60 min), read second-hand; floor: 29 CFR 1915.504(c), 30 min",
        ),
        _least("retention_days", "days", 366, 366, "days a record is kept", "WAC 296-67-351: one year"),
    )
}



def bounded(id: str, value: int | None) -> int:
    """The value that counts: the policy's own if it has one and it is within the floor, else shipped or floor.

    Args:
        id: a key of LIMITS.
        value: the policy's value in the limit's unit, or None if the yard has not set it.

    Raises:
        KeyError: no such limit.
    """
    rule = LIMITS[id]
    if value is None:
        return rule.shipped
    return min(value, rule.floor) if rule.sense == "most" else max(value, rule.floor)


def within(id: str, value: int) -> bool:
    """Whether a policy may set this value: positive, and not beyond the floor."""
    rule = LIMITS[id]
    if value <= 0:
        return False
    return value <= rule.floor if rule.sense == "most" else value >= rule.floor


# Upper ends of the Beaufort forces in mm/s (WMO table: the last tenth of each force); force 12 has no upper end.
BEAUFORT_TOP_MM_S = (200, 1_500, 3_300, 5_400, 7_900, 10_700, 13_800, 17_100, 20_700, 24_400, 28_400, 32_600)
