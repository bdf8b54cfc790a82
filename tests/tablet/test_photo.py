"""Photos by a camera (a stand-in at the interface's edge) and from a real file; the same picture has the same hash."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from kivy.uix.widget import Widget

from coach.core.problems import CoachError, Problem
from coach.tablet.camera import DeviceCamera, device_camera
from coach.tablet.screens.photo import attach
from coach.tablet.widgets.buttons import IconButton
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.still import StillImage
from tests.tablet.driver import Driver, Window, png  # first: it sets the toolkit up
from tests.tablet.test_app import Boat

PICTURE = png(4, 4, [bytes(12)] * 4)


class StandIn:
    """A camera that gives this picture, or fails."""

    def __init__(self, picture: bytes = PICTURE, sees: bool = True) -> None:
        self.picture = picture
        self.sees = sees
        self.on = False

    def view(self) -> Widget:
        if not self.sees:
            raise CoachError(Problem("C105", "no camera", "why", "mend"))
        self.on = True
        return Widget()

    def shoot(self) -> bytes:
        if not self.picture:
            raise CoachError(
                Problem(
                    "C105",
                    "the camera gives no picture: it is dark",
                    "the record names a picture by its content",
                    "choose a file instead",
                )
            )
        return self.picture

    def close(self) -> None:
        self.on = False


def at_photo(drive: Driver, folder: Path, camera: StandIn | None) -> Boat:
    """At the first step, which asks for a photo."""
    boat = Boat(drive, folder, "look-over")
    boat.app.shell.camera = camera  # type: ignore[attr-defined]
    boat.enter()
    drive.tap(drive.one(PhotoTile))
    drive.settle()
    return boat


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


def hashes(boat: Boat) -> list[str]:
    draft = boat.app.shell.draft["look-over"]  # type: ignore[attr-defined]
    return [value for value in draft.values() if isinstance(value, str) and len(value) == 64]


def test_the_camera_takes_the_picture_and_its_hash_is_the_evidence(drive: Driver, tmp_path: Path) -> None:
    camera = StandIn()
    boat = at_photo(drive, tmp_path, camera)
    assert camera.on
    drive.tap_text("Take it now")
    drive.settle()
    assert hashes(boat) == [hashlib.sha256(PICTURE).hexdigest()]
    assert boat.desk.photos.path(hashes(boat)[0]).read_bytes() == PICTURE
    assert not camera.on and drive.one(PhotoTile).taken


@pytest.mark.parametrize("way", ["Leave it", "From a file"])
def test_the_camera_is_off_after_any_way_out(way: str, drive: Driver, tmp_path: Path) -> None:
    camera = StandIn()
    boat = at_photo(drive, tmp_path, camera)
    drive.tap_text(way)
    drive.settle()
    assert not camera.on and hashes(boat) == []
    assert ("Choose the photo" in drive.texts()) is (way == "From a file")


def test_a_camera_without_a_picture_says_so(drive: Driver, tmp_path: Path) -> None:
    camera = StandIn(b"")
    boat = at_photo(drive, tmp_path, camera)
    drive.tap_text("Take it now")
    drive.settle()
    assert "The camera gives no picture: it is dark." in drive.texts()
    assert hashes(boat) == [] and not camera.on


@pytest.mark.parametrize("camera", [None, StandIn(sees=False)], ids=["none", "broken"])
def test_without_a_camera_a_file_is_chosen(camera: StandIn | None, drive: Driver, tmp_path: Path) -> None:
    boat = at_photo(drive, tmp_path, camera)
    assert "Choose the photo" in drive.texts()
    drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
    file = tmp_path / "bow.png"
    file.write_bytes(PICTURE)
    item = next(each.id for each in boat.shown.rules.steps["look-over"].evidence if each.kind == "photo")
    attach(boat.app.shell, item, boat.app.shell.draft["look-over"], file)  # type: ignore[attr-defined]
    assert hashes(boat) == [hashlib.sha256(PICTURE).hexdigest()]


def test_a_device_has_a_camera_exactly_where_the_toolkit_has_a_way_to_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kivy.core.camera.Camera", None)
    assert device_camera() is None
    monkeypatch.setattr("kivy.core.camera.Camera", object)
    assert isinstance(device_camera(), DeviceCamera)


def test_a_large_picture_is_kept_at_the_screens_size_and_stands_upright(drive: Driver, tmp_path: Path) -> None:
    red, blue = b"\xff\0\0" * 3000, b"\0\0\xff" * 3000
    file = tmp_path / "large.png"
    file.write_bytes(png(3000, 2000, [red] * 1000 + [blue] * 1000))
    image = drive.show(StillImage(source=str(file)))
    drive.settle()
    assert image.texture is not None and image.texture.size == (1280, 853)
    wide, high = Window.size
    shot = drive.pixels()

    def at(y: int) -> bytes:
        return shot[3 * (y * wide + wide // 2) :][:3]

    assert (at(high // 4), at(3 * high // 4)) == (b"\0\0\xff", b"\xff\0\0")


@pytest.mark.parametrize("content", [None, b"", b"no picture"], ids=["missing", "empty", "other"])
def test_a_file_that_is_no_picture_shows_nothing(content: bytes | None, drive: Driver, tmp_path: Path) -> None:
    file = tmp_path / "odd.jpg"
    if content is not None:
        file.write_bytes(content)
    assert drive.show(StillImage(source=str(file))).texture is None
