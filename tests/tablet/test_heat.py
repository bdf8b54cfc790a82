"""Heat by touch: the bar leads to every safeguard, each reason has its key, the flame's time runs on its own control."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.tablet.screens.gate import CLEARS, KEY_WORDS, reason_line
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.reasons import ReasonRow
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.safeguards import SafeguardBar
from coach.view.texts import ReasonText
from tests.tablet.driver import Driver, window_box  # first: it sets the toolkit up
from tests.tablet.test_app import Boat, lit


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
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


@pytest.mark.parametrize("act", ["observe", "measure", "resume", "hand_over", "reset", "stop", "do", "answer"])
def test_each_act_that_clears_a_reason_has_its_key(act: str) -> None:
    line = reason_line(3, ReasonText("G000", "wind", act, "what", "why", "mend"))
    assert line.key == "3" and line.button == KEY_WORDS[act] != ""
    assert set(CLEARS) == set(KEY_WORDS)


def test_lit_time_and_flame_out_are_one_control_the_largest_on_the_page(drive: Driver, tmp_path: Path) -> None:
    boat = lit(drive, tmp_path)
    out = boat.big("Flame out, tool closed")
    boat.clock.pass_seconds(83)
    drive.pass_time(2)
    assert out.note == "Lit for 1:23"

    def area(button: BigButton) -> float:
        left, low, right, top = window_box(button)
        return (right - left) * (top - low)

    others = [each for each in drive.all(BigButton) if each is not out]
    assert others and all(area(out) > 1.5 * area(each) for each in others)
    drive.tap(out)
    assert boat.kinds()[-1] == "flame_out"
