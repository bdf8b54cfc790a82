"""A clock that moves only when it is told to, for practice, the demonstration and the tests."""

from __future__ import annotations

from coach.core.moment import Moment


class HandClock:
    """Reads as a Moment when called. Times in ms."""

    def __init__(self, wall: int, steady: int = 1_000_000, boot: str = "boot-1", run: str = "run-1") -> None:
        self._at = Moment(wall, steady, boot, run)

    def __call__(self) -> Moment:
        return self._at

    def pass_seconds(self, seconds: float) -> None:
        """Let time pass on both clocks."""
        self._at = self._at.plus(int(seconds * 1000))

    def pass_minutes(self, minutes: float) -> None:
        """Let time pass on both clocks."""
        self.pass_seconds(minutes * 60)

    def turn_wall(self, seconds: float) -> None:
        """Set the wall clock forward or back, as a person or a network may; the steady clock goes on."""
        at = self._at
        self._at = Moment(at.wall + int(seconds * 1000), at.steady, at.boot, at.run)

    def restart(self, run: str, boot: str = "") -> None:
        """Another run of the program, and of the device if `boot` is given (its steady clock then starts anew)."""
        at = self._at
        self._at = Moment(at.wall, 1_000 if boot else at.steady, boot or at.boot, run)
