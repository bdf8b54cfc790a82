"""The commands about records from a yard's first day to a lost tablet, with the lines that people read."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from coach import custody
from coach.core.problems import CoachError, StoreError
from coach.record import office
from coach.record.export import export, file_name
from coach.record.keys import PUBLIC_FILE, DeviceKey
from coach.record.ledger import Ledger
from coach.record.retention import DAY_MS
from coach.view.texts import rendered
from tests.record.jobs import play, silent, story

NOW = 1_917_000_900_000
END = story("x")[-1].at.wall


class Folder:
    """A device's data folder, and what its commands said last."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.key = DeviceKey.open(path)
        self.lines: list[str] = []

    def run(self, act: Callable[..., int], *words: object, **more: object) -> int:
        """The command's status; 1 with the error's text, as the command line says it."""
        self.lines = []
        try:
            return act(self.path, *words, self.lines.append, **more)
        except CoachError as error:
            self.lines += map(rendered, error.problems)
            return 1

    def work(self, job: str) -> None:
        store = Ledger.open(self.path / "ledger.sqlite", self.key, silent)
        play(store, job)
        store.close()


@pytest.fixture
def yard(tmp_path: Path) -> tuple[Folder, Folder, Path]:
    """An office that is the yard, a tablet that it enrolled and that joined it, and a stick."""
    main, tablet, stick = Folder(tmp_path / "office"), Folder(tmp_path / "tablet"), tmp_path / "stick"
    stick.mkdir()
    assert main.run(custody.begin_yard) == 0
    assert main.run(custody.enrol, tablet.path / PUBLIC_FILE, "Tablet 1", NOW) == 0
    assert main.run(custody.send, stick) == 0
    assert tablet.run(custody.join_yard, main.key.key_id, stick / "yard-keys") == 0
    return main, tablet, stick


def test_a_job_goes_from_the_tablet_to_the_office(yard: tuple[Folder, Folder, Path]) -> None:
    main, tablet, stick = yard
    tablet.work("dunlin-1")
    assert tablet.run(custody.send, stick) == 0
    (name,) = [path.name for path in (stick / "jobs").iterdir()]
    assert tablet.lines == [f"sent: {name}", "1 sent, 0 there before"]
    assert tablet.run(custody.send, stick) == 0
    assert tablet.lines == ["0 sent, 1 there before"]
    assert main.run(custody.receive, stick, NOW) == 0
    assert main.lines == ["new: dunlin-1", "1 new, 0 longer, 0 known"]
    assert main.run(custody.receive, stick, NOW) == 0
    assert main.lines == ["0 new, 0 longer, 1 known"]
    assert Ledger.open(main.path / "ledger.sqlite").memory.findings() == []


def test_a_strangers_job_is_refused_and_said(yard: tuple[Folder, Folder, Path], tmp_path: Path) -> None:
    main, _, stick = yard
    stranger = Folder(tmp_path / "stranger")
    stranger.work("dunlin-1")
    assert stranger.run(custody.send, stick) == 0
    assert main.run(custody.receive, stick, NOW) == 1
    id = stranger.key.key_id[:12]
    assert main.lines[0] == "0 new, 0 longer, 0 known"
    assert main.lines[1].startswith("REFUSED: dunlin-1.") and main.lines[1].endswith(".coach")
    assert main.lines[2] == (
        f"R321 the yard never enrolled the key {id}\n"
        "    why   anyone can make a key and sign a record of their own\n"
        "    mend  do not trust this record; if the tablet is the yard's, enrol its key"
    )


def test_a_device_without_a_yard_receives_nothing(tmp_path: Path) -> None:
    alone = Folder(tmp_path / "alone")
    (tmp_path / "stick").mkdir()
    assert alone.run(custody.receive, tmp_path / "stick", NOW) == 1
    assert alone.lines == [
        (
            "X204 this device belongs to no yard, so it cannot tell whose tablets to believe\n"
            "    why   anyone can make a key and sign a record of their own\n"
            "    mend  on the yard's own device: coach keys begin; on a tablet: coach keys trust ID FILE"
        )
    ]


