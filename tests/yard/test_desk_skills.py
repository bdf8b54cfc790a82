"""At the desk: the gate reads the crew's record, and practice never reaches the ledger."""

from __future__ import annotations

import ast
from datetime import date, timedelta
from pathlib import Path

import pytest

import coach
from coach.core import actions as act
from coach.core.problems import RecordError
from coach.core.session import Refusal
from coach.practice.clock import HandClock
from coach.practice.worker import STROKES, Notes, Worker
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy
from coach.yard.skillbook import SkillBook
from tests.helpers.people import MORNING
from tests.practice.by_hand import Hand, prepared

TODAY = date(2026, 11, 9)
ASKS = "roles:\n  technician: [gate, weld]\n  fire_watch: [fire_watch]\n"
NOTES = Notes(
    measures={
        "boat_length": "19 ft",
        "beam": "8 ft",
        "ridge_height": "30 in",
        "edge_drop": "7 in",
        "ridge_to_edge": "66 in",
        "windshield": "no",
        "bow_to_stern": "22 ft",
        "bow_rise": "10 in",
        "stern_rise": "12 in",
        "sole_below": "14 in",
        "band_to_keel": "30 in",
        "drive": "outboard",
        "drive_reach": "24 in",
        "drive_depth": "28 in",
        "fuel": "petrol",
        "fuel_vents": "2",
        "place": "outdoors",
        "holes": "0",
        "tools_out": "12",
    }
)


def desk(tmp_path: Path, asks: str = "") -> Desk:
    if asks:
        (tmp_path / "skills.yaml").write_text(asks, "utf-8")
    return Desk.open(tmp_path, HandClock(MORNING), lambda procedure: True, demo_policy())


def passed(tmp_path: Path, person: str, *skills: str, day: date = TODAY) -> None:
    SkillBook(tmp_path / "practice.sqlite").add_run(person, "a-drill", day, True, 100, skills, {})


def test_without_the_yards_file_the_policy_counts_and_no_book_is_made(tmp_path: Path) -> None:
    rules = desk(tmp_path).load("power-boat-trailer")
    assert rules.policy.people["ana"].flame_until == "2027-12-31"
    assert not (tmp_path / "practice.sqlite").exists()


def test_with_it_nobody_holds_the_tool_who_has_shown_nothing(tmp_path: Path) -> None:
    rules = desk(tmp_path, ASKS).load("power-boat-trailer")
    assert rules.policy.people["ana"].flame_until == ""
    assert "fire_watch" not in rules.policy.people["joel"].roles
    assert rules.policy.hash == demo_policy().hash


def test_drills_open_the_gate_until_the_skill_lapses(tmp_path: Path) -> None:
    passed(tmp_path, "ana", "gate", "weld")
    rules = desk(tmp_path, ASKS).load("power-boat-trailer")
    assert rules.policy.people["ana"].flame_until == (TODAY + timedelta(days=198)).isoformat()
    assert rules.policy.people["joel"].flame_until == ""


def test_a_job_that_goes_on_is_read_as_strictly(tmp_path: Path) -> None:
    """Started before the yard asked for skills; opened again after it does: the lapsed hand is refused at the gate."""
    here = desk(tmp_path)
    job = here.start(here.load("power-boat-trailer"), "Dunlin", "ana")
    assert not isinstance(job, Refusal)
    again = desk(tmp_path, ASKS).job(job.id)
    assert again.rules.policy.people["ana"].flame_until == ""
    assert again.state == job.state


def test_an_accepted_real_job_counts_and_an_open_one_does_not(tmp_path: Path) -> None:
    clock = HandClock(MORNING)
    here = Desk.open(tmp_path, clock, lambda procedure: True, demo_policy())
    job = here.start(here.load("power-boat-trailer"), "Dunlin", "ana")
    assert not isinstance(job, Refusal)
    worker = Worker(job, clock, NOTES)
    worker.work()
    worker.sign()
    assert here.record.shown(TODAY) == ()
    worker.must(act.Accept("marta", "Seen.", STROKES), "accept")
    here.record.forget()
    shown = here.record.shown(TODAY)
    assert {(each.person, each.skill, each.how) for each in shown} == {
        ("ana", "gate", "job"),
        ("ana", "frame", "job"),
        ("ana", "band", "job"),
        ("ana", "weld", "job"),
        ("ana", "shrink", "job"),
        ("joel", "fire_watch", "job"),
        ("marta", "reviewing", "job"),
    }


def test_a_whole_drill_leaves_the_ledger_as_it_was(tmp_path: Path) -> None:
    here = desk(tmp_path)
    here.ledger.close()
    before = (tmp_path / "ledger.sqlite").read_bytes()
    hand = Hand("gust-at-the-sides").ready().light("shrink-sides").sweep("shrink-sides")
    hand.out()
    assert len(hand.run.job.events) > 100
    assert here.board() == []
    here.ledger.close()
    assert (tmp_path / "ledger.sqlite").read_bytes() == before


def test_a_practice_walk_is_kept_in_memory_only(tmp_path: Path) -> None:
    here = desk(tmp_path)
    job = here.start(here.load("power-boat-trailer"), "Dunlin", "ana", practice=True)
    assert not isinstance(job, Refusal)
    assert job.state.practice
    assert len(job.events) == 1
    assert here.board() == []
    with pytest.raises(RecordError):
        here.job(job.id)


def test_no_event_of_practice_can_be_added_to_a_real_job(tmp_path: Path) -> None:
    """There is no such job, and the ledger lets none be begun of it either: its first event says practice."""
    here = desk(tmp_path)
    run = prepared("gust-at-the-sides").run("ana")
    with pytest.raises(RecordError, match="R414"):
        here.ledger.append(run.job.id, run.job.events)
    texts = [here.load("power-boat-trailer").procedure.document, here.policy.document]
    with pytest.raises(RecordError, match="R423"):
        here.ledger.start_job(run.job.id, run.job.events, texts)
    assert here.board() == []


def test_practice_knows_no_ledger_and_no_key() -> None:
    """No module of practice, and neither the book nor the store in memory, imports anything of coach.record."""
    root = Path(coach.__file__).parent
    files = [*(root / "practice").glob("*.py"), root / "yard" / "skillbook.py", root / "yard" / "memory.py"]
    assert len(files) > 25
    for file in files:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            names = (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [a.name for a in getattr(node, "names", ())]
            )
            if isinstance(node, ast.Import | ast.ImportFrom):
                assert not [name for name in names if name.startswith("coach.record")], file
