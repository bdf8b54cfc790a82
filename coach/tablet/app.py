"""The Kivy app: one shell with one page in it, looked at once a second.

Rules kept here:
 1. The app decides nothing and keeps nothing: pages follow from the job's state, and every act goes to the shell.
 2. Leaving the app's window never loses anything, since every event is on disk before it is shown.
 3. Every touch and key is told to the shell before any page sees it, so that a tablet that was left locks first.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.boxlayout import BoxLayout

from coach.language import read_all
from coach.tablet import litter
from coach.tablet.routes import load_all
from coach.tablet.screens.who import who_page
from coach.tablet.shell import Shell
from coach.yard.desk import Desk

if TYPE_CHECKING:
    from coach.tablet.focus import Focus


class CoachApp(App):
    """The tablet app."""

    title = "Cover coach"

    def __init__(self, desk: Desk, language: str = "en", speaks: bool = False, **options: object) -> None:
        """speaks: whether the app uses the device's loudspeaker, voice and flash; pictures and most tests do not."""
        super().__init__(**options)
        self.shell = Shell(desk, language)
        self.speaks = speaks

    @cached_property
    def focus(self) -> Focus:
        """Where the keyboard is."""
        from coach.tablet.focus import Focus

        return Focus()

    def build(self) -> BoxLayout:
        """The root: the shell's own place for pages."""
        litter.hold()
        self.shell.open(who_page)
        self._loading = Clock.schedule_once(self._soon, 0)  # the first page first
        self._ticking = Clock.schedule_interval(lambda _passed: self.shell.tick(), 1)
        Window.bind(on_touch_down=self._touched, on_key_down=self._key, on_key_up=self._key_up)
        Window.bind(focus=self._left)
        return self.shell.root

    def _soon(self, _passed: float) -> None:
        self._loading = Clock.schedule_once(self._load, 0.3)
        if self.speaks:
            Clock.schedule_once(self._speak_up, 0)  # with the next frame, long before the first second is told

    def _load(self, _passed: float) -> None:
        litter.sweep()
        load_all()
        read_all()
        litter.set_aside()

    def _speak_up(self, _passed: float) -> None:
        from coach.tablet.alarm import Alarm
        from coach.tablet.camera import device_camera
        from coach.tablet.flash import Flash
        from coach.tablet.sound import Player
        from coach.tablet.voice import device_voice

        shell, player = self.shell, Player()
        shell.alarm = Alarm(player, Flash(shell.root), device_voice(), lambda: shell.wishes.voice)
        Clock.schedule_once(lambda _passed: setattr(shell, "camera", device_camera()), 2)
        Clock.schedule_once(lambda _passed: player.prepare(), 2)  # after the first page, before anything can be lit

    def on_stop(self) -> None:
        """The clock and the window may outlive the app; they let go of it here."""
        self._ticking.cancel()
        self._loading.cancel()
        litter.give_back()
        if self.shell.alarm is not None:
            self.shell.alarm.stop()
        Window.unbind(on_touch_down=self._touched, on_key_down=self._key, on_key_up=self._key_up, focus=self._left)
        self.focus.drop()

    def _key(self, _window: object, key: int, _scan: int = 0, text: str | None = None, modifiers: Sequence[str] = (), *_: object) -> bool:
        return self._touched() or self.focus.down(key, text, modifiers)

    def _key_up(self, _window: object, key: int, *_: object) -> bool:
        return self.focus.up(key)

    def _left(self, *_: object) -> None:
        self.focus.let_go()

    def _touched(self, *_: object) -> bool:
        return self.shell.touched()

    def on_pause(self) -> bool:
        """A tablet that is put aside comes back to the same page."""
        return True
