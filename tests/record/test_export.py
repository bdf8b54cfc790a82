"""The exported file: written and read back, checked by a stranger with openssl, limits, and its pictures."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from pathlib import Path

import pytest

from coach.core.problems import RecordError, StoreError
from coach.record import sealed
from coach.record.export import export, file_name
from coach.record.keyring import Keyring
from coach.record.photos import PhotoFolder, named_in
from coach.record.sealed import read, verify_bytes, verify_file
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, play, review, started, story


def exported(folder: Path, job: str = "dunlin-1") -> bytes:
    store = ledger(folder)
    play(store, job)
    return export(store, job, key(1))


def firsts(problems: list) -> list[str]:
    return [str(problem).split("\n")[0] for problem in problems]


def test_a_file_holds_the_whole_job(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    raw = export(store, "dunlin-1", key(1))
    held = read(raw)
    assert held.parts == store.parts("dunlin-1")
    assert held.parts.documents.keys() == {hashlib.sha256(text.encode()).hexdigest() for text in (PROCEDURE, POLICY)}
    assert (held.app, held.writer, held.count, held.photos) == ("0.1.0", key(1).key_id, 16, ())
    assert verify_bytes(raw) == []
    assert file_name(held.parts) == f"dunlin-1.16.{held.parts.entries[-1].hash[:16]}.coach"


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    assert export(store, "dunlin-1", key(1)) == export(store, "dunlin-1", key(1))


def test_each_devices_last_signature_travels(tmp_path: Path) -> None:
    origin, office = ledger(tmp_path / "a", 1), ledger(tmp_path / "b", 2)
    play(origin, "dunlin-1")
    office.add(origin.parts("dunlin-1"))
    office.append("dunlin-1", review())
    office.seal("dunlin-1")
    held = read(export(office, "dunlin-1", key(2)))
    assert [(signed.seq, signed.key_id) for signed in held.parts.signatures] == [
        (16, key(1).key_id), (17, key(2).key_id),
    ]  # fmt: skip
    assert [signed.seq for signed in held.parts.seals] == [16, 17]
    assert verify_bytes(export(office, "dunlin-1", key(2))) == []


def test_a_job_that_is_not_finished_can_leave_too(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    store.append("dunlin-1", [event("paused", 4)])
    raw = export(store, "dunlin-1", key(1))
    assert verify_bytes(raw) == []
    assert read(raw).parts.seals == ()


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl is not installed")
def test_a_stranger_checks_it_with_a_shell(tmp_path: Path) -> None:
    """The recipe of export.py's docstring, run as written there."""
    (tmp_path / "F").write_bytes(exported(tmp_path))
    script = r"""
    set -e
    J=$(grep '^job ' F | cut -d' ' -f2)
    P=$(grep '^6 ' F | cut -d' ' -f2)
    { printf 'coach entry 1\n%s\n7\n%s\n' "$J" "$P"; grep '^7 ' F | cut -d' ' -f3- | tr -d '\n'; } | sha256sum |
        cut -d' ' -f1 > computed
    grep '^7 ' F | cut -d' ' -f2 > written
    cmp computed written
    head -n -1 F | sha256sum | cut -d' ' -f1 > computed
    tail -n 1 F | cut -d' ' -f2 > written
    cmp computed written
    check() {
        printf '%s' "$3" | openssl base64 -d -A > s
        printf -- '-----BEGIN PUBLIC KEY-----\n%s\n-----END PUBLIC KEY-----\n' \
            "$(grep "^key $2 " F | cut -d' ' -f3)" > k
        printf "$1" > m
        openssl pkeyutl -verify -pubin -inkey k -rawin -in m -sigfile s
    }
    for WORD in head seal; do
        set -- $(grep "^$WORD " F)
        H=$(grep "^$2 " F | cut -d' ' -f2)
        check "coach $WORD 1\n$J\n$2\n$H\n$3\n" "$3" "$4"
    done
    set -- $(tail -n 1 F)
    check "coach file 1\n$2\n$3\n" "$3" "$4"
    """
    done = subprocess.run(["bash", "-c", script], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("Signature Verified Successfully") == 3


def test_with_the_yards_list_a_strangers_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "dunlin-1.coach"
    path.write_bytes(exported(tmp_path))
    ring = Keyring.begin(key(9)).enrol(key(9), key(1).public, "Tablet 1", 1)
    assert verify_file(path, ring) == []
    assert [problem.code for problem in verify_file(path, Keyring.begin(key(9)))] == ["R321", "R321", "R321"]
    gone = ring.revoke(key(9), key(1).key_id, "lost", 2)
    assert [problem.code for problem in verify_file(path, gone)] == ["R322", "R322", "R322"]


@pytest.mark.parametrize(
    ("raw", "first"),
    [
        (b"", "record: R502 the file does not begin with 'coach-job 1'"),
        (b"PK\x03\x04zip", "record: R502 the file does not begin with 'coach-job 1'"),
        (b"coach-job 2\n", "record: R502 the file does not begin with 'coach-job 1'"),
        (b"coach-job 1\n", "R509 the line 'job' is there 0 times, not once"),
        (b"coach-job 1\n" + b"\n" * 200_000, "R501 the file is larger than any record of a job"),
        (b"coach-job 1\n" + b"x" * sealed.LIMIT, "R501 the file is larger than any record of a job"),
        (b"coach-job 1\njob ..\n", "record:2:1: R503 line 2 does not belong: it names no job"),
    ],
)
def test_what_is_no_record_is_refused_at_once(raw: bytes, first: str) -> None:
    with pytest.raises(RecordError) as caught:
        read(raw)
    assert firsts(list(caught.value.problems))[0] == first
    assert firsts(verify_bytes(raw))[0] == first


def test_a_line_of_four_megabytes_is_refused(tmp_path: Path) -> None:
    lines = exported(tmp_path).split(b"\n")
    lines[4] = lines[4][:-1] + b"x" * sealed.LINE_LIMIT + b'"'
    assert (
        firsts(verify_bytes(b"\n".join(lines)))[0]
        == "record:5:1: R503 line 5 does not belong: it is no line of this form"
    )


def test_pictures_travel_beside_the_file(tmp_path: Path) -> None:
    store, folder = ledger(tmp_path), PhotoFolder(tmp_path / "photos")
    name = folder.keep(b"a picture of the hem")
    assert name == hashlib.sha256(b"a picture of the hem").hexdigest()
    told = story("dunlin-1")
    told[3] = event("step_done", 300, data={"step": "frame", "evidence": {"picture": name, "count": 3}})
    play(store, "dunlin-1", told)
    assert named_in(store.entries("dunlin-1")) == [name]  # the hashes of procedure and policy are no pictures
    path = tmp_path / "dunlin-1.coach"
    path.write_bytes(export(store, "dunlin-1", key(1)))
    assert verify_file(path) == []
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "dunlin-1.coach").write_bytes(path.read_bytes())
    assert verify_file(tmp_path / "jobs" / "dunlin-1.coach") == []  # as on a stick
    folder.path(name).write_bytes(b"another picture")
    assert firsts(verify_file(path)) == [f"R434 the picture {name[:12]} is not the one that was recorded"]
    folder.path(name).unlink()
    assert firsts(verify_file(path)) == [f"R433 the picture {name[:12]} is missing"]


def test_a_picture_is_stored_whole_once_or_refused(tmp_path: Path) -> None:
    folder = PhotoFolder(tmp_path / "photos")
    assert folder.keep(b"p") == folder.keep(b"p")
    with pytest.raises(RecordError, match="R431 the picture has 12000001 bytes"):
        folder.keep(bytes(12_000_001))
    (tmp_path / "blocked").write_text("a file in the way")
    with pytest.raises(StoreError, match="R432 the picture was not stored"):
        PhotoFolder(tmp_path / "blocked").keep(b"p")


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    assert firsts(verify_file(tmp_path / "gone.coach")) == [
        "X104 the file gone.coach cannot be read: No such file or directory"
    ]
    (tmp_path / "link.coach").symlink_to("/etc/passwd")
    assert firsts(verify_file(tmp_path / "link.coach")) == ["X101 the file link.coach is a link"]
    (tmp_path / "folder.coach").mkdir()
    assert firsts(verify_file(tmp_path / "folder.coach"))[0].startswith("X10")
