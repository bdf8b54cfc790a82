"""Who is at the tablet, how they showed it, and whether they have walked away.

Rules kept here:
 1. After five minutes without a touch the tablet is locked; so it is when the clocks do not agree on the time since.
 2. An act carries a person as identified only if they showed who they are and the tablet is not locked.
 3. Where nobody is asked for a PIN nothing is ever locked, and nobody is called identified.
Knows nothing of: the toolkit, pages, PINs themselves (yard.crew), the clock (moments are passed in).
Called by: shell.  Proved by: tests/tablet/test_presence.py.
"""

from __future__ import annotations

from coach.core.moment import Moment

WALK_AWAY = 5 * 60_000  # ms without a touch
PIN = "pin"

Identified = tuple[tuple[str, str], ...]


class Presence:
    """One for the app. asks: whether people show who they are."""

    def __init__(self, asks: bool) -> None:
        self.asks = asks
        self.person = ""
        self.locked = False
        self._touched: Moment | None = None

    def enter(self, person: str, now: Moment) -> None:
        """This person has shown who they are (or is taken at their word)."""
        self.person, self.locked, self._touched = person, False, now

    def stand_in(self, person: str) -> None:
        """Somebody looks at this person's job without having shown who they are: as after a lock."""
        self.person, self.locked = person, self.asks

    def leave(self) -> None:
        """Nobody is at the tablet."""
        self.person, self.locked = "", False

    def touch(self, now: Moment) -> None:
        """The tablet was touched."""
        self._touched = now

    def gone(self, now: Moment) -> bool:
        """Whether the tablet has to lock now."""
        if not self.asks or not self.person or self.locked:
            return False
        age = self._touched.age_at(now) if self._touched else None
        return age is None or age >= WALK_AWAY

    def lock(self) -> None:
        """Lock the tablet; only its person's PIN, or another person with theirs, goes on."""
        self.locked = self.asks and bool(self.person)

    def identified(self, by: str, beside: str = "") -> Identified:
        """How the people of an act showed who they are. beside: a second person who just showed it, '' for none."""
        if not self.asks:
            return ()
        own = ((by, PIN),) if by == self.person and not self.locked else ()
        return (*own, (beside, PIN)) if beside and beside != by else own
