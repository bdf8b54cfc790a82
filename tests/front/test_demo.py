"""The demonstration as a whole: the story, the record that verifies, the sheet, and that nothing burns unguarded in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core.monitor import watch_log
from coach.demo import play
from coach.record.sealed import read, verify_file
from coach.yard.policy_file import demo_policy


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    out = tmp_path_factory.mktemp("demo")
    said: list[str] = []
    assert play(out, said.append, window=False) == 0
    return out, said


def test_the_story_has_the_refusals_the_trip_and_the_debt(played: tuple[Path, list[str]]) -> None:
    story = "\n".join(played[1])
    assert story.count("REFUSED") == 7
    assert "TRIP: the flame goes out, the loss is recorded." in story
    assert "Still to be undone: Taped fuel vents." in story
    assert "2 were put on, 1 came off." in story
    assert "accepted and countersigned by Marta Oduya" in story


def test_the_record_verifies_and_the_monitor_has_nothing_against_it(played: tuple[Path, list[str]]) -> None:
    (record,) = played[0].glob("*.coach")
    assert verify_file(record) == []
    events = [entry.event for entry in read(record.read_bytes()).parts.entries]
    assert watch_log(events, demo_policy()) == ()


def test_one_changed_letter_is_found(played: tuple[Path, list[str]], tmp_path: Path) -> None:
    (record,) = played[0].glob("*.coach")
    changed = tmp_path / "changed.coach"
    changed.write_bytes(record.read_bytes().replace(b"Dunlin", b"Dunlim", 1))
    assert verify_file(changed)


def test_the_sheet_tells_the_bad_news_first(played: tuple[Path, list[str]]) -> None:
    (sheet,) = played[0].glob("*.html")
    text = sheet.read_text(encoding="utf-8")
    assert text.index("Look at this first") < text.index("Measures")
    assert "TRIP while the flame was lit" in text
    assert "<script" not in text and "http" not in text.replace("http://www.w3.org/2000/svg", "")
