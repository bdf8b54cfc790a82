"""Tablets whose files were copied, set back or lost: both histories are kept, what is missing is reported."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.record.jobs import event, key, play, review
from tests.record.test_exchange import Tablet


def forked(folder: Path) -> tuple[Tablet, Tablet]:
    """Two tablets with one key: one was restored from a copy and both went on."""
    one = Tablet.make(folder, 1)
    play(one.store, "dunlin-1")
    one.store.close()
    shutil.copytree(one.folder, folder / "twin" / "tablet-1")
    twin = Tablet.make(folder / "twin", 1)
    one.store.append("dunlin-1", review(9000))
    twin.store.append("dunlin-1", review(9500))
    for tablet in (one, twin):
        tablet.store.seal("dunlin-1")
    return one, twin


@pytest.mark.parametrize("first", [0, 1])
def test_a_fork_is_kept_and_reported_whichever_comes_first(tmp_path: Path, first: int) -> None:
    pair = forked(tmp_path)
    sticks = [tmp_path / "stick-0", tmp_path / "stick-1"]
    for tablet, stick in zip(pair, sticks, strict=True):
        tablet.send(stick)
    office = Tablet.make(tmp_path, 5)
    office.receive(sticks[first])
    held = office.store.parts("dunlin-1")
    got = office.receive(sticks[1 - first])
    assert [(finding.code, finding.job) for finding in got.findings] == [("X301", "dunlin-1"), ("X304", "")]
    assert got.findings[0].text == "R419 job 'dunlin-1' is told in two ways"
    assert got.findings[1].text == (
        f"tablet {key(1).key_id[:12]} gave two lists of its jobs under one number (1): two copies of one tablet"
    )
    assert office.store.parts("dunlin-1") == held
    (kept,) = (office.folder / "kept").iterdir()
    assert kept.read_bytes() == next((sticks[1 - first] / "jobs").iterdir()).read_bytes()
    again = office.receive(sticks[1 - first])
    assert (again.findings, len(office.store.memory.findings())) == ([], 2)


def test_a_tablet_set_back_to_an_old_copy_is_noticed(tmp_path: Path) -> None:
    one, office = Tablet.make(tmp_path, 1), Tablet.make(tmp_path, 5)
    play(one.store, "dunlin-1")
    one.send(tmp_path / "monday")
    one.store.close()
    old = (one.folder / "ledger.db").read_bytes()
    play(one.store, "heron-1")
    one.send(tmp_path / "tuesday")
    office.receive(tmp_path / "monday")
    office.receive(tmp_path / "tuesday")
    one.store.close()
    (one.folder / "ledger.db").write_bytes(old)
    back = Tablet.make(tmp_path, 1)
    back.store.append("dunlin-1", review())
    back.store.seal("dunlin-1")
    back.send(tmp_path / "wednesday")
    assert [finding.code for finding in office.receive(tmp_path / "wednesday").findings] == ["X304"]
    back.store.append("dunlin-1", [event("tag_cleared", 9900)])
    back.send(tmp_path / "thursday")
    got = office.receive(tmp_path / "thursday")
    assert [(finding.code, finding.job, finding.text) for finding in got.findings] == [
        ("X303", "heron-1", (f"tablet {key(1).key_id[:12]} now holds 0 of 16 entries of job 'heron-1' that it had: "
                            "the rest was taken away")),
    ]  # fmt: skip
    assert len(office.store.events("heron-1")) == 16  # what was held stays
    assert back.receive(tmp_path / "tuesday").new == ["heron-1"]  # and comes back to the tablet that lost it


def test_a_lost_tablets_work_comes_back_from_the_yard(tmp_path: Path) -> None:
    one, other, stick = Tablet.make(tmp_path, 1), Tablet.make(tmp_path, 2), tmp_path / "stick"
    for job in ("dunlin-1", "dunlin-2"):
        play(one.store, job)
    one.send(stick)
    other.receive(stick)
    shutil.rmtree(one.folder)
    other.send(tmp_path / "back")
    fresh = Tablet.make(tmp_path, 1)
    assert sorted(fresh.receive(tmp_path / "back").new) == ["dunlin-1", "dunlin-2"]
    assert fresh.heads() == other.heads()
