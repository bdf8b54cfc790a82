"""Failing writes and syncs, power cuts, full and read-only disks, torn files: nothing acknowledged is lost.

The disk is faulty_disk.py; the ledger and SQLite are the real ones. COACH_LONG=1 takes every call and more seeds.
"""

from __future__ import annotations

import os
import random
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from coach.core.events import Event
from coach.core.problems import RecordError, StoreError
from coach.record import database
from coach.record.ledger import Ledger
from tests.record.faulty_disk import FaultyDisk, Plan
from tests.record.jobs import POLICY, PROCEDURE, key, ledger, silent, story

LONG = bool(os.environ.get("COACH_LONG"))
JOB = "dunlin-1"
TOLD = [*story(JOB)[:4], *story(JOB)[6:11], *story(JOB)[14:]]


@pytest.fixture(scope="module")
def disk() -> Iterator[FaultyDisk]:
    made = FaultyDisk().install()
    real = database.sync_folder

    def sync_folder(folder: Path) -> None:
        real(folder)
        made.folder_synced()

    database.sync_folder = sync_folder
    yield made
    database.sync_folder = real
    made.remove()


@pytest.fixture
def spot() -> Iterator[Path]:
    """A folder in memory where there is one: the disk under test is the model, the real one would only be slow."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        yield Path(folder)


class App:
    """What a front end does with a ledger: act, and after an error read again what is there and go on."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.acknowledged = 0
        self.errors: list[str] = []
        self.store: Ledger | None = None

    def run(self, tries: int = 3) -> bool:
        """Play the job to its seal; whether it got there."""
        for _ in range(tries):
            try:
                self.go_on()
                return True
            except StoreError as error:
                self.errors += [problem.code for problem in error.problems]
        return False

    def go_on(self) -> None:
        self.store = self.store or ledger(self.folder)
        held = self.held()
        assert self.acknowledged <= len(held) <= self.acknowledged + 1
        assert held == tuple(TOLD[: len(held)])
        if not held:
            self.store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
            held = tuple(TOLD[:1])
        self.acknowledged = len(held)
        for each in TOLD[len(held) :]:
            if self.acknowledged == 6:  # in the middle the app is closed and opened: the log goes into the file
                self.store.close()
            self.store.append(JOB, [each])
            self.acknowledged += 1
        self.store.seal(JOB)
        self.store.close()

    def held(self) -> tuple[Event, ...]:
        assert self.store is not None
        return self.store.events(JOB) if self.store.jobs() else ()


def check(folder: Path, acknowledged: int) -> int:
    """Open what is there without faults: all that was acknowledged, at most one act more, nothing broken."""
    store = ledger(folder)
    held = store.events(JOB) if store.jobs() else ()
    assert acknowledged <= len(held) <= acknowledged + 1, (acknowledged, len(held))
    assert held == tuple(TOLD[: len(held)])
    assert store.verify() == []
    store.close()
    return len(held)


def calls_of_a_whole_run(disk: FaultyDisk, folder: Path) -> int:
    disk.start()
    app = App(folder)
    assert app.run()
    assert app.acknowledged == len(TOLD)
    return disk.calls


WAYS = [("error", 0), ("error", 1), ("error", 2), ("full", 0), ("full", 1)]


def test_each_call_fails_once(disk: FaultyDisk, spot: Path) -> None:
    """Each write, sync, truncation and deletion of a whole job, each in one of five ways (COACH_LONG=1: in all)."""
    calls = calls_of_a_whole_run(disk, spot / "whole")
    assert calls > 150
    told = 0
    for call in range(1, calls + 1):
        for kind, part in WAYS if LONG else [WAYS[call % len(WAYS)]]:
            folder = spot / f"{call}-{kind}-{part}"
            disk.start(Plan(call, kind, part))
            app = App(folder)
            assert app.run(), (call, disk.log[call - 1], app.errors)
            assert set(app.errors) <= {"R402", "R403", "R404", "R409"}, (call, app.errors)
            told += bool(app.errors)
            disk.start()
            assert check(folder, app.acknowledged) == len(TOLD)
            shutil.rmtree(folder)
    assert told > calls // 4  # the rest were calls whose failure SQLite itself makes good (checkpoints, deletions)


@pytest.mark.parametrize("kind", ["error", "full"])
def test_the_disk_fails_for_ever_from_a_call_on(disk: FaultyDisk, spot: Path, kind: str) -> None:
    calls = calls_of_a_whole_run(disk, spot / "whole")
    for call in range(1, calls + 1, 1 if LONG else 7):
        folder = spot / str(call)
        disk.start(Plan(call, kind, 1, for_ever=True))
        app = App(folder)
        got_there = app.run()
        assert got_there or app.errors, call
        if app.store is not None and app.acknowledged:
            assert len(app.held()) >= app.acknowledged  # what was acknowledged is still shown, while the disk is bad
        disk.start()
        check(folder, app.acknowledged)
        shutil.rmtree(folder)


@pytest.mark.parametrize("fault", ["none", "error", "full"])
def test_power_is_cut_at_each_call(disk: FaultyDisk, spot: Path, fault: str) -> None:
    """With and without a fault shortly before: the fsync study's case."""
    calls = calls_of_a_whole_run(disk, spot / "whole")
    chance = random.Random(20301004)
    images: dict[tuple[tuple[str, bytes], ...], int] = {}
    first = 57 if fault == "none" else 1
    runs = [0] if fault == "none" else sorted(chance.sample(range(60, calls), 12 if LONG else 4))
    for failing in runs:
        folder = spot / f"run-{failing}"
        disk.start(Plan(failing, fault, 1) if failing else None)
        app = App(folder)

        def cut(app: App = app, failing: int = failing) -> None:
            if disk.calls < first or (failing and not failing <= disk.calls <= failing + 60):
                return
            for _ in range(6 if LONG else 2):
                image = disk.image(chance)
                images[image] = max(images.get(image, 0), app.acknowledged)

        disk.at_cut = cut
        assert app.run()
    disk.start()
    assert len(images) > 100
    for number, (image, acknowledged) in enumerate(images.items()):
        folder = spot / f"cut-{number}"
        folder.mkdir()
        for name, raw in image:
            (folder / name).write_bytes(raw)
        check(folder, acknowledged)
        shutil.rmtree(folder)


