"""Days, weeks and seasons against the calendar: ISO 8601 weeks, and days on which the clocks are changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from coach.core.problems import PolicyError
from coach.yard.policy_file import demo_policy, read_policy
from coach.yard.spans import day_span, season_span, week_of, week_span, zone_of

HOUR = 3_600_000
EAST = timezone(timedelta(hours=-5))


def at(text: str) -> int:
    return int(datetime.fromisoformat(text).timestamp() * 1000)


@pytest.mark.parametrize(
    ("week", "monday"),
    [
        ("2026-W01", "2025-12-29T00:00+00:00"),  # ISO 8601: week 1 holds the year's first Thursday
        ("2026-W45", "2026-11-02T00:00+00:00"),
        ("2020-W53", "2020-12-28T00:00+00:00"),  # a year whose 31 December is a Thursday has 53 weeks
        ("2026-W53", "2026-12-28T00:00+00:00"),
    ],
)
def test_a_week_runs_from_monday_to_monday(week: str, monday: str) -> None:
    span = week_span(week, UTC)
    assert span == (at(monday), at(monday) + 7 * 24 * HOUR)
    assert [week_of(span[0], UTC), week_of(span[1] - 1, UTC)] == [week, week]
    assert week_of(span[1], UTC) != week != week_of(span[0] - 1, UTC)


@pytest.mark.parametrize(
    "word", ["2027-W53", "2026-W00", "2026-W54", "2026-45", "2026-W5", "", "2026-W45 ", "0000-W01"]
)
def test_what_is_no_week(word: str) -> None:
    assert week_span(word, UTC) is None


@pytest.mark.parametrize(("day", "hours"), [("2026-11-01", 25), ("2026-03-08", 23), ("2026-11-02", 24)])
def test_a_day_is_as_long_as_the_yards_clock_makes_it(day: str, hours: int) -> None:
    """Clocks in the United States go back on the first Sunday of November, 15 U.S.C. 260a."""
    zone = zone_of(replace(demo_policy(), time_zone="America/New_York"))
    since, until = day_span(date.fromisoformat(day), zone)
    assert until - since == hours * HOUR


def test_a_day_begins_at_the_yards_midnight() -> None:
    assert day_span(date(2026, 11, 3), EAST)[0] == at("2026-11-03T05:00+00:00")


@pytest.mark.parametrize(
    ("now", "begins", "ends"),
    [
        ("2026-11-02T12:00+00:00", "2026-07-01T05:00+00:00", "2027-07-01T05:00+00:00"),
        ("2027-03-01T12:00+00:00", "2026-07-01T05:00+00:00", "2027-07-01T05:00+00:00"),
        ("2027-07-01T04:59+00:00", "2026-07-01T05:00+00:00", "2027-07-01T05:00+00:00"),
        ("2027-07-01T05:00+00:00", "2027-07-01T05:00+00:00", "2028-07-01T05:00+00:00"),
    ],
)
def test_a_season_runs_from_july_to_july(now: str, begins: str, ends: str) -> None:
    assert season_span(at(now), EAST) == (at(begins), at(ends))


def test_the_policy_names_the_zone() -> None:
    policy = read_policy(b"yard: Y\ntime_zone: America/New_York\n", "policy.yaml")
    assert str(zone_of(policy)) == "America/New_York"
    assert zone_of(demo_policy()) is None


def test_a_zone_that_is_none_is_said_with_its_place() -> None:
    with pytest.raises(PolicyError) as caught:
        read_policy(b"yard: Y\ntime_zone: 'New York, US'\n", "policy.yaml")
    assert str(caught.value) == (
        "policy.yaml:2:12: L012 'New York, US' is not the name of a time zone\n"
        "    at    time_zone\n"
        "    2 | time_zone: 'New York, US'\n"
        "      |            ^\n"
        "    why   the yard's days could not be told\n"
        "    mend  write it as the tz database has it, such as America/New_York"
    )


@pytest.mark.parametrize("name", ["America/Nowhere", "../../etc/passwd", "America"])
def test_a_zone_that_the_device_does_not_know_is_said(name: str) -> None:
    with pytest.raises(PolicyError) as caught:
        zone_of(replace(demo_policy(), time_zone=name))
    assert str(caught.value) == (
        f"L011 this device knows no time zone '{name}'\n"
        "    why   a day of the yard would begin and end at a guess\n"
        "    mend  write time_zone in policy.yaml as the tz database has it, such as America/New_York, or leave it out "
        "for the device's own"
    )
