"""What may be looked at without a drill saying so: safeguards, measures and evidence of the work at hand.

Rules kept here:
 1. A look tells the truth of this moment, in the words of the gate's or the procedure's own questions.
 2. A measure that slips tells its slip the first time, and what was odd about it; the second time it tells the truth.
Knows nothing of: what is good or bad.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Protocol

from coach.core.amount import Amount
from coach.core.checks import current_steps, missing_asks
from coach.core.gate import Field
from coach.core.model import Evidence, Step
from coach.core.problems import CoachError
from coach.core.quantity import from_text
from coach.core.rules import Rules
from coach.formats import amount_text, quantity_text
from coach.language import _
from coach.practice import band
from coach.practice.drill import BAND, Drill, Look, Slip
from coach.practice.truth import plain_answer, well_done
from coach.practice.world import World
from coach.view.measures import read_typed, shown_value
from coach.yard.job import Job

# Seconds that a look takes; ours, the wind's are those of a meter held up for two minutes.
SECONDS = {"wind": 120, "leak_test": 60, "gas": 60, "area": 60, "vents_taped": 60}
OTHERWISE, MEASURE_SECONDS, ANSWER_SECONDS = 20, 60, 30


class AtTheBoat(Protocol):
    """Whoever looks: a run, with its drill, its job, its site, and the slips that have not been read yet."""

    drill: Drill
    rules: Rules
    world: World
    slips: dict[str, Slip]

    @property
    def job(self) -> Job: ...


def looks_now(run: AtTheBoat) -> Iterator[Look]:
    """The looks that the work itself offers now."""
    state, rules = run.job.state, run.rules
    steps = current_steps(rules, state)
    for step in steps[:1]:
        if step.stage == BAND:
            yield built_in(run, BAND)
        for id in missing_asks(rules, state, step) or step.asks:
            yield built_in(run, f"measure {id}")
        if step.proves:
            yield built_in(run, step.proves)
        for item in step.evidence:
            if _can_be_seen(item):
                yield built_in(run, f"answer {step.id}.{item.id}")
    at_gate = state.flame or state.trip is not None or any(step.heat or step.proves for step in steps)
    shown = {step.proves for step in steps[:1]}
    for id in rules.safeguards if at_gate else ():
        if id not in shown and id != "operator":
            yield built_in(run, id)


def built_in(run: AtTheBoat, fact: str) -> Look:
    """The look at a fact. Raises KeyError if there is no such fact."""
    kind, _space, rest = fact.partition(" ")
    if fact == BAND:
        return Look(fact, _("Pluck the band, and push two fingers behind it"), "", OTHERWISE, (fact,), run.drill.place)
    if kind == "measure":
        ask = run.rules.procedure.measures[rest].ask
        return Look(fact, _("Measure: %(ask)s") % {"ask": _(ask)}, "", MEASURE_SECONDS, (fact,), run.drill.place)
    if kind == "answer":
        _step, item = _item(run, rest)
        return Look(fact, _("Look: %(ask)s") % {"ask": _(item.ask)}, "", ANSWER_SECONDS, (fact,), run.drill.place)
    row = run.rules.safeguards[fact]
    return Look(
        fact, _("Look at: %(name)s") % {"name": _(row.name)}, "", SECONDS.get(fact, OTHERWISE), (fact,), run.drill.place
    )


def finding(run: AtTheBoat, look: Look) -> str:
    """What is seen: the drill's own words, or the truth of each fact that the look tells."""
    if look.finds:
        return _(look.finds)
    return " ".join(_tell(run, fact) for fact in look.tells)


def _tell(run: AtTheBoat, fact: str) -> str:
    kind, _space, rest = fact.partition(" ")
    if fact == BAND:
        return _band_text(run)
    if kind == "measure":
        return measured(run, rest)[1]
    if kind == "answer":
        return f"{asked(_(_item(run, rest)[1].ask))} {_answer_text(run, rest)}."
    row = run.rules.safeguards[fact]
    values = run.world.safeguard(fact)
    lines = [f"{_(field.ask)} {_value(field, values[field.id], run.rules.policy.units)}" for field in row.fields if field.id in values]
    return " ".join(line if line.endswith(".") else f"{line}." for line in lines)


def asked(text: str) -> str:
    """A question before its answer: with a colon where it has no question mark."""
    return text if text.endswith("?") else f"{text}:"


def _band_text(run: AtTheBoat) -> str:
    pull = run.world.band_pull()
    gap = round(min(band.gap(pull), 0.3) * 1000)
    words = (
        _("Two fingers do not get behind it.")
        if band.is_tight(pull)
        else _("Two fingers go behind it with room to spare.")
    )
    return _("It hums at %(note)s a second; the push opens %(gap)s mm. %(words)s") % {
        "note": round(band.note(pull)),
        "gap": gap,
        "words": words,
    }


def measured(run: AtTheBoat, id: str) -> tuple[str, str]:
    """What a measure reads now, as it would be typed, and the words for it. The first reading of a slip is the slip."""
    measure = run.rules.procedure.measures[id]
    slip = run.slips.pop(id, None)
    typed = slip.reads if slip else run.drill.measures.get(id) or plain_answer(measure)
    value, _exact = read_typed(measure, typed, "us")
    text = f"{asked(_(measure.ask))} {shown_value(measure, value, run.rules.policy.units)}."
    return typed, f"{text} {_(slip.shows)}" if slip else text


def answer(run: AtTheBoat, step: str, item: str) -> Any:
    """What evidence truly shows now."""
    given = run.world.answers.get(step, {})
    if item in given:
        return given[item]
    found = _item(run, f"{step}.{item}")[1]
    debt = run.job.state.debts.get(run.rules.steps[step].clears)
    if debt is not None and run.rules.debts[run.rules.steps[step].clears].counted == item:
        return debt.amount
    return well_done(run.rules, run.job.state, found)


def _item(run: AtTheBoat, text: str) -> tuple[Step, Evidence]:
    id, _dot, item = text.partition(".")
    step = run.rules.steps[id]
    for each in step.evidence:
        if each.id == item:
            return step, each
    raise KeyError(text)


def _can_be_seen(item: Evidence) -> bool:
    return item.kind in ("count", "number", "choice")


def _answer_text(run: AtTheBoat, text: str) -> str:
    step, item = _item(run, text)
    value = answer(run, step.id, item.id)
    if item.kind == "choice":
        return next((_(option.label) for option in item.options if option.id == value), str(value))
    try:
        return quantity_text(from_text(str(value)), item.quantity or "count", run.rules.policy.units)
    except CoachError:
        return str(value)


def _value(field: Field, value: Any, system: str) -> str:
    if isinstance(value, bool):
        return _("Yes") if value else _("No")
    if field.kind == "choice":
        return next((_(label) for id, label in field.options if id == value), str(value))
    if field.unit and isinstance(value, int):
        return amount_text(Amount(value, field.unit), system)
    return str(value)
