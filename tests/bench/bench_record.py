"""What the record costs, beside raw SQLite on the same disk, in one run. By hand; it judges nothing, it is no test.

    python tests/bench/bench_record.py [act] [verify] [receive] [board] [growth] [review]
                                       [--folder DIR] [--jobs N] [--received N] [--grown N] [--reviewed N]

act      an acknowledged act against a bare durable commit of the same bytes, turn about
verify   a job of 300 events: its exported file, and in the ledger
receive  jobs of 50 events from a folder, checked, stored, their row made
board    queries over N jobs of 50 events
growth   the same queries on PostgreSQL over 1,000 jobs and ten times more until N, of 5 events, by bulk import
review   the supervisor's board, season and inspector's question over N real covering jobs, read whole
"""

from __future__ import annotations

import argparse
import random
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from coach.core.canonical import canonical, text_hash
from coach.core.chain import ZEROS, extend, head_message, seal_message
from coach.core.events import Event
from coach.record import export, rows, sealed
from coach.record.keyring import Keyring
from coach.record.ledger import Ledger
from coach.record.photos import PhotoFolder
from coach.record.receive import receive
from coach.record.store import JobParts, JobQuery, Signed
from coach.record.summary import MARKED, empty_row, row_after
from coach.yard.flames import flames
from coach.yard.review import Filters, Reviewer
from coach.yard.season import season
from coach.yard.shelf import Shelf
from tests.helpers.yard_jobs import HASTY, Yard
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, started

EVENTS = 50
DAY = 86_400_000


def quantile(spent: list[float], share: float) -> float:
    return sorted(spent)[min(len(spent) - 1, int(len(spent) * share))]


def step(number: int) -> Event:
    return event(
        "step_done", number, data={"step": f"frame.step-{number}", "evidence": {"tick": True, "count": number}}
    )


def act(folder: Path, count: int = 4000) -> None:
    """The bare commit: one row of the same bytes, its hash and 32 bytes more, SQLite as shipped but durable."""
    store = ledger(folder / "act")
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    bare = sqlite3.connect(folder / "bare.db", isolation_level=None)
    bare.execute("PRAGMA journal_mode=WAL")
    bare.execute("PRAGMA synchronous=FULL")
    bare.execute("CREATE TABLE entry (job TEXT, seq INTEGER, body TEXT, hash BLOB, mac BLOB, PRIMARY KEY (job, seq))")
    ours, theirs = [], []
    for number in range(count):
        made = step(number)
        body = canonical(made.as_dict()).decode()
        begun = time.perf_counter()
        bare.execute("BEGIN IMMEDIATE")
        bare.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?)", ("dunlin-1", number, body, bytes(32), bytes(32)))
        bare.execute("COMMIT")
        theirs.append(time.perf_counter() - begun)
        begun = time.perf_counter()
        store.append("dunlin-1", [made])
        ours.append(time.perf_counter() - begun)
    print(f"act: {count} turn about, microseconds")
    for name, spent in (("bare commit", theirs), ("acknowledged act", ours)):
        print(
            f"  {name:17} median {statistics.median(spent) * 1e6:6.0f}  mean {statistics.fmean(spent) * 1e6:6.0f}  "
            f"p95 {quantile(spent, 0.95) * 1e6:6.0f}"
        )
    print(
        f"  ratio of medians {statistics.median(ours) / statistics.median(theirs):.2f}, "
        f"of means {statistics.fmean(ours) / statistics.fmean(theirs):.2f}"
    )


def verify(folder: Path) -> None:
    store = ledger(folder / "verify")
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    for number in range(1, 299):
        store.append("dunlin-1", [step(number)])
    store.append("dunlin-1", [event("closed", 300)])
    store.seal("dunlin-1")
    raw = export.export(store, "dunlin-1", key(1))
    assert sealed.verify_bytes(raw) == store.verify("dunlin-1") == []
    print(f"verify: a job of 300 events, {len(raw):,} bytes")
    for name, work in (
        ("its file", lambda: sealed.verify_bytes(raw)),
        ("in the ledger", lambda: store.verify("dunlin-1")),
    ):
        spent = timed(work, 60)
        print(f"  {name:14} median {statistics.median(spent) * 1e3:5.1f} ms  p95 {quantile(spent, 0.95) * 1e3:5.1f} ms")


