"""Statements about safeguards and what the gate must say to each: one table, for the tests of gate and monitor.

The day is 9 November 2026; two fuel vents; outdoors; Ana holds the tool. Limits are those shipped unless the case
names its own: wind under 5.4 and 8.0 m/s, gas under 10 % of the lower limit, ground clear to 35 ft = 10 668 mm,
extinguisher of 2-A:20-B:C within 30 ft = 9 144 mm and inspected within 30 days (sources: coach/core/floors.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.policy import Policy
from tests.helpers.people import good, policy


@dataclass(frozen=True)
class Case:
    """One statement: good values with some changed (None: left out), and the codes it must be answered with."""

    safeguard: str
    changed: Mapping[str, Any]
    codes: tuple[str, ...] = ()
    policy: Policy = field(default_factory=policy)
    vents: int | None = 2
    place: str | None = "outdoors"
    holder: str = "ana"

    @property
    def values(self) -> dict[str, Any]:
        """The values as stated."""
        return good(self.safeguard, **self.changed)

    def __str__(self) -> str:
        words = ",".join(f"{name}={value}" for name, value in self.changed.items()) or "good"
        return f"{self.safeguard}-{words}-{'+'.join(self.codes) or 'ok'}"


def _cases(safeguard: str, *rows: tuple[Any, ...], **facts: Any) -> list[Case]:
    """Cases of one safeguard: (changed values, codes...) each."""
    return [Case(safeguard, row[0], tuple(row[1:]), **facts) for row in rows]


DETECTOR, INDOORS = policy(detector=True), policy(indoors=True)
AT_FLOOR = policy(wind_mean=7_600, wind_gust=11_600, extinguisher_days=31)
LOOSE = policy(
    wind_mean=30_000, wind_gust=40_000, gas_lel=900, clear_distance=1, extinguisher_distance=99_999,
    extinguisher_days=365, extinguisher_a=1, extinguisher_b=1,
)
TIGHT = policy(
    wind_mean=3_000, wind_gust=4_000, gas_lel=50, clear_distance=15_000, extinguisher_distance=3_000,
    extinguisher_days=7, extinguisher_a=4, extinguisher_b=60,
)
_BY_EYE: dict[str, Any] = {"how": "by_eye", "mean": None, "gust": None}


def _eye(mean: Any, gust: Any) -> dict[str, Any]:
    return {**_BY_EYE, "mean_force": mean, "gust_force": gust}


CASES: list[Case] = [
    *_cases(
        "operator", ({},), ({"person": None}, "G180"), ({"person": "nobody"}, "G180"), ({"person": "marta"}, "G180"),
        ({"person": 7}, "G180"), ({"person": ["ana"]}, "G180"), ({"person": "joel"}, "G181"),
    ),
    *_cases("operator", ({"person": "sam"}, "G182"), holder="sam"),
    *_cases(
        "protection", ({},), ({"gloves": False}, "G110"), ({"eyes": False}, "G110"), ({"clothing": None}, "G110"),
        ({"gloves": "yes"}, "G110"), ({"gloves": 1}, "G110"),
        ({"gloves": None, "eyes": None, "clothing": None}, "G110", "G110", "G110"),
    ),
    *_cases(
        "fuel_system", ({},), ({"shown_by": "work_order"},), ({"shown_by": "own_work"},), ({"shown_by": "no_tank"},),
        ({"winterized": False}, "G110"), ({"winterized": "true"}, "G110"), ({"shown_by": None}, "G111"),
        ({"shown_by": "rumour"}, "G111"), ({"shown_by": ["tag"]}, "G111"),
        ({"winterized": None, "shown_by": ""}, "G110", "G111"),
    ),
    *_cases(
        "vents_taped", ({},), ({"taped": None}, "G121"), ({"markers": None}, "G121"), ({"taped": -1}, "G121"),
        ({"taped": True}, "G121"), ({"taped": "2"}, "G121"), ({"taped": 2.0}, "G121"),
        ({"taped": 1, "markers": 1}, "G122"), ({"taped": 3, "markers": 3}, "G122"), ({"markers": 1}, "G123"),
        ({"markers": 3}, "G123"), ({"taped": 1}, "G122", "G123"), ({"taped": 0, "markers": 0}, "G122"),
    ),
    *_cases("vents_taped", ({"taped": 0, "markers": 0},), ({}, "G122"), vents=0),
    *_cases("vents_taped", ({}, "G120"), ({"taped": 0, "markers": 0}, "G120"), vents=None),
    *_cases("vents_taped", ({"taped": 1, "markers": 1},), ({"taped": True, "markers": True}, "G121"), vents=1),
    *_cases(
        "extinguisher", ({},),
        # IFC 2018 3504.2.6: 2-A:20-B:C within 30 ft
        ({"rating": "2-A:20-B:C"},), ({"rating": "2A20BC"},), ({"rating": "2-a : 20-b : c"},),
        ({"rating": "4-A:80-B:C"},),
        ({"rating": "20-B:2-A:C"},), ({"rating": "1-A:20-B:C"}, "G131"), ({"rating": "2-A:10-B:C"}, "G131"),
        ({"rating": "2-A:19-B:C"}, "G131"), ({"rating": "2-A:20-B"}, "G131"), ({"rating": "20-B:C"}, "G131"),
        ({"rating": "A:B:C"}, "G131"), ({"rating": None}, "G130"), ({"rating": ""}, "G130"),
        ({"rating": "good one"}, "G130"), ({"rating": 2}, "G130"), ({"rating": "2-A:2-A:20-B:C"}, "G130"),
        ({"charge": "low"}, "G132"), ({"charge": "unknown"}, "G132"), ({"charge": None}, "G132"),
        ({"charge": True}, "G132"),
        ({"distance": 9_144},), ({"distance": 0},), ({"distance": 9_145}, "G134"), ({"distance": None}, "G133"),
        ({"distance": -1}, "G133"), ({"distance": True}, "G133"), ({"distance": "9144"}, "G133"),
        # NFPA 10 7.2.1: monthly, read second-hand
        ({"inspected": "2026-11-09"},), ({"inspected": "2026-10-10"},), ({"inspected": "2026-10-09"}, "G137"),
        ({"inspected": "2026-11-10"}, "G136"), ({"inspected": "2025-11-09"}, "G137"), ({"inspected": None}, "G135"),
        ({"inspected": "yesterday"}, "G135"), ({"inspected": "2026-02-30"}, "G135"), ({"inspected": 20261102}, "G135"),
        ({"rating": None, "charge": None, "distance": None, "inspected": None}, "G130", "G132", "G133", "G135"),
    ),
    *_cases(
        "extinguisher", ({"inspected": "2026-10-09"},), ({"inspected": "2026-10-08"}, "G137"), policy=AT_FLOOR,
    ),
    *_cases(
        "extinguisher", ({"inspected": "2026-10-09"},), ({"inspected": "2026-10-08"}, "G137"),
        ({"distance": 9_145}, "G134"), ({"rating": "1-A:20-B:C"}, "G131"), ({"rating": "2-A:19-B:C"}, "G131"),
        policy=LOOSE,
    ),
    *_cases(
        "extinguisher", ({}, "G131", "G134"), ({"rating": "4-A:60-B:C", "distance": 3_000},),
        ({"rating": "4-A:60-B:C", "distance": 3_000, "inspected": "2026-11-01"}, "G137"), policy=TIGHT,
    ),
    *_cases(
        # 29 CFR 1915.504(b)(3): 35 ft = 10 668 mm
        "area", ({},), ({"distance": 10_668},), ({"distance": 10_667}, "G160"), ({"distance": None}, "G160"),
        ({"distance": True}, "G160"), ({"distance": "12000"}, "G160"), ({"people_clear": False}, "G110"),
        ({"nobody_under": False}, "G110"), ({"things_clear": False}, "G110"), ({"things_clear": "yes"}, "G110"),
        ({"people_clear": None, "nobody_under": None, "things_clear": None, "distance": 0}, "G110", "G110", "G110",
            "G160"),
    ),
    *_cases("area", ({"distance": 10_668},), ({"distance": 10_667}, "G160"), policy=LOOSE),
    *_cases("area", ({"distance": 15_000},), ({"distance": 14_999}, "G160"), policy=TIGHT),
    *_cases(
        # 29 CFR 1915.504(c)(1): the fire watch has no other duty
        "fire_watch", ({},), ({"person": "pia"},), ({"person": None}, "G170"), ({"person": "a stranger"}, "G170"),
        ({"person": 3}, "G170"), ({"person": "ana"}, "G171", "G172"), ({"person": "marta"}, "G172"),
        ({"at_post": False}, "G110"), ({"equipped": False}, "G110"), ({"equipped": None}, "G110"),
        ({"person": "sam", "at_post": None, "equipped": "yes"}, "G172", "G110", "G110"),
    ),
    *_cases("fire_watch", ({}, "G171"), ({"person": "pia"},), holder="joel"),
    *_cases("air", ({},), ({"open_air": False}, "G110"), ({"open_air": None}, "G110"),
        ({"open_air": None, "ventilated": True}, "G110")),
    *_cases("air", ({}, "G200"), place=None),
    *_cases("air", ({}, "G200"), place="on the moon"),
    *_cases("air", ({"ventilated": True}, "G201"), ({}, "G201", "G110"), place="indoors"),
    *_cases("air", ({"ventilated": True},), ({"ventilated": False}, "G110"), ({}, "G110"), place="indoors",
        policy=INDOORS),
    *_cases(
        # 29 CFR 1915.14(b), from memory: hot work is barred at 10 % of the lower limit and above
        "gas", ({},), ({"smell": True}, "G190"), ({"smell": None}, "G190"), ({"smell": 0}, "G190"),
        ({"smell": "no"}, "G190"),
        ({"detector": 0},), ({"detector": 99},), ({"detector": 100}, "G192"), ({"detector": -1}, "G192"),
        ({"detector": "9"}, "G192"), ({"detector": False}, "G192"), ({"smell": True, "detector": 100}, "G190", "G192"),
    ),
    *_cases("gas", ({}, "G191"), ({"detector": 5},), ({"detector": 100}, "G192"), policy=DETECTOR),
    *_cases("gas", ({"detector": 99},), ({"detector": 100}, "G192"), policy=LOOSE),
    *_cases("gas", ({"detector": 49},), ({"detector": 50}, "G192"), policy=TIGHT),
    *_cases(
        "leak_test", ({},), ({"hoses_sound": False}, "G110"), ({"soaped": False}, "G110"), ({"soaped": None}, "G110"),
        ({"bubbles": True}, "G150"), ({"bubbles": None}, "G150"), ({"bubbles": "no"}, "G150"), ({"bubbles": 0}, "G150"),
        ({"hoses_sound": None, "soaped": None, "bubbles": None}, "G110", "G110", "G150"),
    ),
    *_cases(
        "wind", ({},), ({"mean": 5_399, "gust": 7_999},), ({"mean": 0, "gust": 0},),
        ({"mean": 5_400, "gust": 7_999}, "G142"),
        ({"gust": 8_000}, "G143"), ({"mean": 5_400, "gust": 8_000}, "G142", "G143"), ({"mean": 4_000, "gust": 4_000},),
        ({"mean": 4_001, "gust": 4_000}, "G141"), ({"how": None}, "G140"), ({"how": "by ear"}, "G140"),
        ({"mean": None}, "G140"), ({"gust": None}, "G140"), ({"gust": -1}, "G140"), ({"gust": True}, "G140"),
        ({"mean": 2_000.0}, "G140"), ({"gust": "4000"}, "G140"), ({"gust": float("nan")}, "G140"),
    ),
    *_cases(
        # WMO table, upper ends: force 2 3.3, 3 5.4, 4 7.9, 5 10.7 m/s; force 12 has none
        "wind", (_eye(2, 3),), (_eye(2, 4),), (_eye(0, 0),), (_eye(3, 4), "G142"), (_eye(2, 5), "G143"),
        (_eye(3, 5), "G142", "G143"), (_eye(2, 1), "G141"), (_eye(2, 12), "G140"), (_eye(2, 13), "G140"),
        (_eye(-1, 3), "G140"), (_eye(True, 3), "G140"), (_eye(None, 3), "G140"),
        ({**_eye(None, None), "mean": 1}, "G140"),
        ({"how": "by_eye"}, "G140"),
    ),
    *_cases(
        # floors: 17 and 26 mph of UK roof-work guidance, read second-hand
        "wind", ({"mean": 7_599, "gust": 11_599},), ({"mean": 7_600, "gust": 11_599}, "G142"),
        ({"mean": 7_599, "gust": 11_600}, "G143"), (_eye(3, 5),), (_eye(4, 5), "G142"), (_eye(3, 6), "G143"),
        policy=AT_FLOOR,
    ),
    *_cases(
        "wind", ({"mean": 7_599, "gust": 11_599},), ({"mean": 7_600, "gust": 11_599}, "G142"),
        ({"mean": 7_599, "gust": 11_600}, "G143"), policy=LOOSE,
    ),
    *_cases("wind", ({"mean": 2_999, "gust": 3_999},), ({"mean": 3_000, "gust": 3_999}, "G142"),
        ({"gust": 4_000}, "G143"), policy=TIGHT),
    *_cases("ladder", ({},), ({"holds": False}, "G210"), ({"holds": None}, "G210"), ({"holds": "yes"}, "G210"),
        ({"holds": 1}, "G210")),
]

# Statements that fail at the bench's boat, by the limits as shipped.
FAILING = [
    case for case in CASES
    if case.codes and case.safeguard != "ladder" and case.policy == policy()
    and (case.vents, case.place, case.holder) == (2, "outdoors", "ana")
]
