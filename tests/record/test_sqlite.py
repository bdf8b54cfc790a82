"""What SQLite itself holds against change, from within the app and from outside, and files of other versions."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from coach.core.chain import extend
from coach.core.problems import RecordError, StoreError
from coach.record.ledger import Ledger
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, play, silent, started, story


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("UPDATE entry SET body = '{}'", "R406"),
        ("DELETE FROM entry", "R406"),
        ("REPLACE INTO entry VALUES ('dunlin-1', 2, '{}', zeroblob(32), NULL)", "R406"),
        ("INSERT INTO entry VALUES ('dunlin-1', 18, '{}', zeroblob(32), NULL)", "R406"),
        ("DELETE FROM seal", "R406"),
        ("DROP TRIGGER entry_no_update", "R406"),
        ("DROP TABLE entry", "R406"),
        ("ALTER TABLE entry RENAME TO old", "R406"),
        ("PRAGMA writable_schema = 1", "R406"),
        ("PRAGMA recursive_triggers = 0", "R406"),
        ("ATTACH ':memory:' AS other", "R406"),
    ],
)
def test_the_connection_takes_no_change(tmp_path: Path, statement: str, code: str) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    with pytest.raises(StoreError) as caught:
        store._database.rows(statement)
    assert caught.value.problems[0].code == code
    assert store.verify() == []
    assert store.events("dunlin-1") == tuple(story("dunlin-1"))


@pytest.mark.parametrize("act", ["UPDATE entry SET body = '{}'", "DELETE FROM entry", "DELETE FROM migration",
                                 "REPLACE INTO seal SELECT * FROM seal"])  # fmt: skip
def test_another_program_meets_the_triggers(tmp_path: Path, act: str) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    store.close()
    other = sqlite3.connect(tmp_path / "ledger.db")
    other.execute("PRAGMA recursive_triggers = ON")
    with pytest.raises(sqlite3.IntegrityError, match="the record is only ever added to"):
        other.execute(act)
    other.close()


def test_a_tail_put_in_from_outside_is_never_signed(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    head = store.append("dunlin-1", [event("paused", 5)])[-1]
    store.close()
    (false,) = extend("dunlin-1", 2, head.hash, [event("closed", 9)])
    other = sqlite3.connect(tmp_path / "ledger.db")
    values = (false.job, false.seq, false.body.decode(), bytes.fromhex(false.hash), bytes(32))
    other.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?)", values)
    other.commit()
    other.close()
    again = ledger(tmp_path)
    assert [str(problem) for problem in again.verify("dunlin-1")] == [
        (
            "R302 entries 3 to 3 carry no device's signature\n"
            "    why   anyone could have added them\n"
            "    mend  keep the tablet and this record, call the supervisor"
        )
    ]
    with pytest.raises(RecordError, match="R422 the last entries of job 'dunlin-1' were not written by this app"):
        again.append("dunlin-1", [event("resumed", 10)])
    with pytest.raises(RecordError, match="R422"):
        again.seal("dunlin-1")


def test_a_file_of_a_newer_version_is_left_alone(tmp_path: Path) -> None:
    ledger(tmp_path).close()
    db = sqlite3.connect(tmp_path / "ledger.db")
    db.execute("INSERT INTO migration VALUES ('photographs_in_colour', '9.0')")
    db.commit()
    db.close()
    with pytest.raises(StoreError) as caught:
        Ledger.open(tmp_path / "ledger.db", key(1), silent)
    assert str(caught.value) == (
        "R408 this ledger was written by a newer version of the app (photographs_in_colour)\n"
        "    why   an older version could read it wrongly\n"
        "    mend  update the app on this device"
    )
