"""The board over two weeks of an invented yard: which jobs, in which order, with which flags, and what stays unread."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path

import pytest

from coach.core.canonical import text_hash
from coach.core.events import Event
from coach.core.problems import Problem, StoreError
from coach.practice.worker import Worker
from coach.record.store import Finding
from coach.yard.flags import Flag
from coach.yard.review import Filters, Reviewer, board, gravity, people_of
from coach.yard.shelf import Story
from coach.yard.spans import week_of
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]


def flags(yard: Yard, filters: Filters | None = None, **more: int) -> dict[str, list[str]]:
    """The kinds of flag by boat, in the board's order."""
    found = board(yard.shelf, filters or Filters(), UTC, **more)
    return {line.row.boat: [flag.kind for flag in line.flags] for line in found.lines}


def boats(yard: Yard, **which: str) -> list[str]:
    return list(flags(yard, Filters(**which)))


def test_what_needs_a_look_first_by_state(season_jobs: Jobs) -> None:
    yard, _jobs = season_jobs
    found = board(yard.shelf, Filters(), UTC)
    assert [(state, [line.row.boat for line in lines]) for state, lines in found.groups] == [
        ("flame", ["Scaup"]),
        ("stopped", ["Gadwall"]),
        ("closed", ["Teal", "Knot"]),
        ("sent_back", ["Wigeon"]),
        ("open", ["Smew"]),
        ("accepted", ["Dunlin"]),
    ]
    assert flags(yard) == {
        "Scaup": [],
        "Gadwall": ["tag"],
        "Teal": ["trip", "excused", "late_correction", "heat_refused", "lapsed"],
        "Knot": ["quick", "batch"],
        "Wigeon": [],
        "Smew": [],
        "Dunlin": [],
    }


