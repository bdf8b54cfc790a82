"""The yard's policy from its file: values in the limits' own units, floors that hold, faults that say where and why."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.canonical import text_hash
from coach.core.floors import LIMITS, bounded, within
from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN
from coach.core.problems import PolicyError
from coach.yard.policy_file import demo_policy, in_unit, load_policy, read_policy, shipped_policy

# How many of a limit's unit make one of the SI unit (a plain number for the rest): exact by definition.
PER_SI = {
    "mm/s": 1000, "mm": 1000, "min": Fraction(1, 60), "days": Fraction(1, 86_400), "tenths of % LEL": 1000,
    "A": 1, "B": 1,
}
HEAD = "yard: Pell Harbour Boatyard\n"


def limits_of(lines: str) -> dict[str, int]:
    text = HEAD + "limits:\n" + "".join(f"  {line}\n" for line in lines.splitlines())
    return {id: own.value for id, own in read_policy(text.encode(), "policy.yaml").limits.items()}


def message(text: str) -> str:
    with pytest.raises(PolicyError) as caught:
        read_policy(text.encode(), "policy.yaml")
    return str(caught.value)


def test_the_whole_policy() -> None:
    text = """yard: Pell Harbour Boatyard
units: metric
languages: [en, es, fr_CA]
detector_required: true
indoor_permit: Permit board in hall 2
indoor_ventilation: Extract fan of hall 2
people:
  ana: {name: Ana Ruiz, roles: [technician], flame_until: 2027-12-31}
