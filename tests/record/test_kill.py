"""Real ends of real processes: SIGKILL at 1,000 points and more, two programs at once, full and read-only disks.

COACH_LONG=1: ten times as many kills.
"""

from __future__ import annotations

import os
import random
import resource
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from coach.core.moment import Moment
from coach.core.problems import RecordError, StoreError
from coach.record.ledger import Ledger
from coach.record.photos import PhotoFolder
from tests.record.faulty_disk import FaultyDisk, Plan
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, play, silent, started, story

LONG = bool(os.environ.get("COACH_LONG"))
JOB = "dunlin-1"
TOLD = story(JOB)

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")


@pytest.fixture
def spot() -> Iterator[Path]:
    """A folder in memory where there is one: a kill takes nothing from the system, so the disk is no matter."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        yield Path(folder)


@pytest.fixture(scope="module")
def disk() -> Iterator[FaultyDisk]:
    made = FaultyDisk().install()
    yield made
    made.remove()


def child(folder: Path, pipe: int, disk: FaultyDisk | None, plan: Plan | None) -> None:
    """Go on with the job where the file stands; tell each acknowledged act through the pipe. Never returns."""
    if disk is not None:
        disk.start(plan)
    store = ledger(folder)
    held = len(store.events(JOB)) if store.jobs() else 0
    if not held:
        store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
        held = 1
        os.write(pipe, struct.pack("<I", held))
    for each in TOLD[held:]:
        store.append(JOB, [each])
        held += 1
        os.write(pipe, struct.pack("<I", held))
    store.seal(JOB)
    store.close()
    os._exit(0)


def run_until_killed(folder: Path, disk: FaultyDisk | None, plan: Plan | None, seconds: float | None = None) -> int:
    """Fork, let it die, and return the number of acts it acknowledged last (0 if none)."""
    reading, writing = os.pipe()
    process = os.fork()
    if process == 0:
        try:
            child(folder, writing, disk, plan)
        finally:
            os._exit(3)
    os.close(writing)
    if seconds is not None:
        time.sleep(seconds)
        os.kill(process, signal.SIGKILL)
    told = b""
    while block := os.read(reading, 4096):
        told += block
    os.close(reading)
    _, status = os.waitpid(process, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, status
    return struct.unpack("<I", told[-4:])[0] if told else 0


def check(folder: Path, acknowledged: int) -> int:
    """All that was acknowledged is there, at most one act more, whole and in order."""
    store = ledger(folder)
    held = store.events(JOB) if store.jobs() else ()
    assert acknowledged <= len(held) <= acknowledged + 1
    assert held == tuple(TOLD[: len(held)])
    assert store.verify() == []
    store._database.close()
    return len(held)


def test_killed_at_each_call_of_the_disk(spot: Path, disk: FaultyDisk) -> None:
    """From the empty folder to the seal: killed before each call, and half way through each write."""
    disk.start()
    made = ledger(spot / "made")
    made.close()
    to_make = disk.calls
    empty = (spot / "made" / "ledger.db").read_bytes()
    disk.start()
    play(made, JOB)
    made.close()
    points = [(call, 0, empty) for call in range(1, disk.calls + 1)]
    points += [(call, 1, empty) for call, name in enumerate(disk.log, start=1) if name.startswith("write")]
    points += [(call, 0, b"") for call in range(1, to_make + 1)]
    assert len(points) > 400
    for number, (call, part, content) in enumerate(points):
        folder = spot / str(number)
        if content:  # the tables are there, the job begins
            folder.mkdir()
            (folder / "ledger.db").write_bytes(content)
        acknowledged = run_until_killed(folder, disk, Plan(call, "kill", part))
        disk.start()
        check(folder, acknowledged)
        shutil.rmtree(folder)


def test_killed_again_and_again_in_one_job(spot: Path, disk: FaultyDisk) -> None:
    """Killed at chance calls, the same file is gone on with each time, until the job is done; 560 kills at least."""
    chance, kills, jobs = random.Random(11), 0, 0
    while kills < (5600 if LONG else 560):
        folder = spot / str(jobs)
        held = 0
        while held < len(TOLD):
            acknowledged = run_until_killed(folder, disk, Plan(chance.randrange(1, 25), "kill", chance.randrange(3)))
            disk.start()
            held = check(folder, max(acknowledged, held))
            kills += 1
        shutil.rmtree(folder)
        jobs += 1
    assert jobs > 3


def test_killed_from_outside_at_any_moment(spot: Path) -> None:
    """The kill comes from another process, by the clock and not by a call."""
    chance = random.Random(12)
    for number in range(600 if LONG else 60):
        folder = spot / str(number)
        acknowledged = run_until_killed(folder, None, None, seconds=chance.uniform(0.001, 0.02))
        check(folder, acknowledged)
        shutil.rmtree(folder)


def test_two_programs_on_one_ledger(tmp_path: Path) -> None:
    """Each begins jobs and goes on with them, at the same time; neither loses an act, each chain is whole."""
    script = """
