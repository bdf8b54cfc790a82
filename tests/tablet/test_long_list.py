"""A long list builds only what is near the eyes, all of it is reachable, and what was seen keeps its height."""

from __future__ import annotations

import pytest

from coach.tablet.focus import Focus
from coach.tablet.widgets.body import BodyScroll, ScrollBody
from coach.tablet.widgets.long_list import SHORT, LongList
from coach.tablet.widgets.rows import ListRow
from tests.tablet.driver import Driver  # first: it sets the toolkit up


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


def shown(drive: Driver, count: int, touched: list[int]) -> None:
    """A list of so many rows in a scrolling body."""

    def make() -> ListRow:
        row = ListRow(note="Ana Ruiz", icon="boat")
        row.bind(on_act=lambda pressed: touched.append(int(pressed.key)))
        return row

    def show(row: ListRow, number: int) -> None:
        row.key, row.words = str(number), f"Boat {number}"

    body = ScrollBody()
    body.add_widget(LongList(make, show, range(count)))
    drive.show(body)


def built(drive: Driver) -> list[str]:
    return [row.words for row in drive.all(ListRow)]


def test_a_short_list_is_built_whole(drive: Driver) -> None:
    shown(drive, SHORT, [])
    assert built(drive) == [f"Boat {number}" for number in range(SHORT)]


def test_a_long_list_builds_what_is_near_and_lets_go_of_what_is_far(drive: Driver) -> None:
    touched: list[int] = []
    shown(drive, 400, touched)
    assert built(drive)[0] == "Boat 0" and len(built(drive)) < 30
    scroll = drive.one(BodyScroll)
    for place in (0.8, 0.5, 0.2, 0.0):
        scroll.scroll_y = place
        drive.frames(30)
        drive.settle()
        assert 8 <= len(built(drive)) < 30
    assert built(drive)[-1] == "Boat 399" and "Boat 0" not in built(drive)
    drive.tap_text("Boat 399")
    assert touched == [399]


def test_every_row_comes_by_while_one_scrolls(drive: Driver) -> None:
    shown(drive, 120, [])
    scroll = drive.one(BodyScroll)
    seen: set[str] = set()
    for step in range(61):
        scroll.scroll_y = 1 - step / 60
        drive.frames(4)
        seen |= {text for text in drive.texts() if text.startswith("Boat ")}
    assert seen == {f"Boat {number}" for number in range(120)}


def test_a_row_that_is_used_again_has_lost_the_focus_and_a_pressed_one_stays_what_it_is(drive: Driver) -> None:
    shown(drive, 120, [])
    focus, (first, second) = Focus(), drive.all(ListRow)[:2]
    focus.take(first)
    second.state = "down"
    drive.one(BodyScroll).scroll_y = 0.0
    drive.frames(20)
    assert focus.at is None
    assert second.words == "Boat 1" and "Boat 119" in built(drive)
