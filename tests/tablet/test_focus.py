"""The keyboard: the focus goes round, keys press as a finger does, and no key that is merely held lights a flame."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tablet.driver import Driver, Window  # isort: skip  first: it sets the toolkit up

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.focus import ENTER, ESCAPE, SPACE, TAB, Focus, targets
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.choices import Choice, ChoiceTile, ChoiceTiles
from coach.tablet.widgets.field import Entry
from coach.tablet.widgets.keypad import Key, Keypad
from coach.tablet.widgets.people import Person, PersonTile, PersonTiles
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.safeguards import Guard, SafeguardBar
from tests.tablet.test_app import Boat

DOWN, RIGHT = 274, 275


@pytest.fixture
def drive() -> Iterator[Driver]:
    with Driver((1280, 800)) as driver:
        yield driver


def focused(boat: Boat) -> Widget | None:
    focus: Focus = boat.app.focus  # type: ignore[attr-defined]
    return focus.at


def go_to(boat: Boat, words: str) -> None:
    """Press Tab until what shows these words has the focus."""
    for _ in range(60):
        boat.drive.key(TAB)
        if words in (getattr(focused(boat), "words", ""), getattr(focused(boat), "key", "")):
            return
    raise AssertionError(f"no Tab leads to {words!r}")


TARGETS = {
    "BigButton": (lambda: BigButton(words="Big"), BigButton, "on_act"),
    "IconButton": (lambda: IconButton(icon="plus", words="More"), IconButton, "on_act"),
    "ListRow": (lambda: ListRow(words="Dunlin"), ListRow, "on_act"),
    "ChoiceTile": (lambda: ChoiceTiles(options=[Choice("a", "A")]), ChoiceTile, "on_release"),
    "PersonTile": (lambda: PersonTiles(people=[Person("ana", "Ana Ruiz")]), PersonTile, "on_release"),
    "PhotoTile": (lambda: PhotoTile(words="Bow"), PhotoTile, "on_take"),
    "SafeguardBar": (lambda: SafeguardBar(guards=[Guard("wind", "Wind", "missing")]), SafeguardBar, "on_open"),
    "Key": (lambda: Keypad(kind="count"), Key, "on_release"),
    "Counter": (lambda: Counter(label="Vents", value=5), IconButton, "on_act"),
}


@pytest.mark.parametrize("name", TARGETS)
def test_enter_and_space_do_what_a_tap_does(name: str, drive: Driver) -> None:
    build, kind, event = TARGETS[name]
    page = BoxLayout(orientation="vertical")
    page.add_widget(build())
    drive.show(page)
    target = drive.all(kind)[0]
    heard: list[str] = []
    target.bind(**{event: lambda *_: heard.append(event)})
    drive.tap(target)
    assert heard == [event]
    for key in (ENTER, SPACE):
        focus = Focus()
        focus.take(target)
        focus.down(key)
        focus.up(key)
        drive.frames(2)
        focus.drop()
    assert heard == [event] * 3


def test_a_job_is_reached_and_left_by_keys_alone(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "tape-over")
    go_to(boat, "Ana Ruiz")
    drive.key(ENTER)
    go_to(boat, "Dunlin")
    drive.key(SPACE)
    drive.settle()
    drive.key(TAB, "shift")  # from none to the last target, which is the way on
    drive.key(ENTER)
    drive.settle()
    for sign in '66"':
        Window.dispatch("on_key_down", ord(sign), 0, sign, [])
        Window.dispatch("on_key_up", ord(sign), 0)
    go_to(boat, "Take it")
    drive.key(ENTER)
    drive.settle()
    assert boat.shown.state.typed["ridge_to_edge"] == '66"'
    depth = boat.app.shell.depth  # type: ignore[attr-defined]
    drive.key(ESCAPE)
    drive.key(ESCAPE)
    assert boat.app.shell.depth == depth - 2  # type: ignore[attr-defined]
    assert "Who is at the tablet?" in drive.texts()


def test_arrows_go_to_the_nearest_target(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path)
    go_to(boat, "Ana Ruiz")
    drive.key(RIGHT)
    assert getattr(focused(boat), "words", "") == "Joel Baptiste"
    drive.key(DOWN)
    assert getattr(focused(boat), "words", "") in ("Nia Falk", "Español")


def test_a_text_is_typed_and_left_by_tab(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    drive.tap_text("New boat")
    drive.settle()
    entry = drive.one(Entry)
    while focused(boat) is not entry:
        drive.key(TAB)
    drive.key(ENTER)
    assert entry.focus
    drive.type_text("Sanderling 2")
    assert entry.text == "Sanderling 2"
    drive.key(TAB)
    assert not entry.focus
    assert entry.text == "Sanderling 2"


def test_a_held_key_lights_only_from_its_own_going_down(drive: Driver, tmp_path: Path) -> None:
    """The hold of two seconds is the same as by finger; repeats of a key that is down count for nothing."""
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    go_to(boat, "Light the flame")
    drive.key(ENTER)
    drive.key(ENTER, hold=1.5, repeats=20)
    assert "flame_lit" not in boat.kinds()
    drive.key(ENTER, hold=2.5, repeats=30)
    drive.settle()
    assert boat.shown.state.flame == "weld-hem"


def test_a_key_that_was_down_before_the_flame_could_be_lit_lights_nothing(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    light = boat.big("Light the flame")
    light.disabled = True
    focus: Focus = boat.app.focus  # type: ignore[attr-defined]
    focus.take(light)
    Window.dispatch("on_key_down", ENTER, 0, "", [])
    light.disabled = False  # as when the last safeguard is shown while the key is down
    for _ in range(40):
        drive.pass_time(0.1)
        Window.dispatch("on_key_down", ENTER, 0, "", [])
    Window.dispatch("on_key_up", ENTER, 0)
    assert "flame_lit" not in boat.kinds()


def test_a_window_that_goes_behind_another_lets_go(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    go_to(boat, "Light the flame")
    Window.dispatch("on_key_down", ENTER, 0, "", [])
    drive.pass_time(1)
    boat.app.focus.let_go()  # type: ignore[attr-defined]
    drive.pass_time(3)
    Window.dispatch("on_key_up", ENTER, 0)
    assert "flame_lit" not in boat.kinds()


def test_the_ring_can_be_seen(drive: Driver, tmp_path: Path) -> None:
    """The pixels along the edge of what has the focus change."""
    boat = Boat(drive, tmp_path)
    target = targets(boat.app.root)[1]
    before = drive.pixels()
    boat.app.focus.take(target)  # type: ignore[attr-defined]
    drive.frames()
    after = drive.pixels()
    left, low = (round(each) for each in target.to_window(target.x, target.center_y))
    row = [(low * Window.width + x) * 3 for x in range(left, left + 12)]
    assert sum(before[at : at + 3] != after[at : at + 3] for at in row) >= 4
