"""Who plays in a proof: an invented crew, the moment at which it begins, and the policy under which it is played.

Rules kept here:
 1. The crew can do whatever a procedure may ask: two technicians cleared for the tool, a fire watch, a supervisor. A
    yard with fewer people can do less, so what is proven safe for this crew is safe for that one.
 2. The limits are those of the policy that is given. A proof reads from them only how old a proof may be and where
    good readings end, and its own readings stand on both sides of every one of them. So it holds for every policy
    within the floors.
Knows nothing of: procedures, exploring.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.moment import Moment
from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN, Person, Policy

HOLDER, OTHER, WATCH, BOSS = "first", "second", "watch", "boss"
NAMES = {HOLDER: "the technician", OTHER: "another technician", WATCH: "the fire watch", BOSS: "the supervisor"}
UNCLEARED = "new"
GOOD_DAY, PAST_DAY = "9999-12-31", "2023-11-13"  # last good days: for ever, and the day before BEGIN

_FOR_EVER = "9999-12-31"
CREW: dict[str, Person] = {
    HOLDER: Person(HOLDER, NAMES[HOLDER], frozenset({TECHNICIAN, FIRE_WATCH}), _FOR_EVER),
    OTHER: Person(OTHER, NAMES[OTHER], frozenset({TECHNICIAN, FIRE_WATCH}), _FOR_EVER),
    WATCH: Person(WATCH, NAMES[WATCH], frozenset({FIRE_WATCH})),
    BOSS: Person(BOSS, NAMES[BOSS], frozenset({SUPERVISOR})),
    UNCLEARED: Person(UNCLEARED, "a new technician", frozenset({TECHNICIAN})),
}

BEGIN = Moment(1_700_000_000_000, 1_000_000, "boot-1", "run-1")


def playing(policy: Policy) -> Policy:
    """The policy with the invented crew in place of its own."""
    return replace(policy, people=CREW)


# The policy under which a proof is kept: the shipped limits. See rule 2 for why it holds for every yard's.
STANDARD = playing(Policy("any yard"))