limits:
  wind_mean: {value: 4 m/s, source: the film maker's sheet}
"""
    policy = read_policy(text.encode(), "policy.yaml")
    assert (policy.yard, policy.units, policy.languages) == ("Pell Harbour Boatyard", "metric", ("en", "es", "fr_CA"))
    assert policy.detector_required
    assert (policy.indoor_permit, policy.indoor_ventilation) == ("Permit board in hall 2", "Extract fan of hall 2")
    assert policy.people["ana"].flame_until == "2027-12-31"
    assert policy.limit("wind_mean") == 4_000
    assert policy.source("wind_mean") == "the film maker's sheet"
    assert policy.document == text
    assert policy.hash == text_hash(text)


def test_every_limit_can_be_set_in_a_unit_that_people_write() -> None:
    found = limits_of(
        "wind_mean: {value: 12 mph, source: s}\n"
        "wind_gust: {value: 15 kn, source: s}\n"
        "wind_minutes: {value: 10 min, source: s}\n"
        "gas_minutes: {value: 0.5 h, source: s}\n"
        "area_minutes: {value: 45 min, source: s}\n"
        "fire_watch_proof_minutes: {value: 30 min, source: s}\n"
        "protection_minutes: {value: 2 h, source: s}\n"
        "other_minutes: {value: 3 h, source: s}\n"
        "gas_lel: {value: 5 %, source: s}\n"
        "clear_distance: {value: 15 m, source: s}\n"
        "extinguisher_distance: {value: 20 ft, source: s}\n"
        "extinguisher_days: {value: 14 days, source: s}\n"
        "extinguisher_a: {value: 4, source: s}\n"
        "extinguisher_b: {value: 40, source: s}\n"
        "fire_watch_minutes: {value: 90 min, source: s}\n"
        "retention_days: {value: 730 days, source: s}"
    )
    # NIST SP 811: 1 mph = 0.44704 m/s, 1 kn = 1852/3600 m/s, 1 ft = 0.3048 m, all exact.
    assert found == {
        "wind_mean": 5_364, "wind_gust": 7_716, "wind_minutes": 10, "gas_minutes": 30, "area_minutes": 45,
        "fire_watch_proof_minutes": 30, "protection_minutes": 120, "other_minutes": 180, "gas_lel": 50,
        "clear_distance": 15_000, "extinguisher_distance": 6_096, "extinguisher_days": 14, "extinguisher_a": 4,
        "extinguisher_b": 40, "fire_watch_minutes": 90, "retention_days": 730,
    }
    assert set(found) == set(LIMITS)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("wind_mean: {value: 12 mph, source: s}", 5_364),  # 5364.48 mm/s: down
        ("wind_minutes: {value: 59 s, source: s}", None),  # under a minute: down to none at all
        ("wind_minutes: {value: 119 s, source: s}", 1),
        ("clear_distance: {value: 421 in, source: s}", 10_694),  # 10693.4 mm: up
        ("fire_watch_minutes: {value: 3601 s, source: s}", 61),
        ("retention_days: {value: 8785 h, source: s}", 367),  # 366.04 days: up
        ("gas_lel: {value: 5.55 %, source: s}", 55),
    ],
)
def test_conversion_rounds_to_the_stricter_side(line: str, value: int | None) -> None:
    if value is None:
        assert "L010" in message(f"{HEAD}limits:\n  {line}\n")
    else:
        assert list(limits_of(line).values()) == [value]


@given(st.sampled_from(sorted(LIMITS)), st.fractions(min_value=0, max_value=10**6))
def test_a_rounded_limit_is_never_looser_than_what_was_written(id: str, si: Fraction) -> None:
    rule = LIMITS[id]
    value, exact = in_unit(rule, si), si * PER_SI[rule.unit]
    assert value <= exact if rule.sense == "most" else value >= exact
    assert abs(value - exact) < 1


@pytest.mark.parametrize("id", sorted(LIMITS))
def test_the_floor_itself_may_be_set_and_nothing_beyond(id: str) -> None:
    rule = LIMITS[id]
    unit = {"mm/s": "m/s", "mm": "mm", "tenths of % LEL": "%", "days": "days", "min": "min"}.get(rule.unit, "")
    scale = {"mm/s": 1000, "tenths of % LEL": 10}.get(rule.unit, 1)
    worse = rule.floor + 1 if rule.sense == "most" else rule.floor - 1
    assert limits_of(f"{id}: {{value: {rule.floor / scale:g} {unit}, source: s}}") == {id: rule.floor}
    assert bounded(id, rule.floor) == rule.floor and not within(id, worse)
    told = message(f"{HEAD}limits:\n  {id}: {{value: {worse / scale} {unit}, source: s}}\n".replace(".0 ", " "))
    assert "L010" in told and f"Its source: {rule.source}" in told


def test_a_loose_limit_names_the_floor_and_its_source() -> None:
    assert message(HEAD + "limits:\n  clear_distance: {value: 30 ft, source: our habit}\n") == (
        "policy.yaml:3:27: L010 the limit clear_distance (distance cleared) is 30 ft, "
        "expected at least 35 ft or 10.7 m\n"
        "    at    limits > clear_distance > value\n"
        "    3 |   clear_distance: {value: 30 ft, source: our habit}\n"
        "      |                           ^\n"
        "    why   no policy may go beyond the floor. Its source: 29 CFR 1915.504(b)(3): 35 ft\n"
        "    mend  write a stricter value, or delete the limit: the shipped one then holds"
    )


def test_no_limit_is_zero_or_below() -> None:
    assert "is 0 mph, expected more than nothing and at most 17.0 mph or 7.6 m/s" in message(
        HEAD + "limits:\n  wind_mean: {value: 0 mph, source: s}\n"
    )
    assert "U" in message(HEAD + "limits:\n  wind_mean: {value: -3 mph, source: s}\n")


def test_every_fault_at_once_in_the_order_of_the_lines() -> None:
    text = """yrad: Pell Harbour Boatyard
units: imperial
languages: [english, en]
detector_required: yes
indoor_permit: Board
limits:
  wind_maen: {value: 4 m/s, source: s}
  wind_gust: {value: 8, source: s}
  gas_minutes: {value: 20 min}
  area_minutes: {value: 20 ft, source: s}
people:
  Ana: {name: Ana Ruiz, roles: [technican]}
  joel: {roles: [], flame_until: 2027-02-30}
  marta: {name: Marta Oduya, roles: [supervisor], flame_until: 2027-12-31}
  nia: {name: Nia Falk, roles: [technician], flame_until: soon}
"""
    heads = [line for line in message(text).splitlines() if line.startswith("policy.yaml:")]
    assert heads == [
        "policy.yaml:1:1: P201 a policy has no key 'yrad'",
        "policy.yaml:1:1: P203 a policy lacks 'yard'",
        "policy.yaml:2:8: P208 unknown word 'imperial' for 'units'",
        "policy.yaml:3:13: L002 'english' is not a language code",
        "policy.yaml:4:20: P204 'detector_required' is 'yes', expected true or false",
        "policy.yaml:5:16: L001 'indoor_permit' is named and 'indoor_ventilation' is not",
        "policy.yaml:7:3: P208 unknown word 'wind_maen' for 'limits'",
        "policy.yaml:8:22: U103 8 has no unit, and a speed needs a unit",
        "policy.yaml:9:16: P203 a limit lacks 'source'",
        "policy.yaml:10:25: U104 ft is a length, a duration is due",
        "policy.yaml:12:3: P207 'Ana' is not an id",
        "policy.yaml:12:33: P208 unknown word 'technican' for 'roles'",
        "policy.yaml:13:9: P203 a person lacks 'name'",
        "policy.yaml:13:17: P215 'roles' is an empty list",
        "policy.yaml:13:34: P204 'flame_until' is '2027-02-30', expected a day that the calendar has, such as 2027-12-31",
        "policy.yaml:14:64: L003 'flame_until' for somebody who is no technician",
        "policy.yaml:15:59: P204 'flame_until' is 'soon', expected a date such as 2027-12-31",
    ]


def test_the_same_strict_yaml_as_a_procedure() -> None:
    assert "P111" in message(HEAD + "indoor_permit: *x\n")
    assert "P116" in message(HEAD + HEAD)
    assert "P106" in message("")
    with pytest.raises(PolicyError, match="P102 byte 0xFF is not UTF-8"):
        read_policy(b"\xff", "policy.yaml")


def test_a_file_that_is_not_there_is_a_policy_error(tmp_path: Path) -> None:
    with pytest.raises(PolicyError, match="P502 there is no such file"):
        load_policy(tmp_path / "policy.yaml")
    with pytest.raises(PolicyError, match="P502 this is not a plain file"):
        load_policy(tmp_path)


@given(st.binary(max_size=200))
def test_any_bytes_give_a_policy_or_a_policy_error(data: bytes) -> None:
    try:
        assert read_policy(data, "policy.yaml").yard
    except PolicyError as error:
        assert error.problems


def test_the_shipped_policy_lets_nobody_light_a_flame() -> None:
    policy = shipped_policy()
    assert policy.people == {}
    assert all(policy.is_shipped(id) and policy.limit(id) == rule.shipped for id, rule in LIMITS.items())
    assert policy.hash == text_hash(policy.document)
    assert (policy.indoor_permit, policy.detector_required) == ("", False)


def test_the_demonstration_yard() -> None:
    policy = demo_policy()
    assert policy.yard == "Pell Harbour Boatyard"
    roles = {id: (person.name, set(person.roles), person.flame_until) for id, person in policy.people.items()}
    assert roles == {
        "ana": ("Ana Ruiz", {TECHNICIAN}, "2027-12-31"),
        "joel": ("Joel Baptiste", {TECHNICIAN, FIRE_WATCH}, "2027-12-31"),
        "marta": ("Marta Oduya", {SUPERVISOR, FIRE_WATCH}, ""),
        "nia": ("Nia Falk", {TECHNICIAN}, ""),
    }
    assert all(within(id, own.value) for id, own in policy.limits.items())
    assert policy.limit("wind_mean") == 4_470  # 10 mph is 4470.4 mm/s (NIST SP 811), rounded down
    assert policy.hash == text_hash(policy.document)


def test_a_slip_in_a_list_or_in_one_of_two_words_is_mended_with_what_to_write() -> None:
    said = message(HEAD + "units: imperial\npeople:\n  ana: {name: Ana, roles: technician, flame_until: 2027-12-31}\n")
    mends = [line.strip() for line in said.splitlines() if line.startswith("    mend")]
    assert mends == ["mend  use one of: us, metric", "mend  write it in brackets: roles: [technician]"]