def made_job(number: int, ended: int, events: int) -> tuple[str, list[Event]]:
    """A finished job, by one of 12 technicians."""
    job = f"boat-{number:07d}"
    first = started(job, f"Boat {number}")
    data = dict(first.data) | {"technician": f"person-{number % 12}", "name": f"Person {number % 12}"}
    shift = (ended - first.at.wall) // 1000 - events
    told = [Event("job_started", first.at.plus(shift * 1000), "ana", data)]
    kinds = {9: "heat_refused", 10: "flame_lit", 14: "flame_out", 20: "tripped"}
    kinds |= {2: "flame_lit", 3: "flame_out"} if events < 10 else {}
    kinds[events - 1] = "closed"
    for place in range(1, events):
        kind = kinds.get(place, "step_done")
        if kind == "tripped" and number % 9:
            kind = "observed"
        told.append(event(kind, shift + place, data={"step": f"step-{place}", "evidence": {"tick": True}}))
    return job, told


def made_parts(
    number: int, tablet: int, ended: int, signs: bool = True, events: int = EVENTS
) -> tuple[JobParts, list[Event]]:
    job, told = made_job(number, ended, events)
    entries = tuple(extend(job, 0, ZEROS, told))
    last, device = entries[-1], key(tablet)
    id = device.key_id
    head = device.sign(head_message(job, last.seq, last.hash, id)) if signs else bytes(64)
    seal = device.sign(seal_message(job, last.seq, last.hash, id)) if signs else bytes(64)
    documents = {text_hash(text): text for text in (PROCEDURE, POLICY)}
    signed = ((Signed(last.seq, id, head),), (Signed(last.seq, id, seal),))
    return JobParts(job, entries, *signed, {id: device.public}, documents), told


def receiving(folder: Path, count: int) -> None:
    stick = folder / "stick"
    (stick / "jobs").mkdir(parents=True)
    for number in range(count):
        parts, _ = made_parts(number, number % 10 + 1, 1_917_000_000_000 + number * 60_000)
        (stick / "jobs" / export.file_name(parts)).write_bytes(export.write(parts, key(number % 10 + 1)))
    ring = Keyring.begin(key(99))
    for tablet in range(1, 11):
        ring = ring.enrol(key(99), key(tablet).public, f"Tablet {tablet}", 1)
    store = ledger(folder / "office", 50)
    for name in ("first", "again, nothing new"):
        begun, working = time.perf_counter(), time.process_time()
        got = receive(store, PhotoFolder(folder / "office" / "photos"), stick, ring, 1)
        spent = time.perf_counter() - begun
        assert (len(got.new) + got.known, got.refused) == (count, [])
        busy = time.process_time() - working
        print(
            f"receive: {count} jobs of {EVENTS} events, {name}: {count / spent:,.0f} a second "
            f"({count / busy:,.0f} a second of this process's own time)"
        )


def board(folder: Path, count: int) -> None:
    place = folder / "board"
    store = ledger(place)
    begun = time.perf_counter()
    fill(store, count)
    print(
        f"board: {count:,} jobs, {count * EVENTS:,} events, {(place / 'ledger.db').stat().st_size / 1e6:,.0f} MB, "
        f"filled in {time.perf_counter() - begun:,.0f} s"
    )
    store.close()
    asked(ledger(place), count)


