"""The kernel of a job: decide answers an action with events or with a refusal; offers says what may be done now.

Rules kept here:
 1. decide and offers ask the same checks; no front end has a rule of its own.
 2. A refusal carries every reason and changes nothing.
 3. A trip that is due comes before every act that is not for a burning flame.
 4. There is no override.
The acts about safeguards and the flame stand in session_flame, those that end a job in session_end, all others here.
Knows nothing of: clocks, files, front ends. `now` is passed in.
Called by: tablet, terminal, demo, practice, prover.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from coach.core import actions as act
from coach.core.attention import answer_reasons, haste_reasons, question_due, right_answer
from coach.core.checks import (
    at_step,
    calm,
    clock_doubt,
    current_steps,
    day_reasons,
    failed_checks,
    flame_gone,
    gate_status,
    holder,
    may_do,
    may_excuse,
    may_light,
    may_observe,
    no_excuse,
    sign_reasons,
    steady,
    watch_lost,
    working,
)
from coach.core.events import Event
from coach.core.evidence import evidence_reasons
from coach.core.model import EXPIRY
from coach.core.moment import Moment
from coach.core.policy import FIRE_WATCH
from coach.core.problems import CoachError, Reason, fill
from coach.core.refusal import Answer, Refusal, crew_reasons, refuse, step_of, text_reasons
from coach.core.rules import Rules
from coach.core.session_end import accept, ask_stop, clear_tag, send_back, sign, stop_reasons, tag, tag_reasons
from coach.core.session_flame import (
    flame_out,
    light,
    look,
    lost_reason,
    note_of,
    observe,
    phrase_of,
    reset,
    reset_reasons,
    watch,
    withdraw,
)
from coach.core.state import ENDS, NEW, PAUSED, STOPPING, State, evolve, fold, measure_value

__all__ = [
    "MEASURED_AGAIN", "Answer", "Offer", "Refusal", "decide", "evolve", "fold", "offers", "phrase_of", "refusal_note", "watch",
]
MEASURED_AGAIN = "measured again: %(ask)s"


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
        return Refusal((lost_reason(due[0].data["first"]),))
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
    data = {"step": action.step, "reasons": [note_of(reason) for reason in refusal.reasons]}
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
        found.append(Offer("reset", "", reset_reasons(rules, state, by, now)))
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
            found.append(Offer("tag", debt, tag_reasons(rules, state, debt, by, now)))
    if question_due(rules, state) is not None:
        found.append(Offer("answer", "", (*steady(rules, state, by, now), *calm(state), *answer_reasons(rules, state, now))))
    found.append(Offer("pause", "", (*steady(rules, state, by, now), *calm(state))))
    if state.status == PAUSED or clock_doubt(state, now) or watch_lost(state, now):
        found.append(Offer("resume", "", _resume_reasons(rules, state, by, now)))
    found.append(Offer("stop", "", stop_reasons(state)))
    found.append(Offer("sign", "", sign_reasons(rules, state, by, now)))
    due = watch(rules, state, now)
    if due:  # as in decide: what is not for a burning flame waits for the trip
        lost = (lost_reason(due[0].data["first"]),)
        return tuple(o if o.act in _OFFERED_DURING_FLAME else Offer(o.act, o.about, lost) for o in found)
    return tuple(found)


def _unproven() -> Reason:
    return Reason("G002", "procedure", "this procedure has no proof", "an unproven procedure may let a flame burn unguarded",
                  "prove the procedure first, or practise with it", act="prove")


def _start(rules: Rules, state: State, action: act.Start, now: Moment) -> Sequence[Event] | Refusal:
    if state.status != NEW:
        return refuse("G005", "job", "the job was started already", "a job is started once", "open another job")
    if reasons := crew_reasons(rules, action.by, "only a technician of the crew may start a job"):
        return Refusal(reasons)
    person = rules.policy.people[action.by]
    if not action.boat.strip() or not action.job.strip():
        return refuse("G006", "boat", "the boat has no name", "every record belongs to one boat", "name the boat")
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
        return refuse("G007", action.measure, "there is no measure '%(id)s'", "the procedure does not have it", "choose a measure of it", id=action.measure)
    try:
        value = measure_value(rules, action.measure, action.value)
    except (KeyError, ValueError, CoachError):
        return refuse("G008", measure.id, "this is no answer to: %(ask)s", "the numbers rest on it", "measure or choose again", ask=measure.ask)
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
    step = step_of(rules, action.step)
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
    step = step_of(rules, action.step)
    if isinstance(step, Refusal):
        return step
    reasons = may_excuse(rules, state, step, action.by, now)
    reasons += text_reasons(step.id, action.reason, "the reason for leaving it out is missing")
    if reasons:
        return Refusal(reasons)
    return (Event("step_excused", now, action.by, {"step": step.id, "reason": action.reason.strip()}),)


def _start_timer(rules: Rules, state: State, action: act.StartTimer, now: Moment) -> Sequence[Event] | Refusal:
    step = step_of(rules, action.step)
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
    stranger = crew_reasons(rules, action.by, "only a technician of the crew may take the job")
    reasons += stranger
    if not stranger and action.by == state.technician:
        reasons += (Reason("G024", "person", "this person has the job already", "there is nothing to hand over", "go on"),)
    return Refusal(reasons) if reasons else (Event("handed_over", now, action.by, {"to": action.by, "name": person.name if person else ""}),)


_OFFERED_DURING_FLAME = ("flame_out", "resume", "stop")
_DURING_FLAME = (act.FlameOut, act.Withdraw, act.Look, act.Resume, act.AskStop)

_HANDLERS: dict[type, Callable[..., Sequence[Event] | Refusal]] = {
    act.Start: _start, act.Measure: _measure, act.Do: _do, act.Answer: _answer, act.Excuse: _excuse, act.StartTimer: _start_timer,
    act.Observe: observe, act.Withdraw: withdraw, act.Light: light, act.FlameOut: flame_out, act.Reset: reset,
    act.Look: look, act.Pause: _pause, act.Resume: _resume, act.HandOver: _hand_over, act.AskStop: ask_stop,
    act.Tag: tag, act.Sign: sign, act.ClearTag: clear_tag, act.SendBack: send_back, act.Accept: accept,
}
