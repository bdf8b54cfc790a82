"""The acts that end a job: stop, tag, signature; then the supervisor's, who clears tags, sends back or accepts.

Rules kept here:
 1. A tag is for a safe stop only, with place and reason, and never for what may not stay on one.
 2. A signature has strokes, a meaning and a name; a review is of a signed job, and never of one's own work.
Knows nothing of: how the work is done.
Called by: session.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coach.core import actions as act
from coach.core.checks import calm, clock_doubt, holder, reviewer, sign_reasons, working
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.policy import TECHNICIAN
from coach.core.problems import Reason
from coach.core.refusal import Refusal, text_reasons, unknown_step
from coach.core.rules import Rules
from coach.core.session_flame import watch
from coach.core.state import CLOSED, PAUSED, STOPPED, STOPPING, WORKING, State


def stop_reasons(state: State) -> tuple[Reason, ...]:
    """Reasons why no safe stop can be asked for."""
    return () if state.status in (WORKING, PAUSED) else working(state)


def ask_stop(rules: Rules, state: State, action: act.AskStop, now: Moment) -> Sequence[Event] | Refusal:
    """A safe stop is asked for, with the reason; a trip that is due comes first."""
    reasons = (*stop_reasons(state), *text_reasons("job", action.reason, "the reason for stopping is missing"))
    asked = Event("stop_asked", now, action.by, {"reason": action.reason.strip()})
    return Refusal(reasons) if reasons else (*watch(rules, state, now), asked)


def tag_reasons(rules: Rules, state: State, debt: str, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why this debt may not be left on a tag now."""
    found = [*clock_doubt(state, now), *holder(rules, state, by), *calm(state)]
    if state.status != STOPPING:
        found.append(Reason("G025", debt, "a tag is for a safe stop only", "in a job that goes on the thing is undone", "undo it", act="do"))
    if debt not in state.debts:
        found.append(Reason("G026", debt, "nothing is open under '%(debt)s'", "there is nothing to tag", "go on", {"debt": debt}))
    elif not rules.debts[debt].taggable:
        row = rules.debts[debt]
        found.append(Reason("G029", debt, "this cannot be left on a tag: %(name)s", row.why, row.undo, {"name": row.name}, act="do"))
    return tuple(found)


def tag(rules: Rules, state: State, action: act.Tag, now: Moment) -> Sequence[Event] | Refusal:
    """A debt is left on a tag at the boat."""
    reasons = tag_reasons(rules, state, action.debt, action.by, now)
    reasons += text_reasons(action.debt, action.where, "where the tag hangs is missing")
    reasons += text_reasons(action.debt, action.reason, "the reason for the tag is missing")
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


def sign(rules: Rules, state: State, action: act.Sign, now: Moment) -> Sequence[Event] | Refusal:
    """The technician signs: the job is closed, or stopped safely."""
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


def clear_tag(rules: Rules, state: State, action: act.ClearTag, now: Moment) -> Sequence[Event] | Refusal:
    """The supervisor has seen at the boat that what hung on a tag is undone."""
    reasons = (*_ended(state), *reviewer(rules, state, action.by))
    if action.debt not in state.debts:
        reasons += (Reason("G026", action.debt, "nothing is open under '%(debt)s'", "there is nothing to clear", "go on", {"debt": action.debt}),)
    reasons += text_reasons(action.debt, action.found, "what was found at the boat is missing")
    return Refusal(reasons) if reasons else (Event("tag_cleared", now, action.by, {"debt": action.debt, "found": action.found.strip()}),)


def send_back(rules: Rules, state: State, action: act.SendBack, now: Moment) -> Sequence[Event] | Refusal:
    """The supervisor sends the job back; the steps named are open again."""
    reasons = (*_ended(state), *reviewer(rules, state, action.by))
    if not action.steps:
        reasons += (Reason("G028", "steps", "no step is named", "the technician must know what to mend", "name a step and the reason"),)
    for id, why in action.steps:
        if id not in rules.steps:
            reasons += (unknown_step(id),)
        reasons += text_reasons(id, why, "the reason is missing")
    if reasons:
        return Refusal(reasons)
    person = rules.policy.people[action.by]
    data = {"steps": [{"step": id, "reason": why.strip()} for id, why in action.steps], "name": person.name}
    opened = [
        Event("step_reopened", now, action.by, {"step": id, "why": "sent back", "text": why.strip()})
        for id, why in action.steps if id in state.done or id in state.excused
    ]
    return (Event("sent_back", now, action.by, data), *opened)


def accept(rules: Rules, state: State, action: act.Accept, now: Moment) -> Sequence[Event] | Refusal:
    """The supervisor accepts and countersigns, and has judged every step that was left out."""
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