def test_a_lost_tablet_is_revoked_and_the_list_travels(yard: tuple[Folder, Folder, Path], tmp_path: Path) -> None:
    main, tablet, stick = yard
    tablet.work("dunlin-1")
    tablet.run(custody.send, stick)
    main.run(custody.receive, stick, NOW)
    assert main.run(custody.revoke, tablet.key.key_id, "lost on the ferry", NOW) == 0
    tablet.work("heron-1")  # the thief
    tablet.run(custody.send, stick)
    main.run(custody.send, stick)
    other = Folder(tmp_path / "other")
    assert other.run(custody.join_yard, main.key.key_id, stick / "yard-keys") == 0
    assert other.run(custody.receive, stick, NOW) == 1
    assert other.lines[:2] == ["new: dunlin-1", "1 new, 0 longer, 0 known"]
    assert main.run(custody.show_keys) == 0
    assert f"{tablet.key.key_id}  Tablet 1  revoked: lost on the ferry" in main.lines
    assert tablet.run(custody.receive, stick, NOW) in (0, 1)
    assert tablet.lines[0] == "the yard's list of keys is newer now"


def test_verify_names_what_does_not_fit(yard: tuple[Folder, Folder, Path], tmp_path: Path) -> None:
    main, tablet, _ = yard
    tablet.work("dunlin-1")
    store = Ledger.open(tablet.path / "ledger.sqlite", tablet.key, silent)
    raw, path = export(store, "dunlin-1", tablet.key), tmp_path / file_name(store.parts("dunlin-1"))
    path.write_bytes(raw)
    assert main.run(lambda folder, out: custody.verify([path], folder, out)) == 0
    assert main.lines == [f"{path}: verified"]
    path.write_bytes(raw.replace(b"22 km/h", b"12 km/h"))
    assert main.run(lambda folder, out: custody.verify([path], folder, out)) == 1
    assert main.lines[0] == f"{path}: DOES NOT VERIFY"
    assert main.lines[1].startswith("R204 the content of entry 7 does not fit its hash")
    alone = Folder(tmp_path / "alone")
    path.write_bytes(raw)
    assert alone.run(lambda folder, out: custody.verify([path], folder, out)) == 0
    assert alone.lines[1] == "Each file was held against itself only: this device has no list of a yard's keys."
    assert tablet.run(lambda folder, out: custody.verify([], folder, out)) == 0
    assert tablet.lines == ["the ledger of this device: verified"]


def test_old_jobs_leave_for_the_archive(yard: tuple[Folder, Folder, Path], tmp_path: Path) -> None:
    _, tablet, _ = yard
    tablet.work("dunlin-1")
    late = END + 400 * DAY_MS
    assert tablet.run(custody.retire, tmp_path / "archive", 300, late) == 1
    assert tablet.lines[0].startswith("R461 300 days are fewer than a record must be kept")
    assert tablet.run(custody.retire, tmp_path / "archive", 366, late) == 0
    assert tablet.lines[0].startswith("dunlin-1 has left: 16 entries, its file ")
    assert len(list((tmp_path / "archive").glob("*.coach"))) == 1


def test_an_office_on_a_server(yard: tuple[Folder, Folder, Path], new_office: Callable[[Path], str]) -> None:
    main, tablet, stick = yard
    for job in ("dunlin-1", "dunlin-2"):
        tablet.work(job)
    tablet.run(custody.send, stick)
    address = new_office(stick)
    assert main.run(custody.office, address, [stick], NOW) == 0
    assert main.lines[1:] == [
        "new: dunlin-1", "new: dunlin-2", "2 new, 0 longer, 0 known", "2 jobs in the office's ledger",
    ]  # fmt: skip
    held = office.open_office(address)
    assert [row.job for row in held.jobs()] == ["dunlin-1", "dunlin-2"]
    assert held.verify() == []


