"""The page that asks a measure, by touch: the picture follows the keys, and everything is in sight at once."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.screens.entry import open_measure
from coach.tablet.theme import theme
from coach.tablet.widgets.asking import Asking, Figure, FigureRow
from coach.tablet.widgets.body import ScrollBody
from coach.tablet.widgets.keypad import Keypad
from coach.view.marks import Label
from tests.tablet.driver import Driver, visible_box, window_box  # first: it sets the toolkit up
from tests.tablet.measure import faults, layout_faults
from tests.tablet.test_app import Boat


def tags(drive: Driver) -> list[str]:
    """The values on the picture's dark tags."""
    sheet = drive.one(Asking).picture.sheet
    assert sheet is not None
    return [mark.words for mark in sheet.marks if isinstance(mark, Label) and mark.plate == "primary"]


def figures(drive: Driver) -> list[str]:
    """The numbers in sight, each wholly."""
    rows = [row for row in drive.all(FigureRow) if row.opacity]
    assert all(visible_box(row) == window_box(row) for row in rows)
    return [row.value for row in rows]


def asking(drive: Driver, folder: Path, until: str, id: str) -> Boat:
    """The boat at a step, and the page of one of its measures."""
    boat = Boat(drive, folder, until)
    boat.enter()
    open_measure(boat.app.shell, id)  # type: ignore[attr-defined]
    drive.settle()
    return boat


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)], ids=str)
def test_picture_and_numbers_follow_the_keys(size: tuple[int, int], tmp_path: Path) -> None:
    with Driver(size) as drive:
        asking(drive, tmp_path, "tape-over", "ridge_to_edge")
        assert (tags(drive), figures(drive)[:2]) == (["?"], ["?", "?"])
        drive.keypad('66"')
        drive.settle()
        assert (tags(drive), figures(drive)[:2]) == (["5' 6\""], ["12 ft", "12 ft"])
        assert faults(drive) == []
        assert not drive.one(ScrollBody).more
        assert visible_box(drive.one(Keypad)) == window_box(drive.one(Keypad))


def test_the_numbers_come_first_and_the_picture_a_frame_later(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        asking(drive, tmp_path, "tape-over", "ridge_to_edge")
        pad = drive.one(Keypad)
        for key in ("6", "6", "in"):
            pad._press(key)
        assert (figures(drive)[:2], tags(drive)) == (["12 ft", "12 ft"], ["?"])
        drive.frames(2)
        assert tags(drive) == ["5' 6\""]


def test_out_of_range_the_last_good_picture_stays_paler_and_says_so(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        asking(drive, tmp_path, "tape-over", "ridge_to_edge")
        drive.keypad("66")
        drive.settle()
        drive.keypad("6")  # 666 in is longer than any half tape
        drive.settle()
        page = drive.one(Asking)
        assert page.trouble == "55' 6\" is outside the plausible range, 2 ft – 20 ft."
        assert page.stale == "The picture and the numbers are of 5' 6\"."
        assert page.picture.pale
        assert (tags(drive), figures(drive)[:2]) == (["5' 6\""], ["12 ft", "12 ft"])
        assert faults(drive) == []
        drive.tap(drive.one(Keypad).ids.enter)
        assert drive.one(Asking) is page, "what is out of range cannot be taken"
        pad = drive.one(Keypad)
        pad._press("erase")
        drive.settle()
        assert (page.trouble, page.stale, page.picture.pale) == ("", "", False)


def test_a_first_digit_that_is_out_of_range_leaves_what_is_not_known_unknown(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        asking(drive, tmp_path, "tape-over", "ridge_to_edge")
        drive.keypad("6")
        drive.settle()
        page = drive.one(Asking)
        assert page.trouble.startswith("6 in is outside")
        assert (page.stale, page.picture.pale, tags(drive)) == ("", False, ["?"])


@pytest.mark.parametrize(("size", "above"), [((1280, 800), (15, 28, 39, 50)), ((800, 1280), (15, 36, 70, 80))], ids=str)
def test_under_running_times_question_value_numbers_and_keys_stay_in_sight(
    size: tuple[int, int], above: tuple[int, ...]
) -> None:
    """above: mm that title bar, strip and the like take; every key keeps its 15 mm."""
    with Driver(size) as drive:
        pad, body, strip = Keypad(enter_words="Prendre"), ScrollBody(), Widget(size_hint_y=None)
        page = Asking(pad, ask="Demi-mesure par-dessus le bau, du faîte au bord", how="Tenez le mètre tendu. " * 4)
        body.add_widget(page)
        body.fill(page)
        root = BoxLayout(orientation="vertical")
        root.add_widget(strip)
        root.add_widget(body)
        page.show([Figure("Largeur du film", "12 ft"), Figure("Rouleau à prendre", "12 ft")])
        drive.show(root)
        for high in above:
            strip.height = high * theme.mm
            for pad.text, page.trouble in (("66", ""), ("666", "666 in est hors de la plage plausible, 2 ft – 20 ft.")):
                drive.settle()
                assert not body.more and body.wanted <= body.height + 1, high
                parts = [pad.ids.pad, pad.ids.typed, pad.ids.enter, page.ids.ask_line]
                assert all(visible_box(part) == window_box(part) for part in parts)
                assert figures(drive)
                assert page.trouble in ("", *drive.texts())
                assert layout_faults(drive) == []


def test_a_body_that_takes_its_lower_edge_in_keeps_its_distance_from_what_stands_above() -> None:
    """On a wide screen, one more line of a boat put the list 1.6 mm under the keys of the title."""
    with Driver((1280, 800)) as drive:
        body = ScrollBody()
        content = Widget(size_hint_y=None, height=800 - theme.gap - theme.pad / 2)
        body.add_widget(content)
        drive.show(body)
        drive.settle()
        assert body.snug and not body.more
        assert 800 - content.to_window(0, content.top)[1] == pytest.approx(theme.gap)
