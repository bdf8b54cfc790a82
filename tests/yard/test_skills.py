"""Who is ready for what: seasons, lapses, and a policy that is only ever tightened."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.gate import Facts, SAFEGUARDS
from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN
from coach.core.problems import PolicyError
from coach.yard.skills import (
    BEGUN,
    CURRENT,
    HALF_LIFE_DAYS,
    LAPSED,
    NEVER,
    SKILLS,
    USUAL_NEEDS,
    Least,
    Needs,
    Season,
    Shown,
    cleared,
    kept_after,
    role_until,
    skill_of_stage,
    standing,
)
from coach.yard.skills_file import read_needs
from tests.helpers.people import policy

TODAY = date(2026, 11, 9)
NEEDS = Needs({TECHNICIAN: ("gate", "weld")}, {"gate": Least(drills=2, jobs=1)})


def shown(
    skill: str, day: date, about: str = "d1", how: str = "drill", passed: bool = True, person: str = "ana"
) -> Shown:
    return Shown(person, skill, how, day, passed, about)


@pytest.mark.parametrize(
    ("day", "begin", "end"),
    [
        (date(2026, 11, 9), date(2026, 7, 18), date(2027, 5, 31)),
        (date(2027, 2, 1), date(2026, 7, 18), date(2027, 5, 31)),
        (date(2027, 5, 31), date(2026, 7, 18), date(2027, 5, 31)),
        (date(2027, 6, 1), date(2027, 7, 18), date(2028, 5, 31)),
    ],
)
def test_the_season_over_the_new_year(day: date, begin: date, end: date) -> None:
    assert Season().around(day) == (begin, end)


def test_a_season_within_a_year() -> None:
    assert Season((3, 1), (10, 31), 30).around(date(2026, 5, 1)) == (date(2026, 1, 30), date(2026, 10, 31))
    assert Season((3, 1), (10, 31), 30).around(date(2026, 11, 1)) == (date(2027, 1, 30), date(2027, 10, 31))


def test_half_is_gone_after_six_and_a_half_months() -> None:
    """Tatel and Ackerman, doi 10.1037/bul0000481: half of trained accuracy is lost after 6.5 months without use."""
    assert kept_after(0) == 1
    assert kept_after(HALF_LIFE_DAYS) == 0.5
    assert HALF_LIFE_DAYS == pytest.approx(6.5 * 365.25 / 12, abs=0.5)
    assert kept_after(2 * HALF_LIFE_DAYS) == 0.25


def test_a_skill_is_never_begun_current_then_lapsed() -> None:
    record = [shown("weld", date(2026, 10, 1))]
    assert standing([], "ana", "weld", NEEDS, TODAY).state == NEVER
    failed = [shown("weld", date(2026, 10, 1), passed=False)]
    assert standing(failed, "ana", "weld", NEEDS, TODAY).state == BEGUN
    now = standing(record, "ana", "weld", NEEDS, TODAY)
    assert (now.state, now.until, now.last) == (CURRENT, date(2026, 10, 1) + timedelta(days=198), date(2026, 10, 1))
    later = standing(record, "ana", "weld", NEEDS, date(2027, 4, 18))
    assert (later.state, later.until) == (LAPSED, None)


def test_last_seasons_skill_is_asked_again() -> None:
    """Passed in March, 180 days ago in September: fresh by the half-life, and of another season all the same."""
    record = [shown("weld", date(2026, 3, 20))]
    assert standing(record, "ana", "weld", NEEDS, date(2026, 5, 1)).state == CURRENT
    assert standing(record, "ana", "weld", NEEDS, date(2026, 9, 10)).state == LAPSED


def test_enough_drills_and_jobs_are_asked_for() -> None:
    one = [shown("gate", TODAY)]
    same_again = [*one, shown("gate", TODAY)]
    two = [*one, shown("gate", TODAY, "d2")]
    whole = [*two, shown("gate", TODAY, "job-7", how="job")]
    states = [standing(record, "ana", "gate", NEEDS, TODAY).state for record in (one, same_again, two, whole)]
    assert states == [BEGUN, BEGUN, BEGUN, CURRENT]


def test_tomorrow_does_not_count_yet() -> None:
    assert standing([shown("weld", TODAY + timedelta(days=1))], "ana", "weld", NEEDS, TODAY).state == NEVER


def test_a_role_lasts_as_long_as_its_shortest_skill() -> None:
    needs = Needs({TECHNICIAN: ("band", "weld")})
    record = [shown("band", date(2026, 11, 1)), shown("weld", date(2026, 9, 1))]
    assert role_until(record, "ana", TECHNICIAN, needs, TODAY) == date(2026, 9, 1) + timedelta(days=198)
    assert role_until(record[:1], "ana", TECHNICIAN, needs, TODAY) is None
    assert role_until([], "ana", FIRE_WATCH, needs, TODAY) == date.max


def test_without_needs_the_policy_alone_counts() -> None:
    yard = policy()
    assert cleared(yard, [], None, TODAY) is yard


def test_the_gate_reads_the_record() -> None:
    """Ana is cleared by the policy until June; with nothing shown the gate's safeguard 'operator' says no."""
    needs = Needs({TECHNICIAN: ("weld",)})
    judge, facts = SAFEGUARDS["operator"].judge, Facts(2, "outdoors", "ana")
    before = cleared(policy(), [], needs, TODAY)
    assert [reason.code for reason in judge({"person": "ana"}, facts, before, TODAY)] == ["G182"]
    after = cleared(policy(), [shown("weld", TODAY)], needs, TODAY)
    assert judge({"person": "ana"}, facts, after, TODAY) == ()
    assert after.people["ana"].flame_until == (TODAY + timedelta(days=198)).isoformat()


