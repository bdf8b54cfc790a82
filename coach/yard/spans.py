"""Days, weeks and seasons as times, in the yard's own zone.

Rules kept here:
 1. The yard's zone is what its policy names; where it names none, the device's own.
Knows nothing of: jobs.
Called by: review, season, flames, cli, tablet.  Proved by: tests/yard/test_spans.py.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from coach.core.policy import Policy
from coach.core.problems import PolicyError, Problem

SEASON_BEGINS = 7  # July: covering is over by then, and has not begun. Common practice, no source.
_WEEK = re.compile(r"([0-9]{4})-W([0-9]{2})", re.ASCII)

Span = tuple[int, int]  # ms since 1970 UTC; the end is no longer part of it


def zone_of(policy: Policy) -> tzinfo | None:
    """The zone of the yard; None for the device's own.

    Raises:
        PolicyError L011: this device does not know the zone that the policy names.
    """
    if not policy.time_zone:
        return None
    try:
        return ZoneInfo(policy.time_zone)
    except (OSError, ValueError, LookupError) as error:
        raise PolicyError(_no_zone(policy.time_zone)) from error


def day_span(day: date, zone: tzinfo | None = None) -> Span:
    """A day from midnight to midnight; 23 or 25 hours where the clocks are changed."""
    return _midnight(day, zone), _midnight(day + timedelta(days=1), zone)


def week_span(week: str, zone: tzinfo | None = None) -> Span | None:
    """A week such as 2026-W45, Monday to Sunday (ISO 8601); None if there is no such week."""
    found = _WEEK.fullmatch(week)
    if found is None:
        return None
    try:
        monday = date.fromisocalendar(int(found[1]), int(found[2]), 1)
        return _midnight(monday, zone), _midnight(monday + timedelta(days=7), zone)
    except (ValueError, OverflowError):
        return None


def week_of(wall: int, zone: tzinfo | None = None) -> str:
    """The week of a time in ms, such as 2026-W45."""
    year, week, _day = _local(wall, zone).date().isocalendar()
    return f"{year:04d}-W{week:02d}"


def season_span(now: int, zone: tzinfo | None = None) -> Span:
    """The covering season that `now` lies in, July to July."""
    today = _local(now, zone).date()
    year = today.year if today.month >= SEASON_BEGINS else today.year - 1
    return _midnight(date(year, SEASON_BEGINS, 1), zone), _midnight(date(year + 1, SEASON_BEGINS, 1), zone)


def _local(wall: int, zone: tzinfo | None) -> datetime:
    return datetime.fromtimestamp(wall / 1000, UTC).astimezone(zone)


def _midnight(day: date, zone: tzinfo | None) -> int:
    return int(datetime(day.year, day.month, day.day, tzinfo=zone).timestamp() * 1000)


def _no_zone(name: str) -> Problem:
    return Problem(
        "L011",
        "this device knows no time zone '%(name)s'",
        "a day of the yard would begin and end at a guess",
        "write time_zone in policy.yaml as the tz database has it, such as America/New_York, or leave it out for the "
        "device's own",
        slots={"name": name},
    )
