"""The acts about safeguards and the flame: seen, lost, lit, out, reset; and the trip that is due.

Rules kept here:
 1. A trip is made in the same answer as the event that causes it; time alone makes one through Look. A trip stays
    until a person resets it, and a reset never lights.
 2. Lighting opens its debts in the same answer, whatever was recorded before.
 3. Putting the flame out, and saying that a safeguard is lost, are never refused while a flame may burn.
 4. There is no override.
Knows nothing of: steps without a flame, the end of a job.
Called by: session, session_end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coach.core import actions as act
from coach.core.amount import Amount
from coach.core.checks import (
    clock_doubt,
    flame_gone,
    gate_reasons,
    holder,
    may_light,
    may_observe,
    safeguard_status,
    working,
)
from coach.core.events import Event
from coach.core.gate import OPENED_BY_FLAME, OPENED_BY_PROOF
from coach.core.moment import Moment
from coach.core.problems import Phrase, Reason, fill
from coach.core.refusal import Refusal, refuse, step_of, unknown_safeguard
from coach.core.rules import Rules
from coach.core.state import ENDS, NEW, State, evolve, fold


def watch(rules: Rules, state: State, now: Moment) -> tuple[Event, ...]:
    """The trip that is due, if a flame is lit and any safeguard does not hold at `now`."""
    if not state.flame or state.trip is not None:
        return ()
    reasons = (*clock_doubt(state, now), *gate_reasons(rules, state, now))
    if not reasons:
        return ()
    noted = [note_of(reason) for reason in reasons]
    return (Event("tripped", now, state.technician, {"step": state.flame, "first": noted[0], "reasons": noted}),)


def note_of(reason: Reason) -> dict[str, Any]:
    """A reason as the record keeps it: code, what it is about, its English text, and what that text was made of."""
    slots = {
        name: {"value": value.value, "unit": value.unit} if isinstance(value, Amount) else value if isinstance(value, int) else str(value)
        for name, value in reason.slots.items()
    }
    return {"code": reason.code, "about": reason.about, "text": fill(reason.what, reason.slots), "what": reason.what, "slots": slots}


def phrase_of(noted: Mapping[str, Any]) -> Phrase:
    """A noted reason as a text that can be translated; one without its template (an older record) is its English text."""
    if "what" not in noted:
        return Phrase("%(text)s", {"text": noted["text"]})
    slots = {name: Amount(value["value"], value["unit"]) if isinstance(value, dict) else value for name, value in noted["slots"].items()}
    return Phrase(noted["what"], slots)


def lost_reason(first: Mapping[str, Any]) -> Reason:
    """The reason that a trip is due, whose first cause is noted in `first`."""
    return Reason("G001", "flame", "a safeguard was lost: %(text)s", "the flame must be out first",
                  "put the flame out", {"text": phrase_of(first)}, act="look")


def observe(rules: Rules, state: State, action: act.Observe, now: Moment) -> Sequence[Event] | Refusal:
    """What was seen of a safeguard; tape that goes on and a valve that opens are owed from here on."""
    if action.safeguard not in rules.safeguards:
        return unknown_safeguard(action.safeguard)
    reasons = may_observe(rules, state, action.safeguard, action.by, now)
    if reasons:
        return Refusal(reasons)
    data: dict[str, Any] = {"safeguard": action.safeguard, "values": dict(action.values), "met": True}
    if action.shown:
        data["shown"] = action.shown
    seen = evolve(rules, state, Event("observed", now, action.by, data))
    status = safeguard_status(rules, seen, action.safeguard, now)
    event = Event("observed", now, action.by, {**data, "met": status.holds})
    made = [event]
    debt, amount_field = OPENED_BY_PROOF.get(action.safeguard, ("", None))
    amount = action.values.get(amount_field, 0) if amount_field else int(action.values.get("soaped") is True)
    if debt and isinstance(amount, int) and amount > 0:
        old = state.debts.get(debt)
        if old is None or amount > old.amount:
            made.append(Event("debt_opened", now, action.by, {"debt": debt, "amount": int(amount)}))
    return (*made, *watch(rules, fold(rules, made, state), now))


def withdraw(rules: Rules, state: State, action: act.Withdraw, now: Moment) -> Sequence[Event] | Refusal:
    """A safeguard is said to hold no longer."""
    if action.safeguard not in rules.safeguards:
        return unknown_safeguard(action.safeguard)
    if state.status in (NEW, *ENDS):
        return Refusal(working(state))
    why = action.why.strip() or "withdrawn"
    event = Event("withdrawn", now, action.by, {"safeguard": action.safeguard, "why": why})
    if due := watch(rules, state, now):  # what was lost before this is the first cause
        return (*due, event)
    return (event, *watch(rules, evolve(rules, state, event), now))


def light(rules: Rules, state: State, action: act.Light, now: Moment) -> Sequence[Event] | Refusal:
    """The flame is lit for a step."""
    step = step_of(rules, action.step)
    if isinstance(step, Refusal):
        return step
    reasons = may_light(rules, state, step, action.by, now)
    if reasons:
        return Refusal(reasons)
    proofs = {id: state.proofs[id].seq for id in rules.safeguards}
    made = [Event("flame_lit", now, action.by, {"step": step.id, "operator": action.by, "proofs": proofs})]
    made += [Event("debt_opened", now, action.by, {"debt": debt, "amount": 1}) for debt in OPENED_BY_FLAME]
    return made


def flame_out(rules: Rules, state: State, action: act.FlameOut, now: Moment) -> Sequence[Event] | Refusal:
    """The flame is out and the tool closed."""
    waiting = state.trip is not None and not state.trip.out
    if not state.flame and not waiting:
        return refuse("G021", "flame", "no flame is lit", "there is nothing to put out", "go on")
    step = state.flame or (state.trip.step if state.trip else "")
    return (*watch(rules, state, now), Event("flame_out", now, action.by, {"step": step, "confirmed": True}))


def reset_reasons(rules: Rules, state: State, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why the trip may not be reset now."""
    if state.trip is None:
        return (Reason("G022", "trip", "there is no trip to reset", "nothing was lost", "go on"),)
    return (*clock_doubt(state, now), *flame_gone(state), *holder(rules, state, by))


def reset(rules: Rules, state: State, action: act.Reset, now: Moment) -> Sequence[Event] | Refusal:
    """The trip is reset; nothing is lit by it."""
    reasons = reset_reasons(rules, state, action.by, now)
    return Refusal(reasons) if reasons else (Event("trip_reset", now, action.by, {}),)


def look(rules: Rules, state: State, action: act.Look, now: Moment) -> Sequence[Event] | Refusal:
    """The trip that time has made due, if any."""
    return watch(rules, state, now)
