"""The kernel of a job: decide answers an action with events or with a refusal; offers says what may be done now.

Rules kept here:
 1. decide and offers ask the same checks; no front end has a rule of its own.
 2. A refusal carries every reason and changes nothing.
 3. A trip is made in the same answer as the event that causes it; time alone makes one through Look. A trip stays
    until a person resets it, and a reset never lights.
 4. Lighting opens its debts in the same answer, whatever was recorded before.
 5. Putting the flame out, and saying that a safeguard is lost, are never refused while a flame may burn.
 6. There is no override.
Knows nothing of: clocks, files, front ends. `now` is passed in.
Called by: tablet, terminal, demo, practice, prover.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from coach.core import actions as act
from coach.core.amount import Amount
from coach.core.attention import answer_reasons, haste_reasons, question_due, right_answer
from coach.core.checks import (
    at_step,
    calm,
    clock_doubt,
    current_steps,
    day_reasons,
    failed_checks,
    flame_gone,
    gate_reasons,
    gate_status,
    holder,
    may_do,
    may_excuse,
    may_light,
    may_observe,
    no_excuse,
    reviewer,
    safeguard_status,
    sign_reasons,
    steady,
    watch_lost,
    working,
)
from coach.core.events import Event
from coach.core.evidence import evidence_reasons
from coach.core.gate import OPENED_BY_FLAME, OPENED_BY_PROOF
from coach.core.model import EXPIRY, Step
from coach.core.moment import Moment
from coach.core.policy import FIRE_WATCH, TECHNICIAN
from coach.core.problems import CoachError, Phrase, Reason, fill
from coach.core.rules import Rules
from coach.core.state import CLOSED, ENDS, NEW, PAUSED, STOPPED, STOPPING, WORKING, State, evolve, fold, measure_value

__all__ = ["MEASURED_AGAIN", "Offer", "Refusal", "decide", "evolve", "fold", "offers", "phrase_of", "refusal_note", "watch"]
MEASURED_AGAIN = "measured again: %(ask)s"


@dataclass(frozen=True)
class Refusal:
    """Why an action was not taken: every reason, in the order in which a person would clear them."""

    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class Offer:
    """Something that may be asked for: the action's name, what it is about, and the reasons that stand against it."""

    act: str
    about: str = ""
    reasons: tuple[Reason, ...] = ()

    @property
    def open(self) -> bool:
        """Whether it may be done now."""
        return not self.reasons


Answer = tuple[Event, ...] | Refusal


def decide(rules: Rules, state: State, action: act.Action, now: Moment) -> Answer:
    """The events that come of an action, or a refusal.

    Args:
        rules: the procedure and policy, made ready.
        state: the fold of all events so far.
        action: what a person asks for.
        now: the moment it is asked, from the device's clocks.

    Raises:
        TypeError: the action is of no known kind.
    """
    handler = _HANDLERS.get(type(action))
    if handler is None:
        raise TypeError(f"no such action: {type(action).__name__}")
    if state.flame and type(action) not in _DURING_FLAME and (due := watch(rules, state, now)):
        return Refusal((_lost(due[0].data["first"]),))
    result = handler(rules, state, action, now)
    if isinstance(result, Refusal):
        return result
    return _identified(action, tuple(result))


def _identified(action: act.Action, events: tuple[Event, ...]) -> tuple[Event, ...]:
    """The events with how people showed who they are; a trip is nobody's act."""
    if not action.identified:
        return events
    shown = {"identified": dict(action.identified)}
    return tuple(event if event.kind == "tripped" else replace(event, data={**event.data, **shown}) for event in events)


def watch(rules: Rules, state: State, now: Moment) -> tuple[Event, ...]:
    """The trip that is due, if a flame is lit and any safeguard does not hold at `now`."""
    if not state.flame or state.trip is not None:
        return ()
    reasons = (*clock_doubt(state, now), *gate_reasons(rules, state, now))
    if not reasons:
        return ()
    noted = [_noted(reason) for reason in reasons]
    return (Event("tripped", now, state.technician, {"step": state.flame, "first": noted[0], "reasons": noted}),)


