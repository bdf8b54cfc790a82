"""21 CFR part 11 as a yardstick (it does not bind a boatyard): each point of 11.10(e), 11.50 and 11.70 beside its test.

The clauses are summarised in our words from eCFR title 21 part 11; the tests named here are real and run.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coach.core.chain import verify
from coach.core.problems import RecordError, StoreError
from coach.record.check import check
from coach.record.export import export
from coach.record.sealed import verify_bytes
from tests.record import test_disk_faults, test_export, test_keys, test_kill, test_ledger, test_sqlite, test_tamper
from tests.record.jobs import key, ledger, play, review, story


def signed_event(folder: Path) -> tuple[bytes, dict[str, object]]:
    store = ledger(folder)
    play(store, "dunlin-1")
    raw = export(store, "dunlin-1", key(1))
    (line,) = [line for line in raw.split(b"\n") if b'"kind":"signed"' in line]
    return raw, json.loads(line.split(b" ", 2)[2])


def test_the_trail_is_made_by_the_computer_with_its_time(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    for entry in store.entries("dunlin-1"):
        plain = json.loads(entry.body)
        assert {"wall", "steady", "boot", "by", "kind"} <= plain.keys()
        assert isinstance(plain["wall"], int)


def test_a_correction_hides_nothing(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    first, second = [each for each in store.events("dunlin-1") if each.kind == "measured"]
    assert first.data["typed"] == second.data["previous"] == "66 in"
    assert second.data["typed"] == "5' 6\""


def test_the_trail_is_kept_as_long_as_the_record(tmp_path: Path) -> None:
    """They are one: without its trail there is no record, and neither can be deleted."""
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    with pytest.raises(StoreError):
        store._database.rows("DELETE FROM entry WHERE job = 'dunlin-1'")
    store.close()
    other = sqlite3.connect(tmp_path / "ledger.db")
    with pytest.raises(sqlite3.IntegrityError):
        other.execute("DELETE FROM entry")
    other.close()


def test_the_trail_can_be_copied_and_read_without_us(tmp_path: Path) -> None:
    raw, _ = signed_event(tmp_path)
    lines = raw.decode("utf-8").split("\n")
    events = [json.loads(line.split(" ", 2)[2]) for line in lines if line[:1].isdigit()]
    assert [each["kind"] for each in events] == [each.kind for each in story("dunlin-1")]


def test_a_signature_names_person_time_and_meaning(tmp_path: Path) -> None:
    _, plain = signed_event(tmp_path)
    data = plain["data"]
    assert isinstance(data, dict)
    assert (data["name"], data["role"], data["meaning"]) == ("Ana Ruiz", "technician", "I did this work")
    assert plain["wall"] == story("dunlin-1")[14].at.wall
    assert data["shown"] == "I did it"


@pytest.mark.parametrize("part", [b'Ana Ruiz","role', b"I did this work", b'technician","shown', b"[10,10]"])
def test_name_meaning_and_strokes_are_under_the_seal(tmp_path: Path, part: bytes) -> None:
    raw, _ = signed_event(tmp_path)
    assert raw.count(part) == 1
    changed = raw.replace(part, part.replace(b"i", b"y").replace(b"1", b"2"))
    assert changed != raw
    assert "R204" in {problem.code for problem in verify_bytes(changed)}


def test_a_signature_cannot_be_cut_out_or_moved_to_another_record(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    play(store, "heron-1")
    here, there = list(store.entries("dunlin-1")), list(store.entries("heron-1"))
    without = here[:14] + here[15:]
    assert {"R201", "R203"} <= {problem.code for problem in verify(without)}
    moved = [*there]
    moved[14] = replace(here[14], job="heron-1", prev=there[13].hash)
    assert {"R204", "R203"} <= {problem.code for problem in verify(moved)}


def test_only_the_seal_of_this_very_head_holds(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    play(store, "heron-1")
    here, there = store.parts("dunlin-1"), store.parts("heron-1")
    assert [problem.code for problem in check(replace(here, seals=there.seals))] == ["R304"]
    assert [problem.code for problem in check(replace(here, signatures=there.signatures))] == ["R301"]


def test_a_new_act_after_the_signature_needs_a_new_seal(tmp_path: Path) -> None:
    store = ledger(tmp_path)
    play(store, "dunlin-1")
    store.append("dunlin-1", review())
    assert not store.jobs()[0].sealed
    store.seal("dunlin-1")
    assert [signed.seq for signed in store.parts("dunlin-1").seals] == [16, 17]


def test_a_signature_needs_a_job(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="R414"):
        ledger(tmp_path).append("heron-1", story("heron-1")[14:15])


# clause, what it asks for, and the tests that show it
POINTS: list[tuple[str, str, list[Callable[..., object]]]] = [
    ("11.10(e)", "secure: kept from change", [
        test_sqlite.test_the_connection_takes_no_change, test_sqlite.test_another_program_meets_the_triggers,
        test_tamper.test_every_changed_byte_is_noticed_and_named]),
    ("11.10(e)", "made by the computer, with a time stamp", [test_the_trail_is_made_by_the_computer_with_its_time]),
    ("11.10(e)", "each act that makes, changes or takes back is recorded, with its person", [
        test_ledger.test_a_job_comes_back_as_it_went_in, test_kill.test_killed_at_each_call_of_the_disk,
        test_disk_faults.test_each_call_fails_once]),
    ("11.10(e)", "a change does not hide what was there before", [test_a_correction_hides_nothing]),
    ("11.10(e)", "kept at least as long as the record itself", [test_the_trail_is_kept_as_long_as_the_record]),
    ("11.10(e)", "can be reviewed and copied", [
        test_the_trail_can_be_copied_and_read_without_us, test_export.test_a_stranger_checks_it_with_a_shell,
        test_tamper.test_files_of_today_are_read_for_ever]),
    ("11.50(a)(1)", "the signer's printed name", [test_a_signature_names_person_time_and_meaning]),
    ("11.50(a)(2)", "date and time of the signature", [test_a_signature_names_person_time_and_meaning]),
    ("11.50(a)(3)", "its meaning, such as done, reviewed, accepted", [test_a_signature_names_person_time_and_meaning]),
    ("11.50(b)", "under the same controls as the record, and readable in it", [
        test_name_meaning_and_strokes_are_under_the_seal]),
    ("11.70", "bound to its record: not cut out, copied or moved by ordinary means", [
        test_a_signature_cannot_be_cut_out_or_moved_to_another_record, test_only_the_seal_of_this_very_head_holds,
        test_a_new_act_after_the_signature_needs_a_new_seal,
        test_keys.test_a_signature_in_a_second_spelling_is_refused]),
]  # fmt: skip


def test_every_point_has_its_test() -> None:
    assert {clause for clause, _, _ in POINTS} == {
        "11.10(e)", "11.50(a)(1)", "11.50(a)(2)", "11.50(a)(3)", "11.50(b)", "11.70",
    }  # fmt: skip
    for clause, asks, tests in POINTS:
        assert tests, (clause, asks)
        assert all(test.__name__.startswith("test_") for test in tests)