def test_a_flag_brings_the_very_events_it_rests_on(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    (line,) = board(yard.shelf, Filters(state="closed", who="ana"), UTC).lines
    kinds = {
        "trip": "tripped",
        "excused": "step_excused",
        "late_correction": "measured",
        "heat_refused": "heat_refused",
    }
    for flag in line.flags:
        assert all(line.told[number] == jobs["Teal"].job.events[number - 1] for number in flag.events)
        if flag.kind in kinds:
            assert {line.told[number].kind for number in flag.events} == {kinds[flag.kind]}


@pytest.mark.parametrize(
    ("which", "found"),
    [
        ({"who": "joel"}, ["Scaup", "Knot"]),
        ({"state": "closed"}, ["Teal", "Knot"]),
        ({"state": "closed", "who": "joel"}, ["Knot"]),
        ({"kind": "power-boat-trailer", "state": "accepted"}, ["Dunlin"]),
        ({"kind": "sail-mast-up"}, []),
        ({"who": "nobody"}, []),
    ],
)
def test_filters_by_crew_kind_and_state(season_jobs: Jobs, which: dict[str, str], found: list[str]) -> None:
    assert boats(season_jobs[0], **which) == found


def test_a_week_holds_the_jobs_that_were_under_way_in_it(season_jobs: Jobs) -> None:
    """Beside it a plain reading of every job: its first and last event, and the weeks between."""
    yard, jobs = season_jobs
    weeks = {
        name: (week_of(w.job.events[0].at.wall, UTC), week_of(w.job.events[-1].at.wall, UTC))
        for name, w in jobs.items()
    }
    assert {week for pair in weeks.values() for week in pair} == {"2026-W45", "2026-W46"}
    for week in ("2026-W44", "2026-W45", "2026-W46", "2026-W47"):
        due = {name for name, (first, last) in weeks.items() if first <= week <= last}
        assert set(boats(yard, week=week)) == due
    assert boats(yard, week="2026-W46", state="open") == ["Smew"]
    assert boats(yard, week="2026-W45", state="accepted") == ["Dunlin"]


def test_what_is_no_week_is_refused(season_jobs: Jobs) -> None:
    with pytest.raises(ValueError, match="next week"):
        boats(season_jobs[0], week="next week")


def test_beyond_its_depth_the_board_counts_and_says_so(season_jobs: Jobs) -> None:
    yard, _jobs = season_jobs
    assert flags(yard, deep=0) == {
        "Scaup": [], "Gadwall": ["tag"], "Teal": ["trip", "excused", "heat_refused"], "Knot": [], "Wigeon": [],
        "Smew": [], "Dunlin": [],
    }  # fmt: skip
    assert {line.deep for line in board(yard.shelf, Filters(), UTC, deep=0).lines} == {False}
    short = board(yard.shelf, Filters(), UTC, most=3)
    assert (len(short.lines), short.left_out) == (3, True)
    assert not board(yard.shelf, Filters(), UTC, most=7).left_out


def test_a_job_is_read_again_only_when_it_has_gone_on(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = yard.until(yard.begin("Eider"), "look-over")
    reviewer = Reviewer(yard.shelf)
    (first,) = reviewer.board(Filters()).lines
    (same,) = reviewer.board(Filters()).lines
    assert same is first
    for _ in range(3):
        yard.clock.pass_minutes(1)
        worker.job.act(light(worker), yard.clock())
    (later,) = reviewer.board(Filters()).lines
    assert [flag.kind for flag in later.flags] == ["heat_refused"]
    assert people_of([later.row]) == (("ana", "Ana Ruiz"),)


def light(worker: Worker):  # type: ignore[no-untyped-def]
    from coach.core.actions import Light

    return Light(worker.by, "weld-hem")


def test_among_equals_the_most_flags_then_the_newest_change_come_first(season_jobs: Jobs) -> None:
    (line,) = board(season_jobs[0].shelf, Filters(state="open"), UTC).lines
    trip, left_out, quick = Flag("trip", 1), Flag("excused", 1), Flag("quick", 9)
    made = [
        replace(line, flags=flags, row=replace(line.row, job=job, updated=at))
        for job, at, flags in (
            ("a", 1, ()), ("b", 2, ()), ("c", 1, (quick,)), ("d", 1, (trip,)), ("e", 9, (trip,)), ("f", 1, (trip, left_out)),
        )
    ]  # fmt: skip
    assert [each.row.job for each in sorted(made, key=gravity)] == ["f", "e", "d", "c", "b", "a"]


def test_a_disk_that_fails_is_no_fault_of_a_record(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs

    def fails(story: Story) -> None:
        raise StoreError(Problem("R404", "the disk failed", "x", "y"))

    with pytest.raises(StoreError):
        yard.shelf.read(jobs["Teal"].job.id, fails)


def test_what_exchange_found_is_a_flag_of_the_record(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    worker = yard.begin("Eider")
    yard.desk.ledger.memory.note_finding(Finding("X301", worker.job.id, "two histories from entry 12 on", "", 0))
    (line,) = board(yard.shelf, Filters()).lines
    assert [(flag.kind, flag.texts) for flag in line.flags] == [("record", ("two histories from entry 12 on",))]


def test_what_exchange_found_of_a_tablet_stands_on_every_board(tmp_path: Path) -> None:
    """Of a tablet, or of a job that is not held here: no line can carry it, and no filter hides it."""
    yard = Yard(tmp_path)
    worker = yard.begin("Eider")
    for job, text in (("", "two copies of one tablet"), ("heron-1", "none of 12 entries"), (worker.job.id, "a fork")):
        yard.desk.ledger.memory.note_finding(Finding("X304", job, text, "", 0))
    for filters in (Filters(), Filters(who="nobody")):
        assert board(yard.shelf, filters).apart == ("two copies of one tablet", "none of 12 entries")


def test_a_record_that_cannot_be_read_stands_there_and_hides_no_other(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    yard.begin("Eider")
    yard.forge(yard.begin("Pochard"), "tripped", first={"code": "G104"})
    procedure, policy = "not a bundle", yard.desk.policy.document
    start = {"job": "smew-1", "boat": "Garganey", "procedure": "p", "version": "1", "practice": False, "technician": "ana",
             "name": "Ana Ruiz", "procedure_hash": text_hash(procedure), "policy_hash": text_hash(policy)}  # fmt: skip
    yard.desk.ledger.start_job("smew-1", [Event("job_started", yard.clock(), "ana", start)], [procedure, policy])
    found = {line.row.boat: [tuple(map(str, flag.texts)) for flag in line.flags if flag.kind == "record"] for line in
             board(yard.shelf, Filters()).lines}  # fmt: skip
    assert found == {
        "Eider": [],
        "Pochard": [("an event is not written as this program writes it (KeyError: 'about')",)],
        "Garganey": [("the record's procedure text cannot be read",)],
    }
