"""What stands beside a boat's numbers: a tape that cannot be true, what a slip of the tape does, what is worth knowing.

Rules kept here:
 1. A slip is worked by the procedure's own formulas, before rounding, so that it tells of the boat and not of the roll.
 2. A note stands beside a number only where a formula of this procedure calls a function of the note's subject.
Knows nothing of: the toolkit, which screen shows it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from coach.core.formula import Function
from coach.core.model import Procedure
from coach.core.numbers import Value, compute
from coach.core.problems import CoachError
from coach.core.quantity import Quantity
from coach.core.sizing.constants import INCH, Number
from coach.core.sizing.girth import tape_faults
from coach.core.sizing.notes import notes_beside
from coach.core.sizing.slip import SLIP, slip_effects
from coach.core.units import KINDS
from coach.core.worksheet import Worksheet
from coach.formats import quantity_text
from coach.language import _
from coach.view.texts import problem_text

NEGLIGIBLE = INCH / 8  # a change that no tape shows; ours
MEASURED = ("ridge_to_edge", "half_beam", "ridge_height", "edge_drop")


@dataclass(frozen=True)
class SlipLine:
    """A number, and what it becomes more or less when one measure is an inch out: the measures that move it so far."""

    number: str
    title: str
    measures: tuple[str, ...]
    change: str
    text: str


def tape_lines(
    procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function], system: str = "us"
) -> tuple[str, ...]:
    """Which two numbers of the half tape disagree and which slip of typing it looks like; nothing if they agree."""
    known = _lengths(procedure, values, functions)
    if not {"ridge_to_edge", "ridge_height"} <= set(known):
        return ()
    half = known.get("half_beam") or known.get("beam", 0) / 2
    if not half:
        return ()
    try:
        faults = tape_faults(known["ridge_to_edge"], half, known["ridge_height"], known.get("edge_drop", 0))
    except CoachError as error:
        faults = error.problems
    return tuple(f"{what} {mend}" for what, _why, mend in (problem_text(fault, system) for fault in faults))


def slip_lines(
    procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function], system: str = "us"
) -> tuple[SlipLine, ...]:
    """For each length that follows from the measures, the change when one measured length is out by an inch.

    A number that no slip moves by an eighth of an inch or more is left out.
    """
    sheet = Worksheet(procedure, functions)
    lengths = {
        id: value.value
        for id, value in values.items()
        if isinstance(value, Quantity) and procedure.measures[id].kind == "length"
    }

    def numbers_of(measures: Mapping[str, Number]) -> dict[str, Number]:
        found = sheet.numbers(dict(values) | {id: Quantity(value, KINDS["length"]) for id, value in measures.items()})
        return {
            id: one.exact.value
            for id, one in found.items()
            if procedure.numbers[id].kind == "length" and isinstance(one.exact, Quantity)
        }

    most: dict[str, dict[str, float]] = {}
    for effect in slip_effects(numbers_of, lengths):
        change = max((abs(float(way)) for way in (effect.less, effect.more) if way is not None), default=0.0)
        if change >= NEGLIGIBLE:
            most.setdefault(effect.number, {})[effect.measure] = change
    return tuple(_slip_line(procedure, id, most[id], system) for id in procedure.numbers if id in most)


def _slip_line(procedure: Procedure, id: str, changes: Mapping[str, float], system: str) -> SlipLine:
    largest = max(changes.values())
    measures = tuple(name for name, change in changes.items() if change >= largest - 1e-6)
    title = _(procedure.numbers[id].title)
    change = quantity_text(_length(largest), "length", system)
    slip = quantity_text(_length(SLIP), "length", system)
    asked = "; ".join(_(procedure.measures[name].ask) for name in measures)
    text = _("%(number)s: ±%(change)s for ±%(slip)s at: %(asked)s") % {
        "number": title, "change": change, "slip": slip, "asked": asked,
    }
    return SlipLine(id, title, measures, change, text)


def _length(value: Number) -> Quantity:
    return Quantity(Fraction(value).limit_denominator(100_000), KINDS["length"])


def _lengths(
    procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function]
) -> dict[str, Number]:
    """The lengths of the half tape and what it is held against, in metres, as far as they are known."""
    known: dict[str, Value] = dict(values)
    if "half_beam" in procedure.numbers:
        found = compute(procedure, values, functions, ("half_beam",))["half_beam"].value
        known |= {} if found is None else {"half_beam": found}
    return {id: value.value for id in (*MEASURED, "beam") if isinstance(value := known.get(id), Quantity)}


def notes_for(procedure: Procedure, functions: Mapping[str, Function]) -> tuple[str, ...]:
    """The notes on what this procedure works out, in the language in use, each with where it comes from."""
    called = {name for number in procedure.numbers.values() for name in number.formula.functions}
    found = notes_beside(functions[name].impl for name in called if name in functions)
    return tuple(f"{_(note.text)} ({_(note.source)})" for note in found)
