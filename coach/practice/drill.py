"""A drill as values: an invented boat with its true state, a time line, what may be looked at and done, what is good.

Rules kept here:
 1. Everything is frozen; a run keeps what changes (run.py).
 2. Facts are named in one way: `gas`, `gas.smell` for safeguards, `measure NAME`, `answer STEP.ITEM` for evidence.
Knows nothing of: YAML (drill_file), the kernel's state, the clock.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.problems import Place

TRIP, DEBT, MEASURE, STOP = "trip", "debt", "measure", "stop"
TURNS = (TRIP, DEBT, MEASURE, STOP)
TECHNICIAN, SUPERVISOR = "technician", "supervisor"
OWN_WORK, STOPPED, SIGNED = "", "stopped", "signed"  # how the job is handed to the trainee
HANDED = ("stopped", "signed")
BAND = "band"  # the fact of how tight the perimeter band is

Truth = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True)
class When:
    """The moment an event or a good deed counts from. kind: start, lit, out, done, event; about: step or event."""

    kind: str = "start"
    about: str = ""


@dataclass(frozen=True)
class Slip:
    """A measure that reads wrong the first time: what the tape shows, and what a second look would notice."""

    reads: str
    shows: str


@dataclass(frozen=True)
class Look:
    """Something to look at. tells: the facts that are known after it; after: the event that must have happened."""

    id: str
    ask: str
    finds: str
    seconds: int
    tells: tuple[str, ...]
    place: Place
    after: str = ""


@dataclass(frozen=True)
class Deed:
    """Something to do in the world. sets: what is true after it; clears_tag: the debt whose tag it takes away; band:
    how far the perimeter band is stretched when it is buckled anew, m."""

    id: str
    do: str
    seconds: int
    place: Place
    sets: Truth = field(default_factory=dict)
    answers: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    after: str = ""
    mends: str = ""
    says: str = ""
    clears_tag: str = ""
    band: float | None = None


@dataclass(frozen=True)
class Happening:
    """An event of the time line. sees: what anybody there would notice, '' if nobody would; concerns: a safeguard."""

    id: str
    when: When
    seconds: int
    place: Place
    sees: str = ""
    concerns: str = ""
    sets: Truth = field(default_factory=dict)
    answers: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    wind: float | None = None
    gust: float | None = None


@dataclass(frozen=True)
class Good:
    """One thing that good work does. does and target as in drill_file.DOES; about: a step, safeguard or debt whose own
    text gives the reason; seconds: within which it must be done, 0 for any time; must: without it the drill fails."""

    id: str
    says: str
    does: str
    target: str
    about: str
    skill: str
    place: Place
    after: str = ""
    seconds: int = 0
    must: bool = True


@dataclass(frozen=True)
class Drill:
    """One whole drill. begins: the step at which the trainee takes over, '' from the start of the job; until: the step
    whose doing ends the drill, '' if it ends with the job; pace: seconds that a step's own work takes; band: how far
    the perimeter band was stretched, m."""

    id: str
    version: int
    title: str
    about: str
    turns_on: str
    skills: tuple[str, ...]
    procedure: str
    boat: str
    starts: int
    seed: int
    place: Place
    role: str = TECHNICIAN
    begins: str = ""
    until: str = ""
    handed: str = OWN_WORK
    excuses: Mapping[str, str] = field(default_factory=dict)
    air: float = 5.0
    wind: float = 2.5
    pace: int = 120
    band: float = 0.2
    measures: Mapping[str, str] = field(default_factory=dict)
    slips: Mapping[str, Slip] = field(default_factory=dict)
    truth: Truth = field(default_factory=dict)
    answers: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    claims: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    looks: tuple[Look, ...] = ()
    deeds: tuple[Deed, ...] = ()
    events: tuple[Happening, ...] = ()
    good: tuple[Good, ...] = ()
    hash: str = ""
