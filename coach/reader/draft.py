"""A procedure while it is being read: what is declared so far, and what must still be looked up when all is declared.

Rules kept here:
 1. Measures and numbers share one set of names, because formulas read both; every other kind has its own.
 2. A second declaration is noted with the place of the first; the first one counts.
 3. A fault inside a formula or a quantity is shown where it stands in the file.
Knows nothing of: keys of the format.
Called by: schema, values, steps (they fill it), links, heat (they look things up).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from coach.core.formula import Formula, parse_formula
from coach.core.model import Check, Measure, Number, OwnDebt, OwnSafeguard, Stage
from coach.core.problems import FormulaError, Place, Problem, Words
from coach.core.quantity import Quantity
from coach.reader.faults import Faults, clip
from coach.reader.fields import Fields
from coach.reader.nodes import Scalar
from coach.reader.scalars import read_quantity

CONDITION = "yes_no"
# How many of each kind a procedure may hold: ten times what a long one has.
MOST = {"measure or number": 500, "check": 200, "safeguard": 50, "debt": 50, "stage": 200, "step": 2_000}


@dataclass(frozen=True)
class Reference:
    """A word that must name something. kind: what it must name; by: who says it, for messages; apart: it is named
    beside the steps, so that it neither proves, opens nor clears what it names."""

    kind: str
    word: Scalar
    by: Words
    apart: bool = False


@dataclass(frozen=True)
class Pending:
    """A formula to be checked when every name is known. due: CONDITION, a kind of quantity, or '' if unknown."""

    formula: Formula
    text: Scalar
    due: str


@dataclass
class Draft:
    """What is known so far. broken: names of numbers whose formula cannot be read; complete: whether every file could
    be read, so that a missing name is truly missing."""

    faults: Faults
    find_part: Callable[[str], tuple[str, bytes] | None]
    parts: Callable[[], tuple[str, ...]] = tuple
    measures: dict[str, Measure] = field(default_factory=dict)
    numbers: dict[str, Number] = field(default_factory=dict)
    checks: list[Check] = field(default_factory=list)
    safeguards: list[OwnSafeguard] = field(default_factory=list)
    debts: list[OwnDebt] = field(default_factory=list)
    stages: list[Stage] = field(default_factory=list)
    references: list[Reference] = field(default_factory=list)
    formulas: list[Pending] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)
    used: dict[str, Place] = field(default_factory=dict)
    claimed: dict[tuple[str, str], Place] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    counts: dict[str, int] = field(default_factory=dict)
    last_step: str = ""
    complete: bool = True

    def claim(self, kind: str, id: Scalar) -> bool:
        """Whether this id is new for its kind; a second one is noted."""
        first = self.claimed.setdefault((kind, id.text), id.place)
        if first == id.place:
            self._count(kind, id)
            return True
        self.faults.add(
            "P301", "a %(kind)s '%(id)s' stands here for the second time, first at %(first)s",
            "nobody could tell which of the two is meant", "give one of them another id", id.place,
            kind=kind, id=clip(id.text), first=str(first),
        )
        return False

    def _count(self, kind: str, id: Scalar) -> None:
        """Ends the reading when there are far more of a kind than any procedure has."""
        self.counts[kind] = self.counts.get(kind, 0) + 1
        if self.counts[kind] > MOST[kind]:
            self.faults.add(
                "P219", "more than %(most)s of a kind: %(kind)s",
                "no procedure needs so many, and checking them would stall",
                "take out what nobody needs", id.place, most=MOST[kind], kind=kind,
            )
            self.faults.stop_if_any()

    def refer(self, kind: str, words: tuple[Scalar, ...], by: Words) -> tuple[str, ...]:
        """Notes that words must name something, and gives them as texts."""
        self.references += [Reference(kind, word, by) for word in words]
        return tuple(word.text for word in words)

    def named(self, fields: Fields, key: str, kind: str, by: Words, apart: bool = False) -> str:
        """A single id, noted as a reference if it must name something; apart: as one that no step makes."""
        word = fields.id(key)
        if word is None:
            return ""
        if kind:
            self.references.append(Reference(kind, word, by, apart))
        return word.text

    def formula(self, scalar: Scalar | None, due: str) -> Formula | None:
        """The formula that a scalar says, to be checked later; None if it cannot be read (noted) or is not there."""
        if scalar is None:
            return None
        try:
            formula = parse_formula(scalar.text, column_offset=scalar.at(0).column - 1)
        except FormulaError as error:
            self.note_inside(scalar, error.problems)
            return None
        self.formulas.append(Pending(formula, scalar, due))
        return formula

    def note_inside(self, scalar: Scalar, problems: tuple[Problem, ...]) -> None:
        """Notes faults whose columns count from the scalar's own beginning in its line."""
        begin = scalar.at(0).column - 1
        for problem in problems:
            column = problem.place.column if problem.place else 0
            self.faults.note(problem.at(scalar.at(max(column - 1 - begin, 0))))

    def quantity(self, scalar: Scalar | None, kind: str) -> Quantity | None:
        """The quantity that a scalar says, None if it is not there or faulty (noted)."""
        return read_quantity(self.faults, scalar, kind)
