"""A procedure as values: measures, numbers, checks, stages, steps, own safeguards and debts.

Rules kept here:
 1. Everything is frozen and knows its place in the file, so that a later fault can point at it.
 2. Ids are the author's words (`[a-z][a-z0-9_-]*`); texts are plain English and are translated only when shown.
Knows nothing of: YAML, the kernel's rules (gate, session), languages.
Called by: reader (builds it), session (walks it), prover, view.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.core.formula import Declared, Formula
from coach.core.policy import FIRE_WATCH
from coach.core.problems import Place
from coach.core.quantity import Quantity, Rounding

EVIDENCE_KINDS = ("tick", "number", "choice", "count", "photo", "timer", "second_person")
SIGNAL_WORDS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
EXPIRY = "expiry"  # a day: the last one on which something that a safeguard rests on is good
MEASURE_KINDS_EXTRA = ("choice", "yes_no", EXPIRY)

# Measures that the kernel itself reads: a procedure with a heat step must ask for them under these ids.
FUEL_VENTS = "fuel_vents"  # count: openings of the fuel system's vents on this boat
PLACE = "place"  # choice: outdoors, indoors
PLACE_OPTIONS = ("outdoors", "indoors")


@dataclass(frozen=True)
class Option:
    """One answer of a choice."""

    id: str
    label: str


@dataclass(frozen=True)
class Measure:
    """One thing asked of this boat. kind: a kind of quantity, 'choice', 'yes_no' or 'expiry'; low and high are plausible
    ends; safeguard: of an expiry, the one that rests on it."""

    id: str
    ask: str
    kind: str
    place: Place
    how: str = ""
    low: Quantity | None = None
    high: Quantity | None = None
    options: tuple[Option, ...] = ()
    when: Formula | None = None
    picture: str = ""
    safeguard: str = ""

    def declared(self) -> Declared:
        """What a formula may assume of this name."""
        return Declared(self.kind, tuple(option.id for option in self.options))


@dataclass(frozen=True)
class Number:
    """One computed value, rounded for the trade. `why` says why it is computed and rounded so."""

    id: str
    title: str
    formula: Formula
    kind: str
    place: Place
    rounding: Rounding | None = None
    rounding_text: str = ""
    why: str = ""


@dataclass(frozen=True)
class Check:
    """A condition that true measures of one boat must meet; `says` tells which two disagree and what to measure again.

    strict: no reason keeps measures that do not meet it. What the gate rests on is strict anyway (Rules.strict).
    """

    id: str
    holds: Formula
    says: str
    measures: tuple[str, ...]
    place: Place
    strict: bool = False


@dataclass(frozen=True)
class Evidence:
    """What a step asks as proof that it was done. `low` and `high` bound a number or count; minutes is for a timer.

    equals, at_least, at_most: the measure or number that a number or count is held against, one of them at most; within:
    how far from it the answer may be. role: what a second person must be in the yard.
    """

    id: str
    kind: str
    ask: str
    place: Place
    quantity: str = ""
    low: Quantity | None = None
    high: Quantity | None = None
    equals: str = ""
    options: tuple[Option, ...] = ()
    accept: tuple[str, ...] = ()
    minutes: int = 0
    limit: str = ""
    optional: bool = False
    at_least: str = ""
    at_most: str = ""
    within: Quantity | None = None
    role: str = ""

    @property
    def against(self) -> str:
        """The measure or number that the answer is held against, or ''."""
        return self.equals or self.at_least or self.at_most


@dataclass(frozen=True)
class Caution:
    """A warning with its signal word (as ANSI Z535 and ISO 3864 use them)."""

    signal: str
    text: str


@dataclass(frozen=True)
class Step:
    """One thing to do. needs: ids of steps before it; uses: numbers and measures it relies on; shows: those on screen."""

    id: str
    stage: str
    do: str
    why: str
    right: str
    wrong: str
    place: Place
    needs: tuple[str, ...] = ()
    when: Formula | None = None
    asks: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    shows: tuple[str, ...] = ()
    heat: bool = False
    no_flame: str = ""
    proves: str = ""
    opens: tuple[str, ...] = ()
    clears: str = ""
    hold: bool = False
    least_seconds: int = 0
    evidence: tuple[Evidence, ...] = ()
    cautions: tuple[Caution, ...] = ()
    picture: str = ""

    @property
    def guarded(self) -> bool:
        """Whether it is part of the safety gate, or undoes what was done for safety: no reason leaves it out.

        A step that the fire watch must confirm is part of the gate too: it says that a second person has looked.
        """
        confirmed = any(item.kind == "second_person" and item.role == FIRE_WATCH and not item.optional for item in self.evidence)
        return bool(self.proves or self.clears) or confirmed


@dataclass(frozen=True)
class Stage:
    """A named run of steps."""

    id: str
    title: str
    steps: tuple[Step, ...]
    place: Place


@dataclass(frozen=True)
class OwnSafeguard:
    """A safeguard that an author adds to the kernel's: one yes/no question, with the minutes its answer holds."""

    id: str
    name: str
    ask: str
    why: str
    mend: str
    minutes: int
    place: Place


@dataclass(frozen=True)
class OwnDebt:
    """A debt that an author adds: what was done for safety, and what undoes it."""

    id: str
    name: str
    why: str
    undo: str
    place: Place


@dataclass(frozen=True)
class Procedure:
    """A whole procedure, with the parts it includes already in their places."""

    id: str
    version: int
    title: str
    purpose: str
    stages: tuple[Stage, ...]
    measures: Mapping[str, Measure]
    numbers: Mapping[str, Number]
    place: Place
    checks: tuple[Check, ...] = ()
    safeguards: tuple[OwnSafeguard, ...] = ()
    debts: tuple[OwnDebt, ...] = ()
    fits: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    hash: str = ""
    files: tuple[str, ...] = field(default_factory=tuple)
    document: str = ""  # the texts of all its files as one text; `hash` is the SHA-256 of it
    signs: str = ""  # what the technician's signature stands for, where it is not work on a boat

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps, in the order of the file."""
        return tuple(step for stage in self.stages for step in stage.steps)

    @property
    def expiries(self) -> dict[str, str]:
        """The measures that are a last good day, each with the safeguard that rests on it."""
        return {measure.id: measure.safeguard for measure in self.measures.values() if measure.kind == EXPIRY}

    @property
    def heats(self) -> bool:
        """Whether any step holds a flame."""
        return any(step.heat for step in self.steps)

    def declared(self) -> dict[str, Declared]:
        """What formulas may assume of every measure and number of this procedure."""
        names = {measure.id: measure.declared() for measure in self.measures.values()}
        names.update({number.id: Declared(number.kind) for number in self.numbers.values()})
        return names