import sys
from pathlib import Path
from tests.record.jobs import *
store = ledger(Path(sys.argv[1]))
for number in range(15):
    job = f"{sys.argv[2]}-{number}"
    store.start_job(job, [started(job)], [PROCEDURE, POLICY])
    for each in story(job)[1:6]:
        store.append(job, [each])
        print(job, each.kind, flush=True)
store.close()
"""
    root = Path(__file__).parents[2]
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", script, str(tmp_path), name], cwd=root, stdout=subprocess.PIPE, text=True
        )
        for name in ("left", "right")
    ]
    told = [process.communicate()[0].splitlines() for process in processes]
    assert [process.returncode for process in processes] == [0, 0]
    store = ledger(tmp_path)
    assert len(store.jobs()) == 30
    assert store.verify() == []
    held = [f"{row.job} {each.kind}" for row in store.jobs() for each in store.events(row.job)[1:]]
    assert sorted(held) == sorted(told[0] + told[1])


def test_a_program_that_keeps_the_file_gets_a_plain_answer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from coach.record import database

    monkeypatch.setattr(database, "WAIT_S", 0.05)
    one, two = ledger(tmp_path), ledger(tmp_path)
    one.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    two.events(JOB)
    with one._database.change(), pytest.raises(StoreError) as caught:
        two.append(JOB, TOLD[1:2])
    assert str(caught.value) == (
        "R401 another window or program is writing to the ledger (ledger.db: database is locked, SQLITE_BUSY)\n"
        "    why   what the screen has acknowledged before is kept; the last act may not be\n"
        "    mend  wait a moment and try again"
    )
    two.append(JOB, TOLD[1:2])
    assert one.events(JOB) == tuple(TOLD[:2])


def test_a_limit_on_the_size_of_files(tmp_path: Path) -> None:
    """The system refuses to let the log grow (RLIMIT_FSIZE): said, nothing lost, and it goes on when there is room."""
    store = ledger(tmp_path)
    store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    size = (tmp_path / "ledger.db-wal").stat().st_size
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + 6000, hard))
    try:
        held = 1
        with pytest.raises(StoreError) as caught:
            for each in TOLD[1:]:
                store.append(JOB, [each])
                held += 1
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, before)
    assert caught.value.problems[0].code in ("R402", "R404")
    assert store.events(JOB) == tuple(TOLD[:held])
    for each in TOLD[held:]:
        store.append(JOB, [each])
    store.seal(JOB)
    assert store.verify() == []


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 1 MB of its own."""
    folder = tmp_path / "small"
    folder.mkdir()
    if (
        os.geteuid() != 0
        or subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)], capture_output=True, check=False
        ).returncode
    ):
        pytest.skip("needs the right to mount a small file system")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_is_said_and_gone_on_from(small_disk: Path) -> None:
    store, photos = ledger(small_disk / "data"), PhotoFolder(small_disk / "photos")
    store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    ballast = small_disk / "ballast"
    ballast.write_bytes(bytes(shutil.disk_usage(small_disk).free - 4096))
    with pytest.raises(StoreError) as caught:
        for second in range(2000):
            store.append(JOB, [event("measured", second, data={"measure": "beam", "typed": "8 ft " * 20})])
    assert caught.value.problems[0].code == "R402"
    held = store.events(JOB)
    with pytest.raises(StoreError, match="R432 the picture was not stored"):
        photos.keep(bytes(100_000))
    assert list((small_disk / "photos").iterdir()) == []
    store.close()
    again = ledger(small_disk / "data")  # a start of the app on the full disk shows all there is
    assert again.events(JOB) == held
    ballast.unlink()
    again.append(JOB, [event("paused", 300)])
    assert again.events(JOB)[:-1] == held
    assert again.verify() == []
    photos.keep(bytes(100_000))
    again.close()


