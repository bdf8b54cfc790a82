"""The driver: apps follow one another in any size, time passes only when told to, eyes see what is in sight."""

from __future__ import annotations

import pytest
from kivy.app import App
from kivy.clock import Clock

from coach.tablet.widgets.body import ScrollBody
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.text import Paragraph
from tests.tablet.driver import Driver, Window, keys_for


class Ticking(App):
    """An app that counts seconds."""

    def build(self) -> ScrollBody:
        self.seconds = 0
        body = ScrollBody()
        self.line = Paragraph(words="0 s")
        body.add_widget(self.line)
        body.add_widget(BigButton(words="Again", on_act=self.again))
        for number in range(40):
            body.add_widget(Paragraph(words=f"line {number}"))
        self.ticking = Clock.schedule_interval(self.tick, 1)
        return body

    def tick(self, _: float) -> None:
        self.seconds += 1
        self.line.words = f"{self.seconds} s"

    def again(self, *_: object) -> None:
        self.seconds = 0

    def on_stop(self) -> None:
        self.ticking.cancel()


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1920, 1200)])
def test_apps_follow_one_another_in_every_size(size: tuple[int, int]) -> None:
    with Driver(size) as drive:
        app = drive.begin(Ticking())
        assert Window.size == size
        drive.pass_time(60, step=1)
        assert 58 <= app.seconds <= 62
        drive.tap_text("Again")
        assert app.seconds <= 1
    assert Window.children == []


def test_only_what_is_in_sight_is_read_and_what_is_not_is_scrolled_to() -> None:
    with Driver((800, 600)) as drive:
        drive.begin(Ticking())
        assert "line 39" not in drive.texts()
        drive.tap_text("line 39")
        assert "line 39" in drive.texts()
        assert "Again" not in drive.texts()
        with pytest.raises(AssertionError, match="no text 'Missing'; in sight: "):
            drive.tap_text("Missing")


def test_an_error_in_a_callback_reaches_the_test() -> None:
    with Driver((800, 600)) as drive:
        drive.show(BigButton(words="Break", on_act=lambda *_: 1 / 0))
        with pytest.raises(ZeroDivisionError):
            drive.tap_text("Break")


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("5' 6 1/2\"", ["5", "ft", "6", "1/2", "in"]),
        ('7/8"', ["1/2", "1/4", "1/8", "in"]),
        ("1,68 m", ["1", "point", "6", "8", "m"]),
        ("168 cm", ["1", "6", "8", "cm"]),
    ],
)
def test_the_keys_for_a_text(text: str, keys: list[str]) -> None:
    assert keys_for(text) == keys
