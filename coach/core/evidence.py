"""Whether the evidence of a step is what the step asks for.

Rules kept here:
 1. A count that should equal a measure, a computed number or a debt's amount must equal it; a number must lie in its
    range, ends included. What is due but cannot be worked out is met by nothing.
 2. What reads the same as an end of what is due is that end: nobody can measure finer than the screen says. A computed
    count that is not whole is due rounded up; as a most that is allowed, rounded down.
 3. A timer counts from its start by both clocks; a second person is one of the crew and not the technician, and has
    the role that the step asks for. Who ends the fire watch is a fire watch, whatever the procedure says.
 4. Who can be named to the gate is whom the gate's own judgement takes.
Knows nothing of: order, safeguards.
Called by: session, prover, view.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from coach.core.gate import Facts, day_of
from coach.core.model import Evidence, Step
from coach.core.moment import Moment
from coach.core.numbers import compute
from coach.core.policy import FIRE_WATCH
from coach.core.problems import Phrase, QuantityError, Reason
from coach.core.quantity import KINDS, Quantity, Shown, from_text, show, steps
from coach.core.rules import Rules
from coach.core.state import State
from coach.core.units import SIGNED_KINDS

_HASH = re.compile(r"^[0-9a-f]{64}$")
Given = Mapping[str, Any]


def evidence_reasons(rules: Rules, state: State, step: Step, given: Given, now: Moment) -> tuple[Reason, ...]:
    """Every reason why this evidence does not do; a step without evidence items asks for a plain tick."""
    found: list[Reason] = []
    if not step.evidence:
        if given.get("tick") is not True:
            found.append(_reason(step.id, "G080", "the step was not ticked", "look, then tick it"))
    for item in step.evidence:
        if item.id not in given and item.kind != "timer":
            if not item.optional:
                found.append(_reason(step.id, "G081", "missing: %(ask)s", "give it", ask=item.ask))
            continue
        found += _JUDGES[item.kind](rules, state, step, item, given.get(item.id), now)
    known = {item.id for item in step.evidence} | {"tick", "kept"}
    for name in given:
        if name not in known:
            found.append(_reason(step.id, "G082", "unknown evidence '%(name)s'", "leave it out", name=name))
    return tuple(found + _debt_count(rules, state, step, given))


def _reason(about: str, code: str, what: str, mend: str, **slots: object) -> Reason:
    return Reason(code, about, what, "the record must show that it was done right", mend, slots, act="do")


def _debt_count(rules: Rules, state: State, step: Step, given: Given) -> list[Reason]:
    """Undoing a counted debt: as many must come off as went on."""
    debt = state.debts.get(step.clears)
    if debt is None or not rules.debts[step.clears].counted:
        return []
    removed = given.get(rules.debts[step.clears].counted)
    if isinstance(removed, bool) or removed != debt.amount:
        return [_reason(step.id, "G083", "%(on)s were put on, %(off)s came off", "find every one and count again", on=debt.amount,
                        off=removed if removed is not None else 0)]
    return []


def _tick(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    return [] if value is True else [_reason(step.id, "G084", "not confirmed: %(ask)s", "look, then confirm", ask=item.ask)]


def due(rules: Rules, state: State, item: Evidence) -> Quantity | None:
    """What a number or count is held against now, whole for a count; None if it is not known or cannot be worked out."""
    id, found = item.against, state.measures.get(item.against)
    if id in rules.procedure.numbers:
        found = compute(rules.procedure, state.measures, rules.functions, (id,))[id].value
    if not isinstance(found, Quantity):
        return None
    if found.value < 0 and (item.quantity or "count") not in SIGNED_KINDS:
        found = Quantity(0, found.dimension)
    return Quantity(steps(found.value, "down" if item.at_most else "up"), found.dimension) if item.kind == "count" else found


def ends(item: Evidence, due: Quantity) -> tuple[Quantity | None, Quantity | None]:
    """The least and the most that an answer may be where this is due, both included; None: no such end."""
    far = item.within
    low = due if far is None else due - far
    high = due if far is None else due + far
    if item.at_least:
        return due, None if far is None else high
    return (None if far is None else low, due) if item.at_most else (low, high)


def same(one: Quantity, other: Quantity, kind: str) -> bool:
    """Whether two quantities read the same, in feet and inches or in metres: what the screen asks for is then given."""
    return any(show(one, kind, system) == show(other, kind, system) for system in ("us", "metric"))


def due_text(item: Evidence, due: Quantity) -> Phrase:
    """What is due, in words: a number, an end, or two."""
    low, high = (None if end is None else Shown(end, item.quantity or "count") for end in ends(item, due))
    if low == high:
        return Phrase("%(amount)s", {"amount": low})
    if low is None or high is None:
        return Phrase("at least %(amount)s" if high is None else "at most %(amount)s", {"amount": low or high})
    return Phrase("%(low)s to %(high)s", {"low": low, "high": high})


def _held_against(rules: Rules, state: State, step: Step, item: Evidence, value: Quantity) -> list[Reason]:
    """What is wrong with an answer beside the measure or number that it is held against."""
    wanted = due(rules, state, item)
    if wanted is None:
        return [_reason(step.id, "G100", "what is due cannot be worked out: %(ask)s", "correct the measures that it rests on", ask=item.ask)]
    low, high = ends(item, wanted)
    kind = item.quantity or "count"
    if (low is None or value >= low or same(value, low, kind)) and (high is None or value <= high or same(value, high, kind)):
        return []
    slots = {"value": Shown(value, item.quantity or "count"), "due": due_text(item, wanted), "ask": item.ask}
    if item.kind == "count":
        return [_reason(step.id, "G088", "counted %(value)s, due are %(due)s: %(ask)s", "mend the work, then count again", **slots)]
    return [_reason(step.id, "G088", "measured %(value)s, due is %(due)s: %(ask)s", "mend the work, then measure again", **slots)]


def _number(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    try:
        quantity = from_text(str(value))
        if item.quantity and quantity.dimension != KINDS[item.quantity]:
            raise ValueError(value)
        low = item.low is not None and quantity < item.low
        high = item.high is not None and quantity > item.high
    except (QuantityError, ValueError):
        return [_reason(step.id, "G085", "no number with its unit: %(ask)s", "measure, and give the unit", ask=item.ask)]
    if low or high:
        return [_reason(step.id, "G086", "outside what is right: %(ask)s", "mend the work, then measure again", ask=item.ask)]
    return _held_against(rules, state, step, item, quantity) if item.against else []


def _count(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        return [_reason(step.id, "G087", "no whole number: %(ask)s", "count, and give the number", ask=item.ask)]
    if item.against and (found := _held_against(rules, state, step, item, Quantity(value))):
        return found
    low = item.low is not None and value < item.low.value
    if low or (item.high is not None and value > item.high.value):
        return [_reason(step.id, "G086", "outside what is right: %(ask)s", "mend the work, then count again", ask=item.ask)]
    return []


def _choice(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    if value not in [option.id for option in item.options]:
        return [_reason(step.id, "G089", "no answer: %(ask)s", "choose one", ask=item.ask)]
    if item.accept and value not in item.accept:
        return [_reason(step.id, "G090", "the answer shows that the work is not right yet: %(ask)s", "mend the work, then look again", ask=item.ask)]
    return []


def _photo(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    if not isinstance(value, str) or not _HASH.match(value):
        return [_reason(step.id, "G091", "no photo: %(ask)s", "take the photo", ask=item.ask)]
    earlier = [id for id, kept in state.evidence.items() if id != step.id and value in kept.values()]
    if earlier:
        return [_reason(step.id, "G092", "this photo was used before: %(ask)s", "take a new photo", ask=item.ask)]
    return []


def _timer(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    need = rules.policy.limit(item.limit) if item.limit else item.minutes
    started = state.timers.get(step.id)
    age = started.age_at(now) if started else None
    if age is None or age < need * 60_000:
        return [_reason(step.id, "G093", "the timer of %(need)s minutes has not run out", "start it, and wait", need=need)]
    return []


def _second_person(rules: Rules, state: State, step: Step, item: Evidence, value: Any, now: Moment) -> list[Reason]:
    if not isinstance(value, str) or rules.policy.person(value) is None or value == state.technician:
        return [_reason(step.id, "G094", "no second person: %(ask)s", "let another of the crew look and confirm", ask=item.ask)]
    able = attesters(rules, state, step, item)
    if value not in able:
        names = ", ".join(rules.policy.people[id].name for id in able)
        mend = "call one of these: %(names)s" if names else "ask the office whom the yard lists for it"
        why, person = "the yard lists who may", rules.policy.people[value].name
        slots = {"person": person, "ask": item.ask, "names": names}
        return [Reason("G099", step.id, "%(person)s may not confirm this: %(ask)s", why, mend, slots, act="do")]
    return []


def attesters(rules: Rules, state: State, step: Step, item: Evidence) -> tuple[str, ...]:
    """The ids of those who may be this second person now: not the technician, and with every role that is asked for."""
    roles = {item.role, FIRE_WATCH if step.clears == FIRE_WATCH else ""} - {""}
    return tuple(
        person.id for person in rules.policy.people.values()
        if person.id != state.technician and all(rules.policy.has_role(person.id, role) for role in roles)
    )


def nameable(rules: Rules, state: State, safeguard: str, now: Moment) -> tuple[str, ...]:
    """The ids of those whom the gate would take as the person of this safeguard, were all else that it asks as it should be."""
    row, facts = rules.safeguards[safeguard], Facts(state.fuel_vents, state.boat_place, state.technician)
    well: dict[str, Any] = {field.id: True for field in row.fields if field.kind == "yes_no"}
    named = [field.id for field in row.fields if field.kind == "person"]
    return tuple(
        id for id in rules.policy.people
        if not row.judge({**well, **dict.fromkeys(named, id)}, facts, rules.policy, day_of(now.wall))
    )


_JUDGES: dict[str, Callable[[Rules, State, Step, Evidence, Any, Moment], list[Reason]]] = {
    "tick": _tick, "number": _number, "count": _count, "choice": _choice, "photo": _photo, "timer": _timer,
    "second_person": _second_person,
}
