"""Two tablets and a stick, by the commands: begin a yard, enrol, send, receive, revoke, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.cli import main
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.record.keys import DeviceKey
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy


def tablet(folder: Path, boat: str, powered: bool = True) -> None:
    """A tablet with one finished job, sealed unless the power went at the last moment."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), boat, "ana")
    assert isinstance(job, Job)
    worker = Worker(job if powered else Job(job.rules, desk.ledger, job.id, job.events), clock, NOTES)
    worker.work()
    worker.sign()
    assert desk.board()[0].sealed == powered


def coach(folder: Path, *words: str) -> int:
    return main(["--data", str(folder), *words])


def test_jobs_travel_from_tablet_to_yard(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard, other, stick = tmp_path / "yard", tmp_path / "other", tmp_path / "stick"
    tablet(yard, "Grebe")
    tablet(other, "Dunlin")
    stick.mkdir()
    assert coach(yard, "keys", "begin") == 0
    words = capsys.readouterr().out.replace(".", " ").split()
    yard_id = max(words, key=len)
    pem = tmp_path / "other.pem"
    pem.write_text(DeviceKey.open(other).public_pem, encoding="ascii")
    assert coach(yard, "keys", "enrol", str(pem), "--name", "Tablet 2") == 0
    assert coach(yard, "send", str(stick)) == 0
    assert coach(other, "keys", "trust", yard_id, str(stick / "yard-keys")) == 0
    assert coach(other, "send", str(stick)) == 0
    capsys.readouterr()
    assert coach(yard, "receive", str(stick)) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "1 new, 0 longer, 1 known"
    assert coach(yard, "list") == 0
    assert "Dunlin, Ana Ruiz: To review" in capsys.readouterr().out
    assert coach(yard, "flames", "2026-11-02") == 0  # of its own boat and of the one that was received
    told = capsys.readouterr().out
    assert ": 16 flames at 2 boats\n" in told  # the procedure has eight heat steps
    assert "Grebe: Weld the hem" in told and "Dunlin: Weld the hem" in told
    assert coach(yard, "review", "--state", "closed") == 0
    assert "2 boats, 0 to look at first" in capsys.readouterr().out
    assert coach(yard, "verify") == 0
    assert "verified" in capsys.readouterr().out


def test_a_strange_tablet_is_refused_and_nothing_is_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard, stranger, stick = tmp_path / "yard", tmp_path / "stranger", tmp_path / "stick"
    tablet(stranger, "Plover")
    stick.mkdir()
    assert coach(yard, "keys", "begin") == 0
    assert coach(stranger, "send", str(stick)) == 0
    assert coach(yard, "receive", str(stick)) == 1
    capsys.readouterr()
    coach(yard, "list")
    assert "Plover" not in capsys.readouterr().out


def test_words_that_are_missing_are_misuse(tmp_path: Path) -> None:
    assert coach(tmp_path / "t", "keys", "enrol") == 2


def test_a_job_whose_seal_was_cut_off_is_sealed_before_it_is_sent(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, stick = tmp_path / "one", tmp_path / "stick"
    tablet(one, "Knot", powered=False)
    stick.mkdir()
    assert coach(one, "send", str(stick)) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "1 sent, 0 there before"
