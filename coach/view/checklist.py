"""A job's checklist from its events: what was done, when, by whom, with what evidence; the gate's story; signatures.

Rules kept here:
 1. Every line comes from the log; nothing is left out because it looks bad.
 2. Every text is in the reader's language; beside it stands the text as the signer saw it, where that was another.
Knows nothing of: HTML, the toolkit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from coach.core.amount import Amount
from coach.core.attention import QUESTIONS
from coach.core.events import Event
from coach.core.evidence import due, due_text
from coach.core.gate import Safeguard
from coach.core.model import Option
from coach.core.quantity import Quantity, from_text
from coach.core.rules import Rules
from coach.core.state import State, fold
from coach.formats import amount_text, clock_text, day_of_wall, moment_text, quantity_text
from coach.language import _
from coach.view.frame_check import FrameView, frame_view
from coach.view.measures import NumberLine, number_lines, shown_value
from coach.view.texts import filled, noted_text, reopened_text

SIGNERS = {"technician": "technician", "supervisor": "supervisor"}


@dataclass(frozen=True)
class DoneLine:
    """One step in the checklist. mark: done, excused, open, not_asked; at: day and time, clock: the time alone; shown: the
    sentence as it stood before the one who did it, where it was another than `text`."""

    step: str
    stage: str
    text: str
    mark: str
    at: str
    clock: str
    by: str
    evidence: tuple[tuple[str, str], ...]
    note: str
    heat: bool
    shown: str


@dataclass(frozen=True)
class StoryLine:
    """One moment of the job's time line. tone: plain, good, warn, danger; day and clock: when, in two pieces."""

    seq: int
    day: str
    clock: str
    by: str
    tone: str
    text: str
    kind: str


@dataclass(frozen=True)
class SignatureView:
    """A signature: who, in which role, when, meaning what, and the strokes (0 to 10000 across and down).

    shown: the meaning as the signer read it, where it was in other words than `meaning`.
    """

    name: str
    role: str
    meaning: str
    at: str
    strokes: tuple[tuple[tuple[int, int], ...], ...]
    shown: str


@dataclass(frozen=True)
class Checklist:
    """All that a finished sheet shows."""

    boat: str
    job: str
    procedure: str
    version: int
    practice: bool
    status: str
    technician: str
    started: str
    measures: tuple[tuple[str, str], ...]
    numbers: tuple[NumberLine, ...]
    lines: tuple[DoneLine, ...]
    story: tuple[StoryLine, ...]
    signatures: tuple[SignatureView, ...]
    debts: tuple[str, ...]
    hashes: tuple[tuple[str, str], ...]
    flames: tuple[tuple[str, str, str], ...]
    frame: FrameView | None = None


def checklist(rules: Rules, events: Sequence[Event], system: str = "us", zone: tzinfo | None = None) -> Checklist:
    """The checklist of these events."""
    state = fold(rules, events)
    first = events[0]
    procedure = rules.procedure
    return Checklist(
        state.boat, state.job, _(procedure.title), procedure.version, state.practice, state.status,
        _name(rules, state.technician), moment_text(first.at.wall, zone), _measures(rules, state, system),
        number_lines(procedure, state.measures, rules.functions, system), _lines(rules, state, events, system, zone),
        tuple(_story(rules, number, event, system, zone) for number, event in enumerate(events, 1)),
        _signatures(events, zone), tuple(_(rules.debts[id].name) for id in state.debts),
        ((_("procedure"), str(first.data.get("procedure_hash", ""))), (_("policy"), str(first.data.get("policy_hash", "")))),
        _flames(rules, events, zone), frame_view(rules, state.measures, system),
    )


def _as_seen(data: Any, text: str) -> str:
    """The text that stood on the screen when it was done or signed, if it was another than the reader sees."""
    shown = str(data.get("shown", ""))
    return "" if shown == text else shown


def _name(rules: Rules, id: str) -> str:
    person = rules.policy.person(id)
    return person.name if person else id


def _measures(rules: Rules, state: State, system: str) -> tuple[tuple[str, str], ...]:
    measures = rules.procedure.measures
    return tuple((_(measures[id].ask), shown_value(measures[id], value, system)) for id, value in state.measures.items())


def _lines(rules: Rules, state: State, events: Sequence[Event], system: str, zone: tzinfo | None) -> tuple[DoneLine, ...]:
    from coach.core.checks import applies

    found = []
    for stage in rules.procedure.stages:
        for step in stage.steps:
            seq = state.done.get(step.id)
            event = events[seq - 1] if seq else None
            if event is not None:
                mark = "done"
            elif step.id in state.excused:
                mark = "excused"
            else:
                mark = "not_asked" if applies(rules, state, step) is False else "open"
            given = _proof_items(rules, step.proves, event, system) if event is not None and step.proves else evidence_items(
                rules, step.id, state.evidence.get(step.id, {}) if event else {}, system, state)
            found.append(DoneLine(
                step.id, _(stage.title), _(step.do), mark,
                moment_text(event.at.wall, zone) if event else "", clock_text(event.at.wall, zone) if event else "", _name(rules, event.by) if event else "",
                given, state.excused.get(step.id, "") or reopened_text(state.reopened.get(step.id, "")), step.heat,
                _as_seen(event.data, _(step.do)) if event else "",
            ))
    return tuple(found)


