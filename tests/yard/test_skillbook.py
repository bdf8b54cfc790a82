"""The book of practice: what is written stays, in a file of its own; and what real, accepted jobs show."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import StoreError
from coach.yard.real_jobs import shown_by_job
from coach.yard.skillbook import CardRow, SkillBook
from coach.yard.skills import Shown

DAY = date(2026, 11, 9)


def book(tmp_path: Path) -> SkillBook:
    return SkillBook(tmp_path / "practice.sqlite")


def test_a_run_is_there_after_opening_again(tmp_path: Path) -> None:
    book(tmp_path).add_run("ana", "gust", DAY, True, 92, ("shrink", "gate"), {"findings": ["ü"]})
    run = book(tmp_path).runs()[0]
    assert (run.person, run.drill, run.day, run.passed, run.score) == ("ana", "gust", DAY, True, 92)
    assert run.body == {"findings": ["ü"]}
    assert book(tmp_path).shown() == (
        Shown("ana", "shrink", "drill", DAY, True, "gust"),
        Shown("ana", "gate", "drill", DAY, True, "gust"),
    )


def test_runs_by_person_and_day(tmp_path: Path) -> None:
    kept = book(tmp_path)
    kept.add_run("ana", "a", date(2026, 1, 1), True, 90, ("gate",), {})
    kept.add_run("joel", "b", DAY, False, 10, ("gate",), {})
    assert [run.drill for run in kept.runs("ana")] == ["a"]
    assert [run.drill for run in kept.runs(since=date(2026, 6, 1))] == ["b"]


@pytest.mark.parametrize("sql", ["UPDATE run SET passed = 1", "DELETE FROM run"])
def test_a_run_is_never_changed(tmp_path: Path, sql: str) -> None:
    book(tmp_path).add_run("ana", "gust", DAY, False, 0, ("gate",), {})
    with (
        sqlite3.connect(tmp_path / "practice.sqlite") as db,
        pytest.raises(sqlite3.IntegrityError, match="a run is never"),
    ):
        db.execute(sql)


def test_cards_and_answers(tmp_path: Path) -> None:
    kept = book(tmp_path)
    kept.answered("ana", CardRow("x.why", 1, 2600, 1, date(2026, 11, 10)), DAY, 5, "gate")
    kept.answered("ana", CardRow("x.why", 0, 2600, 1, date(2026, 11, 11)), date(2026, 11, 10), 1, "gate")
    kept.answered("joel", CardRow("x.why", 1, 2500, 1, date(2026, 11, 10)), DAY, 4, "gate")
    assert kept.cards("ana") == {"x.why": CardRow("x.why", 0, 2600, 1, date(2026, 11, 11))}
    assert kept.missed(DAY) == {"x.why": (2, 1)}
    assert kept.missed(date(2026, 11, 10)) == {"x.why": (1, 1)}
    assert kept.missed(date(2026, 11, 12)) == {}


def test_a_file_that_is_no_book_is_said(tmp_path: Path) -> None:
    (tmp_path / "practice.sqlite").write_bytes(b"not a database at all, only text")
    with pytest.raises(StoreError) as caught:
        book(tmp_path)
    assert str(caught.value) == (
        "D330 the book of practice in practice.sqlite cannot be read or written (file is not a database)\n"
        "    why   what was practised would be lost\n"
        "    mend  see that the data folder can be written; if the file is damaged, take it away: no real record is in it"
    )


def test_a_newer_book_is_left_alone(tmp_path: Path) -> None:
    book(tmp_path)
    with sqlite3.connect(tmp_path / "practice.sqlite") as db:
        db.execute("PRAGMA user_version = 7")
    with pytest.raises(StoreError, match="is of version 7, this program knows 1"):
        book(tmp_path)


STAGES = {"weld-hem": "weld", "tape-band": "band", "hold": "after-flame", "cut": "film"}


def event(kind: str, by: str, **data: object) -> Event:
    return Event(kind, Moment(1_794_211_200_000, 0), by, data)


def test_an_accepted_job_shows_its_hands_their_watch_and_its_reviewer() -> None:
    events = [
        event("job_started", "ana", job="teal-1", practice=False),
        event("step_done", "ana", step="tape-band", evidence={"tick": True}),
        event("handed_over", "joel", to="joel"),
        event("observed", "joel", safeguard="gas", met=True),
        event("observed", "ana", safeguard="gas", met=False),
        event("step_done", "joel", step="weld-hem", evidence={"tick": True}),
        event("step_done", "joel", step="cut", evidence={"tick": True}),
        event("step_done", "joel", step="hold", evidence={"watcher": "pia"}),
        event("accepted", "marta"),
    ]
    assert [(each.person, each.skill, each.how, each.about) for each in shown_by_job(events, STAGES)] == [
        ("ana", "band", "job", "teal-1"),
        ("joel", "gate", "job", "teal-1"),
        ("joel", "weld", "job", "teal-1"),
        ("marta", "reviewing", "job", "teal-1"),
        ("pia", "fire_watch", "job", "teal-1"),
    ]
    assert shown_by_job(events[:-1], STAGES) == ()


def test_a_practice_job_shows_nothing_as_a_real_one() -> None:
    events = [
        event("job_started", "ana", job="x", practice=True),
        event("step_done", "ana", step="weld-hem", evidence={}),
        event("accepted", "marta"),
    ]
    assert shown_by_job(events, STAGES) == ()
    assert shown_by_job([], STAGES) == ()
