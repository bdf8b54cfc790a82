"""The commands about records in the tests' own language xx: whatever they print, nothing of it is English."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from coach import custody, language
from coach.core.problems import CoachError
from coach.record.found import found
from coach.record.keys import PUBLIC_FILE, DeviceKey
from coach.record.ledger import Ledger
from coach.record.retention import DAY_MS
from coach.view.texts import rendered
from tests.language.pseudo import escaped, speaking, write_pseudo
from tests.record.jobs import play, silent, story

NOW = 1_917_000_900_000
LATE = story("x")[-1].at.wall + 400 * DAY_MS
# Typed as they are in every language: commands, names of files, and what the system says of a fault.
AS_THEY_ARE = (
    "coach keys begin", "coach keys trust", "coach keys", "FILE", "yard-keys", "Tablet", "lost on the ferry", "retention_days",
    "No such file or directory", "BEGIN PUBLIC KEY", "END PUBLIC KEY", "WAC", "jobs", "app", "coach", "Is a directory",
)  # fmt: skip


@pytest.fixture
def pseudo(tmp_path: Path) -> Iterator[None]:
    write_pseudo(tmp_path / "locale")
    with speaking(tmp_path / "locale"):
        language.use(language.PSEUDO)
        yield


def device(folder: Path, job: str = "") -> DeviceKey:
    """A data folder with its key, and one sealed job if it is named."""
    key = DeviceKey.open(folder)
    store = Ledger.open(folder / "ledger.sqlite", key, silent)
    if job:
        play(store, job)
    store.close()
    return key


def test_no_command_about_records_says_a_word_of_english(tmp_path: Path, pseudo: None) -> None:
    office, tablet, stick, archive = (tmp_path / name for name in ("q1", "q2", "q3", "q4"))
    yard, key = device(office), device(tablet, "q-1")
    stranger = device(tmp_path / "q5", "q-2")
    stick.mkdir()
    told: list[str] = []

    def say(act: Callable[..., int], *words: object) -> int:
        try:
            return act(*words, told.append)
        except CoachError as error:
            told.extend(rendered(problem) for problem in error.problems)
            return 1

    assert say(custody.receive, tablet, stick, NOW) == 1  # no yard yet
    assert say(custody.begin_yard, office) == 0
    assert say(custody.enrol, office, tablet / PUBLIC_FILE, "Tablet 1", NOW) == 0
    assert say(custody.send, office, stick) == 0
    assert say(custody.join_yard, tablet, yard.key_id, stick / "yard-keys") == 0
    for folder in (tablet, tmp_path / "q5"):
        assert say(custody.send, folder, stick) == 0
    assert say(custody.receive, office, stick, NOW) == 1  # the stranger's job is refused
    Ledger.open(office / "ledger.sqlite").memory.note_finding(
        found("X303", "q-9", {"tablet": key.key_id[:12], "now": 3, "had": 16, "job": "q-9"}, "", NOW)
    )
    file = next((stick / "jobs").glob("q-1.*"))
    raw = file.read_bytes()
    assert say(custody.verify, [file], office) == 0
    file.write_bytes(raw.replace(b"22 km/h", b"12 km/h").replace(b"\napp ", b"\nq "))
    assert say(custody.verify, [file, stick / "no.coach", stick / "jobs"], tmp_path / "q6") == 1
    assert say(custody.verify, [], tablet) == 0
    assert say(custody.retire, tablet, archive, 300, LATE) == 1
    assert say(custody.retire, tablet, archive, 366, LATE) == 0
    assert say(custody.retire, tablet, archive, 366, LATE) == 0  # none is left
    assert say(custody.enrol, office, tablet / PUBLIC_FILE, "Tablet 1", NOW) == 1
    assert say(custody.enrol, tablet, office / PUBLIC_FILE, "Tablet 1", NOW) == 1
    assert say(custody.revoke, office, key.key_id, "lost on the ferry", NOW) == 0
    assert say(custody.revoke, office, key.key_id, "lost on the ferry", NOW) == 1
    for folder in (office, tmp_path / "q5"):
        assert say(custody.show_keys, folder) == 0
    assert say(custody.send, office, tmp_path / "q7") == 1
    assert say(custody.office, office, str(tmp_path / "q8.sqlite"), [stick], NOW) == 1
    pem = key.public_pem.splitlines()[1]
    own = (*AS_THEY_ARE, str(tmp_path), pem, yard.public_pem.splitlines()[1], stranger.public_pem.splitlines()[1])
    wrong = {word for text in told for line in text.splitlines() for word in escaped(_without_ids(line), own)}
    assert len(told) > 40 and wrong == set(), told


def _without_ids(line: str) -> str:
    """Without what names a thing by letters and digits: keys, hashes, jobs, files."""
    return " ".join(word for word in line.split() if not any(sign.isdigit() for sign in word))
