"""The numbers of a procedure from the measures that are in: value, what it waits for, or what is wrong with it.

Rules kept here:
 1. A number whose measures are not all in waits and says for which; it never guesses.
 2. Rounding for the trade is the last act, and other numbers see the rounded value.
Knows nothing of: steps, the log, languages.
Called by: checks (conditions), view, command line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.core.formula import Function, Missing, evaluate
from coach.core.model import Procedure
from coach.core.problems import FormulaError, Problem, QuantityError
from coach.core.quantity import Quantity

Value = Quantity | str | bool


@dataclass(frozen=True)
class Computed:
    """One number now. exact: before rounding. waits: measures still missing. problem: why it cannot be computed."""

    value: Value | None = None
    exact: Value | None = None
    waits: tuple[str, ...] = ()
    problem: Problem | None = None


def compute(
    procedure: Procedure, measures: Mapping[str, Value], functions: Mapping[str, Function], only: tuple[str, ...] = (),
    known: Mapping[str, Computed] | None = None,
) -> dict[str, Computed]:
    """Every number of the procedure, or those named in `only` with the ones they rest on.

    known: numbers worked before from the same measures, which are taken as they are.
    """
    done: dict[str, Computed] = dict(known or {})
    values: dict[str, Value] = dict(measures)
    values.update({id: found.value for id, found in done.items() if found.value is not None})
    for id in only or procedure.numbers:
        _one(procedure, id, values, functions, done)
    return done


def _one(
    procedure: Procedure, id: str, values: dict[str, Value], functions: Mapping[str, Function], done: dict[str, Computed]
) -> Computed:
    if id in done:
        return done[id]
    number = procedure.numbers[id]
    problem = None
    for name in number.formula.names:
        if name in procedure.numbers and (found := _one(procedure, name, values, functions, done)).problem:
            problem = found.problem
    done[id] = Computed(problem=problem) if problem else _evaluated(procedure, id, values, functions, done)
    value = done[id].value
    if value is not None:
        values[id] = value
    return done[id]


def _evaluated(
    procedure: Procedure, id: str, values: Mapping[str, Value], functions: Mapping[str, Function], done: Mapping[str, Computed]
) -> Computed:
    number = procedure.numbers[id]
    try:
        exact = evaluate(number.formula, values, functions)
        value = number.rounding.apply(exact) if number.rounding is not None else exact
    except Missing as missing:
        return Computed(waits=_measures(procedure, missing.names, done))
    except (FormulaError, QuantityError) as error:
        return Computed(problem=error.problems[0])
    return Computed(value=value, exact=exact)


def _measures(procedure: Procedure, names: tuple[str, ...], done: Mapping[str, Computed]) -> tuple[str, ...]:
    """The measures behind missing names, each once, in the order of the file."""
    wanted: set[str] = set()
    for name in names:
        wanted.update(done[name].waits if name in done else (name,))
    return tuple(measure for measure in procedure.measures if measure in wanted)


def truth(
    condition: object, procedure: Procedure, measures: Mapping[str, Value], functions: Mapping[str, Function]
) -> bool | None:
    """A condition's value, or None while a measure it rests on is missing or it cannot be computed."""
    values: dict[str, Value] = dict(measures)
    names = condition.names  # type: ignore[attr-defined]
    numbers = tuple(name for name in names if name in procedure.numbers)
    if numbers:
        found = compute(procedure, measures, functions, numbers)
        values.update({id: number.value for id, number in found.items() if number.value is not None})
    try:
        result = evaluate(condition, values, functions)  # type: ignore[arg-type]
    except (Missing, FormulaError, QuantityError):
        return None
    return result if isinstance(result, bool) else None
