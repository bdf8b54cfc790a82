"""What is to be said aloud now: a trip, a time that is over or nearly over. Once, then again until it is acknowledged.

Rules kept here:
 1. What stands to be said follows from the job's events and the moment alone; only what was said already, and what a
    person has acknowledged, is remembered, and that for one run of the program: a restart says it again.
 2. A trip is said until the flame is confirmed out; nothing else silences it.
 3. Hands first: a trip says what to do with the flame before it says why. In practice the word practice comes before.
Knows nothing of: sound, voice, the toolkit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from coach.core.moment import Moment
from coach.core.rules import Rules
from coach.core.state import State
from coach.language import _
from coach.view.texts import noted_text
from coach.view.timers import GONE, OVER, SOON, UNKNOWN, Running, running
from coach.view.walk import HANDS

TRIP, CALL = "trip", "call"
AGAIN = {TRIP: 15_000, CALL: 60_000}  # ms until it is said again; choices of ours, no source


@dataclass(frozen=True)
class Notice:
    """Something to be said. level: trip (alarm, flash and voice) or call (a sound and voice)."""

    key: str
    level: str
    words: str


@dataclass(frozen=True)
class Heard:
    """What was said, when, and what a person has acknowledged."""

    said: Mapping[str, Moment] = field(default_factory=dict)
    taken: frozenset[str] = frozenset()


def standing(rules: Rules, state: State, now: Moment, system: str = "us") -> tuple[Notice, ...]:
    """Everything that stands to be said now, the most urgent first."""
    trip = state.trip
    if trip is not None and not trip.out:
        hands = " ".join(_(line) for line in HANDS[:2])
        return (Notice(f"trip {trip.at.wall} {trip.step}", TRIP, f"{hands} {noted_text(trip.first, system)}"),)
    return tuple(
        Notice(each.key, CALL, call_words(each)) for each in running(rules, state, now) if each.kind in _CALL_WORDS
    )


_CALL_WORDS = {
    SOON: "%(name)s: holds for %(minutes)d more minutes. Look again.",
    GONE: "%(name)s: too old. Look again before the flame.",
    OVER: "%(name)s: the time is over.",
    UNKNOWN: "%(name)s: the time is not known. Resume the job.",
}


def call_words(each: Running) -> str:
    """What is said of a time that calls."""
    return _(_CALL_WORDS[each.kind]) % {"name": each.name, "minutes": max(0, each.left // 60_000)}


def due(heard: Heard, notices: Iterable[Notice], now: Moment) -> tuple[Heard, tuple[Notice, ...]]:
    """What is to be said now, and what was heard after it. What no longer stands is forgotten."""
    waiting = tuple(notices)
    keys = {notice.key for notice in waiting}
    said = {key: at for key, at in heard.said.items() if key in keys}
    now_said = tuple(notice for notice in waiting if _is_due(heard, notice, now))
    said |= {notice.key: now for notice in now_said}
    return Heard(said, heard.taken & keys), now_said


def in_practice(say: tuple[Notice, ...]) -> tuple[Notice, ...]:
    """What is said in practice: the same, and first that it is practice."""
    return tuple(
        replace(each, words=f"{_('Practice')}. {each.words}") if place == 0 else each for place, each in enumerate(say)
    )


def _is_due(heard: Heard, notice: Notice, now: Moment) -> bool:
    if notice.key in heard.taken and notice.level != TRIP:
        return False
    last = heard.said.get(notice.key)
    age = last.age_at(now) if last else None
    return age is None or age >= AGAIN[notice.level]


def acknowledge(heard: Heard, key: str) -> Heard:
    """A person has taken note of it. A trip is acknowledged by putting the flame out and by nothing else."""
    return replace(heard, taken=heard.taken | {key})