def refusal_note(state: State, action: act.Action, refusal: Refusal, now: Moment) -> tuple[Event, ...]:
    """The event that keeps a refused flame, or a step called done too soon, in the record; nothing for other actions.

    Nothing either while a trip is due: the trip comes first, and a note at that moment would hide a clock in doubt.
    """
    if isinstance(action, act.Do) and [reason.code for reason in refusal.reasons] == ["G095"] and state.hurried != action.step:
        slots = refusal.reasons[0].slots
        note = Event("hurried", now, action.by, {"step": action.step, "seconds": slots["seconds"], "least": slots["least"]})
        return _identified(action, (note,))
    due = any(reason.code == "G001" for reason in refusal.reasons)
    if not isinstance(action, act.Light) or state.status in (NEW, *ENDS) or due:
        return ()
    data = {"step": action.step, "reasons": [_noted(reason) for reason in refusal.reasons]}
    return _identified(action, (Event("heat_refused", now, action.by, data),))


def offers(rules: Rules, state: State, now: Moment) -> tuple[Offer, ...]:
    """What may be asked for now, each with the reasons against it; the person is the job's technician."""
    by = state.technician
    if state.status == NEW:
        return (Offer("start", "", () if rules.proven else (_unproven(),)),)
    found: list[Offer] = []
    if state.flame or (state.trip is not None and not state.trip.out):
        found.append(Offer("flame_out", state.flame or (state.trip.step if state.trip else "")))
    if state.trip is not None:
        found.append(Offer("reset", "", _reset_reasons(rules, state, by, now)))
    found += [Offer("observe", s.safeguard, may_observe(rules, state, s.safeguard, by, now)) for s in gate_status(rules, state, now)]
    for step in current_steps(rules, state):
        if step.heat and step.id not in state.heated:
            found.append(Offer("light", step.id, may_light(rules, state, step, by, now)))
        else:
            if step.heat:
                found.append(Offer("light", step.id, may_light(rules, state, step, by, now)))
            found.append(Offer("do", step.id, may_do(rules, state, step, by, now)))
    if state.status == STOPPING:
        for debt in state.debts:
            clearing = rules.steps.get(rules.clearing.get(debt, ""))
            if clearing is not None and not any(o.about == clearing.id for o in found):
                found.append(Offer("do", clearing.id, may_do(rules, state, clearing, by, now)))
            found.append(Offer("tag", debt, _tag_reasons(rules, state, debt, by, now)))
    if question_due(rules, state) is not None:
        found.append(Offer("answer", "", (*steady(rules, state, by, now), *calm(state), *answer_reasons(rules, state, now))))
    found.append(Offer("pause", "", (*steady(rules, state, by, now), *calm(state))))
    if state.status == PAUSED or clock_doubt(state, now) or watch_lost(state, now):
        found.append(Offer("resume", "", _resume_reasons(rules, state, by, now)))
    found.append(Offer("stop", "", _stop_reasons(state)))
    found.append(Offer("sign", "", sign_reasons(rules, state, by, now)))
    due = watch(rules, state, now)
    if due:  # as in decide: what is not for a burning flame waits for the trip
        lost = (_lost(due[0].data["first"]),)
        return tuple(o if o.act in _OFFERED_DURING_FLAME else Offer(o.act, o.about, lost) for o in found)
    return tuple(found)


def _noted(reason: Reason) -> dict[str, Any]:
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


def _lost(first: Mapping[str, Any]) -> Reason:
    return Reason("G001", "flame", "a safeguard was lost: %(text)s", "the flame must be out first",
                  "put the flame out", {"text": phrase_of(first)}, act="look")


def _unproven() -> Reason:
    return Reason("G002", "procedure", "this procedure has no proof", "an unproven procedure may let a flame burn unguarded",
                  "prove the procedure first, or practise with it", act="prove")


def _no(code: str, about: str, what: str, why: str, mend: str, **slots: object) -> Refusal:
    return Refusal((Reason(code, about, what, why, mend, slots),))


def _step(rules: Rules, id: str) -> Step | Refusal:
    step = rules.steps.get(id)
    if step is None:
        return Refusal((_no_step(id),))
    return step


def _no_step(id: str) -> Reason:
    return Reason("G003", id, "there is no step '%(id)s'", "the procedure does not have it", "choose a step of the procedure", {"id": id})


def _no_safeguard(id: str) -> Refusal:
    return _no("G032", id, "there is no safeguard '%(id)s'", "the gate does not have it", "choose one of the gate", id=id)


def _of_the_crew(rules: Rules, by: str, what: str) -> tuple[Reason, ...]:
    """A reason if this person is no technician of the yard's crew."""
    if rules.policy.has_role(by, TECHNICIAN):
        return ()
    return (Reason("G031", "person", what, "the record must say who did what", "choose a technician"),)