def test_an_office_without_its_driver_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "psycopg", None)
    monkeypatch.delitem(sys.modules, "coach.record.postgres", raising=False)
    with pytest.raises(StoreError, match="R452 this installation cannot speak to a PostgreSQL server"):
        office.open_office("host=/nowhere dbname=x")


def test_an_office_in_a_file(tmp_path: Path) -> None:
    assert office.open_office(str(tmp_path / "office.sqlite")).jobs() == []


@pytest.mark.parametrize(
    ("act", "words", "code"),
    [
        (custody.begin_yard, (), "X206"),
        (custody.join_yard, ("0" * 32, Path("/dev/null")), "X102"),
        (custody.enrol, (Path("/nowhere.pem"), "A", NOW), "X104"),
        (custody.revoke, ("0" * 32, "why", NOW), "X210"),
        (custody.send, (Path("/dev/null"),), "X106"),
        (custody.receive, (Path("/nowhere"), NOW), "X106"),
    ],
)
def test_what_cannot_be_done_is_said(
    yard: tuple[Folder, Folder, Path], act: Callable[..., int], words: tuple[object, ...], code: str
) -> None:
    main, _, _ = yard
    assert main.run(act, *words) == 1
    assert f"{code} " in main.lines[0].split("\n")[0]


def test_a_list_that_was_changed_on_the_device_is_not_used(yard: tuple[Folder, Folder, Path]) -> None:
    main, tablet, stick = yard
    list_file = tablet.path / "yard-keys"
    list_file.write_bytes(list_file.read_bytes().replace(b"Tablet 1", b"Tablet 2"))
    assert tablet.run(custody.receive, stick, NOW) == 1
    assert "R332" in tablet.lines[0]
    list_file.unlink()
    assert tablet.run(custody.receive, stick, NOW) == 1
    assert tablet.lines[0].startswith("X205 this device knows its yard")
    shutil.copyfile(main.path / "yard-keys", list_file)
    assert tablet.run(custody.receive, stick, NOW) == 0


def test_another_yards_word_does_not_count(yard: tuple[Folder, Folder, Path], tmp_path: Path) -> None:
    _, _, stick = yard
    fresh = Folder(tmp_path / "fresh")
    assert fresh.run(custody.join_yard, "f" * 32, stick / "yard-keys") == 1
    assert "R333 this list of keys is not by the yard's key" in fresh.lines[0]
    assert fresh.run(custody.join_yard, "not an id", stick / "yard-keys") == 1
    assert fresh.lines[0].startswith("X207 'not an id' is no key's id")
    assert fresh.run(custody.show_keys) == 0
    assert fresh.lines[-1] == "This device belongs to no yard."


def test_the_list_is_kept_by_the_yard_alone_and_each_key_stands_in_it_once(yard: tuple[Folder, Folder, Path]) -> None:
    main, tablet, _stick = yard
    assert main.run(custody.enrol, tablet.path / PUBLIC_FILE, "Tablet 1 again", NOW) == 1
    assert f"X209 the key {tablet.key.key_id[:12]} is in the list already, as Tablet 1" in main.lines[-1]
    assert tablet.run(custody.enrol, main.path / PUBLIC_FILE, "The office", NOW) == 1
    assert "X208 this device's key is not the yard's" in tablet.lines[-1]
    assert main.run(custody.revoke, tablet.key.key_id[:12], "lost", NOW) == 1
    assert f"write the whole key, one of: {main.key.key_id}, {tablet.key.key_id}" in main.lines[-1]


def test_a_stick_that_is_not_in_is_said_and_no_folder_is_made_in_its_place(yard: tuple[Folder, Folder, Path]) -> None:
    main, _tablet, stick = yard
    away = stick.parent / "media" / "stick"
    assert main.run(custody.send, away) == 1
    assert f"X106 there is no folder {away}" in main.lines[-1]
    assert not away.parent.exists()
