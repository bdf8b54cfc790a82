"""Every way to change an exported job by a byte, a line or a piece of another is noticed, and where it was.

COACH_LONG=1 tries all 255 other values of every byte instead of one.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from coach.core.problems import Problem
from coach.record.export import export
from coach.record.sealed import read, verify_bytes
from tests.record.jobs import key, ledger, play, review, story

LONG = bool(os.environ.get("COACH_LONG"))


def short(job: str) -> list:
    told = story(job)
    return [told[0], told[2], told[5], told[7], told[8], told[14], told[15]]


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """One job as it stood when signed, the same after review, another job of the same tablet, a stranger's copy."""
    store = ledger(tmp_path_factory.mktemp("tamper"))
    play(store, "dunlin-1", short("dunlin-1"))
    before = export(store, "dunlin-1", key(1))
    store.append("dunlin-1", review())
    store.seal("dunlin-1")
    play(store, "dunlin-2", short("dunlin-2"))
    return {
        "before": before,
        "after": export(store, "dunlin-1", key(1)),
        "other": export(store, "dunlin-2", key(1)),
    }


def names_the_line(problems: list[Problem], number: int, entry: int | None) -> bool:
    texts = [str(problem) for problem in problems]
    if entry is not None and any(f"entry {entry} " in text or f"entry {entry + 1} " in text for text in texts):
        return True
    return any(f"line {number} " in text for text in texts)


def lines_of(raw: bytes) -> list[tuple[int, int, int | None]]:
    """Start of each line, its number, and the entry on it if any."""
    found, start = [], 0
    for number, line in enumerate(raw.split(b"\n")[:-1], start=1):
        word = line.split(b" ")[0]
        found.append((start, number, int(word) if word.isdigit() else None))
        start += len(line) + 1
    return found


def changes(byte: int, place: int) -> Iterator[int]:
    if LONG:
        yield from (value for value in range(256) if value != byte)
    else:
        yield byte ^ (1 << place % 8)


def test_every_changed_byte_is_noticed_and_named(files: dict[str, bytes]) -> None:
    raw = files["before"]
    tried = 0
    for (start, number, entry), (end, _, _) in zip(
        lines_of(raw), [*lines_of(raw)[1:], (len(raw), 0, None)], strict=True
    ):
        for place in range(start, end):
            for value in changes(raw[place], place):
                changed = bytearray(raw)
                changed[place] = value
                problems = verify_bytes(bytes(changed))
                assert problems, (place, value)
                if entry is not None and place < end - 1:
                    assert names_the_line(problems, number, entry), (place, value, [str(each) for each in problems])
                tried += 1
    assert tried == len(raw) * (255 if LONG else 1)


def test_every_byte_taken_out_is_noticed(files: dict[str, bytes]) -> None:
    raw = files["before"]
    for place in range(len(raw)):
        assert verify_bytes(raw[:place] + raw[place + 1 :]), place


def test_every_shorter_file_is_noticed(files: dict[str, bytes]) -> None:
    raw = files["before"]
    for size in range(len(raw)):
        assert verify_bytes(raw[:size]), size


def test_bytes_put_in_or_added_are_noticed(files: dict[str, bytes]) -> None:
    raw = files["before"]
    for place in range(0, len(raw) + 1, 1 if LONG else 5):
        assert verify_bytes(raw[:place] + b"0" + raw[place:]), place
    for extra in (b"\n", b" ", b"\0", raw, b"end\n", raw[raw.rindex(b"\nend") + 1 :]):
        assert verify_bytes(raw + extra), extra[:9]


def test_every_line_taken_out_repeated_or_moved_is_noticed(files: dict[str, bytes]) -> None:
    lines = files["before"].splitlines(keepends=True)
    for place in range(len(lines)):
        assert verify_bytes(b"".join(lines[:place] + lines[place + 1 :])), ("out", place)
        assert verify_bytes(b"".join([*lines[:place], lines[place], *lines[place:]])), ("twice", place)
        for other in range(place + 1, len(lines)):
            moved = [*lines]
            moved[place], moved[other] = moved[other], moved[place]
            assert verify_bytes(b"".join(moved)), ("exchanged", place, other)


@pytest.mark.parametrize("pair", [("before", "after"), ("after", "before"), ("before", "other"), ("other", "before")])
def test_no_piece_of_one_file_fits_into_another(files: dict[str, bytes], pair: tuple[str, str]) -> None:
    here, there = (files[name].splitlines(keepends=True) for name in pair)
    whole = {files[name] for name in files}
    for first in range(len(here) + 1):
        for second in range(len(there) + 1):
            made = b"".join(here[:first] + there[second:])
            assert made in whole or verify_bytes(made), (first, second)
    for place, line in enumerate(here):
        for other in there:
            if other != line:
                assert verify_bytes(b"".join([*here[:place], other, *here[place + 1 :]])), (place, other[:40])


def test_a_later_seal_does_not_reach_back(files: dict[str, bytes]) -> None:
    """Cutting the review off the later file, seals and count made to fit, fails at the end's signature."""
    cut = [
        line for line in files["after"].splitlines(keepends=True) if not line.startswith((b"8 ", b"seal 8", b"head 8"))
    ]
    cut = [b"entries 7\n" if line.startswith(b"entries") else line for line in cut]
    codes = {problem.code for problem in verify_bytes(b"".join(cut))}
    assert {"R302", "R505"} <= codes


def test_a_stranger_who_signs_it_all_anew_has_another_key(files: dict[str, bytes], tmp_path: Path) -> None:
    store = ledger(tmp_path, 3)
    told = short("dunlin-1")
    told[2] = told[1]
    play(store, "dunlin-1", told)
    forged = export(store, "dunlin-1", key(3))
    assert verify_bytes(forged) == []  # a file agrees with itself; whose it is only the yard's list says
    assert read(forged).writer == key(3).key_id != read(files["before"]).writer


def test_files_of_today_are_read_for_ever() -> None:
    """21 CFR 11.10(c): a file of each form ever released stays in tests/record/old and verifies."""
    kept = sorted((Path(__file__).parent / "old").glob("*.coach"))
    assert [path.name for path in kept] == ["form-1.coach"]
    for path in kept:
        assert verify_bytes(path.read_bytes(), path.name) == []
