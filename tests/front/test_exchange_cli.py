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


def tablet(folder: Path, boat: str) -> None:
    """A tablet with one finished, sealed job."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), boat, "ana")
    assert isinstance(job, Job)
    worker = Worker(job, clock, NOTES)
    worker.work()
    worker.sign()
    desk.ledger.seal(job.id)


def coach(folder: Path, *words: str) -> int:
    return main(["--data", str(folder), *words])


def test_jobs_travel_from_tablet_to_yard(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard, other, stick = tmp_path / "yard", tmp_path / "other", tmp_path / "stick"
    tablet(other, "Dunlin")
    stick.mkdir()
    assert coach(yard, "keys", "begin") == 0
    yard_id = next(line.split()[1] for line in capsys.readouterr().out.splitlines() if line.startswith("yard "))
    pem = tmp_path / "other.pem"
    pem.write_text(DeviceKey.open(other).public_pem, encoding="ascii")
    assert coach(yard, "keys", "enrol", str(pem), "--name", "Tablet 2") == 0
    assert "Tablet 2  enrolled" in capsys.readouterr().out
    assert coach(other, "receive", str(stick)) == 1
    assert "this device does not know its yard" in capsys.readouterr().err
    assert coach(yard, "send", str(stick)) == 0
    assert coach(other, "keys", "trust", yard_id, str(stick / "yard-keys")) == 0
    assert coach(other, "send", str(stick)) == 0
    capsys.readouterr()
    assert coach(yard, "receive", str(stick)) == 0
    assert "1 jobs new, 0 longer" in capsys.readouterr().out
    assert coach(yard, "receive", str(stick)) == 0
    assert "0 jobs new, 0 longer, 1 known" in capsys.readouterr().out
    assert coach(yard, "list") == 0
    assert "Dunlin, Ana Ruiz: closed" in capsys.readouterr().out


def test_a_strange_tablet_is_refused_with_the_reason(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard, stranger, stick = tmp_path / "yard", tmp_path / "stranger", tmp_path / "stick"
    tablet(stranger, "Grebe")
    stick.mkdir()
    assert coach(yard, "keys", "begin") == 0
    assert coach(stranger, "send", str(stick)) == 0
    capsys.readouterr()
    assert coach(yard, "receive", str(stick)) == 1
    out = capsys.readouterr().out
    assert "REFUSED" in out and "0 jobs new" in out


def test_only_the_yard_enrols(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(tmp_path / "t", "keys", "revoke", "abc") == 1
    assert "the yard's own key is not on this device" in capsys.readouterr().err
    assert coach(tmp_path / "t", "keys", "enrol") == 2