def _text_reasons(about: str, text: str, what: str) -> tuple[Reason, ...]:
    if len(text.strip()) >= 3:
        return ()
    return (Reason("G004", about, what, "the supervisor must be able to judge it", "say why in a few words"),)


def _start(rules: Rules, state: State, action: act.Start, now: Moment) -> Sequence[Event] | Refusal:
    if state.status != NEW:
        return _no("G005", "job", "the job was started already", "a job is started once", "open another job")
    if reasons := _of_the_crew(rules, action.by, "only a technician of the crew may start a job"):
        return Refusal(reasons)
    person = rules.policy.people[action.by]
    if not action.boat.strip() or not action.job.strip():
        return _no("G006", "boat", "the boat has no name", "every record belongs to one boat", "name the boat")
    if not rules.proven and not action.practice:
        return Refusal((_unproven(),))
    procedure = rules.procedure
    data = {
        "job": action.job, "boat": action.boat.strip(), "procedure": procedure.id, "version": procedure.version,
        "procedure_hash": procedure.hash, "policy_hash": rules.policy.hash, "practice": action.practice,
        "technician": action.by, "name": person.name,
    }
    return (Event("job_started", now, action.by, data),)


def _measure(rules: Rules, state: State, action: act.Measure, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*steady(rules, state, action.by, now), *calm(state))
    measure = rules.procedure.measures.get(action.measure)
    if measure is None:
        return _no("G007", action.measure, "there is no measure '%(id)s'", "the procedure does not have it", "choose a measure of it", id=action.measure)
    try:
        value = measure_value(rules, action.measure, action.value)
    except (KeyError, ValueError, CoachError):
        return _no("G008", measure.id, "this is no answer to: %(ask)s", "the numbers rest on it", "measure or choose again", ask=measure.ask)
    if not isinstance(value, (str, bool)):
        if (measure.low is not None and value < measure.low) or (measure.high is not None and value > measure.high):
            reasons += (Reason("G009", measure.id, "outside the plausible range: %(ask)s", "a slip of the tape or the unit is likely",
                               "measure again and look at the unit", {"ask": measure.ask}, act="measure"),)
    if reasons:
        return Refusal(reasons)
    data: dict[str, Any] = {"measure": measure.id, "typed": action.typed, "value": action.value}
    old = state.measures.get(measure.id)
    if old is None:
        return (Event("measured", now, action.by, data),)
    if old == value:
        return ()
    data["previous"] = state.typed[measure.id]
    event = Event("measured", now, action.by, data)
    return (event, *_reopened(rules, evolve(rules, state, event), measure.id, measure.ask, action.by, now))


def _reopened(rules: Rules, state: State, measure: str, ask: str, by: str, now: Moment) -> tuple[Event, ...]:
    """Every settled step that relied on the old value is opened again, and says why.

    `state` has the new value. A step that asked for the measure is opened again if the answers no longer agree.
    """
    broken = failed_checks(rules, state, (measure,)) or (
        rules.procedure.measures[measure].kind == EXPIRY and day_reasons(rules, state, measure, now)
    )
    return tuple(
        Event("step_reopened", now, by, {"step": id, "why": measure, "text": fill(MEASURED_AGAIN, {"ask": ask})})
        for id in rules.order
        if (id in state.done or id in state.excused)
        and (measure in rules.relies[id] or (broken and measure in rules.steps[id].asks))
    )


def _do(rules: Rules, state: State, action: act.Do, now: Moment) -> Sequence[Event] | Refusal:
    step = _step(rules, action.step)
    if isinstance(step, Refusal):
        return step
    reasons = may_do(rules, state, step, action.by, now)
    reasons += no_excuse(rules, state, step, now)
    if not str(action.evidence.get("kept", "")).strip():
        reasons += tuple(reason for reason in failed_checks(rules, state, step.asks) if reason.code == "G030")
    reasons += evidence_reasons(rules, state, step, action.evidence, now)
    if not (state.status == STOPPING and step.clears in state.debts):
        reasons += haste_reasons(rules, state, step, now)
    if reasons:
        return Refusal(reasons)
    data: dict[str, Any] = {"step": step.id, "evidence": dict(action.evidence)}
    if action.shown:
        data["shown"] = action.shown
    made = [Event("step_done", now, action.by, data)]
    if step.clears in state.debts:
        amount = state.debts[step.clears].amount
        cleared = {"debt": step.clears, "amount": amount, "evidence": dict(action.evidence)}
        seconds = [action.evidence[item.id] for item in step.evidence if item.kind == "second_person" and item.id in action.evidence]
        if step.clears == FIRE_WATCH and seconds:
            cleared["watched_by"] = seconds[0]
        made.append(Event("debt_cleared", now, action.by, cleared))
    made += [Event("debt_opened", now, action.by, {"debt": debt, "amount": 1}) for debt in step.opens]
    return made


