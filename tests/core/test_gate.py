"""The gate's judgements, row by row: every code, every limit at its very edge, every wrong type."""

from __future__ import annotations

from datetime import date

import pytest

from coach.core.gate import DEBTS, SAFEGUARDS, Facts, day_of, own_safeguard, wind_speeds
from coach.core.policy import TECHNICIAN, Person, Policy
from coach.core.problems import Reason
from tests.helpers.gate_cases import CASES, Case
from tests.helpers.people import MORNING, POLICY, good, policy

DAY = date(2026, 11, 9)
LADDER = own_safeguard("ladder", "Ladder footed", "Is the ladder footed?", "a ladder slips", "foot the ladder")
BOAT = Facts(2, "outdoors", "ana")


def judged(case: Case) -> tuple[Reason, ...]:
    row = LADDER if case.safeguard == "ladder" else SAFEGUARDS[case.safeguard]
    return row.judge(case.values, Facts(case.vents, case.place, case.holder), case.policy, DAY)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_each_statement_is_answered_with_its_codes(case: Case) -> None:
    reasons = judged(case)
    assert tuple(reason.code for reason in reasons) == case.codes
    assert all(reason.about == case.safeguard and reason.act == "observe" for reason in reasons)


def test_the_cases_speak_of_every_safeguard_and_every_code_of_the_gate() -> None:
    assert {case.safeguard for case in CASES} == {*SAFEGUARDS, "ladder"}
    assert {code for case in CASES for code in case.codes} == {
        "G110", "G111", "G120", "G121", "G122", "G123", "G130", "G131", "G132", "G133", "G134", "G135", "G136", "G137",
        "G140", "G141", "G142", "G143", "G150", "G160", "G170", "G171", "G172", "G180", "G181", "G182",
        "G190", "G191", "G192", "G200", "G201", "G210",
    }


def test_every_safeguard_has_a_case_that_holds() -> None:
    assert {case.safeguard for case in CASES if not case.codes} == {*SAFEGUARDS, "ladder"}


@pytest.mark.parametrize("row", SAFEGUARDS.values(), ids=lambda row: row.id)
def test_nothing_stated_proves_nothing(row: object) -> None:
    assert row.judge({}, BOAT, POLICY, DAY)  # type: ignore[attr-defined]


TEXTS = {
    "G122": "1 of 2 fuel vents are taped - tape every fuel vent and count again",
    "G123": "2 vents are taped, but 1 markers are set - set one marker below the film's edge for each taped vent",
    "G131": "the extinguisher is rated 1-A:20-B:C, the least is 2-A:20-B:C - fetch one of at least 2-A:20-B:C",
    "G134": "the extinguisher is 30 ft away, the limit is 30 ft - set it closer to the flame",
    "G137": "the extinguisher was inspected 31 days ago, the limit is 30 - have it inspected, or fetch another",
    "G141": "the gust is given lower than the mean wind - read both again: a gust is never below the mean",
    "G142": "mean wind 12.1 mph, it must be under 12.1 mph - wait for less wind, then read it again",
    "G143": "gust 17.9 mph, it must be under 17.9 mph - wait for less wind, then read it again",
    "G160": "the ground is not clear to 35 ft - clear or shield all round to that distance",
    "G171": "the fire watch and the one with the tool are the same person - "
            "name a second person: the fire watch has no other duty",
    "G172": "Marta Oduya is not trained as fire watch - name somebody whom the yard lists as fire watch",
    "G181": "Joel Baptiste is not the technician of this job - hand the job over to the one who holds the tool",
    "G182": "the yard does not let Sam Okafor hold the tool today - "
            "let a person hold it whom the yard has cleared this season",
}
SAID = {
    "G122": Case("vents_taped", {"taped": 1, "markers": 1}), "G123": Case("vents_taped", {"markers": 1}),
    "G131": Case("extinguisher", {"rating": "1-A:20-B:C"}), "G134": Case("extinguisher", {"distance": 9_145}),
    "G137": Case("extinguisher", {"inspected": "2026-10-09"}), "G141": Case("wind", {"mean": 4_001}),
    "G142": Case("wind", {"mean": 5_400, "gust": 6_000}), "G143": Case("wind", {"gust": 8_000}),
    "G160": Case("area", {"distance": 1}), "G171": Case("fire_watch", {}, holder="joel"),
    "G172": Case("fire_watch", {"person": "marta"}), "G181": Case("operator", {"person": "joel"}),
    "G182": Case("operator", {"person": "sam"}, holder="sam"),
}


@pytest.mark.parametrize("code", TEXTS)
def test_a_reason_says_what_is_wrong_with_its_numbers_and_what_mends_it(code: str) -> None:
    assert [reason.text() for reason in judged(SAID[code])] == [TEXTS[code]]


@pytest.mark.parametrize(
    ("until", "allowed"),
    [("2026-11-09", True), ("2026-11-08", False), ("2027-06-30", True), ("", False), ("soon", False),
        ("2026-13-01", False)],
)
def test_the_tool_is_held_up_to_and_on_the_last_day(until: str, allowed: bool) -> None:
    people = {"ana": Person("ana", "Ana Ruiz", frozenset({TECHNICIAN}), until)}
    reasons = SAFEGUARDS["operator"].judge(good("operator"), BOAT, Policy("Pell Harbour Boatyard", people), DAY)
    assert [reason.code for reason in reasons] == ([] if allowed else ["G182"])


def test_a_day_is_counted_in_utc() -> None:
    midnight = MORNING - 8 * 3_600_000
    assert day_of(midnight) == date(2026, 11, 9)
    assert day_of(midnight - 1) == date(2026, 11, 8)


@pytest.mark.parametrize(
    # upper ends of the WMO table in m/s, as printed: facts of the trade's wind scale
    ("force", "metres"),
    list(enumerate((0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6))),
)
def test_a_force_counts_with_its_upper_end(force: int, metres: float) -> None:
    speeds = wind_speeds({"how": "by_eye", "mean_force": force, "gust_force": force})
    assert speeds == (round(metres * 1000), round(metres * 1000))


def test_a_detector_counts_where_the_yard_does_not_ask_for_one() -> None:
    assert [r.code for r in SAFEGUARDS["gas"].judge(good("gas", detector=100), BOAT, policy(), DAY)] == ["G192"]


def test_a_debt_ends_the_proof_that_made_it_and_only_the_cylinder_cannot_be_tagged() -> None:
    assert {id: row.drops for id, row in DEBTS.items()} == {
        "taped_vents": "vents_taped", "open_cylinder": "leak_test", "fire_watch": "fire_watch",
    }
    assert [id for id, row in DEBTS.items() if not row.taggable] == ["open_cylinder"]
    assert {id: row.counted for id, row in DEBTS.items() if row.counted} == {"taped_vents": "removed"}


def test_every_safeguard_says_what_it_is_why_and_what_mends_it() -> None:
    for row in SAFEGUARDS.values():
        assert row.name and row.ask.endswith("?") and row.why and row.mend and row.fields and row.withdrawals
        assert len({field.id for field in row.fields}) == len(row.fields)
