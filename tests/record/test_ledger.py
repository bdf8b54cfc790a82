"""The ledger as its users see it, on SQLite and on PostgreSQL: what goes in comes out, signed, sealed, in order."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from coach.core.chain import ZEROS, extend
from coach.core.problems import RecordError
from coach.record.store import Head, JobQuery
from coach.record.summary import fits
from tests.record.jobs import ANA, MARTA, POLICY, PROCEDURE, event, ledger, play, review, started, story

pytestmark = pytest.mark.usefixtures("both_stores")

UNSAID = replace(started("x"), data={key: value for key, value in started("x").data.items() if key != "practice"})


def test_a_job_comes_back_as_it_went_in(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    store.close()
    again = ledger(tmp_path)
    assert again.events("dunlin-1") == tuple(story("dunlin-1"))
    assert again.verify() == []
    assert [entry.seq for entry in again.entries("dunlin-1")] == list(range(1, 17))


def test_the_board_shows_who_what_and_the_counts(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    (row,) = store.jobs()
    assert (row.state, row.boat, row.technician, row.name) == ("closed", "Dunlin", ANA, "Ana Ruiz")
    assert (row.heat_refused, row.trips, row.excused, row.tags, row.corrections) == (1, 1, 0, 0, 1)
    assert (row.entries, row.sealed, row.own, row.practice) == (16, True, True, False)
    store.append("dunlin-1", review())
    (row,) = store.jobs(JobQuery(states=("accepted",)))
    assert not row.sealed
    assert store.seal("dunlin-1").seq == 17
    assert store.jobs()[0].sealed
    assert store.jobs(JobQuery(technician="joel")) == []


def test_every_act_ends_with_the_devices_mark_and_every_answer_is_signed(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    made = store.append("dunlin-1", [event("paused", 5, data={"why": "rain"}), event("resumed", 9)])
    macs = store._database.rows("SELECT seq FROM entry WHERE mac IS NOT NULL")
    assert macs == [(1,), (3,)]
    assert store.heads() == [Head("dunlin-1", 3, made[-1].hash)]
    assert [signed.seq for signed in store.parts("dunlin-1").signatures] == [3]


def test_what_a_sudden_end_left_unsigned_is_signed_at_the_next_opening(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    store.append("dunlin-1", [event("paused", 5)])
    store._database.close()  # as a kill would: nothing is signed on the way out
    reader = ledger(tmp_path, None)
    assert [problem.code for problem in reader.verify("dunlin-1")] == ["R302"]
    again = ledger(tmp_path)
    assert reader.verify("dunlin-1") == []
    assert [signed.seq for signed in again.parts("dunlin-1").signatures] == [2]


def test_two_windows_do_not_write_past_each_other(tmp_path: Path) -> None:
    one, two = ledger(tmp_path), ledger(tmp_path)
    one.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    two.events("dunlin-1")
    one.append("dunlin-1", [event("paused", 5)])
    with pytest.raises(RecordError) as caught:
        two.append("dunlin-1", [event("measured", 6)])
    assert str(caught.value) == (
        "R415 job 'dunlin-1' has 2 entries, 1 were seen here\n"
        "    why   another window or tablet went on with this job; what was decided here may no longer hold\n"
        "    mend  open the job again and look before you go on"
    )
    two.events("dunlin-1")
    two.append("dunlin-1", [event("resumed", 7)])
    assert [each.kind for each in one.events("dunlin-1")] == ["job_started", "paused", "resumed"]


def test_the_monitor_can_refuse_the_seal_but_never_the_events(tmp_path: Path) -> None:
    store = ledger(tmp_path, monitor=lambda events: ["the flame burned without a wind reading"])
    told = story("dunlin-1")
    store.start_job("dunlin-1", told, [PROCEDURE, POLICY])
    with pytest.raises(RecordError) as caught:
        store.seal("dunlin-1")
    assert str(caught.value).startswith("R418 job 'dunlin-1' is not sealed: the flame burned without a wind reading\n")
    assert store.events("dunlin-1") == tuple(told)
    assert not store.jobs()[0].sealed


@pytest.mark.parametrize(
    ("job", "events", "texts", "code"),
    [
        ("../up", [started("x")], [PROCEDURE, POLICY], "R411"),
        ("", [started("x")], [PROCEDURE, POLICY], "R411"),
        ("a" * 65, [started("x")], [PROCEDURE, POLICY], "R411"),
        ("x", [event("paused", 1)], [PROCEDURE, POLICY], "R411"),
        ("x", [], [PROCEDURE, POLICY], "R411"),
        ("x", [started("x")], [PROCEDURE], "R413"),
        ("x", [started("x")], [PROCEDURE, POLICY + " "], "R413"),
        ("x", [started("x", practice=True)], [PROCEDURE, POLICY], "R423"),
        ("x", [UNSAID], [PROCEDURE, POLICY], "R423"),
    ],
)
def test_a_job_begins_properly_or_not_at_all(tmp_path: Path, job: str, events: list, texts: list, code: str) -> None:
    store = ledger(tmp_path)
    with pytest.raises(RecordError) as caught:
        store.start_job(job, events, texts)
    assert [problem.code for problem in caught.value.problems] == [code]
    assert store.jobs() == []


def test_an_id_is_used_once(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    with pytest.raises(RecordError, match="R412 job 'dunlin-1' exists"):
        store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])


def test_a_ledger_without_a_key_only_reads(tmp_path: Path) -> None:
    play(ledger(tmp_path), "dunlin-1")
    reader = ledger(tmp_path, None)
    assert reader.events("dunlin-1") == tuple(story("dunlin-1"))
    with pytest.raises(RecordError, match="R410 this ledger was opened without the device's key"):
        reader.append("dunlin-1", review())


def test_foreign_jobs_are_reviewed_only_and_only_when_finished(tmp_path: Path) -> None:
    origin, office = ledger(tmp_path / "a", 1), ledger(tmp_path / "b", 2)
    origin.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    office.add(origin.parts("dunlin-1"))
    for events in ([event("measured", 9)], review()):
        with pytest.raises(RecordError, match="R416"):
            office.append("dunlin-1", events)
    for each in story("dunlin-1")[1:]:
        origin.append("dunlin-1", [each])
    assert office.add(origin.parts("dunlin-1")) == 15
    office.append("dunlin-1", review())
    office.seal("dunlin-1")
    assert origin.add(office.parts("dunlin-1")) == 1
    assert origin.verify() == office.verify() == []
    assert origin.jobs()[0].own and not office.jobs()[0].own
    assert origin.events("dunlin-1")[-1].by == MARTA


def test_practice_comes_in_by_no_door(tmp_path: Path) -> None:
    """Not from another device either: its chain is in order, and it is refused all the same."""
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    real = store.parts("dunlin-1")
    chain = tuple(extend("dunlin-2", 0, ZEROS, [started("dunlin-2", practice=True), event("measured", 9)]))
    with pytest.raises(RecordError) as caught:
        store.add(replace(real, job="dunlin-2", entries=chain, signatures=(), seals=()))
    assert str(caught.value) == (
        "R423 job 'dunlin-2' is practice, or does not say that it is not\n"
        "    why   the ledger holds records of real work, and practice must never be taken for one\n"
        "    mend  start the job as a real one; practice is kept in the book of practice"
    )
    assert [row.job for row in store.jobs()] == ["dunlin-1"]


def test_another_history_is_not_taken(tmp_path: Path) -> None:
    one, two = ledger(tmp_path / "a", 1), ledger(tmp_path / "b", 1)
    for store, second in ((one, 5), (two, 6)):
        store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
        store.append("dunlin-1", [event("paused", second)])
    with pytest.raises(RecordError, match="R419 job 'dunlin-1' is told in two ways"):
        one.add(two.parts("dunlin-1"))
    assert one.verify() == []


def test_rows_and_marks_are_made_anew_from_the_entries(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    for job in ("dunlin-1", "dunlin-2"):
        play(store, job)
    rows, marks = store.jobs(), store.marks(["flame_lit", "tripped"], 0, 2**52)
    assert [(mark.job, mark.kind) for mark in marks] == [
        ("dunlin-1", "flame_lit"), ("dunlin-2", "flame_lit"), ("dunlin-1", "tripped"), ("dunlin-2", "tripped"),
    ]  # fmt: skip
    with store._database.change() as db:
        db.execute("UPDATE job SET boat = 'Heron' WHERE job = 'dunlin-2'")
        db.execute("DELETE FROM mark")
    assert [problem.code for problem in store.verify()] == ["R420"]
    assert store.rebuild() == 2
    assert store.verify() == []
    assert store.jobs() == rows
    assert store.marks(["flame_lit", "tripped"], 0, 2**52) == marks


def test_the_board_gives_pages_in_order_whatever_is_asked(tmp_path: Path) -> None:
    """Against a slow twin: all rows, filtered and sorted in Python."""
    store = ledger(tmp_path)
    chance = random.Random(5)
    for number in range(40):
        job = f"boat-{number}"
        first = started(job, second=chance.randrange(10_000))
        data = dict(first.data) | {"technician": chance.choice(["ana", "joel"]), "procedure": f"p{number % 3}"}
        store.start_job(job, [replace(first, data=data)], [PROCEDURE, POLICY])
        for kind in chance.choice([(), ("paused",), ("closed",), ("stopped_safely",), ("closed", "accepted"),
                                   ("closed", "sent_back"), ("flame_lit",), ("paused", "flame_lit"), ("flame_lit", "flame_out")]):  # fmt: skip
            store.append(job, [event(kind, chance.randrange(10_000, 20_000))])
    everything = store.jobs()
    assert len(everything) == 40
    assert everything == sorted(everything, key=lambda row: (row.ended > 0, -row.updated, row.job))
    start = everything[0].started
    queries = [
        JobQuery(), JobQuery(states=("closed", "stopped")), JobQuery(states=("open", "closed", "accepted")),
        JobQuery(states=("flame", "tripped")), JobQuery(states=("flame", "closed")), JobQuery(states=("paused",)),
        JobQuery(technician="ana"), JobQuery(practice=True), JobQuery(practice=False, procedure="p1"),
        JobQuery(ended_since=everything[-5].ended), JobQuery(ended_until=everything[-5].ended),
        JobQuery(ended_since=start, ended_until=start + 10**9, technician="joel"), JobQuery(states=("nothing",)),
        JobQuery(started_until=everything[-5].started), JobQuery(ended_since=start, started_until=everything[2].started),
    ]  # fmt: skip
    for query in queries:
        whole = [row for row in everything if fits(row, query)]
        for limit in (None, 0, 1, 3, 7, 100):
            for offset in (0, 1, 5, 20, 60):
                page = store.jobs(replace(query, limit=limit, offset=offset))
                assert page == whole[offset : None if limit is None else offset + limit], (query, limit, offset)
