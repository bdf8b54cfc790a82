"""The monitor's judgement of what was stated: the same cases as the gate's, judged by other code."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from coach.core.floors import LIMITS
from coach.core.gate import SAFEGUARDS, Facts, day_of
from coach.core.monitor_values import ALWAYS_NEEDED, Boat, Doubt, strictest, what_fails
from coach.core.policy import TECHNICIAN, Person, Policy
from coach.core.ratings import rating_numbers
from tests.helpers.gate_cases import AT_FLOOR, CASES, DETECTOR, INDOORS, LOOSE, TIGHT, Case
from tests.helpers.people import MORNING, POLICY, good


def doubt_of(case: Case) -> Doubt | None:
    boat = Boat(case.policy, case.holder, case.vents, case.place or "", MORNING)
    return what_fails(case.safeguard, case.values, boat)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_monitor_doubts_what_the_gate_refuses_and_nothing_else(case: Case) -> None:
    assert (doubt_of(case) is not None) == bool(case.codes)


def test_the_monitor_asks_for_every_safeguard_of_the_gate() -> None:
    assert set(ALWAYS_NEEDED) == set(SAFEGUARDS)


@pytest.mark.parametrize(
    ("case", "text"),
    [
        (Case("vents_taped", {"taped": 1, "markers": 1}), "1 vents taped, the boat has 2"),
        (Case("vents_taped", {"markers": 1}), "1 markers for 2 taped vents"),
        (Case("vents_taped", {}, vents=None), "the boat's fuel vents were never counted"),
        (Case("extinguisher", {"rating": "1-A:20-B:C"}), "the rating '1-A:20-B:C' is under 2-A:20-B:C"),
        (Case("extinguisher", {"charge": "low"}), "the gauge is not in the green"),
        (Case("extinguisher", {"distance": 9_145}), "it stands 9145 mm from the flame, at most 9144"),
        (Case("extinguisher", {"inspected": "2026-10-09"}),
            "its inspection of '2026-10-09' does not count on this day"),
        (Case("area", {"distance": 10_667}), "cleared to 10667 mm, at least 10668"),
        (Case("area", {"nobody_under": False}), "nobody_under is not a plain yes"),
        (Case("fire_watch", {"person": "ana"}), "the fire watch is nobody or the operator"),
        (Case("fire_watch", {"person": "marta"}), "'marta' is no fire watch of this yard"),
        (Case("operator", {"person": "joel"}), "the tool is not in the hand of the technician of the job"),
        (Case("operator", {"person": "sam"}, holder="sam"),
            "the yard does not let this person hold the tool on this day"),
        (Case("air", {}, place=None), "it was never said whether the boat stands outdoors or indoors"),
        (Case("air", {"ventilated": True}, place="indoors"),
            "the yard names no permit and ventilation for heat indoors"),
        (Case("gas", {"smell": None}), "a smell of fuel or gas is not ruled out"),
        (Case("gas", {"detector": 100}), "the detector shows 100 tenths of a per cent, it must be under 100"),
        (Case("leak_test", {"bubbles": True}), "bubbles are not ruled out"),
        (Case("wind", {"how": None}), "it is not said how the wind was read"),
        (Case("wind", {"mean": 4_001}), "a gust of 4000 mm/s cannot be under a mean of 4001"),
        (Case("wind", {"mean": 5_400, "gust": 6_000}), "the mean of 5400 mm/s is not under 5400"),
        (Case("fuel_system", {"shown_by": "rumour"}), "nothing shows that the fuel system is winterized"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_a_doubt_says_what_does_not_fit(case: Case, text: str) -> None:
    doubt = doubt_of(case)
    assert doubt is not None
    assert doubt.text() == text


@given(st.text(alphabet="0123456789ABCDKabc-: ", max_size=24))
@example("2-A:20-B:C")
@example("2A 20B C")
@example("-2-A:20-B:C")
@example("2-A-20-B-C")
@example("0002-A:20-B:C")
@example("A2:20-B:C")
def test_both_readings_of_a_rating_agree(label: str) -> None:
    numbers = rating_numbers(label)
    enough = numbers is not None and numbers[0] >= 2 and numbers[1] >= 20 and numbers[2]
    doubt = what_fails("extinguisher", good("extinguisher", rating=label), Boat(POLICY, "ana", 2, "outdoors", MORNING))
    assert (doubt is None) == enough


ANY = st.one_of(
    st.none(), st.booleans(), st.integers(-2, 20_000), st.floats(), st.text(max_size=6),
    st.lists(st.booleans(), max_size=2),
    st.sampled_from(["ana", "joel", "meter", "by_eye", "in_green", "tag", "2-A:20-B:C", "2026-11-02"]),
)
POLICIES = (POLICY, AT_FLOOR, LOOSE, TIGHT, DETECTOR, INDOORS)


@st.composite
def statements(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A safeguard, and its good values with up to three fields swapped for anything."""
    safeguard = draw(st.sampled_from(sorted(SAFEGUARDS)))
    fields = [field.id for field in SAFEGUARDS[safeguard].fields]
    changed = draw(st.dictionaries(st.sampled_from(fields), ANY, max_size=3))
    return safeguard, good(safeguard, **changed)


@given(
    statements(), st.sampled_from(POLICIES), st.sampled_from([None, 0, 1, 2]),
    st.sampled_from(["outdoors", "indoors", None]), st.sampled_from(["ana", "joel", "sam", "ivo", "nobody"]),
    st.integers(-40, 400),
)
def test_gate_and_monitor_judge_any_statement_alike(
    statement: tuple[str, dict[str, Any]], policy: Policy, vents: int | None, place: str | None, holder: str, days: int
) -> None:
    safeguard, values = statement
    wall = MORNING + days * 86_400_000
    reasons = SAFEGUARDS[safeguard].judge(values, Facts(vents, place, holder), policy, day_of(wall))
    doubt = what_fails(safeguard, values, Boat(policy, holder, vents, place or "", wall))
    assert (doubt is None) == (not reasons), (reasons, doubt)


@pytest.mark.parametrize("until", ["2026-11-09", "2026-11-08", "", "soon"])
def test_both_read_alike_until_when_the_tool_may_be_held(until: str) -> None:
    yard = Policy("Pell Harbour Boatyard", {"ana": Person("ana", "Ana Ruiz", frozenset({TECHNICIAN}), until)})
    reasons = SAFEGUARDS["operator"].judge(good("operator"), Facts(2, "outdoors", "ana"), yard, day_of(MORNING))
    doubt = what_fails("operator", good("operator"), Boat(yard, "ana", 2, "outdoors", MORNING))
    assert (doubt is None) == (not reasons)


def test_the_stricter_of_floor_and_yard_counts() -> None:
    assert {id: strictest(POLICY, id) for id in LIMITS} == {id: rule.shipped for id, rule in LIMITS.items()}
    assert strictest(LOOSE, "wind_gust") == 11_600 and strictest(TIGHT, "wind_gust") == 4_000
    assert strictest(LOOSE, "clear_distance") == 10_668 and strictest(TIGHT, "clear_distance") == 15_000
