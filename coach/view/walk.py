"""The walk: which screen a job is at now, and what stands on it.

Rules kept here:
 1. The screen follows from the state alone, so a tablet that was killed comes back to the same one.
 2. Trip before flame, flame before everything else: what can hurt comes first.
Knows nothing of: the toolkit, how an action is sent.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coach.core.attention import PERSON, question_due
from coach.core.checks import (
    MINUTE,
    applies,
    clock_doubt,
    current_steps,
    failed_checks,
    may_do,
    may_light,
    no_excuse,
    settled,
    sign_reasons,
)
from coach.core.evidence import attesters, due, due_text
from coach.core.model import Caution, Evidence, Step
from coach.core.moment import Moment
from coach.core.problems import Reason
from coach.core.rules import Rules
from coach.core.state import ACCEPTED, CLOSED, PAUSED, STOPPED, STOPPING, State
from coach.formats import quantity_text
from coach.language import _
from coach.view.gate import GateView, ProofForm, gate_view, proof_form
from coach.view.measures import MeasureField, NumberLine, default_unit, fields, number_lines
from coach.view.practice_crew import ROLE_WORDS
from coach.view.texts import ReasonText, filled, noted_english, noted_text, reason_text, reopened_text

TRIP, LIT, RESUME, STOP, ENDED, SIGN, PROOF, HEAT, STEP, QUESTION = (
    "trip", "lit", "resume", "stopping", "ended", "sign", "proof", "heat", "step", "question",
)


@dataclass(frozen=True)
class EvidenceField:
    """One item of evidence to give. options: pairs of id and label; due: what it must be, in words; role: what a second
    person must be in the yard, in words."""

    id: str
    kind: str
    ask: str
    unit: str
    quantity: str
    options: tuple[tuple[str, str], ...]
    due: str
    optional: bool
    seconds: int
    role: str = ""


@dataclass(frozen=True)
class StepView:
    """One step on the screen."""

    id: str
    stage: str
    do: str
    why: str
    right: str
    wrong: str
    heat: bool
    hold: bool
    picture: str
    cautions: tuple[tuple[str, str], ...]
    numbers: tuple[NumberLine, ...]
    measures: tuple[MeasureField, ...]
    evidence: tuple[EvidenceField, ...]
    reasons: tuple[ReasonText, ...]
    checks: tuple[ReasonText, ...]
    reopened: str
    sent_back: str
    done_before: bool


@dataclass(frozen=True)
class StageMark:
    """A stage in the progress line. kind: done, now, to_come."""

    id: str
    title: str
    kind: str
    done: int
    of: int


@dataclass(frozen=True)
class DebtLine:
    """Something still to be undone. minutes: of a fire watch still to go, -1 where time does not matter."""

    id: str
    name: str
    why: str
    undo: str
    amount: int
    tag: str
    minutes: int
    step: str


@dataclass(frozen=True)
class TripView:
    """What the trip screen says: the hands first, then why. english: `first` in English where that is due, else ''."""

    step: str
    first: str
    reasons: tuple[str, ...]
    hands: tuple[str, ...]
    out: bool
    english: str = ""


@dataclass(frozen=True)
class QuestionView:
    """A question of attention. kind: count, choice or person; wrong: it was answered wrong once already.

    act and where: what corrects the record, if that is wrong: measure or observe, and of which measure or safeguard.
    """

    ask: str
    kind: str
    options: tuple[tuple[str, str], ...]
    wrong: bool
    act: str
    where: str


@dataclass(frozen=True)
class WalkView:
    """Everything a walk screen shows now."""

    mode: str
    boat: str
    technician: str
    practice: bool
    status: str
    step: StepView | None
    proof: ProofForm | None
    trip: TripView | None
    gate: GateView | None
    stages: tuple[StageMark, ...]
    debts: tuple[DebtLine, ...]
    reasons: tuple[ReasonText, ...]
    choices: tuple[str, ...]
    question: QuestionView | None = None


# What hands do when a safeguard is lost. Order matters: flame, gas, people, then the rest.
HANDS = (
    "Take the flame off the film and let go of the trigger.",
    "Close the tool and the cylinder valve.",
    "Step back and call the crew together.",
    "If anything burns: leave, call the fire service, then use the extinguisher only with a way out behind you.",
)


def mode_of(rules: Rules, state: State, now: Moment, chosen: Step | None = None) -> str:
    """Which screen the job is at."""
    if state.trip is not None:
        return TRIP
    if state.flame:
        return LIT
    if state.status in (CLOSED, STOPPED, ACCEPTED):
        return ENDED
    if state.status == PAUSED or clock_doubt(state, now):
        return RESUME
    if state.status == STOPPING:
        return STOP
    step = chosen or first_step(rules, state)
    if step is None:
        return SIGN
    if question_due(rules, state) is not None:
        return QUESTION
    if step.proves:
        return PROOF
    return HEAT if step.heat and step.id not in state.heated else STEP


def first_step(rules: Rules, state: State) -> Step | None:
    """The first step that a person may be at, or None if all are settled."""
    found = current_steps(rules, state)
    return found[0] if found else None


def walk_view(rules: Rules, state: State, now: Moment, system: str = "us", chosen: str = "") -> WalkView:
    """The screen of this job now. chosen: the id of a step to look at instead of the first open one."""
    picked = rules.steps.get(chosen) or (rules.steps.get(state.flame) if state.flame else None)
    mode = mode_of(rules, state, now, picked)
    step = picked or first_step(rules, state)
    if mode == TRIP and state.trip is not None:
        step = rules.steps.get(state.trip.step, step)
    person = rules.policy.person(state.technician)
    heats = rules.procedure.heats
    return WalkView(
        mode, state.boat, person.name if person else state.technician, state.practice, state.status,
        step_view(rules, state, step, now, system) if step else None,
        proof_form(rules, state, step.proves, now, system) if step and step.proves and mode == PROOF else None,
        _trip(rules, state, system) if mode == TRIP else None,
        gate_view(rules, state, now, system) if heats and state.status not in (CLOSED, STOPPED, ACCEPTED) else None,
        stage_marks(rules, state), debt_lines(rules, state, now),
        tuple(reason_text(r, system) for r in sign_reasons(rules, state, state.technician, now)) if mode in (SIGN, STOP) else (),
        tuple(s.id for s in current_steps(rules, state)),
        question_view(rules, state) if mode == QUESTION else None,
    )


def question_view(rules: Rules, state: State) -> QuestionView | None:
    """The question that waits, as it is shown."""
    due = question_due(rules, state)
    if due is None:
        return None
    options = tuple((option.id, _(option.label)) for option in due.options)
    if due.kind == PERSON:
        options = tuple((person.id, person.name) for person in rules.policy.people.values() if person.id != state.technician)
    return QuestionView(_(due.ask), due.kind, options, state.wrong is not None, due.act, due.where)


def step_view(rules: Rules, state: State, step: Step, now: Moment, system: str = "us") -> StepView:
    """One step as it is shown."""
    check = may_light if step.heat and step.id not in state.heated else may_do
    reasons = check(rules, state, step, state.technician, now)
    sent = next((item["reason"] for item in state.sent_back if item["step"] == step.id and step.id not in state.done), "")
    stage = next(s.title for s in rules.procedure.stages if s.id == step.stage)
    return StepView(
        step.id, _(stage), _(step.do), _(step.why), _(step.right), _(step.wrong), step.heat, step.hold, step.picture,
        tuple((c.signal, _(c.text)) for c in _cautions(rules, step)),
        number_lines(rules.procedure, state.measures, rules.functions, system, step.shows) if step.shows else (),
        fields(rules.procedure, step.asks, state.measures, state.typed, rules.functions, system),
        evidence_fields(rules, state, step, now, system),
        tuple(reason_text(r, system) for r in reasons),
        tuple(reason_text(r, system) for r in _disagreements(rules, state, step, now)),
        reopened_text(state.reopened.get(step.id, "")), sent, step.id in state.done,
    )


def _disagreements(rules: Rules, state: State, step: Step, now: Moment) -> tuple[Reason, ...]:
    """What stands against this step's measures: first what no reason gets round, then what a reason keeps."""
    kept = (reason for reason in failed_checks(rules, state, step.asks) if reason.code == "G030")
    return (*no_excuse(rules, state, step, now), *kept)