def _answer(rules: Rules, state: State, action: act.Answer, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*steady(rules, state, action.by, now), *calm(state), *answer_reasons(rules, state, now))
    question = question_due(rules, state)
    if reasons or question is None:
        return Refusal(reasons)
    given = action.value.strip()
    data = {"question": question.about, "step": state.asked, "given": given, "right": given == right_answer(state, question)}
    return (Event("answered", now, action.by, data),)


def _excuse(rules: Rules, state: State, action: act.Excuse, now: Moment) -> Sequence[Event] | Refusal:
    step = _step(rules, action.step)
    if isinstance(step, Refusal):
        return step
    reasons = may_excuse(rules, state, step, action.by, now)
    reasons += _text_reasons(step.id, action.reason, "the reason for leaving it out is missing")
    if reasons:
        return Refusal(reasons)
    return (Event("step_excused", now, action.by, {"step": step.id, "reason": action.reason.strip()}),)


def _start_timer(rules: Rules, state: State, action: act.StartTimer, now: Moment) -> Sequence[Event] | Refusal:
    step = _step(rules, action.step)
    if isinstance(step, Refusal):
        return step
    timers = [item for item in step.evidence if item.kind == "timer"]
    reasons = at_step(rules, state, step, action.by, now)
    if not timers:
        reasons.append(Reason("G059", step.id, "this step has no timer", "nothing is timed here", "go on with the step"))
    if reasons:
        return Refusal(tuple(reasons))
    need = rules.policy.limit(timers[0].limit) if timers[0].limit else timers[0].minutes
    return (Event("timer_started", now, action.by, {"step": step.id, "seconds": need * 60}),)


def _observe(rules: Rules, state: State, action: act.Observe, now: Moment) -> Sequence[Event] | Refusal:
    if action.safeguard not in rules.safeguards:
        return _no_safeguard(action.safeguard)
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


def _withdraw(rules: Rules, state: State, action: act.Withdraw, now: Moment) -> Sequence[Event] | Refusal:
    if action.safeguard not in rules.safeguards:
        return _no_safeguard(action.safeguard)
    if state.status in (NEW, *ENDS):
        return Refusal(working(state))
    why = action.why.strip() or "withdrawn"
    event = Event("withdrawn", now, action.by, {"safeguard": action.safeguard, "why": why})
    if due := watch(rules, state, now):  # what was lost before this is the first cause
        return (*due, event)
    return (event, *watch(rules, evolve(rules, state, event), now))


def _light(rules: Rules, state: State, action: act.Light, now: Moment) -> Sequence[Event] | Refusal:
    step = _step(rules, action.step)
    if isinstance(step, Refusal):
        return step
    reasons = may_light(rules, state, step, action.by, now)
    if reasons:
        return Refusal(reasons)
    proofs = {id: state.proofs[id].seq for id in rules.safeguards}
    made = [Event("flame_lit", now, action.by, {"step": step.id, "operator": action.by, "proofs": proofs})]
    made += [Event("debt_opened", now, action.by, {"debt": debt, "amount": 1}) for debt in OPENED_BY_FLAME]
    return made


def _flame_out(rules: Rules, state: State, action: act.FlameOut, now: Moment) -> Sequence[Event] | Refusal:
    waiting = state.trip is not None and not state.trip.out
    if not state.flame and not waiting:
        return _no("G021", "flame", "no flame is lit", "there is nothing to put out", "go on")
    step = state.flame or (state.trip.step if state.trip else "")
    return (*watch(rules, state, now), Event("flame_out", now, action.by, {"step": step, "confirmed": True}))


def _reset_reasons(rules: Rules, state: State, by: str, now: Moment) -> tuple[Reason, ...]:
    if state.trip is None:
        return (Reason("G022", "trip", "there is no trip to reset", "nothing was lost", "go on"),)
    return (*clock_doubt(state, now), *flame_gone(state), *holder(rules, state, by))


