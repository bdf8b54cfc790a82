"""A refused file tells the cure of its own cause. Source of the names: POSIX.1-2017, <errno.h>; the words are ours."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from coach.core.problems import CoachError, Problem, ProcedureError, RecordError, StoreError
from coach.disk import HINTS, read_cure, write_cure
from coach.reader.files import read_bytes
from coach.record import exchange
from coach.record.files import read_plain
from coach.record.keys import DeviceKey
from coach.record.photos import PhotoFolder

NOBODY = 65_534
RIGHT, READ_RIGHT = "give the app the right to write there, then do it again", "give the app the right to read it, then do it again"


@pytest.mark.parametrize(
    ("number", "writing", "reading"),
    [
        (errno.ENOSPC, "full", "read other"), (errno.EDQUOT, "full", "read other"), (errno.EFBIG, "full", "read other"),
        (errno.EACCES, "right", "read right"), (errno.EPERM, "right", "read right"),
        (errno.EROFS, "protected", "read other"), (errno.ENOENT, "gone", "path"), (errno.ENODEV, "gone", "path"),
        (errno.ENOTDIR, "in the way", "path"), (errno.EISDIR, "in the way", "path"), (errno.EEXIST, "in the way", "path"),
        (errno.ENAMETOOLONG, "path", "path"), (errno.ELOOP, "path", "path"), (errno.EIO, "other", "read other"),
    ],
)  # fmt: skip
def test_each_cause_has_its_own_cure(number: int, writing: str, reading: str) -> None:
    fault = OSError(number, os.strerror(number))
    assert write_cure(fault) == HINTS[writing]
    assert read_cure(fault) == HINTS[reading]


def test_a_fault_without_a_number_is_of_no_known_cause() -> None:
    assert write_cure(OSError("the bus is gone")) == HINTS["other"]
    assert read_cure(ValueError("embedded null byte")) == HINTS["path"]


@pytest.mark.parametrize("fails", [exchange.folder_failed, exchange.not_kept])
def test_a_missing_right_is_not_told_to_free_space(fails: Callable[[Path, OSError], Problem]) -> None:
    problem = fails(Path("stick"), PermissionError(errno.EACCES, "Permission denied"))
    assert "(Permission denied)" in problem.what % problem.slots
    assert problem.mend == RIGHT


@contextmanager
def without_rights(*places: Path) -> Iterator[None]:
    """The places may not be read or written, not even by root."""
    modes = [(place, place.stat().st_mode) for place in places]
    for place in places:
        place.chmod(0o000)
    root = os.geteuid() == 0
    if root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
        for place, mode in modes:
            place.chmod(mode)


def test_what_may_not_be_written_or_read_asks_for_the_right(tmp_path: Path) -> None:
    place = tmp_path / "place"
    place.mkdir()
    (file := place / "file.yaml").write_text("procedure: x\n")
    found: list[CoachError] = []
    with without_rights(file, place):
        for work in (
            lambda: PhotoFolder(place / "photos").keep(b"p"), lambda: DeviceKey.open(place / "keys"),
            lambda: read_plain(file, 100), lambda: read_bytes(file, "file.yaml"),
        ):  # fmt: skip
            with pytest.raises((StoreError, RecordError, ProcedureError)) as refused:
                work()
            found.append(refused.value)
    told = [(problem.code, problem.mend) for error in found for problem in error.problems]
    assert told == [("R432", RIGHT), ("R312", RIGHT), ("X104", READ_RIGHT), ("P503", READ_RIGHT)]
