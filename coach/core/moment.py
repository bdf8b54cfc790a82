"""One moment as the device saw it: wall clock, steady clock and the start of the device they belong to.

Rules kept here:
 1. An age counts only if both clocks agree on it; clocks that disagree, run backwards or belong to different starts
    of the device give no age at all (None), and no age means lapsed.
Knows nothing of: the device's clocks (the shell reads them and passes a Moment in).
"""

from __future__ import annotations

from dataclasses import dataclass

# Two clocks of one device drift apart by far less than this in a working day; a step of the wall clock is more.
SLACK_MS = 5_000
SLACK_SHARE = 100  # one part in a hundred of the age


@dataclass(frozen=True, order=False)
class Moment:
    """A time stamp. wall: ms since 1970-01-01 UTC; steady: ms of a clock that never steps; boot: names the start of
    the device that the steady clock counts from; run: names the run of the program, new at each start of it."""

    wall: int
    steady: int
    boot: str = ""
    run: str = ""

    def age_at(self, now: Moment) -> int | None:
        """Milliseconds from this moment to `now`; None if the clocks give no answer that can be trusted.

        None: another start of the device, a clock that went backwards, or clocks that differ by more than 5 s
        plus 1 % of the age. Otherwise the larger of the two ages: a doubt makes a proof older, never younger.
        """
        if self.boot != now.boot:
            return None
        wall, steady = now.wall - self.wall, now.steady - self.steady
        if steady < 0 or wall < -SLACK_MS:
            return None
        if abs(wall - steady) > SLACK_MS + steady // SLACK_SHARE:
            return None
        return max(wall, steady, 0)

    def plus(self, ms: int) -> Moment:
        """The moment `ms` milliseconds later on both clocks."""
        return Moment(self.wall + ms, self.steady + ms, self.boot, self.run)
