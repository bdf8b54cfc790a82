"""Reads the true state of a drill's boat: safeguards field by field, measures, evidence.

Rules kept here:
 1. A truth is written in the kind of its field in the gate's table; `43 days ago` counts from the drill's day.
 2. The wind is never written as a truth: it blows by itself.
Knows nothing of: events, looks, good work (drill_parts).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from coach.core.gate import Field, Safeguard
from coach.core.model import Evidence, Measure, Procedure
from coach.core.problems import QuantityError
from coach.core.quantity import as_text
from coach.practice.crew import WATCH
from coach.practice.drill import Slip
from coach.reader.faults import Faults, clip
from coach.reader.fields import Fields, unknown_word
from coach.reader.nodes import Mapping as Keys
from coach.reader.nodes import Node, Scalar
from coach.reader.scalars import read_quantity
from coach.view.measures import read_typed

_DAYS = re.compile(r"([0-9]{1,4}) days? ago")
_SMALL = {"mm": 1000, "mm/s": 1000, "tenths of % LEL": 1000}


@dataclass
class Names:
    """What a drill may refer to: the procedure's own names, the gate's, and those that the drill itself declares."""

    procedure: Procedure
    safeguards: Mapping[str, Safeguard]
    debts: tuple[str, ...]
    day: date
    events: list[str] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)
    deeds: list[str] = field(default_factory=list)

    @property
    def steps(self) -> tuple[str, ...]:
        """The ids of all steps."""
        return tuple(step.id for step in self.procedure.steps)

    def items(self, step: str) -> Mapping[str, Evidence]:
        """The evidence of a step, by id."""
        found = next((each for each in self.procedure.steps if each.id == step), None)
        return {item.id: item for item in found.evidence} if found else {}


def read_truth(fields: Fields, key: str, names: Names) -> dict[str, dict[str, Any]]:
    """Truths by safeguard and field; what is wrong is noted."""
    found: dict[str, dict[str, Any]] = {}
    known = tuple(id for id in names.safeguards if id != "wind")
    for id, node in fields.pairs(key, "truths, each under its safeguard"):
        if id.text == "wind":
            fields.faults.add(
                "D301",
                "the wind stands among the truths",
                "it blows by itself, from 'wind' and the events",
                "set 'wind' of the drill or of an event",
                id.place,
            )
        elif id.text not in known:
            unknown_word(fields.faults, id, f"'{key}'", known)
        else:
            found[id.text] = _safeguard(fields.faults, names, names.safeguards[id.text], node)
    return found


def _safeguard(faults: Faults, names: Names, row: Safeguard, node: Node) -> dict[str, Any]:
    by_id = {each.id: each for each in row.fields}
    fields = Fields(node, faults, f"the truth of '{row.id}'", tuple(by_id))
    found: dict[str, Any] = {}
    for key, each in by_id.items():
        if fields.has(key):
            value = _field(fields, key, each, names)
            if value is not None:
                found[key] = value
    return found


def _field(fields: Fields, key: str, due: Field, names: Names) -> Any:
    """One truth in the form in which a proof records it, None if it is faulty."""
    if due.kind == "yes_no":
        return fields.flag(key)
    if due.kind == "count":
        return fields.whole(key, 0, 99)
    if due.kind == "choice":
        return fields.word(key, [id for id, _label in due.options]) or None
    if due.kind == "date":
        return _day(fields, key, names.day)
    if due.kind == "person":
        return fields.word(key, (WATCH,)) or None
    if due.kind == "text":
        return fields.text(key) or None
    scalar = fields.scalar(key, due=f"a {due.kind}")
    quantity = read_quantity(fields.faults, scalar, due.kind)
    if quantity is None:
        return None
    value = Fraction(quantity.value) * _SMALL[due.unit]
    return math.ceil(value) if due.up else math.floor(value)


def _day(fields: Fields, key: str, today: date) -> str | None:
    due = "a number of days such as '43 days ago'"
    scalar = fields.scalar(key, due=due)
    if scalar is None:
        return None
    match = _DAYS.fullmatch(scalar.text)
    if match is None:
        fields.wrong(key, scalar, due)
        return None
    return (today - timedelta(days=int(match[1]))).isoformat()


def read_measures(fields: Fields, names: Names) -> dict[str, str]:
    """The true measures as they would be typed."""
    found = {}
    for id, node in fields.pairs("measures", "measures, each under its id"):
        measure = _measure(fields.faults, names, id)
        if measure is not None and isinstance(node, Scalar) and _reads(fields.faults, measure, node):
            found[id.text] = node.text
        elif measure is not None and not isinstance(node, Scalar):
            fields.wrong("measures", node, "a value as it is typed")
    return found


def read_slips(fields: Fields, names: Names) -> dict[str, Slip]:
    """The measures that read wrong at first."""
    found = {}
    for id, node in fields.pairs("slips", "slips, each under its measure"):
        inside = Fields(node, fields.faults, "a slip", ("reads", "shows"))
        reads, shows = (
            inside.scalar("reads", required=True, due="a value as it is typed"),
            inside.text("shows", required=True),
        )
        measure = _measure(fields.faults, names, id)
        if measure is not None and reads is not None and _reads(fields.faults, measure, reads):
            found[id.text] = Slip(reads.text, shows)
    return found


def _measure(faults: Faults, names: Names, id: Scalar) -> Measure | None:
    measure = names.procedure.measures.get(id.text)
    if measure is None:
        unknown_word(faults, id, "a measure", tuple(names.procedure.measures))
    return measure


def _reads(faults: Faults, measure: Measure, scalar: Scalar) -> bool:
    """Whether a value can be typed for this measure; what is wrong is noted."""
    try:
        read_typed(measure, scalar.text, "us")
    except QuantityError as error:
        for problem in error.problems:
            faults.note(problem.at(scalar.place))
        return False
    return True


def read_answers(fields: Fields, key: str, names: Names) -> dict[str, dict[str, Any]]:
    """What is true of evidence, by step and item."""
    found: dict[str, dict[str, Any]] = {}
    for id, node in fields.pairs(key, "answers, each under its step"):
        items = names.items(id.text)
        if id.text not in names.steps:
            unknown_word(fields.faults, id, f"'{key}'", names.steps)
        elif not isinstance(node, Keys):
            fields.wrong(key, node, "answers, each under its item")
        else:
            inside = Fields(node, fields.faults, f"the answers of '{id.text}'", tuple(items))
            found[id.text] = {
                item: value
                for item in items
                if inside.has(item) and (value := _answer(inside, items[item])) is not None
            }
    return found


def _answer(fields: Fields, item: Evidence) -> Any:
    if item.kind == "count":
        return fields.whole(item.id, 0, 999)
    if item.kind == "choice":
        return fields.word(item.id, [option.id for option in item.options]) or None
    if item.kind == "number":
        scalar = fields.scalar(item.id, due=f"a {item.quantity}")
        quantity = read_quantity(fields.faults, scalar, item.quantity)
        return as_text(quantity) if quantity is not None else None
    if item.kind == "tick":
        return fields.flag(item.id)
    fields.faults.add(
        "D302",
        "'%(item)s' is a %(kind)s, and there is no truth in it",
        "only what can be seen is true or not",
        "delete it",
        fields.place_of(item.id),
        item=clip(item.id),
        kind=item.kind,
    )
    return None