def evidence_items(rules: Rules, step: str, given: Any, system: str, state: State | None = None) -> tuple[tuple[str, str], ...]:
    """The evidence of a step as pairs of question and answer; with what was due beside it, if the job's state is given."""
    items = {item.id: item for item in rules.steps[step].evidence}
    found = []
    for name, value in given.items():
        if name == "tick":
            continue
        item = items.get(name)
        label = _(item.ask) if item else _("Kept although the measures disagree") if name == "kept" else name
        beside = ""
        # what a measure says stands on the sheet itself
        if state is not None and item is not None and item.against in rules.procedure.numbers:
            wanted = due(rules, state, item)
            beside = f" ({_due(rules, item, wanted, system)})" if wanted is not None else ""
        found.append((label, _given(rules, item, value, system) + beside))
    return tuple(found)


def _due(rules: Rules, item: Any, wanted: Quantity, system: str) -> str:
    """The number that an answer was held against, with what was due."""
    return f"{_(rules.procedure.numbers[item.against].title)}: {filled(due_text(item, wanted), system)}"


def _given(rules: Rules, item: Any, value: Any, system: str) -> str:
    if value is True:
        return _("Yes")
    if item is not None and item.kind == "number":
        return quantity_text(from_text(str(value)), item.quantity, system)
    if item is not None and item.kind == "second_person":
        return _name(rules, str(value))
    if item is not None and item.kind == "choice":
        return next((_(o.label) for o in item.options if o.id == value), str(value))
    if item is not None and item.kind == "photo":
        return f"{value[:12]}…"
    return str(value)


def _proof_items(rules: Rules, safeguard: str, event: Event, system: str) -> tuple[tuple[str, str], ...]:
    return proof_items(rules, rules.safeguards[safeguard], event.data["values"], system)


def proof_items(rules: Rules, row: Safeguard, values: Any, system: str) -> tuple[tuple[str, str], ...]:
    """What a proof stated, as pairs of question and answer."""
    found = []
    for field in row.fields:
        if field.id not in values:
            continue
        value = values[field.id]
        if isinstance(value, bool):
            text = _("Yes") if value else _("No")
        elif field.kind == "choice":
            text = next((_(label) for id, label in field.options if id == value), str(value))
        elif field.kind == "person":
            text = _name(rules, str(value))
        elif field.unit:
            text = amount_text(Amount(value, field.unit), system)
        else:
            text = str(value)
        found.append((_(field.ask), text))
    return tuple(found)


def _signatures(events: Sequence[Event], zone: tzinfo | None) -> tuple[SignatureView, ...]:
    return tuple(
        SignatureView(
            e.data["name"], _(SIGNERS.get(e.data["role"], e.data["role"])), _(e.data["meaning"]), moment_text(e.at.wall, zone),
            tuple(tuple((p[0], p[1]) for p in stroke) for stroke in e.data["strokes"]), _as_seen(e.data, _(e.data["meaning"])),
        )
        for e in events if e.kind in ("signed", "accepted")
    )


def _flames(rules: Rules, events: Sequence[Event], zone: tzinfo | None) -> tuple[tuple[str, str, str], ...]:
    """Every time a flame burned: step, from, to."""
    found: list[tuple[str, str, str]] = []
    lit: Event | None = None
    for event in events:
        if event.kind == "flame_lit":
            lit = event
        elif event.kind in ("flame_out", "tripped") and lit is not None:
            step = rules.steps.get(lit.data["step"])
            found.append((_(step.do) if step else lit.data["step"], moment_text(lit.at.wall, zone), moment_text(event.at.wall, zone)))
            lit = None
    return tuple(found)


_TONES = {
    "tripped": "danger", "flame_lit": "warn", "flame_out": "good", "heat_refused": "warn", "withdrawn": "warn",
    "hurried": "warn", "step_excused": "warn", "step_reopened": "warn", "debt_opened": "warn", "debt_cleared": "good", "debt_tagged": "warn",
    "stop_asked": "warn", "sent_back": "warn", "accepted": "good", "closed": "good", "signed": "good", "stopped_safely": "warn",
}


def _story(rules: Rules, seq: int, event: Event, system: str, zone: tzinfo | None) -> StoryLine:
    tone = _TONES.get(event.kind, "plain")
    if event.data.get({"observed": "met", "answered": "right"}.get(event.kind, ""), True) is not True:
        tone = "warn"
    wall = event.at.wall
    return StoryLine(
        seq, day_of_wall(wall, zone), clock_text(wall, zone), _name(rules, event.by), tone, story_text(rules, event, system), event.kind
    )


def story_text(rules: Rules, event: Event, system: str = "us") -> str:
    """One event in a sentence."""
    teller = _TELL.get(event.kind)
    return teller(rules, event.data, system) if teller else event.kind.replace("_", " ")


def _do(rules: Rules, id: str) -> str:
    step = rules.steps.get(id)
    return _(step.do) if step else id


