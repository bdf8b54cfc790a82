"""What speaks up for the app: sound, flash and voice, each of which may be missing on a device.

Rules kept here:
 1. What is said is decided elsewhere (view.announce); here it is only made heard and seen.
 2. The sound and the flash of a trip run until the trip is answered; there is no switch for them. Voice has one.
 3. Nothing here waits: no screen stands still while something is said.
Knows nothing of: jobs, rules, time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Protocol

from coach.language import current

if TYPE_CHECKING:
    from coach.view.announce import Notice


class Speaker(Protocol):
    """Says a text aloud in a language. `name` tells people what speaks; '' where nothing does."""

    @property
    def name(self) -> str: ...

    def say(self, words: str, code: str) -> None: ...

    def hush(self) -> None: ...


class Sounder(Protocol):
    """Makes sounds: the trip's goes on until it is stopped, the call's is short."""

    def trip(self, on: bool) -> None: ...

    def call(self) -> None: ...


class Alarm:
    """One for the app. wants_voice: asked each time, so that the menu's switch counts at once."""

    def __init__(
        self, sounder: Sounder, flash: Callable[[bool], None], speaker: Speaker, wants_voice: Callable[[], bool]
    ) -> None:
        self.speaker = speaker
        self._sounder = sounder
        self._flash = flash
        self._wants_voice = wants_voice
        self._tripped = False

    def follow(self, stands: Sequence[Notice], say: Sequence[Notice]) -> None:
        """Take over what stands now, and say what is to be said."""
        from coach.view.announce import TRIP

        tripped = any(notice.level == TRIP for notice in stands)
        if tripped != self._tripped:
            self._tripped = tripped
            self._sounder.trip(tripped)
            self._flash(tripped)
            self.speaker.hush()
        if say and not tripped:
            self._sounder.call()
        if say and self._wants_voice():
            self.speaker.say(" ".join(notice.words for notice in say), current())

    def stop(self) -> None:
        """The app ends: nothing goes on sounding."""
        self._tripped = False
        self._sounder.trip(False)
        self._flash(False)
        self.speaker.hush()