def test_the_model_of_the_disk_would_show_a_lost_act(disk: FaultyDisk, spot: Path) -> None:
    """The test of the test: with synchronous=OFF the same power cuts lose acknowledged acts."""
    pragmas = database._PRAGMAS
    database._PRAGMAS = (*pragmas, "synchronous=OFF")
    try:
        disk.start()
        app, chance, lost = App(spot / "off"), random.Random(7), 0
        images: list[tuple[tuple[tuple[str, bytes], ...], int]] = []

        def cut() -> None:
            if disk.calls > 60 and disk.calls % 9 == 0:
                images.append((disk.image(chance), app.acknowledged))

        disk.at_cut = cut
        assert app.run()
    finally:
        database._PRAGMAS = pragmas
    disk.start()
    for number, (image, acknowledged) in enumerate(images):
        folder = spot / f"cut-{number}"
        folder.mkdir()
        for name, raw in image:
            (folder / name).write_bytes(raw)
        try:
            check(folder, acknowledged)
        except (AssertionError, StoreError):
            lost += 1
    assert lost > 5


def test_after_a_failed_commit_the_words_are_plain(disk: FaultyDisk, spot: Path) -> None:
    disk.start()
    store = ledger(spot)
    store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    disk.plan = Plan(disk.calls + 1, "full", 0)
    with pytest.raises(StoreError) as caught:
        store.append(JOB, TOLD[1:2])
    assert str(caught.value) == (
        "R402 the disk is full (ledger.db: database or disk is full, SQLITE_FULL)\n"
        "    why   what the screen has acknowledged before is kept; the last act may not be\n"
        "    mend  free some space, then do the last act again"
    )
    assert store.events(JOB) == tuple(TOLD[:1])
    store.append(JOB, TOLD[1:2])
    assert store.events(JOB) == tuple(TOLD[:2])


def test_a_torn_last_page_of_the_log_shows_a_clean_beginning(spot: Path) -> None:
    whole = spot / "whole"
    store = ledger(whole)
    store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    sizes = []
    for each in TOLD[1:]:
        store.append(JOB, [each])
        sizes.append((whole / "ledger.db-wal").stat().st_size)
    db, log = (whole / "ledger.db").read_bytes(), (whole / "ledger.db-wal").read_bytes()
    assert sizes[-1] == len(log)
    chance = random.Random(3)
    for size in chance.sample(range(sizes[0], len(log)), 300 if LONG else 60):
        folder = spot / str(size)
        folder.mkdir()
        (folder / "ledger.db").write_bytes(db)
        (folder / "ledger.db-wal").write_bytes(log[:size])
        again = ledger(folder)
        whole_acts = 1 + sum(end <= size for end in sizes)
        assert again.events(JOB) == tuple(TOLD[:whole_acts])
        assert again.verify() == []
        again.close()


@pytest.mark.parametrize("way", ["zeros", "noise", "one bit"])
def test_a_damaged_file_is_said_and_never_shown_as_something_else(spot: Path, way: str) -> None:
    """COACH_LONG=1: 3,000 places a way instead of 100."""
    app = App(spot / "whole")
    assert app.run()
    raw = (spot / "whole" / "ledger.db").read_bytes()
    used = [place for place in range(0, len(raw) - 64, 8) if sum(map(bool, raw[place : place + 64])) > 40]
    chance, noticed = random.Random(way), 0
    tries = 3000 if LONG else 100
    for number in range(tries):
        place = chance.choice(used)
        damage = {
            "zeros": bytes(64),
            "noise": chance.randbytes(64),
            "one bit": bytes([raw[place] ^ (1 << chance.randrange(8))]),
        }[way]
        folder = spot / str(number)
        folder.mkdir()
        (folder / "ledger.db").write_bytes(raw[:place] + damage + raw[place + len(damage) :])
        noticed += is_noticed(folder)
        shutil.rmtree(folder)
    assert noticed > (tries * 9 // 10 if way != "one bit" else tries // 2)  # the rest fell where nothing depends on it


def is_noticed(folder: Path) -> bool:
    """Whether the damage is said; if not, everything shown must be true."""
    try:
        store = Ledger.open(folder / "ledger.db", key(1), silent)
        problems = store.verify()
        rows, held = store.jobs(), store.events(JOB)
    except (StoreError, RecordError) as error:
        assert {problem.code for problem in error.problems} <= {"R404", "R405", "R406", "R408", "R414", "R205", "R421"}
        return True
    if problems:
        return True
    assert held == tuple(TOLD)
    assert [(row.job, row.entries, row.state) for row in rows] == [(JOB, len(TOLD), "closed")]
    return False


def test_what_is_no_database_is_said(spot: Path) -> None:
    (spot / "ledger.db").write_bytes(b"these are the holidays of the crew" * 100)
    with pytest.raises(StoreError) as caught:
        ledger(spot)
    assert str(caught.value).split("\n")[0] == (
        "R445 the ledger's file is no ledger (ledger.db: file is not a database, SQLITE_NOTADB)"
    )