def _observed_text(rules: Rules, data: Any, system: str) -> str:
    row = rules.safeguards[data["safeguard"]]
    stated = "; ".join(f"{ask} {answer}" for ask, answer in proof_items(rules, row, data["values"], system))
    verdict = _("holds") if data.get("met") is True else _("did not hold")
    return f"{_(row.name)}: {verdict}. {stated}"


def _measured_text(rules: Rules, data: Any, system: str) -> str:
    from coach.core.state import measure_value

    measure = rules.procedure.measures[data["measure"]]
    value = shown_value(measure, measure_value(rules, measure.id, data["value"]), system)
    if "previous" in data:
        return _("Measured again: %(ask)s %(value)s (before: %(previous)s)") % {"ask": _(measure.ask), "value": value, "previous": data["previous"]}
    return f"{_(measure.ask)} {value}"


def _answered_text(rules: Rules, data: Any, system: str) -> str:
    about = data["question"]
    ask = QUESTIONS.get(about) or rules.procedure.measures[about].ask
    person = rules.policy.person(data["given"])
    option = next((o.label for o in _options_of(rules, about) if o.id == data["given"]), "")
    given = person.name if person else _(option) if option else data["given"]
    verdict = _("as recorded") if data["right"] is True else _("not as recorded")
    return f"{_(ask)} {given}: {verdict}"


def _options_of(rules: Rules, about: str) -> tuple[Option, ...]:
    measure = rules.procedure.measures.get(about)
    return measure.options if measure else ()


def _reasons(data: Any, system: str) -> str:
    return "; ".join(noted_text(reason, system) for reason in data["reasons"])


_TELL: dict[str, Any] = {
    "job_started": lambda r, d, s: _("Job started for %(boat)s") % {"boat": d["boat"]},
    "measured": _measured_text,
    "observed": _observed_text,
    "step_done": lambda r, d, s: _("Done: %(step)s") % {"step": _do(r, d["step"])},
    "hurried": lambda r, d, s: _("Called done after %(seconds)s s, it takes %(least)s s: %(step)s") % {
        "seconds": d["seconds"], "least": d["least"], "step": _do(r, d["step"])},
    "answered": _answered_text,
    "step_excused": lambda r, d, s: _("Left out: %(step)s Reason: %(why)s") % {"step": _do(r, d["step"]), "why": d["reason"]},
    "step_reopened": lambda r, d, s: _("Opened again: %(step)s Because: %(why)s") % {"step": _do(r, d["step"]), "why": reopened_text(d["text"])},
    "timer_started": lambda r, d, s: _("Timer started: %(step)s") % {"step": _do(r, d["step"])},
    "withdrawn": lambda r, d, s: _("Lost: %(name)s. %(why)s") % {"name": _(r.safeguards[d["safeguard"]].name), "why": _(d["why"])},
    "flame_lit": lambda r, d, s: _("Flame lit: %(step)s") % {"step": _do(r, d["step"])},
    "flame_out": lambda r, d, s: _("Flame out, tool closed"),
    "heat_refused": lambda r, d, s: _("Flame refused: %(why)s") % {"why": _reasons(d, s)},
    "tripped": lambda r, d, s: _("TRIP while the flame was lit: %(why)s") % {"why": _reasons(d, s)},
    "trip_reset": lambda r, d, s: _("Trip reset: every safeguard is asked again"),
    "paused": lambda r, d, s: _("Paused. %(why)s") % {"why": d["why"]},
    "resumed": lambda r, d, s: _("Resumed: every safeguard is asked again"),
    "handed_over": lambda r, d, s: _("Handed over to %(name)s") % {"name": d["name"]},
    "debt_opened": lambda r, d, s: _("To be undone later: %(name)s (%(amount)s)") % {"name": _(r.debts[d["debt"]].name), "amount": d["amount"]},
    "debt_cleared": lambda r, d, s: _("Undone: %(name)s (%(amount)s)") % {"name": _(r.debts[d["debt"]].name), "amount": d["amount"]},
    "debt_tagged": lambda r, d, s: _("Hung on a tag: %(name)s at %(where)s. %(why)s") % {
        "name": _(r.debts[d["debt"]].name), "where": d["where"], "why": _(d["reason"])},
    "tag_cleared": lambda r, d, s: _("Tag cleared: %(name)s. %(found)s") % {"name": _(r.debts[d["debt"]].name), "found": d["found"]},
    "stop_asked": lambda r, d, s: _("Safe stop asked: %(why)s") % {"why": d["reason"]},
    "signed": lambda r, d, s: _("Signed by %(name)s: %(meaning)s") % {"name": d["name"], "meaning": _(d["meaning"])},
    "closed": lambda r, d, s: _("Job closed"),
    "stopped_safely": lambda r, d, s: _("Job stopped safely"),
    "sent_back": lambda r, d, s: _("Sent back by %(name)s: %(why)s") % {"name": d["name"], "why": "; ".join(f"{_do(r, i['step'])} {i['reason']}" for i in d["steps"])},
    "accepted": lambda r, d, s: _("Accepted and countersigned by %(name)s: %(meaning)s") % {"name": d["name"], "meaning": _(d["meaning"])},
}
