"""A moving picture in the window: it moves, it comes to rest, a touch shows it again, and it can be switched off."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coach.tablet.screens.menu import menu_page
from coach.tablet.widgets.moving import MovingPicture
from coach.view.pictures import moves
from coach.view.pictures.motion import MOTIONS
from tests.tablet.driver import Driver  # first: it sets the toolkit up
from tests.tablet.test_app import Boat


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((640, 480)) as driver:
        yield driver


def changed(one: bytes, other: bytes) -> float:
    """The share of the pixels that differ."""
    a, b = (np.frombuffer(data, np.uint8).astype(int).reshape(-1, 3) for data in (one, other))
    return float((np.abs(a - b).max(axis=1) > 20).mean())


def test_it_moves_comes_to_rest_as_the_still_picture_and_moves_again_at_a_touch(drive: Driver) -> None:
    still = drive.show(MovingPicture(drawing=moves.flame_level(), hint=MOTIONS["flame-level"], moves=False))
    assert not still.playing
    at_rest = drive.pixels()
    drive.end()
    picture = drive.show(MovingPicture(drawing=moves.flame_level(), hint=MOTIONS["flame-level"]))
    drive.pass_time(1, 0.25)
    one = drive.pixels()
    drive.pass_time(2, 0.25)
    assert picture.playing and changed(one, drive.pixels()) > 0.001
    drive.pass_time(14, 0.5)
    assert not picture.playing and changed(at_rest, drive.pixels()) == 0
    drive.tap(picture)
    assert picture.playing


def test_a_picture_that_was_taken_away_moves_no_more(drive: Driver) -> None:
    picture = drive.show(MovingPicture(drawing=moves.pleat(), hint=MOTIONS["pleat"]))
    drive.pass_time(0.5)
    drive.end()
    share = picture.share
    drive.pass_time(1)
    assert picture.share == share


def test_the_menu_switches_motion_off_for_good(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        boat = Boat(drive, tmp_path, "weld-hem")
        boat.enter()
        assert drive.one(MovingPicture).playing
        boat.app.shell.open(menu_page)  # type: ignore[attr-defined]
        drive.settle()
        drive.tap_text("Moving pictures")
        boat.app.shell.back()  # type: ignore[attr-defined]
        drive.settle()
        assert not drive.one(MovingPicture).playing
        drive.tap(drive.one(MovingPicture))
        assert not drive.one(MovingPicture).playing
