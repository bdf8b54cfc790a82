"""Old jobs leave only when their time is over and their file lies whole elsewhere; that they were here stays known."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core.problems import RecordError, StoreError
from coach.record import files
from coach.record.keyring import Keyring
from coach.record.photos import PhotoFolder
from coach.record.retention import DAY_MS, due, retire
from coach.record.sealed import read, verify_file
from coach.record.store import Head
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, play, started, story
from tests.record.test_exchange import Tablet, ring

pytestmark = pytest.mark.usefixtures("both_stores")
END = story("x")[-1].at.wall
LATER = END + 366 * DAY_MS + 1


def old_job(tablet: Tablet, job: str = "dunlin-1") -> str:
    name = tablet.pictures.keep(b"the hem")
    told = story(job)
    told[3] = event("step_done", 300, data={"step": "frame", "evidence": {"picture": name}})
    play(tablet.store, job, told)
    return name


def test_only_what_is_over_sealed_and_old_is_due(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    store.start_job("dunlin-2", [started("dunlin-2")], [PROCEDURE, POLICY])
    store.start_job("dunlin-3", [started("dunlin-3"), event("closed", 9)], [PROCEDURE, POLICY])  # not sealed
    assert due(store, 366, LATER - 1) == []
    assert [row.job for row in due(store, 366, LATER)] == ["dunlin-1"]
    assert due(store, 400, LATER) == []


@pytest.mark.parametrize("days", [365, 0, -1])
def test_no_policy_can_make_it_sooner(tmp_path: Path, days: int) -> None:
    with pytest.raises(RecordError, match=f"R461 {days} days are fewer than a record must be kept"):
        due(ledger(tmp_path), days, LATER)


def test_a_job_leaves_whole_and_stays_known(tmp_path: Path) -> None:
    one = Tablet.make(tmp_path, 1)
    picture = old_job(one)
    play(one.store, "heron-1")
    parts, archive = one.store.parts("dunlin-1"), tmp_path / "archive"
    left = retire(one.store, one.pictures, "dunlin-1", archive, key(1), 366, LATER, ring())
    (path,) = archive.glob("*.coach")
    assert verify_file(path, ring()) == []
    assert read(path.read_bytes()).parts == parts
    assert (archive / "photos" / f"{picture}.jpg").read_bytes() == b"the hem"
    assert [row.job for row in one.store.jobs()] == ["heron-1"]
    assert one.store.marks(["flame_lit"], 0, 2**52)[0].job == "heron-1"
    assert Head("dunlin-1", 16, left.hash) in one.store.heads()
    assert one.store.verify() == []
    with pytest.raises(RecordError, match="R414"):
        one.store.events("dunlin-1")
    with pytest.raises(RecordError, match="R412 job 'dunlin-1' exists"):
        one.store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])


def test_an_old_stick_does_not_bring_it_back_and_nobody_misses_it(tmp_path: Path) -> None:
    one, other = Tablet.make(tmp_path, 1), Tablet.make(tmp_path, 2)
    old_job(one)
    play(one.store, "heron-1")
    one.send(tmp_path / "stick")
    other.receive(tmp_path / "stick")
    retire(one.store, one.pictures, "dunlin-1", tmp_path / "archive", key(1), 366, LATER)
    got = one.receive(tmp_path / "stick")
    other.send(tmp_path / "back")
    again = one.receive(tmp_path / "back")
    assert (got.new, again.new, got.refused, again.refused) == ([], [], [], [])
    assert [row.job for row in one.store.jobs()] == ["heron-1"]
    play(one.store, "teal-1")
    one.send(tmp_path / "later")
    assert other.receive(tmp_path / "later").findings == []  # its list of heads still names the job that left


def test_what_is_not_due_stays(tmp_path: Path) -> None:
    one = Tablet.make(tmp_path, 1)
    old_job(one)
    for job, now in (("dunlin-1", LATER - 2), ("nobody-1", LATER)):
        with pytest.raises(RecordError, match=f"R462 job '{job}' stays in the ledger: it is not over, not sealed, or"):
            retire(one.store, one.pictures, job, tmp_path / "archive", key(1), 366, now)
    assert not (tmp_path / "archive").exists()


def test_a_job_whose_picture_is_lost_or_key_unknown_stays(tmp_path: Path) -> None:
    one = Tablet.make(tmp_path, 1)
    picture = old_job(one)
    with pytest.raises(RecordError, match="R462 job 'dunlin-1' stays in the ledger: its file in the archive does not"):
        retire(one.store, one.pictures, "dunlin-1", tmp_path / "a", key(1), 366, LATER, Keyring.begin(key(50)))
    one.pictures.path(picture).unlink()
    with pytest.raises(RecordError, match="X104"):
        retire(one.store, one.pictures, "dunlin-1", tmp_path / "b", key(1), 366, LATER)
    assert len(one.store.events("dunlin-1")) == 16


@pytest.mark.parametrize("writes", [0, 1])
def test_an_archive_that_fails_takes_nothing_away(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, writes: int) -> None:
    from coach.record import photos, retention

    one = Tablet.make(tmp_path, 1)
    old_job(one)
    left = [writes]

    def failing(path: Path, data: bytes, mode: int = 0o644) -> None:
        left[0] -= 1
        if left[0] < 0:
            raise OSError(28, "No space left on device")
        files.write_whole(path, data, mode)

    monkeypatch.setattr(retention, "write_whole", failing)
    monkeypatch.setattr(photos, "write_whole", failing)
    with pytest.raises(StoreError, match="R463 the archive archive did not take it|R432 the picture was not stored"):
        retire(one.store, one.pictures, "dunlin-1", tmp_path / "archive", key(1), 366, LATER)
    assert len(one.store.events("dunlin-1")) == 16
    monkeypatch.undo()


def test_a_job_that_went_on_meanwhile_stays(tmp_path: Path) -> None:
    one = Tablet.make(tmp_path, 1)
    old_job(one)
    last = one.store.entries("dunlin-1")[-1]
    one.store.append("dunlin-1", [event("tag_cleared", 2300)])
    with pytest.raises(RecordError, match="R415 job 'dunlin-1' has 17 entries, 16 were seen here"):
        one.store.retire("dunlin-1", last.seq, last.hash, "0" * 64, LATER)
    assert len(one.store.events("dunlin-1")) == 17


def test_only_a_retired_jobs_entries_can_be_taken_away(tmp_path: Path) -> None:
    one = Tablet.make(tmp_path, 1)
    old_job(one)
    play(one.store, "heron-1")
    retire(one.store, PhotoFolder(one.folder / "photos"), "dunlin-1", tmp_path / "archive", key(1), 366, LATER)
    for table in ("entry", "signature", "seal", "retired"):
        with pytest.raises(StoreError, match="R406"), one.store._database.change() as db:
            db.execute(f"DELETE FROM {table}")
    assert one.store.verify() == []
