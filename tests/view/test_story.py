"""One boat's time line: every mark of the log is on it, at its place, and nothing else."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from coach.practice.worker import Worker
from coach.view.drawing import Line, Polygon, Sign, Text, leaves
from coach.view.story import SIGNS, WIDE, photos_of, time_line
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]


@pytest.mark.parametrize("boat", ["Dunlin", "Teal", "Wigeon", "Gadwall", "Scaup"])
def test_every_mark_of_the_log_is_on_the_line(season_jobs: Jobs, boat: str) -> None:
    job = season_jobs[1][boat].job
    parts = list(leaves(time_line(job.rules, job.events, UTC).parts))
    due = Counter(SIGNS[event.kind][0] for event in job.events if event.kind in SIGNS)
    assert Counter(part.icon for part in parts if isinstance(part, Sign)) == due
    lit = sum(event.kind == "flame_lit" for event in job.events)
    days = sum(isinstance(part, Line) and part.style == "part" for part in parts)
    flames = [part for part in parts if isinstance(part, Polygon)]
    assert lit <= len(flames) <= lit + days - 1  # a flame over midnight has a bar on both days


def test_a_flame_lies_where_it_burned(season_jobs: Jobs) -> None:
    job = season_jobs[1]["Dunlin"].job
    begin, end = job.events[0].at.wall, job.events[-1].at.wall
    lit = next(event.at.wall for event in job.events if event.kind == "flame_lit")
    out = next(event.at.wall for event in job.events if event.kind == "flame_out")
    bar = next(part for part in leaves(time_line(job.rules, job.events, UTC).parts) if isinstance(part, Polygon))
    scale = WIDE / (end - begin)  # the whole job lies on one day
    assert bar.points[0][0] == pytest.approx((lit - begin) * scale)
    assert bar.points[1][0] == pytest.approx((out - begin) * scale)


def test_a_flame_over_midnight_has_its_part_on_each_day(season_jobs: Jobs) -> None:
    job = season_jobs[1]["Dunlin"].job
    lit, out = (
        next(event.at.wall for event in job.events if event.kind == kind) for kind in ("flame_lit", "flame_out")
    )
    later = 86_400_000 - (lit + out) // 2 % 86_400_000  # midnight falls into the middle of the first flame
    events = [replace(event, at=event.at.plus(later)) for event in job.events]
    parts = list(leaves(time_line(job.rules, events, UTC).parts))
    days = [part for part in parts if isinstance(part, Line) and part.style == "part"]
    bars = [part for part in parts if isinstance(part, Polygon)]
    assert (len(days), len(bars)) == (2, 1 + sum(event.kind == "flame_lit" for event in events))
    for bar in bars:
        (day,) = [day for day in days if abs(day.start[1] - sum(y for _x, y in bar.points) / 4) < 0.01]
        assert day.start[0] <= min(x for x, _y in bar.points) and max(x for x, _y in bar.points) <= day.end[0] + 0.03


def test_the_days_have_their_names_and_times(season_jobs: Jobs) -> None:
    job = season_jobs[1]["Wigeon"].job
    texts = [part.words for part in leaves(time_line(job.rules, job.events, UTC).parts) if isinstance(part, Text)]
    times = [datetime.fromtimestamp(event.at.wall / 1000, UTC).strftime("%d %H:%M") for event in job.events]
    ends = [sorted(time[3:] for time in times if time[:2] == day) for day in ("05", "06")]
    assert texts == ["Nov 5, 2026", ends[0][0], ends[0][-1], "Nov 6, 2026", ends[1][0], ends[1][-1]]


def test_photos_come_with_step_and_time(season_jobs: Jobs) -> None:
    """The shipped steps ask for optional photos only; this worker took one of the stretched straps."""
    job = season_jobs[1]["Dunlin"].job
    number, step, item = next(
        (n, job.rules.steps[event.data["step"]], item)
        for n, event in enumerate(job.events)
        if event.kind == "step_done"
        for item in job.rules.steps[event.data["step"]].evidence
        if item.kind == "photo"
    )
    event = job.events[number]
    hash = "ab" * 32
    taken = replace(event, data={**event.data, "evidence": {**event.data["evidence"], item.id: hash}})
    events = (*job.events[:number], taken, *job.events[number + 1 :])
    assert photos_of(job.rules, job.events, UTC) == []
    ((found, caption),) = photos_of(job.rules, events, UTC)
    assert found == hash
    assert item.ask in caption and step.do in caption and "Nov 2, 2026" in caption
