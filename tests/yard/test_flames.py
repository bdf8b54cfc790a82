"""Who had a flame lit on a day: against a plain reading of every event, at midnight, and where the record is odd."""

from __future__ import annotations

from datetime import UTC, date, timedelta, timezone
from pathlib import Path

from coach.core import actions as act
from coach.core.events import Event
from coach.practice.worker import Worker
from coach.yard.flames import BURNING, OUT, TRIPPED, Flame, flames
from coach.yard.spans import day_span
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]
MINUTE = 60_000
ALWAYS = (0, 2**50)


def plain(jobs: dict[str, Worker]) -> list[tuple[str, int, int]]:
    """Every flame as boat, lit, out (0: still burning), read event by event."""
    found = []
    for boat, worker in jobs.items():
        lit = 0
        for event in worker.job.events:
            if event.kind == "flame_lit":
                lit = event.at.wall
            elif event.kind == "flame_out":
                found.append((boat, lit, event.at.wall))
                lit = 0
        if lit:
            found.append((boat, lit, 0))
    return found


def test_every_day_has_the_flames_that_a_plain_reading_gives(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    all_of_them = plain(jobs)
    seen = 0
    for number in range(16):
        since, until = day_span(date(2026, 11, 1) + timedelta(days=number), UTC)
        due = {(boat, lit, out) for boat, lit, out in all_of_them if lit < until and (out == 0 or out >= since)}
        found = flames(yard.shelf, since, until)
        assert {(flame.boat, flame.lit, flame.out) for flame in found.found} == due
        assert found.unread == ()
        seen += len(due)
    assert seen > 30


def test_each_safeguard_is_the_last_that_was_shown_before_the_flame(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    for flame in flames(yard.shelf, *ALWAYS).found:
        before = jobs[flame.boat].job.events[: flame.event - 1]
        assert len(flame.shown) == 11
        for shown in flame.shown:
            last = [
                event for event in before if event.kind == "observed" and event.data["safeguard"] == shown.safeguard
            ][-1]
            assert (shown.wall, shown.by, dict(shown.values)) == (last.at.wall, last.by, dict(last.data["values"]))
            assert shown.met


def test_how_a_flame_ended(season_jobs: Jobs) -> None:
    yard, _jobs = season_jobs
    found = flames(yard.shelf, *ALWAYS).found
    by_end = {end: [flame for flame in found if flame.end == end] for end in (OUT, TRIPPED, BURNING)}
    (tripped,) = by_end[TRIPPED]
    assert (tripped.boat, tripped.step, tripped.operator) == ("Teal", "shrink-sides", "ana")
    assert tripped.lost[0]["about"] == "wind"
    assert [(again.safeguard, again.met) for again in tripped.again] == [("wind", False)]
    assert tripped.out - tripped.lit == 2 * MINUTE
    assert [flame.boat for flame in by_end[BURNING]] == ["Scaup"]
    assert len(by_end[OUT]) == len(found) - 2


def test_the_fire_watch_after_the_last_flame(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    own = [flame for flame in flames(yard.shelf, *ALWAYS).found if flame.boat == "Dunlin"]
    held = [
        event.at.wall
        for event in jobs["Dunlin"].job.events
        if event.kind == "debt_cleared" and event.data["debt"] == "fire_watch"
    ]
    assert [flame.followed for flame in own] == [True] * (len(own) - 1) + [False]
    assert [flame.watch_until for flame in own] == [0] * (len(own) - 1) + held
    assert held[0] - own[-1].out >= 60 * MINUTE


def lit_at(yard: Yard, boat: str, hour: int, minute: int) -> Worker:
    """A boat whose first flame is lit at a time of the yard's second day, UTC."""
    worker = yard.until(yard.begin(boat), "weld-hem")
    since, _until = day_span(date(2026, 11, 4), UTC)
    due = since + (hour * 60 + minute) * MINUTE
    worker.must(act.Pause("ana", "until later"), "pause")
    yard.clock.pass_seconds((due - yard.clock().wall) / 1000 - 300)
    worker.must(act.Resume("ana"), "resume")
    worker.prove_all()
    yard.clock.pass_seconds((due - yard.clock().wall) / 1000)
    worker.must(act.Light("ana", "weld-hem"), "light")
    assert worker.job.events[-1].at.wall == due or worker.job.events[-2].at.wall == due
    return worker


def days(yard: Yard, *which: int, zone: timezone | None = None) -> list[int]:
    """How many flames each of these days of November has."""
    return [len(flames(yard.shelf, *day_span(date(2026, 11, day), zone or UTC)).found) for day in which]


def test_a_flame_over_midnight_belongs_to_both_days_and_a_day_is_the_yards_own(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = lit_at(yard, "Eider", 23, 55)
    assert days(yard, 3, 4, 5, 9) == [0, 1, 1, 1]  # nothing says yet that it is out
    yard.clock.pass_minutes(9)
    worker.must(act.FlameOut("ana"), "out")
    assert days(yard, 3, 4, 5, 6) == [0, 1, 1, 0]
    west, east = timezone(timedelta(hours=-5)), timezone(timedelta(hours=2))
    assert days(yard, 3, 4, 5, zone=west) == [0, 1, 0]
    assert days(yard, 4, 5, zone=east) == [0, 1]


def test_a_flame_that_is_out_before_midnight_belongs_to_one_day(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = lit_at(yard, "Eider", 23, 50)
    yard.clock.pass_minutes(9)
    worker.must(act.FlameOut("ana"), "out")
    assert days(yard, 4, 5) == [1, 0]


def only(yard: Yard) -> Flame:
    (found,) = flames(yard.shelf, *ALWAYS).found
    return found


def test_a_clock_set_back_in_the_flame_hides_nothing(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = lit_at(yard, "Eider", 0, 5)
    yard.clock.turn_wall(-3_600)
    worker.job.act(act.FlameOut("ana"), yard.clock())
    assert only(yard).out < only(yard).lit
    assert days(yard, 4) == [1]


def test_a_lighting_that_names_no_proof_is_given_with_nothing_shown(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = yard.begin("Eider")
    yard.forge(worker, "observed", safeguard="air", values={"open_air": True}, met=True)
    proofs = {"wind": 1, "gas": 99, "area": "x", "fire_watch": 2}  # event 2 speaks of the air
    yard.forge(worker, "flame_lit", step="weld-hem", operator="joel", proofs=proofs)
    flame = only(yard)
    assert yard.desk.ledger.events(worker.job.id)[1].kind == "observed"
    assert (flame.operator, flame.end) == ("joel", BURNING)
    assert {(shown.event, shown.met) for shown in flame.shown} == {(0, False)}


def test_a_record_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    lit_at(yard, "Eider", 9, 0)
    worker = yard.begin("Pochard")
    yard.desk.ledger.append(worker.job.id, [Event("flame_lit", yard.clock(), "ana", {"step": "weld-hem"})])
    found = flames(yard.shelf, *ALWAYS)
    assert [flame.boat for flame in found.found] == ["Eider"]
    assert [each.job for each in found.unread] == [worker.job.id]
    assert found.unread[0].problem.code == "R482"
