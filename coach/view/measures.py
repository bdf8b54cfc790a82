"""Measures as a form, and the numbers that follow from them at every keystroke.

Rules kept here:
 1. What a person typed is kept as typed; a value that cannot be read, or lies outside its range, says so beside it and
    the numbers go on with the last good value.
Knows nothing of: the toolkit, where a value is recorded.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from coach.core.formula import Function, explain
from coach.core.model import EXPIRY, MEASURE_KINDS_EXTRA, Measure, Number, Procedure
from coach.core.numbers import Computed, Value, compute, truth
from coach.core.problems import Problem, QuantityError
from coach.core.quantity import Quantity, as_text, parse_quantity, si_number
from coach.formats import day_text, decimal_mark, quantity_text
from coach.language import _

DEFAULT_UNIT = {
    "us": {"length": "in", "speed": "mph", "temperature": "°F", "mass": "lb", "pressure": "psf", "angle": "°", "ratio": "%", "force": "lbf",
           "duration": "min", "area": "ft2"},
    "metric": {"length": "cm", "speed": "m/s", "temperature": "°C", "mass": "kg", "pressure": "kPa", "angle": "°", "ratio": "%",
               "force": "N", "duration": "min", "area": "m2"},
}


@dataclass(frozen=True)
class MeasureField:
    """One measure in a form. value: how the value in force reads; unit: what a bare number means."""

    id: str
    ask: str
    how: str
    kind: str
    typed: str
    value: str
    unit: str
    range: str
    options: tuple[tuple[str, str], ...]
    wanted: bool
    picture: str


@dataclass(frozen=True)
class NumberLine:
    """One number, or a measure that a step shows; explanation and why are '' for a measure.

    shown: '' while it waits; waits: the questions still to be answered; si: the value in SI units.
    """

    id: str
    title: str
    shown: str
    explanation: str
    why: str
    waits: tuple[str, ...]
    waits_for: tuple[str, ...]
    problem: str
    si: float | None
    kind: str


def default_unit(kind: str, system: str) -> str | None:
    """What a bare number means for this kind of quantity; None for counts."""
    return DEFAULT_UNIT[system].get(kind)


def read_typed(measure: Measure, typed: str, system: str) -> tuple[Value, str]:
    """The value of what was typed, and its exact text for the record.

    Raises:
        QuantityError: it cannot be read, is no option, or lies outside the plausible range (U312), all said in words.
    """
    if measure.kind == "yes_no":
        return _read_yes_no(typed)
    if measure.kind == "choice":
        ids = [option.id for option in measure.options]
        if typed not in ids:
            raise QuantityError(Problem("U313", "'%(typed)s' is not one of the answers", "the answer decides what is asked next",
                                        "choose one of: %(ids)s", slots={"typed": typed, "ids": ", ".join(ids)}))
        return typed, typed
    if measure.kind == EXPIRY:
        return _read_day(typed)
    quantity = parse_quantity(typed, measure.kind, default_unit=default_unit(measure.kind, system), decimal=decimal_mark())
    low, high = measure.low, measure.high
    if (low is not None and quantity < low) or (high is not None and quantity > high):
        slots = {"name": measure.id, "value": shown_value(measure, quantity, system), "range": range_text(measure, system)}
        raise QuantityError(Problem("U312", "%(name)s: %(value)s is outside the plausible range, %(range)s",
                                    "a slip of the tape or of the unit is likely", "measure again and look at the unit", slots=slots))
    return quantity, as_text(quantity)


def _read_yes_no(typed: str) -> tuple[Value, str]:
    from coach.view.texts import yes_or_no

    answer = yes_or_no(typed)
    if answer is None:
        raise QuantityError(Problem("U300", "'%(typed)s' is neither yes nor no", "the answer decides what is asked next",
                                    "answer yes or no", slots={"typed": typed}))
    return answer, "yes" if answer else "no"


def _read_day(typed: str) -> tuple[Value, str]:
    """A day, written as YYYY-MM-DD."""
    text = typed.strip()
    try:
        day = date.fromisoformat(text).isoformat()
    except ValueError:
        raise QuantityError(Problem("U309", "'%(typed)s' is no day", "a last good day decides whether the thing may be used",
                                    "write it as YYYY-MM-DD", slots={"typed": typed})) from None
    return day, day


def shown_value(measure: Measure, value: Value, system: str) -> str:
    """A value as people read it."""
    if isinstance(value, bool):
        return _("Yes") if value else _("No")
    if measure.kind == EXPIRY:
        return day_text(date.fromisoformat(str(value)))
    if isinstance(value, str):
        return next((_(option.label) for option in measure.options if option.id == value), value)
    return quantity_text(value, measure.kind, system)


def range_text(measure: Measure, system: str) -> str:
    """The plausible range as people read it, or ''."""
    ends = [quantity_text(end, measure.kind, system) for end in (measure.low, measure.high) if end is not None]
    return " – ".join(ends)


def fields(
    procedure: Procedure, ids: tuple[str, ...], values: Mapping[str, Value], typed: Mapping[str, str],
    functions: Mapping[str, Function], system: str = "us",
) -> tuple[MeasureField, ...]:
    """The form of these measures; one that is not asked of this boat is left out."""
    found = []
    for id in ids:
        measure = procedure.measures[id]
        if measure.when is not None and truth(measure.when, procedure, values, functions) is False:
            continue
        value = values.get(id)
        found.append(MeasureField(
            id, _(measure.ask), _(measure.how), measure.kind, typed.get(id, ""),
            "" if value is None else shown_value(measure, value, system),
            default_unit(measure.kind, system) or "", range_text(measure, system),
            tuple((option.id, _(option.label)) for option in measure.options), value is None, measure.picture,
        ))
    return tuple(found)


def number_lines(
    procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function], system: str = "us",
    only: tuple[str, ...] = (), computed: Mapping[str, Computed] | None = None,
) -> tuple[NumberLine, ...]:
    """Every number, or those in `only`, which may name measures too, as lines with their arithmetic.

    computed: the numbers, if they are worked already.
    """
    if computed is None:
        asked = tuple(id for id in only if id in procedure.numbers)
        computed = compute(procedure, values, functions, asked) if asked or not only else {}
    known: dict[str, Value] = dict(values)
    known.update({id: found.value for id, found in computed.items() if found.value is not None})
    kinds = {m.id: m.kind for m in procedure.measures.values()} | {n.id: n.kind for n in procedure.numbers.values()}
    return tuple(
        _line(procedure, procedure.numbers[id], computed[id], known, kinds, functions, system)
        if id in procedure.numbers else _measured(procedure.measures[id], values.get(id), system)
        for id in (only or procedure.numbers)
    )


def _measured(measure: Measure, value: Value | None, system: str) -> NumberLine:
    """A measure as the line of a step that shows it: what was asked, and the answer."""
    ask = _(measure.ask)
    if value is None:
        return NumberLine(measure.id, ask, "", "", "", (ask,), (measure.id,), "", None, measure.kind)
    si = si_number(value) if isinstance(value, Quantity) else None
    return NumberLine(measure.id, ask, shown_value(measure, value, system), "", "", (), (), "", si, measure.kind)


def _line(
    procedure: Procedure, number: Number, found: Computed, known: Mapping[str, Value], kinds: Mapping[str, str],
    functions: Mapping[str, Function], system: str,
) -> NumberLine:
    waits = tuple(_(procedure.measures[id].ask) for id in found.waits)
    problem = ""
    if found.problem is not None:
        from coach.view.texts import problem_text

        what, _why, mend = problem_text(found.problem)
        problem = f"{what} {mend}"
    shown, text, si = "", "", None
    if isinstance(found.value, Quantity):
        shown = quantity_text(found.value, number.kind, system)
        si = si_number(found.value)
        text = _explanation(number, found, known, kinds, functions, system, shown)
    return NumberLine(number.id, _(number.title), shown, text, _(number.why), waits, found.waits, problem, si, number.kind)


def _explanation(
    number: Number, found: Computed, known: Mapping[str, Value], kinds: Mapping[str, str],
    functions: Mapping[str, Function], system: str, shown: str,
) -> str:
    usable = {k: v for k, v in kinds.items() if v not in MEASURE_KINDS_EXTRA}
    text = explain(number.formula, known, functions, kind=number.kind, kinds=usable, system=system, decimal=decimal_mark(), say=_)
    if number.rounding is not None and found.exact != found.value:
        return _("%(sum)s, take %(taken)s") % {"sum": text, "taken": shown}
    return text
