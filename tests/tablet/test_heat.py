"""Heat by touch: the bar leads to every safeguard, each reason has its key, the flame's time runs on its own control."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.tablet.screens.gate import CLEARS, KEY_WORDS, reason_line
from coach.tablet.screens.proof import open_proof
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.reasons import ReasonRow
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.safeguards import SafeguardBar
from coach.tablet.widgets.text import Paragraph
from coach.view.palette import DAY
from coach.view.texts import ReasonText
from tests.tablet.driver import Driver, Window, visible_box, window_box  # first: it sets the toolkit up
from tests.tablet.test_app import Boat, lit


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


@pytest.fixture(params=[(1280, 800), (800, 1280)], ids=["landscape", "portrait"])
def either(request: pytest.FixtureRequest):  # type: ignore[no-untyped-def]
    with Driver(request.param) as driver:
        yield driver


def test_the_bar_leads_to_every_safeguard_and_each_to_its_questions(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    drive.tap(drive.one(SafeguardBar))
    drive.settle()
    rows = {row.key: row for row in drive.all(ListRow)}
    assert list(rows) == list(boat.shown.rules.safeguards)
    drive.tap(rows["wind"])
    drive.settle()
    assert "With a wind meter" in drive.texts()


def test_every_reason_of_a_blocked_flame_has_one_key(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.clock.pass_minutes(70)  # several are too old by now
    boat.enter()
    rows = drive.all(ReasonRow)
    assert len(rows) >= 3
    assert all(row.button == "Show it" for row in rows)


def test_two_reasons_and_their_keys_are_in_sight_together(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.clock.pass_minutes(70)
    boat.enter()
    rows = drive.all(ReasonRow)[:2]
    keys = [key for row in rows for key in drive.all(BigButton) if key in row.children]
    assert len(keys) == 2 and all(visible_box(key) == window_box(key) for key in keys)


@pytest.mark.parametrize("act", ["observe", "measure", "resume", "hand_over", "reset", "stop", "do", "answer"])
def test_each_act_that_clears_a_reason_has_its_key(act: str) -> None:
    line = reason_line(3, ReasonText("G000", "wind", act, "what", "why", "mend"))
    assert line.key == "3" and line.button == KEY_WORDS[act] != ""
    assert set(CLEARS) == set(KEY_WORDS)


def test_lit_time_and_flame_out_are_one_control_the_largest_on_the_page(either: Driver, tmp_path: Path) -> None:
    boat = lit(either, tmp_path)
    out = boat.big("Flame out, tool closed")
    boat.clock.pass_seconds(83)
    either.pass_time(2)
    assert out.note == "Lit for 1:23"

    def area(button: BigButton) -> float:
        left, low, right, top = window_box(button)
        return (right - left) * (top - low)

    others = [each for each in either.all(BigButton) if each is not out]
    assert others and all(area(out) > 1.5 * area(each) for each in others), [area(out) / area(each) for each in others]
    either.tap(out)
    assert boat.kinds()[-1] == "flame_out"


def test_a_trip_gives_its_order_in_the_largest_text_on_red_and_the_reason_beside_it(either: Driver, tmp_path: Path) -> None:
    boat = lit(either, tmp_path)
    boat.clock.pass_minutes(16)  # the wind reading lapses at 15 minutes
    either.pass_time(2)
    either.settle()
    texts = either.all(Paragraph, lambda each: bool(each.words))
    largest = max(texts, key=lambda each: each.font_size)
    assert largest.words == "Take the flame off the film and let go of the trigger."
    why = next(each for each in texts if each.words.startswith("Wind under the limit: shown"))
    assert visible_box(why) == window_box(why)  # without scrolling
    row = either.pixels()[3 * 6 * Window.width :][: 3 * Window.width]  # under the foot's button
    assert row[:3] == row[-3:] == bytes.fromhex(DAY.danger[1:])  # from edge to edge


def test_a_day_that_its_month_lacks_cannot_be_taken(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    boat.enter()
    open_proof(boat.app.shell, "extinguisher")
    drive.settle()
    drive.tap(drive.all(ListRow)[-1])
    drive.settle()
    year, month, day = drive.all(Counter)
    year.value, month.value, day.value = 2026, 3, 31
    drive.tap(next(each for each in drive.all(IconButton) if each.words == "Less" and each in month.walk()))
    drive.settle()
    assert (month.value, day.value) == (2, 28)
    assert drive.showing("28")