def asked(store: Ledger, count: int) -> None:
    """Ask what a board asks, and print how long the answers took."""
    chance = random.Random(1)
    newest = 1_917_000_000_000 + count * 60_000

    def week() -> JobQuery:
        since = newest - chance.randrange(1, max(2, count // 1440)) * DAY
        return JobQuery(ended_since=since, ended_until=since + 7 * DAY, limit=50)

    def persons_week() -> JobQuery:
        return JobQuery(technician="person-3", ended_since=week().ended_since, limit=50)

    def weeks_board() -> object:
        day = datetime.fromtimestamp((newest - chance.randrange(1, max(2, count // 1440)) * DAY) / 1000, UTC)
        week = "{:04d}-W{:02d}".format(*day.isocalendar()[:2])
        return reviewer.board(Filters(week=week, who="person-3"), UTC, most=100, deep=0)

    reviewer = Reviewer(Shelf(store))
    queries: dict[str, Callable[[], object]] = {
        "first page of 50": lambda: store.jobs(JobQuery(limit=50)),
        "page 20": lambda: store.jobs(JobQuery(limit=50, offset=1000)),
        "waiting for review": lambda: store.jobs(JobQuery(states=("closed", "stopped"), limit=50)),
        "one technician": lambda: store.jobs(JobQuery(technician=f"person-{chance.randrange(12)}", limit=50)),
        "one week": lambda: store.jobs(week()),
        "one week, one technician": lambda: store.jobs(persons_week()),
        "flames of one day": lambda: store.marks(["flame_lit", "flame_out"], newest - 9 * DAY, newest - 8 * DAY),
        "review, 500 rows counted": lambda: reviewer.board(Filters(), deep=0),
        "review, a person's week": weeks_board,
        "one job's events": lambda: store.events(f"boat-{chance.randrange(count):07d}"),
    }
    together = []
    for name, work in queries.items():
        spent = timed(work, 60)
        together += spent
        print(f"  {name:26} median {statistics.median(spent) * 1e3:6.2f} ms  p95 {quantile(spent, 0.95) * 1e3:6.2f} ms")
    print(
        f"  {'all':26} median {statistics.median(together) * 1e3:6.2f} ms  p95 {quantile(together, 0.95) * 1e3:6.2f} ms"
    )


def growth(most: int) -> None:
    """Bulk import: tables filled by COPY with the triggers off, as an office does when it takes over an archive."""
    import psycopg

    from coach.record.postgres import PostgresDatabase
    from tests.record.conftest import started_server

    with started_server() as server:
        held, count = 0, 1000
        Ledger(PostgresDatabase(server.address), key(1)).close()
        while count <= most:
            begun = time.perf_counter()
            with psycopg.connect(server.address) as db:
                db.execute("SET session_replication_role = replica")
                copy_in(db, held, count)
            spent = time.perf_counter() - begun
            with psycopg.connect(server.address, autocommit=True) as db:
                db.execute("ANALYZE")
                (size,) = db.execute("SELECT pg_database_size(current_database())").fetchone()
            print(
                f"growth: PostgreSQL, {count:,} jobs, {count * 5:,} events, {size / 1e6:,.0f} MB, the last "
                f"{count - held:,} taken in at {(count - held) / spent:,.0f} jobs a second"
            )
            store = Ledger(PostgresDatabase(server.address), key(1))
            asked(store, count)
            store.close()
            held, count = count, count * 10


def copy_in(db: Any, first: int, last: int) -> None:
    """Take in jobs first to last, 5,000 at a time."""
    for begin in range(first, last, 5000):
        entries, marks, boards = [], [], []
        for each in range(begin, min(begin + 5000, last)):
            parts, told = made_parts(each, 1, 1_917_000_000_000 + each * 60_000, signs=False, events=5)
            boards.append(rows.row_values(row_after(empty_row(parts.job, own=True), parts.entries, told)))
            for entry, one in zip(parts.entries, told, strict=True):
                entries.append((entry.job, entry.seq, entry.body.decode(), bytes.fromhex(entry.hash)))
                if one.kind in MARKED:
                    marks.append((one.kind, one.at.wall, entry.job, entry.seq))
        for table, values in (("entry (job, seq, body, hash)", entries), ("mark", marks), ("job", boards)):
            with db.cursor().copy(f"COPY {table} FROM STDIN") as copy:
                for each in values:
                    copy.write_row(each)


def review(folder: Path, count: int) -> None:
    """Real jobs: one careful and one hasty whole covering job, each again and again under another name and day."""
    yard = Yard(folder / "yard")
    models = [yard.careful("Dunlin").job, yard.careful("Knot", "joel", notes=HASTY).job]
    store = ledger(folder / "review")
    documents = {
        text_hash(text): text for text in (models[0].rules.procedure.document, models[0].rules.policy.document)
    }
    begun, total = time.perf_counter(), 0
    for first in range(0, count, 100):
        batch = []
        for number in range(first, min(first + 100, count)):
            job, shift = f"boat-{number:07d}", number * 20 * 60_000
            told = [replace(each, at=each.at.plus(shift)) for each in models[number % 10 == 0].events]
            told[0] = replace(told[0], data={**told[0].data, "job": job, "boat": f"Boat {number}"})
            entries = tuple(extend(job, 0, ZEROS, told))
            total += len(entries)
            batch.append((JobParts(job, entries, (), (), {}, documents), ""))
        store.add_all(batch)
    print(f"review: {count:,} real jobs, {total:,} events, taken in within {time.perf_counter() - begun:,.0f} s")
    newest = models[0].events[0].at.wall + count * 20 * 60_000
    reviewer = Reviewer(Shelf(store))
    asks: list[tuple[str, int, Callable[[], object]]] = [
        ("board, 60 read whole, first", 5, lambda: Reviewer(Shelf(store)).board(Filters(), most=100, deep=60)),
        ("board, 60 read whole, again", 60, lambda: reviewer.board(Filters(), most=100, deep=60)),
        ("board, 200 read whole, first", 3, lambda: Reviewer(Shelf(store)).board(Filters())),
        ("board, counted only", 60, lambda: Reviewer(Shelf(store)).board(Filters(), deep=0)),
        ("flames of one day", 5, lambda: flames(Shelf(store), newest - DAY, newest)),
        ("season over all jobs", 3, lambda: season(Shelf(store), 0, newest + 10 * DAY)),
    ]
    reviewer.board(Filters(), most=100, deep=60)
    for name, times, work in asks:
        working = time.process_time()
        spent = timed(work, times)
        busy = (time.process_time() - working) / times
        print(
            f"  {name:30} median {statistics.median(spent) * 1e3:8.1f} ms  (this process's own time {busy * 1e3:8.1f} ms)"
        )


def fill(store: Ledger, count: int) -> None:
    """Write jobs straight into the tables, 1,000 a transaction; 40 of them are not finished."""
    for first in range(0, count, 1000):
        with store._database.change() as db:
            number = rows.signer_number(db, key(1))
            entries, signatures, boards, marks = [], [], [], []
            for each in range(first, min(first + 1000, count)):
                parts, told = made_parts(each, 1, 1_917_000_000_000 + each * 60_000, signs=False)
                if each % max(1, count // 40) == 0:
                    parts = JobParts(parts.job, parts.entries[:-1], (), (), {}, {})
                row = row_after(empty_row(parts.job, own=True), parts.entries, told[: len(parts.entries)])
                for entry, one in zip(parts.entries, told, strict=False):
                    entries.append((entry.job, entry.seq, entry.body.decode(), bytes.fromhex(entry.hash), None))
                    if one.kind in MARKED:
                        marks.append((one.kind, one.at.wall, entry.job, entry.seq))
                signatures += [(parts.job, signed.seq, number, signed.signature) for signed in parts.signatures]
                boards.append(rows.row_values(row))
            db.executemany("INSERT INTO entry VALUES (?, ?, ?, ?, ?)", entries)
            db.executemany("INSERT INTO signature VALUES (?, ?, ?, ?)", signatures)
            db.executemany("INSERT INTO mark VALUES (?, ?, ?, ?)", marks)
            db.executemany(rows.PUT_ROW, boards)


def timed(work: Callable[[], object], times: int) -> list[float]:
    spent = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        spent.append(time.perf_counter() - begun)
    return spent


def places(folder: str | None) -> Iterator[Path]:
    made = Path(tempfile.mkdtemp(prefix="coach-bench-", dir=folder))
    try:
        yield made
    finally:
        shutil.rmtree(made)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", nargs="*", default=["act", "verify", "receive", "board"])
    parser.add_argument("--folder", help="where to write; the disk that is measured")
    parser.add_argument("--jobs", type=int, default=100_000)
    parser.add_argument("--grown", type=int, default=1_000_000)
    parser.add_argument("--received", type=int, default=10_000)
    parser.add_argument("--reviewed", type=int, default=1_000)
    given = parser.parse_args()
    for folder in places(given.folder):
        if "act" in given.what:
            act(folder)
        if "verify" in given.what:
            verify(folder)
        if "receive" in given.what:
            receiving(folder, given.received)
        if "board" in given.what:
            board(folder, given.jobs)
        if "growth" in given.what:
            growth(given.grown)
        if "review" in given.what:
            review(folder, given.reviewed)


if __name__ == "__main__":
    main()
