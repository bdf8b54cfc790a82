"""Jobs between tablets: whole, in any order, any number of times; forks and shortened tablets are kept and reported."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from coach.core.problems import RecordError, StoreError
from coach.record import export, headlist
from coach.record.exchange import Received
from coach.record.keyring import Keyring
from coach.record.ledger import Ledger
from coach.record.photos import PhotoFolder
from coach.record.receive import receive
from coach.record.send import send
from tests.record.jobs import POLICY, PROCEDURE, event, key, ledger, play, review, started, story

pytestmark = pytest.mark.usefixtures("both_stores")
YARD = 99
AT = 1_917_000_900_000


def ring(*tablets: int) -> Keyring:
    made = Keyring.begin(key(YARD))
    for number in tablets or range(1, 11):
        made = made.enrol(key(YARD), key(number).public, f"Tablet {number}", number)
    return made


@dataclass
class Tablet:
    """A ledger, its pictures and its key."""

    number: int
    folder: Path
    store: Ledger
    pictures: PhotoFolder

    @staticmethod
    def make(folder: Path, number: int) -> Tablet:
        place = folder / f"tablet-{number}"
        return Tablet(number, place, ledger(place, number), PhotoFolder(place / "photos"))

    def send(self, folder: Path, unfinished: bool = False) -> object:
        return send(self.store, self.pictures, folder, key(self.number), ring(), unfinished)

    def receive(self, folder: Path) -> Received:
        return receive(self.store, self.pictures, folder, ring(), AT)

    def heads(self) -> set[tuple[str, int, str]]:
        return {(head.job, head.seq, head.hash) for head in self.store.heads()}


@pytest.fixture
def two(tmp_path: Path) -> tuple[Tablet, Tablet, Path]:
    return Tablet.make(tmp_path, 1), Tablet.make(tmp_path, 2), tmp_path / "stick"


def names(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def with_picture(tablet: Tablet, job: str) -> str:
    name = tablet.pictures.keep(b"the hem of " + job.encode())
    told = story(job)
    told[3] = event("step_done", 300, data={"step": "frame", "evidence": {"picture": name}})
    play(tablet.store, job, told)
    return name


def test_a_job_and_its_picture_arrive_whole(two: tuple[Tablet, Tablet, Path]) -> None:
    one, other, stick = two
    picture = with_picture(one, "dunlin-1")
    sent = send(one.store, one.pictures, stick, key(1), ring())
    last = one.store.entries("dunlin-1")[-1]
    assert sent.written == [f"dunlin-1.16.{last.hash[:16]}.coach"]
    assert names(stick) == [
        f"heads/{key(1).key_id}.1.heads", f"jobs/{sent.written[0]}", f"photos/{picture}.jpg", "yard-keys",
    ]  # fmt: skip
    got = other.receive(stick)
    assert (got.new, got.longer, got.refused, got.findings, got.missing_photos) == (["dunlin-1"], [], [], [], [])
    assert other.store.parts("dunlin-1") == one.store.parts("dunlin-1")
    assert other.store.verify() == []
    assert other.pictures.fault(picture) is None
    assert not other.store.jobs()[0].own


def test_again_and_again_changes_nothing(two: tuple[Tablet, Tablet, Path]) -> None:
    one, other, stick = two
    with_picture(one, "dunlin-1")
    one.send(stick)
    before = {name: (stick / name).read_bytes() for name in names(stick)}
    for _ in range(3):
        sent = send(one.store, one.pictures, stick, key(1), ring())
        assert (sent.written, sent.there) == ([], 1)
    assert {name: (stick / name).read_bytes() for name in names(stick)} == before
    other.receive(stick)
    rows = other.store.jobs()
    for _ in range(3):
        got = other.receive(stick)
        assert (got.new, got.longer, got.known, got.refused) == ([], [], 1, [])
    assert other.store.jobs() == rows


def test_what_was_received_is_passed_on_as_it_is(two: tuple[Tablet, Tablet, Path], tmp_path: Path) -> None:
    one, other, stick = two
    picture = with_picture(one, "dunlin-1")
    one.send(stick)
    other.receive(stick)
    other.send(tmp_path / "second")
    third = Tablet.make(tmp_path, 3)
    assert third.receive(tmp_path / "second").new == ["dunlin-1"]
    assert third.store.parts("dunlin-1") == one.store.parts("dunlin-1")
    assert third.pictures.fault(picture) is None


def test_a_review_comes_back_to_the_tablet_that_did_the_work(two: tuple[Tablet, Tablet, Path]) -> None:
    one, office, stick = two
    play(one.store, "dunlin-1")
    one.send(stick)
    office.receive(stick)
    office.store.append("dunlin-1", review())
    office.store.seal("dunlin-1")
    office.send(stick)
    got = one.receive(stick)
    assert (got.longer, got.known) == (["dunlin-1"], 1)
    (row,) = one.store.jobs()
    assert (row.state, row.own, row.sealed) == ("accepted", True, True)
    assert one.heads() == office.heads()
    again = office.receive(stick)  # its own older copy is still on the stick
    assert (again.new, again.longer, again.findings) == ([], [], [])


def test_older_copies_that_come_late_change_nothing(two: tuple[Tablet, Tablet, Path], tmp_path: Path) -> None:
    one, other, stick = two
    play(one.store, "dunlin-1")
    one.send(tmp_path / "early")
    one.store.append("dunlin-1", review())
    one.store.seal("dunlin-1")
    one.send(stick)
    other.receive(stick)
    got = other.receive(tmp_path / "early")
    assert (got.new, got.longer, got.known, got.findings, got.refused) == ([], [], 1, [], [])
    assert other.heads() == one.heads()


def test_unfinished_jobs_travel_if_asked(two: tuple[Tablet, Tablet, Path]) -> None:
    one, office, stick = two
    one.store.start_job("dunlin-1", [started("dunlin-1")], [PROCEDURE, POLICY])
    one.send(stick)
    assert office.receive(stick).new == []
    one.send(stick, unfinished=True)
    assert office.receive(stick).new == ["dunlin-1"]
    for each in story("dunlin-1")[1:]:
        one.store.append("dunlin-1", [each])
    one.store.seal("dunlin-1")
    one.send(stick)
    assert office.receive(stick).longer == ["dunlin-1"]
    assert office.heads() == one.heads()


def test_a_missing_picture_is_fetched_later(two: tuple[Tablet, Tablet, Path]) -> None:
    one, other, stick = two
    picture = with_picture(one, "dunlin-1")
    one.send(stick)
    (stick / "photos" / f"{picture}.jpg").unlink()
    got = other.receive(stick)
    assert (got.new, got.missing_photos) == (["dunlin-1"], [picture])
    one.pictures.path(picture).rename(stick / "photos" / f"{picture}.jpg")
    got = other.receive(stick)
    assert (got.known, got.missing_photos) == (1, [])
    assert other.pictures.fault(picture) is None
    assert send(one.store, one.pictures, stick / "new", key(1), ring()).missing_photos == [picture]


def test_revocation_travels_and_what_was_held_stays(two: tuple[Tablet, Tablet, Path], tmp_path: Path) -> None:
    one, office, stick = two
    play(one.store, "dunlin-1")
    one.send(stick)
    office.receive(stick)
    gone = ring().revoke(key(YARD), key(1).key_id, "lost on the ferry", AT, office.store.heads())
    send(office.store, office.pictures, stick, key(2), gone)
    play(one.store, "heron-1")  # the thief, back-dated
    one.send(stick)
    third = Tablet.make(tmp_path, 3)
    got = third.receive(stick)
    assert got.keyring.text == gone.text
    assert got.new == ["dunlin-1"]
    refused = {refused.file.split(".")[0]: [problem.code for problem in refused.problems] for refused in got.refused}
    assert refused == {"heron-1": ["R322", "R322", "R322"], key(1).key_id: ["X203"]}


def test_two_lists_by_the_yards_key_are_reported(two: tuple[Tablet, Tablet, Path]) -> None:
    one, other, stick = two
    send(one.store, one.pictures, stick, key(1), ring().enrol(key(YARD), key(50).public, "A", 1))
    fork = ring().enrol(key(YARD), key(51).public, "B", 1)
    got = receive(other.store, other.pictures, stick, fork, AT)
    assert [problem.code for refused in got.refused for problem in refused.problems] == ["X202"]
    assert got.keyring.text == fork.text
    sent = send(other.store, other.pictures, stick, key(2), fork)
    assert [problem.code for refused in sent.refused for problem in refused.problems] == ["X202"]


def test_a_folder_that_is_not_there(two: tuple[Tablet, Tablet, Path]) -> None:
    with pytest.raises(RecordError, match="X106 there is no folder .*stick"):
        two[0].receive(two[2])


def test_a_stick_that_takes_nothing(two: tuple[Tablet, Tablet, Path]) -> None:
    one, _, stick = two
    stick.write_text("a file where the stick should be")
    with pytest.raises(StoreError) as refused:
        one.send(stick)
    assert str(refused.value) == (
        "R441 the folder stick did not take everything (Not a directory)\n"
        "    why   some jobs are not on their way yet; those that were written are whole\n"
        "    mend  move away what stands in the folder's place, or give another folder, then do it again"
    )


def test_sending_is_cut_off_at_any_file_and_gone_on_with(
    two: tuple[Tablet, Tablet, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other, stick = two
    for number in range(4):
        with_picture(one, f"dunlin-{number}")
    from coach.record import files
    from coach.record import send as sending

    real, left = files.write_whole, [0]

    def failing(path: Path, data: bytes, mode: int = 0o644) -> None:
        left[0] -= 1
        if left[0] < 0:
            path.with_name(f".{path.name}.dead.part").write_bytes(data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        real(path, data, mode)

    monkeypatch.setattr(sending, "write_whole", failing)
    for allowed in range(12):
        left[0] = allowed % 3
        try:
            one.send(stick)
        except StoreError:
            pass
        other.receive(stick)
        assert other.store.verify() == []
        assert other.heads() <= one.heads()
    left[0] = 1000
    one.send(stick)
    got = other.receive(stick)
    assert (got.refused, got.missing_photos) == ([], [])
    assert other.heads() == one.heads()


def test_lists_of_heads(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    raw = headlist.write(key(1), 3, store.heads())
    held = headlist.read(raw)
    assert (held.key_id, held.number, list(held.heads.values())) == (key(1).key_id, 3, store.heads())
    for place in range(len(raw)):
        for other in (
            raw[:place] + bytes([raw[place] ^ 1]) + raw[place + 1 :],
            raw[:place],
            raw[:place] + raw[place + 1 :],
        ):
            with pytest.raises(RecordError, match="X201"):
                headlist.read(other)
    with pytest.raises(RecordError, match="X201"):
        headlist.read(raw + raw)
    longer = headlist.read(headlist.write(key(1), 4, store.heads()))
    assert headlist.compare(held, longer, AT) == []
    assert headlist.read(headlist.write(key(1), 1, [])).heads == {}


def test_a_name_that_is_taken_by_rubbish_is_written_over(two: tuple[Tablet, Tablet, Path]) -> None:
    one, other, stick = two
    play(one.store, "dunlin-1")
    one.send(stick)
    (path,) = (stick / "jobs").iterdir()
    good = path.read_bytes()
    stranger = ledger(stick.parent / "s", 50)
    play(stranger, "dunlin-1")
    for rubbish in (b"", b"rubbish", good[:-1], export.export(stranger, "dunlin-1", key(50))):
        path.write_bytes(rubbish)
        one.send(stick)
        assert path.read_bytes() == good
    assert other.receive(stick).new == ["dunlin-1"]
    assert other.store.verify() == []