def _cautions(rules: Rules, step: Step) -> tuple[Caution, ...]:
    """A step's cautions; those of the whole job stand before them at its first step, which nobody gets round."""
    first = rules.procedure.steps[0].id == step.id
    return (*rules.procedure.cautions, *step.cautions) if first else step.cautions


def evidence_fields(rules: Rules, state: State, step: Step, now: Moment, system: str) -> tuple[EvidenceField, ...]:
    """What a step asks as evidence; a step without items asks for one tick."""
    if not step.evidence:
        return (EvidenceField("tick", "tick", _("Done, and looked at"), "", "", (), "", False, 0),)
    return tuple(_evidence(rules, state, step, item, now, system) for item in step.evidence)


def _evidence(rules: Rules, state: State, step: Step, item: Evidence, now: Moment, system: str) -> EvidenceField:
    options = tuple((option.id, _(option.label)) for option in item.options)
    if item.kind == "second_person":
        options = tuple((id, rules.policy.people[id].name) for id in attesters(rules, state, step, item))
    kind = item.quantity or ("count" if item.kind == "count" else "")
    ends = [quantity_text(end, kind, system) for end in (item.low, item.high) if end is not None and kind]
    wanted = due(rules, state, item) if item.against else None
    if wanted is not None and not (step.hold and item.kind == "count"):  # a count at a hold point is not told beforehand
        ends = [filled(due_text(item, wanted), system)]
    seconds = 0
    if item.kind == "timer":
        need = (rules.policy.limit(item.limit) if item.limit else item.minutes) * 60
        started = state.timers.get(step.id)
        age = started.age_at(now) if started else None
        seconds = need if age is None else max(0, need - age // 1000)
    return EvidenceField(item.id, item.kind, _(item.ask), default_unit(kind, system) or "", kind, options, " – ".join(ends), item.optional, seconds,
                         _(ROLE_WORDS[item.role]) if item.role else "")


def stage_marks(rules: Rules, state: State) -> tuple[StageMark, ...]:
    """The stages with how far each is."""
    now_step = first_step(rules, state)
    marks = []
    for stage in rules.procedure.stages:
        asked = [step for step in stage.steps if applies(rules, state, step) is not False or step.id in state.done]
        done = sum(settled(rules, state, step.id) for step in asked)
        kind = "now" if now_step and now_step.stage == stage.id else "done" if done == len(asked) else "to_come"
        marks.append(StageMark(stage.id, _(stage.title), kind, done, len(asked)))
    return tuple(marks)


def debt_lines(rules: Rules, state: State, now: Moment) -> tuple[DebtLine, ...]:
    """What must still be undone before the job may close."""
    lines = []
    for id, debt in state.debts.items():
        row = rules.debts[id]
        minutes = -1
        if id == "fire_watch":
            need = rules.policy.limit("fire_watch_minutes")
            age = state.watch_from.age_at(now) if state.watch_from and not state.flame else None
            minutes = need if age is None else max(0, -(-(need * MINUTE - age) // MINUTE))
        lines.append(DebtLine(id, _(row.name), _(row.why), _(row.undo), debt.amount, debt.tag, minutes, rules.clearing.get(id, "")))
    return tuple(lines)


def _trip(rules: Rules, state: State, system: str) -> TripView:
    trip = state.trip
    assert trip is not None
    hands = tuple(_(line) for line in HANDS)
    return TripView(
        _(rules.steps[trip.step].do) if trip.step in rules.steps else trip.step, noted_text(trip.first, system),
        tuple(noted_text(reason, system) for reason in trip.reasons[1:]), hands, trip.out,
        noted_english(trip.first),
    )


def progress(marks: Sequence[StageMark]) -> tuple[int, int]:
    """Steps settled and steps asked, over all stages."""
    return sum(mark.done for mark in marks), sum(mark.of for mark in marks)
