"""A season's counts against a plain count over all events of all jobs."""

from __future__ import annotations

from collections import Counter
from datetime import UTC

import pytest

from coach.demo import START
from coach.practice.worker import Worker
from coach.yard.review import Filters
from coach.yard.season import SentBack, season
from coach.yard.spans import season_span, week_span
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]
SPAN = season_span(START, UTC)


def counted(jobs: dict[str, Worker], kind: str, since: int = 0, until: int = 2**50) -> list:  # type: ignore[type-arg]
    """All events of a kind."""
    events = [event for worker in jobs.values() for event in worker.job.events]
    return [event for event in events if event.kind == kind and since <= event.at.wall < until]


def test_the_season_is_what_a_plain_count_gives(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    found = season(yard.shelf, *SPAN)
    assert found.flames == len(counted(jobs, "flame_lit")) > 30
    refused = counted(jobs, "heat_refused")
    assert found.refusals == len(refused) == 3
    assert dict(found.refused_steps) == Counter(event.data["step"] for event in refused)
    assert dict(found.refused_causes) == Counter(r["about"] for event in refused for r in event.data["reasons"])
    assert dict(found.trip_causes) == Counter(event.data["first"]["about"] for event in counted(jobs, "tripped"))
    assert dict(found.excused_steps) == Counter(event.data["step"] for event in counted(jobs, "step_excused"))
    assert found.jobs == 6  # Smew has come to no flame yet
    assert found.unread == ()


def test_which_steps_are_sent_back_and_by_whom(season_jobs: Jobs) -> None:
    found = season(season_jobs[0].shelf, *SPAN)
    assert found.sent_back == (
        SentBack("stick-door", "Marta Oduya", "Ana Ruiz", 1),
        SentBack("tape-seams", "Marta Oduya", "Ana Ruiz", 1),
    )
    assert found.sent_back_steps == (("stick-door", 1), ("tape-seams", 1))
    assert found.names["tape-seams"] == "Lay a strip of tape over every seam and pleat."
    assert found.names["wind"] == "Wind under the limit"


@pytest.mark.parametrize("who", ["ana", "joel"])
def test_a_season_of_one_technician(season_jobs: Jobs, who: str) -> None:
    yard, jobs = season_jobs
    own = {name: worker for name, worker in jobs.items() if worker.by == who}
    found = season(yard.shelf, *SPAN, Filters(who=who))
    assert found.flames == len(counted(own, "flame_lit"))
    assert found.refusals == len(counted(own, "heat_refused"))


def test_a_span_ends_before_its_end(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    week = week_span("2026-W46", UTC)
    assert week is not None
    assert season(yard.shelf, *week).flames == len(counted(jobs, "flame_lit", *week)) > 0
    first = min(event.at.wall for event in counted(jobs, "flame_lit"))
    assert season(yard.shelf, 0, first).flames == 0
    assert season(yard.shelf, 0, first + 1).flames == 1


def test_by_kind_and_state(season_jobs: Jobs) -> None:
    yard, _jobs = season_jobs
    closed = season(yard.shelf, *SPAN, Filters(state="closed"))
    assert closed.jobs == 2
    assert season(yard.shelf, *SPAN, Filters(kind="sail-mast-up")).jobs == 0
