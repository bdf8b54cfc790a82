"""The safeguards on a screen: tiles for the bar that is always there, the reasons when heat is blocked, the questions
of a proof, and the reading of its answers.

Rules kept here:
 1. A typed quantity is recorded in whole small units, rounded to the unsafe side, so that rounding never helps a proof.
 2. An answer that is missing is left out of the proof; the gate then says that it is missing.
Knows nothing of: the toolkit; what holds and what does not (core).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from coach.core.checks import MINUTE, PROVEN, Status, gate_reasons, gate_status
from coach.core.evidence import nameable
from coach.core.gate import Facts, Field, day_of
from coach.core.moment import Moment
from coach.core.policy import FIRE_WATCH
from coach.core.problems import Problem, QuantityError
from coach.core.quantity import parse_quantity
from coach.core.rules import Rules
from coach.core.state import State
from coach.formats import amount_text, decimal_mark
from coach.language import _, english_of
from coach.view.measures import default_unit
from coach.view.texts import ReasonText, nobody_else, reason_text, yes_or_no

SMALL_UNITS_A_SI = {"mm": 1000, "mm/s": 1000, "tenths of % LEL": 1000}

# kind of a status -> the word beside its shape; the shape is the tablet's.
WORDS = {
    "proven": "shown", "missing": "not shown", "lapsed": "too old", "withdrawn": "lost", "unmet": "does not hold", "clock": "ask again",
}


@dataclass(frozen=True)
class Tile:
    """One safeguard on the bar. minutes: for how long it still holds, rounded down; -1 if it does not."""

    id: str
    name: str
    kind: str
    word: str
    minutes: int


@dataclass(frozen=True)
class GateView:
    """The bar: how many hold, and every reason why no flame may burn."""

    tiles: tuple[Tile, ...]
    reasons: tuple[ReasonText, ...]
    held: int
    needed: int

    @property
    def open(self) -> bool:
        """Whether every safeguard holds."""
        return self.held == self.needed


@dataclass(frozen=True)
class FormField:
    """One question of a proof. kind: yes_no, count, choice, text, date, person, or a quantity; unit: of a bare number.

    nobody: of a person, why nobody can be named, where that is so.
    """

    id: str
    ask: str
    kind: str
    unit: str
    options: tuple[tuple[str, str], ...]
    optional: bool
    only_if: tuple[str, str] | None
    nobody: tuple[ReasonText, ...] = ()


@dataclass(frozen=True)
class ProofForm:
    """The questions of one safeguard, with what is known against it now."""

    id: str
    name: str
    ask: str
    why: str
    fields: tuple[FormField, ...]
    reasons: tuple[ReasonText, ...]
    losses: tuple[str, ...]
    limits: tuple[str, ...]


def tile(rules: Rules, status: Status) -> Tile:
    """A safeguard's tile."""
    left = status.left // MINUTE if status.kind == PROVEN else -1
    return Tile(status.safeguard, _(rules.safeguards[status.safeguard].name), status.kind, _(WORDS[status.kind]), left)


def gate_view(rules: Rules, state: State, now: Moment, system: str = "us") -> GateView:
    """The bar at this moment."""
    statuses = gate_status(rules, state, now)
    tiles = tuple(tile(rules, status) for status in statuses)
    reasons = tuple(reason_text(reason, system) for reason in gate_reasons(rules, state, now))
    return GateView(tiles, reasons, sum(status.holds for status in statuses), len(statuses))


def proof_form(rules: Rules, state: State, id: str, now: Moment, system: str = "us") -> ProofForm:
    """The questions of this safeguard for this boat."""
    row = rules.safeguards[id]
    status = next(s for s in gate_status(rules, state, now) if s.safeguard == id)
    place = state.boat_place
    shown = [f for f in row.fields if not (f.only_if and f.only_if[0] == "place" and f.only_if[1] != place)]
    return ProofForm(
        id, _(row.name), _(row.ask), _(row.why), tuple(_form_field(rules, state, id, f, now, system) for f in shown),
        tuple(reason_text(reason, system) for reason in status.reasons), tuple(_(text) for text in row.withdrawals),
        _limit_lines(rules, id, system),
    )