def test_a_fire_watch_who_has_lapsed_is_none() -> None:
    needs = Needs({FIRE_WATCH: ("fire_watch",), SUPERVISOR: ("reviewing",)})
    strict = cleared(policy(), [shown("fire_watch", TODAY, person="pia")], needs, TODAY)
    assert strict.has_role("pia", FIRE_WATCH)
    assert not strict.has_role("joel", FIRE_WATCH)
    assert strict.has_role("joel", TECHNICIAN)
    assert not strict.has_role("marta", SUPERVISOR)


DAYS = st.dates(date(2025, 1, 1), date(2027, 12, 31))
SHOWN = st.builds(
    Shown,
    st.sampled_from(["ana", "joel", "pia", "sam", "marta", "ivo"]),
    st.sampled_from(SKILLS),
    st.sampled_from(["drill", "job"]),
    DAYS,
    st.booleans(),
    st.sampled_from(["a", "b", "c"]),
)


@given(st.lists(SHOWN, max_size=30), DAYS)
def test_the_policy_is_never_loosened(record: list[Shown], today: date) -> None:
    """Whatever the record says: no new role, no later day, nobody new, no other limit."""
    yard = policy(wind_mean=4_000)
    strict = cleared(yard, record, USUAL_NEEDS, today)
    assert strict.people.keys() == yard.people.keys()
    for id, person in strict.people.items():
        assert person.roles <= yard.people[id].roles
        assert person.flame_until <= yard.people[id].flame_until
    assert (strict.limits, strict.hash, strict.document) == (yard.limits, yard.hash, yard.document)


def test_the_stages_of_the_trade_belong_to_skills() -> None:
    assert [
        skill_of_stage(stage) for stage in ("frame", "band", "weld", "shrink-top", "heat-gate", "after-flame", "door")
    ] == [
        "frame",
        "band",
        "weld",
        "shrink",
        "gate",
        "fire_watch",
        "",
    ]


GOOD = b"""\
season: {from: 10-01, to: 04-15}
early: 30 days
refresh: 120 days
roles:
  technician: [gate, weld]
  fire_watch: [fire_watch]
skills:
  gate: {drills: 3, jobs: 1}
"""


def test_the_file() -> None:
    needs = read_needs(GOOD, "skills.yaml")
    assert needs.season == Season((10, 1), (4, 15), 30)
    assert needs.refresh_days == 120
    assert needs.roles == {"technician": ("gate", "weld"), "fire_watch": ("fire_watch",)}
    assert needs.of("gate") == Least(3, 1)
    assert needs.of("weld") == Least(1, 0)


def test_every_fault_of_the_file_at_once() -> None:
    text = b"season: {from: 13-01, to: 04-15}\nrefresh: 300 days\nroles:\n  technician: [welding]\n  cook: [gate]\nskills:\n  gate: {drills: no}\n"
    with pytest.raises(PolicyError) as caught:
        read_needs(text, "skills.yaml")
    assert [(problem.code, problem.place.line) for problem in caught.value.problems if problem.place] == [
        ("P204", 1),
        ("L130", 2),
        ("P208", 4),
        ("P201", 5),
        ("P204", 7),
    ]
    assert str(caught.value).splitlines()[6:11] == [
        "skills.yaml:2:10: L130 'refresh' is 300 days, expected at most 198",
        "    at    refresh",
        "    2 | refresh: 300 days",
        "      |          ^",
        "    why   skill fades: half of trained accuracy is gone after 6.5 months without use",
    ]
