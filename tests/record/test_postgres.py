"""What PostgreSQL itself holds against change, and a server that stops, is slow, or is of another version."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.core.problems import StoreError
from coach.record.ledger import Ledger
from coach.record.postgres import PostgresDatabase
from tests.record.jobs import POLICY, PROCEDURE, event, key, play, silent, started, story

psycopg = pytest.importorskip("psycopg")

if TYPE_CHECKING:
    from tests.record.conftest import Server

JOB = "dunlin-1"


@pytest.fixture
def address(new_office: Callable[[Path], str], tmp_path: Path) -> str:
    return new_office(tmp_path)


def office(address: str, number: int = 1) -> Ledger:
    return Ledger(PostgresDatabase(address), key(number), silent)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET body = '{}'",
        "DELETE FROM entry",
        "TRUNCATE entry CASCADE",
        "INSERT INTO entry VALUES ('dunlin-1', 18, '{}', decode(repeat('00', 32), 'hex'), NULL)",
        "INSERT INTO entry VALUES ('dunlin-1', 2, '{}', decode(repeat('00', 32), 'hex'), NULL)",
        "DELETE FROM seal",
        "UPDATE signer SET public = ''",
        "DELETE FROM migration",
    ],
)
def test_the_tables_take_no_change(address: str, statement: str) -> None:
    store = office(address)
    play(store, JOB)
    with psycopg.connect(address, autocommit=True) as other, pytest.raises(psycopg.IntegrityError):
        other.execute(statement)
    assert store.verify() == []
    assert store.events(JOB) == tuple(story(JOB))


def test_a_change_by_the_servers_owner_shows(address: str) -> None:
    store = office(address)
    play(store, JOB)
    with psycopg.connect(address, autocommit=True) as other:
        other.execute("ALTER TABLE entry DISABLE TRIGGER ALL")
        other.execute("UPDATE entry SET body = replace(body, '22 km/h', '12 km/h') WHERE seq = 7")
    assert [problem.code for problem in store.verify()] == ["R204"]


def test_a_server_that_crashes_has_what_it_acknowledged(own_server: Server, address: str) -> None:
    store = office(address)
    store.start_job(JOB, [started(JOB)], [PROCEDURE, POLICY])
    told = story(JOB)
    for number, each in enumerate(told[1:9]):
        store.append(JOB, [each])
        if number in (1, 5):
            own_server.crash()
            with pytest.raises(StoreError) as caught:
                store.append(JOB, [told[number + 2]])
            assert caught.value.problems[0].code in ("R451", "R406")
            own_server.start()
            assert store.events(JOB) == tuple(told[: number + 2])
    assert store.events(JOB) == tuple(told[:9])
    assert store.verify() == []


def test_a_server_that_is_not_there_is_said() -> None:
    with pytest.raises(StoreError) as caught:
        PostgresDatabase("host=/nowhere dbname=x")
    text = str(caught.value)
    assert text.startswith("R451 the office's server cannot be reached or refuses (OperationalError: ")
    assert text.endswith("mend  see that the server runs and its address is right, then do the last act again")


def test_one_writer_at_a_time(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from coach.record import postgres

    monkeypatch.setattr(postgres, "WAIT", "50ms")
    one, two = office(address), office(address)
    one.start_job(JOB, [started(JOB)], [PROCEDURE, POLICY])
    two.events(JOB)
    said = "R401 another program is writing to the office's ledger"
    with one._database.change(), pytest.raises(StoreError, match=said):
        two.append(JOB, [event("paused", 5)])
    two.append(JOB, [event("paused", 5)])
    assert one.verify() == []


def test_tables_of_a_newer_version_are_left_alone(address: str) -> None:
    office(address).close()
    with psycopg.connect(address, autocommit=True) as other:
        other.execute("INSERT INTO migration VALUES ('photographs_in_colour', '9.0')")
    with pytest.raises(StoreError, match=r"R408 the office's ledger was written by a newer version of the app \(photo"):
        office(address)


def test_odd_texts_come_back_as_they_went_in(address: str) -> None:
    store = office(address)
    store.start_job(JOB, [started(JOB)], [PROCEDURE, POLICY])
    odd = "\x00\x01\x1f \u2028 \ufffe 🚤 ' \" \\ %s ? ;"
    store.append(JOB, [event("measured", 1, data={"typed": odd})])
    assert store.events(JOB)[1].data["typed"] == odd
    assert store.verify() == []