def _form_field(rules: Rules, state: State, safeguard: str, found: Field, now: Moment, system: str) -> FormField:
    options = tuple((id, _(label)) for id, label in found.options)
    nobody: tuple[ReasonText, ...] = ()
    if found.kind == "person":
        able = nameable(rules, state, safeguard, now)
        options = tuple((id, rules.policy.people[id].name) for id in able)
        nobody = () if able else _why_nobody(rules, state, safeguard, found, now, system)
    unit = default_unit(found.kind, system) or ""
    if found.kind == "length":
        unit = "ft" if system == "us" else "m"
    only = found.only_if if found.only_if and found.only_if[0] != "place" else None
    return FormField(found.id, _(found.ask), found.kind, unit, options, found.optional, only, nobody)


def _why_nobody(rules: Rules, state: State, safeguard: str, found: Field, now: Moment, system: str) -> tuple[ReasonText, ...]:
    """Why nobody can be named: what the gate has against the one who has the job, or that a second person is missing."""
    if safeguard == FIRE_WATCH:
        words = nobody_else()
        return (ReasonText("", safeguard, "", words, "", "", english_of(words)),)
    facts = Facts(state.fuel_vents, state.boat_place, state.technician)
    against = rules.safeguards[safeguard].judge({found.id: state.technician}, facts, rules.policy, day_of(now.wall))
    return tuple(reason_text(reason, system) for reason in against)


_LIMITS_OF = {
    "wind": ("wind_mean", "wind_gust"), "extinguisher": ("extinguisher_distance", "extinguisher_days"),
    "area": ("clear_distance",), "gas": ("gas_lel",),
}


def _limit_lines(rules: Rules, id: str, system: str) -> tuple[str, ...]:
    """The limits in force for this safeguard, each with its source; shipped values say that the yard has set none."""
    from coach.core.amount import Amount
    from coach.core.floors import LIMITS

    policy, lines = rules.policy, []
    for name in _LIMITS_OF.get(id, ()):
        row = LIMITS[name]
        whose = _("shipped cautious value, the yard has set none") if policy.is_shipped(name) else _("the yard's own")
        lines.append(f"{_(row.name)}: {amount_text(Amount(policy.limit(name), row.unit), system)} ({whose}; {policy.source(name)})")
    return tuple(lines)


def asked_now(field: FormField, answers: Mapping[str, Any]) -> bool:
    """Whether this question is asked, given the answers so far."""
    return field.only_if is None or answers.get(field.only_if[0]) == field.only_if[1]


def proof_values(
    rules: Rules, id: str, typed: Mapping[str, str], system: str = "us"
) -> tuple[dict[str, Any], dict[str, Problem]]:
    """What was typed as a proof records it, and the problems by field. Empty answers are left out."""
    values: dict[str, Any] = {}
    problems: dict[str, Problem] = {}
    for found in rules.safeguards[id].fields:
        text = typed.get(found.id, "").strip()
        if not text:
            continue
        try:
            values[found.id] = _recorded(found, text, system)
        except QuantityError as error:
            problems[found.id] = error.problems[0]
    return values, problems


def _recorded(found: Field, text: str, system: str) -> Any:
    if found.kind == "yes_no":
        answer = yes_or_no(text)
        if answer is not None:
            return answer
        raise QuantityError(Problem("U300", "'%(typed)s' is neither yes nor no", "the gate needs a plain answer", "answer yes or no",
                                    slots={"typed": text}))
    if found.kind in ("choice", "text", "date", "person"):
        return text
    unit = default_unit(found.kind, system)
    if found.kind == "length":
        unit = "ft" if system == "us" else "m"
    quantity = parse_quantity(text, found.kind, default_unit=unit, decimal=decimal_mark())
    value = Fraction(quantity.value) * SMALL_UNITS_A_SI.get(found.unit, 1)
    return math.ceil(value) if found.up else math.floor(value)
