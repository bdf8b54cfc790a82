"""What a hostile stick may hold: each is refused with its reason, nothing is harmed, and the rest goes on."""

from __future__ import annotations

import os
import shutil
import socket
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from coach.core.problems import RecordError
from coach.record import exchange, export, sealed
from coach.record.receive import receive
from coach.record.send import send
from tests.record.jobs import event, key, ledger, play, review, story
from tests.record.test_exchange import AT, YARD, Tablet, ring

GOOD = "heron-1"


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A stick with one good job, to be received whatever else is there."""
    origin = Tablet.make(tmp_path / "origin", 1)
    play(origin.store, GOOD)
    send(origin.store, origin.pictures, tmp_path / "stick", key(1), ring())
    origin.store.close()
    return tmp_path / "stick"


def raw_of(folder: Path, number: int, job: str = "dunlin-1", told: list | None = None) -> bytes:
    store = ledger(folder / f"made-{number}", number)
    play(store, job, told)
    raw = export.export(store, job, key(number))
    store.close()
    return raw


def put(stick: Path, name: str, raw: bytes) -> None:
    (stick / "jobs" / name).write_bytes(raw)


def refusals(tmp_path: Path, stick: Path) -> dict[str, list[str]]:
    """Receive, check that only the good job came and that nothing else was touched; file -> first lines of reasons."""
    office = Tablet.make(tmp_path / "office", 5)
    outside = sorted(str(path) for path in tmp_path.rglob("*") if "office" not in path.parts)
    got = receive(office.store, office.pictures, stick, ring(), AT)
    assert got.new == [GOOD]
    assert [row.job for row in office.store.jobs()] == [GOOD]
    assert office.store.verify() == []
    assert sorted(str(path) for path in tmp_path.rglob("*") if "office" not in path.parts) == outside
    return {each.file: [str(problem).split("\n")[0] for problem in each.problems] for each in got.refused}


def test_a_link(tmp_path: Path, stick: Path) -> None:
    (stick / "jobs" / "a.coach").symlink_to("/etc/passwd")
    (stick / "jobs" / "b.coach").symlink_to("b.coach")
    assert refusals(tmp_path, stick) == {
        "a.coach": ["X101 the file a.coach is a link"],
        "b.coach": ["X101 the file b.coach is a link"],
    }


def test_no_plain_file(tmp_path: Path, stick: Path) -> None:
    (stick / "jobs" / "folder.coach").mkdir()
    os.mkfifo(stick / "jobs" / "pipe.coach")
    listener = socket.socket(socket.AF_UNIX)
    here = Path.cwd()
    try:
        os.chdir(stick / "jobs")  # the name of a socket may not be long
        listener.bind("socket.coach")
    finally:
        os.chdir(here)
    started = time.monotonic()
    found = refusals(tmp_path, stick)
    listener.close()
    assert time.monotonic() - started < 30  # a pipe that nobody writes to must not be waited for
    assert sorted(found) == ["folder.coach", "pipe.coach", "socket.coach"]
    assert found["pipe.coach"] == ["X102 the file pipe.coach is no plain file"]
    assert found["folder.coach"][0].startswith(("X102", "X104"))


def test_a_huge_file_is_not_read(tmp_path: Path, stick: Path) -> None:
    with (stick / "jobs" / "huge.coach").open("wb") as file:
        file.truncate(50_000_000_000)  # 50 GB, sparse
    assert refusals(tmp_path, stick) == {"huge.coach": ["X103 the file huge.coach is larger than 64,000,000 bytes"]}


def test_a_packed_bomb_is_no_record(tmp_path: Path, stick: Path) -> None:
    with zipfile.ZipFile(stick / "jobs" / "bomb.coach", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("a", bytes(50_000_000))
    assert refusals(tmp_path, stick) == {"bomb.coach": ["bomb.coach: R502 the file does not begin with 'coach-job 1'"]}


@pytest.mark.parametrize(
    "body",
    [
        b"\n" * 99_000,
        b"1 " + b"0" * 64 + b" " + b'{"a":' * 300_000 + b"1" + b"}" * 300_000 + b"\n",
        b"1 " + b"0" * 64 + b" {" + b"[" * 1_000_000 + b"}\n",
        b"1 " + b"0" * 64 + b' {"a":' + b"9" * 1_000_000 + b"}\n",
        b"text " + b"0" * 64 + b' "' + b"\\u0041" * 100_000 + b'"\n',
        b"key " * 90_000 + b"\n",
        b"entries 999999\n" * 90_000,
        bytes(range(256)) * 100,
    ],
    ids=["lines", "deep", "brackets", "digits", "escapes", "words", "counts", "bytes"],
)
def test_texts_meant_to_break_a_reader(tmp_path: Path, stick: Path, body: bytes) -> None:
    put(stick, "evil.coach", b"coach-job 1\njob dunlin-1\napp 0.1.0\n" + body)
    started = time.monotonic()
    (reasons,) = refusals(tmp_path, stick).values()
    assert time.monotonic() - started < 30
    assert reasons


@pytest.mark.parametrize("job", ["../../etc/cron", "a/b", "..", "C:\\x", "a\\b", "x" * 65, "a b", "\u202ecoach"])
def test_path_tricks_in_the_jobs_name(tmp_path: Path, stick: Path, job: str) -> None:
    raw = raw_of(tmp_path, 2).replace(b"job dunlin-1\n", b"job " + job.encode() + b"\n")
    put(stick, "evil.coach", raw)
    assert list(refusals(tmp_path, stick)) == ["evil.coach"]


def test_odd_names_of_files_do_no_harm(tmp_path: Path, stick: Path) -> None:
    raw = raw_of(tmp_path, 77)
    odd = ["-rf.coach", "a\nb.coach", "%s%n.coach", "a" * 240 + ".coach", "\u202e.coach", "; rm x;.coach"]
    for name in odd:
        put(stick, name, raw)
    (stick / "jobs" / os.fsdecode(b"\xff\xfe.coach")).write_bytes(raw)
    found = refusals(tmp_path, stick)
    assert len(found) == len(odd) + 1
    assert all(reasons[0].startswith("R321 the yard never enrolled the key") for reasons in found.values())


def test_a_wrong_key(tmp_path: Path, stick: Path) -> None:
    put(stick, "stranger.coach", raw_of(tmp_path, 77))
    name = key(77).key_id[:12]
    assert refusals(tmp_path, stick) == {"stranger.coach": [f"R321 the yard never enrolled the key {name}"] * 3}


def test_a_strangers_work_under_a_tablets_name(tmp_path: Path, stick: Path) -> None:
    raw = raw_of(tmp_path, 77).replace(key(77).key_id.encode(), key(2).key_id.encode())
    put(stick, "stranger.coach", raw)
    (reasons,) = refusals(tmp_path, stick).values()
    assert f"R306 the public key under the name {key(2).key_id[:12]} is another key" in reasons


def test_a_cut_file(tmp_path: Path, stick: Path) -> None:
    raw = raw_of(tmp_path, 2)
    put(stick, "cut.coach", raw[: len(raw) * 2 // 3])
    (reasons,) = refusals(tmp_path, stick).values()
    assert reasons[-1] == "R504 the file stops before its end"


def test_a_changed_entry(tmp_path: Path, stick: Path) -> None:
    put(stick, "changed.coach", raw_of(tmp_path, 2).replace(b"22 km/h", b"12 km/h"))
    (reasons,) = refusals(tmp_path, stick).values()
    assert reasons[0].startswith("R204 the content of entry 7 does not fit its hash")


def test_a_signed_file_with_events_that_are_none(tmp_path: Path, stick: Path) -> None:
    """An enrolled tablet with other software on it: signatures hold, the content does not."""
    told = story("dunlin-1")
    told[0] = event("measured", 0)
    from coach.core.chain import ZEROS, extend, head_message
    from coach.record.store import JobParts, Signed

    entries = extend("dunlin-1", 0, ZEROS, told)
    last = entries[-1]
    signed = Signed(last.seq, key(2).key_id, key(2).sign(head_message("dunlin-1", last.seq, last.hash, key(2).key_id)))
    parts = JobParts("dunlin-1", tuple(entries), (signed,), (), {key(2).key_id: key(2).public}, {})
    put(stick, "evil.coach", export.write(parts, key(2)))
    assert refusals(tmp_path, stick) == {"evil.coach": ["R206 the first event is 'measured', not 'job_started'"]}


def test_a_replay_of_an_old_file_takes_nothing_back(tmp_path: Path, stick: Path) -> None:
    origin, office = Tablet.make(tmp_path / "o", 2), Tablet.make(tmp_path / "office", 5)
    play(origin.store, "dunlin-1")
    old = export.export(origin.store, "dunlin-1", key(2))
    origin.store.append("dunlin-1", review())
    origin.store.seal("dunlin-1")
    send(origin.store, origin.pictures, stick, key(2), ring())
    receive(office.store, office.pictures, stick, ring(), AT)
    held = office.store.parts("dunlin-1")
    for name in ("zzz.coach", "dunlin-1.17.0000.coach"):
        put(stick, name, old)
        got = receive(office.store, office.pictures, stick, ring(), AT)
        assert (got.new, got.longer, got.refused, got.findings) == ([], [], [], [])
    assert office.store.parts("dunlin-1").entries == held.entries
    assert office.store.jobs()[0].state == "accepted"


def test_folders_that_are_links(tmp_path: Path, stick: Path) -> None:
    office = Tablet.make(tmp_path / "office", 5)
    target = tmp_path / "target"
    for name in ("jobs", "heads"):
        shutil.move(stick / name, target / name)
        (stick / name).symlink_to(target / name)
    got = receive(office.store, office.pictures, stick, ring(), AT)
    assert [(each.file, str(each.problems[0]).split("\n")[0]) for each in got.refused] == [
        ("jobs", "X105 jobs is a link to another place"), ("heads", "X105 heads is a link to another place"),
    ]  # fmt: skip
    play(office.store, "dunlin-1")
    with pytest.raises(RecordError, match="X105 jobs is a link to another place"):
        send(office.store, office.pictures, stick, key(5), ring())


def test_far_too_many_files(tmp_path: Path, stick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(exchange, "MOST_FILES", 50)
    for number in range(60):
        put(stick, f"{number}.coach", b"")
    office = Tablet.make(tmp_path / "office", 5)
    got = receive(office.store, office.pictures, stick, ring(), AT)
    assert [str(each.problems[0]).split("\n")[0] for each in got.refused] == ["X107 jobs holds more than 50 files"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda path: path.write_bytes(b"another picture"),
        lambda path: path.write_bytes(b""),
        lambda path: (path.unlink(), path.symlink_to("/etc/passwd")),
        lambda path: os.truncate(path, 40_000_000_000),
    ],
    ids=["changed", "empty", "link", "huge"],
)
def test_a_spoiled_picture(tmp_path: Path, spoil: Callable[[Path], object]) -> None:
    origin, office = Tablet.make(tmp_path / "o", 2), Tablet.make(tmp_path / "office", 5)
    name = origin.pictures.keep(b"the hem")
    told = story("dunlin-1")
    told[3] = event("step_done", 300, data={"step": "frame", "evidence": {"picture": name}})
    play(origin.store, "dunlin-1", told)
    send(origin.store, origin.pictures, tmp_path / "stick", key(2), ring())
    spoil(tmp_path / "stick" / "photos" / f"{name}.jpg")
    got = receive(office.store, office.pictures, tmp_path / "stick", ring(), AT)
    assert (got.new, got.missing_photos) == (["dunlin-1"], [name])
    assert [each.file for each in got.refused] == [f"{name}.jpg"]
    assert not office.pictures.path(name).exists()


@pytest.mark.parametrize("raw", [b"", b"coach-keys 1\n", bytes(9_000_000), b"coach-keys 1\nyard x y\n\n"])
def test_a_spoiled_list_of_keys(tmp_path: Path, stick: Path, raw: bytes) -> None:
    (stick / "yard-keys").write_bytes(raw)
    (reasons,) = refusals(tmp_path, stick).values()
    assert reasons[0].split(" ")[0] in ("R331", "R332", "R333", "X103")


def test_a_list_of_keys_by_another_hand(tmp_path: Path, stick: Path) -> None:
    from coach.record.keyring import Keyring

    false = Keyring.begin(key(66)).enrol(key(66), key(77).public, "Tablet 77", 1)
    (stick / "yard-keys").write_bytes(false.text)
    put(stick, "stranger.coach", raw_of(tmp_path, 77))
    found = refusals(tmp_path, stick)
    assert found["yard-keys"] == [f"R333 this list of keys is not by the yard's key {key(YARD).key_id[:12]}"]
    assert found["stranger.coach"][0].startswith("R321")


@pytest.mark.parametrize(
    "raw", [b"", b"coach-heads 1\n", b"\xff" * 1000, b"coach-heads 1\ntablet a b\nnumber 1\nend\n"]
)
def test_a_spoiled_list_of_heads(tmp_path: Path, stick: Path, raw: bytes) -> None:
    (stick / "heads" / "x.1.heads").write_bytes(raw)
    assert refusals(tmp_path, stick)["x.1.heads"][0].startswith("X201 this list of a tablet's jobs does not hold")


def test_a_file_at_the_limit_is_read_in_good_time(tmp_path: Path) -> None:
    raw = raw_of(tmp_path, 2)
    lines = raw.split(b"\n")
    big = b"\n".join([*lines[:5], *[lines[5]] * (sealed.LINES_LIMIT - 100), *lines[5:]])
    started = time.monotonic()
    assert sealed.verify_bytes(big)
    assert time.monotonic() - started < 30
