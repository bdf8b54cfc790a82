"""Evidence that a step's own demands would accept, if anything could.

Rules kept here:
 1. Each item gets a value that meets all that is asked of it; an item that nothing can meet gets its nearest value,
    and the kernel refuses it.
 2. A count that must equal two numbers is offered once with each: if they differ, both are refused.
Knows nothing of: whether the step may be done (session says).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coach.core.evidence import attesters, due
from coach.core.model import Evidence, Step
from coach.core.quantity import KINDS, Quantity, as_text
from coach.core.rules import Rules
from coach.core.state import State
from coach.prover.cast import WATCH


def evidence_for(rules: Rules, state: State, step: Step) -> Iterator[dict[str, Any]]:
    """One or two sets of evidence for a step; the second only where a count may be due in two ways."""
    on = _debt_amount(rules, state, step)
    first = {item.id: value for item in step.evidence if (value := _value(rules, state, step, item)) is not None}
    if not step.evidence:
        first["tick"] = True
    first["kept"] = "measured twice"
    counted = rules.debts[step.clears].counted if step.clears in rules.debts else ""
    if on is not None and counted and first.get(counted) != on:
        yield {**first, counted: on}
    else:
        yield first


def _debt_amount(rules: Rules, state: State, step: Step) -> int | None:
    debt = state.debts.get(step.clears)
    return debt.amount if debt is not None and rules.debts[step.clears].counted else None


def _value(rules: Rules, state: State, step: Step, item: Evidence) -> Any:
    if item.kind == "tick":
        return True
    if item.against:
        wanted = due(rules, state, item)
        return None if wanted is None else int(wanted.value) if item.kind == "count" else as_text(wanted)
    if item.kind == "number":
        fitting = item.low or item.high or Quantity(1, KINDS[item.quantity])
        return as_text(fitting)
    if item.kind == "count":
        return int((item.low or item.high or Quantity(1)).value)
    if item.kind == "choice":
        known = [option.id for option in item.options]
        return next((id for id in item.accept if id in known), known[0] if known and not item.accept else "")
    if item.kind == "photo":
        return f"{state.seq:064x}"
    if item.kind == "second_person":
        able = attesters(rules, state, step, item)
        return WATCH if WATCH in able or not able else able[0]
    return None  # a timer has run out or not; there is nothing to give