def _reset(rules: Rules, state: State, action: act.Reset, now: Moment) -> Sequence[Event] | Refusal:
    reasons = _reset_reasons(rules, state, action.by, now)
    return Refusal(reasons) if reasons else (Event("trip_reset", now, action.by, {}),)


def _look(rules: Rules, state: State, action: act.Look, now: Moment) -> Sequence[Event] | Refusal:
    return watch(rules, state, now)


def _pause(rules: Rules, state: State, action: act.Pause, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*steady(rules, state, action.by, now), *calm(state))
    return Refusal(reasons) if reasons else (Event("paused", now, action.by, {"why": action.why.strip()}),)


def _resume_reasons(rules: Rules, state: State, by: str, now: Moment) -> tuple[Reason, ...]:
    if state.status in (NEW, *ENDS):
        return working(state)
    if state.status != PAUSED and not clock_doubt(state, now) and not watch_lost(state, now):
        return (Reason("G023", "job", "the job is not paused", "there is nothing to resume", "go on"),)
    return holder(rules, state, by)


def _resume(rules: Rules, state: State, action: act.Resume, now: Moment) -> Sequence[Event] | Refusal:
    reasons = _resume_reasons(rules, state, action.by, now)
    return Refusal(reasons) if reasons else (*watch(rules, state, now), Event("resumed", now, action.by, {}))


def _hand_over(rules: Rules, state: State, action: act.HandOver, now: Moment) -> Sequence[Event] | Refusal:
    person = rules.policy.person(action.by)
    reasons = (*(() if state.status in (PAUSED, STOPPING) else working(state)), *flame_gone(state))
    stranger = _of_the_crew(rules, action.by, "only a technician of the crew may take the job")
    reasons += stranger
    if not stranger and action.by == state.technician:
        reasons += (Reason("G024", "person", "this person has the job already", "there is nothing to hand over", "go on"),)
    return Refusal(reasons) if reasons else (Event("handed_over", now, action.by, {"to": action.by, "name": person.name if person else ""}),)


def _stop_reasons(state: State) -> tuple[Reason, ...]:
    return () if state.status in (WORKING, PAUSED) else working(state)


def _ask_stop(rules: Rules, state: State, action: act.AskStop, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*_stop_reasons(state), *_text_reasons("job", action.reason, "the reason for stopping is missing"))
    asked = Event("stop_asked", now, action.by, {"reason": action.reason.strip()})
    return Refusal(reasons) if reasons else (*watch(rules, state, now), asked)


def _tag_reasons(rules: Rules, state: State, debt: str, by: str, now: Moment) -> tuple[Reason, ...]:
    found = [*clock_doubt(state, now), *holder(rules, state, by), *calm(state)]
    if state.status != STOPPING:
        found.append(Reason("G025", debt, "a tag is for a safe stop only", "in a job that goes on the thing is undone", "undo it", act="do"))
    if debt not in state.debts:
        found.append(Reason("G026", debt, "nothing is open under '%(debt)s'", "there is nothing to tag", "go on", {"debt": debt}))
    elif not rules.debts[debt].taggable:
        row = rules.debts[debt]
        found.append(Reason("G029", debt, "this cannot be left on a tag: %(name)s", row.why, row.undo, {"name": row.name}, act="do"))
    return tuple(found)


def _tag(rules: Rules, state: State, action: act.Tag, now: Moment) -> Sequence[Event] | Refusal:
    reasons = _tag_reasons(rules, state, action.debt, action.by, now)
    reasons += _text_reasons(action.debt, action.where, "where the tag hangs is missing")
    reasons += _text_reasons(action.debt, action.reason, "the reason for the tag is missing")
    data = {"debt": action.debt, "where": action.where.strip(), "reason": action.reason.strip()}
    return Refusal(reasons) if reasons else (Event("debt_tagged", now, action.by, data),)


def _signature(rules: Rules, action: act.Sign | act.Accept, role: str) -> tuple[tuple[Reason, ...], dict[str, Any]]:
    """What is wrong with a signature, and its data."""
    found: list[Reason] = []
    if sum(len(stroke) for stroke in action.strokes) < 2:
        found.append(Reason("G072", "signature", "the signature is missing", "a record is signed by a person's own hand", "sign with a finger", act="sign"))
    if not action.meaning.strip():
        found.append(Reason("G073", "signature", "the meaning of the signature is missing", "a signature says what it stands for", "choose its meaning", act="sign"))
    person = rules.policy.person(action.by)
    strokes = [[list(point) for point in stroke] for stroke in action.strokes]
    return tuple(found), {"name": person.name if person else "", "role": role, "meaning": action.meaning.strip(), "strokes": strokes}