def test_a_read_only_disk_shows_what_is_there(small_disk: Path) -> None:
    store = ledger(small_disk / "data")
    play(store, JOB)
    store.start_job("heron-1", [started("heron-1")], [PROCEDURE, POLICY])
    # a copy with the log still beside it, as after a sudden end
    for name in ("ledger.db", "ledger.db-wal"):
        shutil.copyfile(small_disk / "data" / name, small_disk / f"late-{name}")
    store.close()
    folder = small_disk / "late"
    folder.mkdir()
    for name in ("ledger.db", "ledger.db-wal"):
        (small_disk / f"late-{name}").rename(folder / name)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    try:
        for place in ("data", "late"):
            shown = ledger(small_disk / place)
            assert shown.read_only is not None
            assert shown.read_only.code == "R403"
            assert shown.events(JOB) == tuple(TOLD)
            assert {row.job for row in shown.jobs()} == {JOB, "heron-1"}
            assert shown.verify() == []
            assert shown.parts("heron-1").signatures
            with pytest.raises(StoreError, match="R403 the disk does not let the app write|R403 the ledger cannot be"):
                shown.append("heron-1", [event("paused", 3)])
            shown.close()
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(small_disk)], check=True)
    again = ledger(small_disk / "late")
    again.append("heron-1", [event("paused", 3)])
    assert again.verify() == []
    again.close()


def test_a_disk_that_turns_read_only_under_the_app(small_disk: Path) -> None:
    store = ledger(small_disk / "data")
    store.start_job(JOB, TOLD[:1], [PROCEDURE, POLICY])
    # files open for writing keep a file system writable; turning read-only is what the kernel does on a fault
    store._database.close()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    try:
        with pytest.raises(StoreError, match="R403"):
            store.append(JOB, TOLD[1:2])
        assert store.events(JOB) == tuple(TOLD[:1])
    finally:
        subprocess.run(["mount", "-o", "remount,rw", str(small_disk)], check=True)
    store.append(JOB, TOLD[1:2])
    assert store.events(JOB) == tuple(TOLD[:2])
    store.close()


def test_a_folder_without_rights() -> None:
    """As an ordinary user: a ledger in a folder of someone else's is shown, not written; open elsewhere or not."""
    if os.geteuid() != 0:
        pytest.skip("needs the right to become another user")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        store = ledger(folder)
        play(store, JOB)
        for is_open in (True, False):
            folder.chmod(0o755)
            for each in folder.iterdir():
                each.chmod(0o644)
            assert as_another_user(folder) == 0, is_open
            store.close()


def as_another_user(folder: Path) -> int:
    process = os.fork()
    if process == 0:
        code = 9
        try:
            os.setgid(65534)
            os.setuid(65534)
            shown = Ledger.open(folder / "ledger.db", key(1), silent)
            good = shown.read_only is not None and shown.events(JOB) == tuple(TOLD)
            try:
                shown.start_job("x", [started("x")], [PROCEDURE, POLICY])
            except StoreError as error:
                code = 0 if good and error.problems[0].code == "R403" else 8
        finally:
            os._exit(code)
    _, status = os.waitpid(process, 0)
    return os.waitstatus_to_exitcode(status)


@pytest.mark.parametrize("jump", [-7_200_000, 3_600_000, 86_400_000, -86_400_000 * 400, 0])
def test_the_clock_may_jump_the_order_stays(tmp_path: Path, jump: int) -> None:
    """Events keep their own times, the chain keeps their order: forward, back, to another zone, to another year."""
    store = ledger(tmp_path)
    told = [started(JOB)]
    for number, each in enumerate(TOLD[1:]):
        moved = Moment(each.at.wall + (jump if number % 2 else 0), each.at.steady, each.at.boot)
        told.append(type(each)(each.kind, moved, each.by, each.data))
    play(store, JOB, told)
    assert store.events(JOB) == tuple(told)
    assert store.verify() == []
    assert store.jobs()[0].updated == told[-1].at.wall


def test_a_wrong_job_is_no_disk_fault(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="R414 there is no job 'heron-1' in this ledger"):
        ledger(tmp_path).events("heron-1")
