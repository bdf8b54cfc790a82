"""The words of the trade by touch, from a job and from one's own page."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.tablet.widgets.buttons import IconButton
from coach.tablet.widgets.picture import PictureView
from tests.tablet.driver import Driver
from tests.tablet.measure import faults
from tests.tablet.test_numbers import opened


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)])
def test_a_word_is_two_touches_from_the_job(size: tuple[int, int], tmp_path: Path) -> None:
    with Driver(size) as drive:
        opened(drive, tmp_path)
        drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
        drive.tap(drive.one(IconButton, lambda each: each.icon == "menu"))
        drive.tap_text("Words of the trade")
        drive.settle()
        assert faults(drive) == []
        drive.tap_text("Belly band")
        drive.settle()
        assert any("under the hull from side to side" in text for text in drive.texts())
        assert drive.one(PictureView)
        assert faults(drive) == []


def test_the_board_says_what_kind_of_job_it_is(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        opened(drive, tmp_path)
        for _ in range(2):
            drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
            drive.settle()
        assert any(text.endswith("Cover a power boat on its trailer") for text in drive.texts())