def _sign(rules: Rules, state: State, action: act.Sign, now: Moment) -> Sequence[Event] | Refusal:
    faults, data = _signature(rules, action, TECHNICIAN)
    reasons = (*sign_reasons(rules, state, action.by, now), *faults)
    if reasons:
        return Refusal(reasons)
    end = "stopped_safely" if state.status == STOPPING else "closed"
    return (Event("signed", now, action.by, {**data, "shown": action.shown}), Event(end, now, action.by, {}))


def _ended(state: State) -> tuple[Reason, ...]:
    if state.status in (CLOSED, STOPPED):
        return ()
    return (Reason("G027", "job", "the job is not up for review", "a review needs a signed job", "wait until the technician has signed"),)


def _clear_tag(rules: Rules, state: State, action: act.ClearTag, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*_ended(state), *reviewer(rules, state, action.by))
    if action.debt not in state.debts:
        reasons += (Reason("G026", action.debt, "nothing is open under '%(debt)s'", "there is nothing to clear", "go on", {"debt": action.debt}),)
    reasons += _text_reasons(action.debt, action.found, "what was found at the boat is missing")
    return Refusal(reasons) if reasons else (Event("tag_cleared", now, action.by, {"debt": action.debt, "found": action.found.strip()}),)


def _send_back(rules: Rules, state: State, action: act.SendBack, now: Moment) -> Sequence[Event] | Refusal:
    reasons = (*_ended(state), *reviewer(rules, state, action.by))
    if not action.steps:
        reasons += (Reason("G028", "steps", "no step is named", "the technician must know what to mend", "name a step and the reason"),)
    for id, why in action.steps:
        if id not in rules.steps:
            reasons += (_no_step(id),)
        reasons += _text_reasons(id, why, "the reason is missing")
    if reasons:
        return Refusal(reasons)
    person = rules.policy.people[action.by]
    data = {"steps": [{"step": id, "reason": why.strip()} for id, why in action.steps], "name": person.name}
    opened = [
        Event("step_reopened", now, action.by, {"step": id, "why": "sent back", "text": why.strip()})
        for id, why in action.steps if id in state.done or id in state.excused
    ]
    return (Event("sent_back", now, action.by, data), *opened)


def _accept(rules: Rules, state: State, action: act.Accept, now: Moment) -> Sequence[Event] | Refusal:
    faults, data = _signature(rules, action, "supervisor")
    reasons = (*_ended(state), *reviewer(rules, state, action.by), *faults)
    for id in state.debts:
        reasons += (Reason("G074", id, "still on a tag: %(name)s", rules.debts[id].why, "undo it at the boat, then clear the tag", {"name": rules.debts[id].name}, act="clear_tag"),)
    if set(action.excused) != set(state.excused):
        reasons += (Reason("G075", "excused", "the steps left out were not all judged", "leaving a step out needs the supervisor's hand", "look at each of them", act="accept"),)
    if reasons:
        return Refusal(reasons)
    data |= {"excused": sorted(action.excused)} | ({"shown": action.shown} if action.shown else {})
    return (Event("accepted", now, action.by, data),)


_OFFERED_DURING_FLAME = ("flame_out", "resume", "stop")
_DURING_FLAME = (act.FlameOut, act.Withdraw, act.Look, act.Resume, act.AskStop)

_HANDLERS: dict[type, Callable[..., Sequence[Event] | Refusal]] = {
    act.Start: _start, act.Measure: _measure, act.Do: _do, act.Answer: _answer, act.Excuse: _excuse, act.StartTimer: _start_timer,
    act.Observe: _observe, act.Withdraw: _withdraw, act.Light: _light, act.FlameOut: _flame_out, act.Reset: _reset,
    act.Look: _look, act.Pause: _pause, act.Resume: _resume, act.HandOver: _hand_over, act.AskStop: _ask_stop,
    act.Tag: _tag, act.Sign: _sign, act.ClearTag: _clear_tag, act.SendBack: _send_back, act.Accept: _accept,
}
