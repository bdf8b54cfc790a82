"""The state of a job as a pure fold over its events.

Rules kept here:
 1. State is a function of procedure, policy and events; nothing else is remembered anywhere.
 2. A proof is dropped by: withdrawal, trip, reset, pause, resume, hand-over, the undoing of the debt it made. It is
    never put back by anything but a new observation.
 3. Opening a debt opens again the step that clears it; only a clearing, or a supervisor's clearing of its tag, ends it.
 4. An event that cannot be read is counted as a fault, and a job with a fault lights no flame.
Knows nothing of: whether an event was allowed (session), time passing (checks).
Called by: session, prover, view.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from coach.core.events import Event
from coach.core.model import EXPIRY, FUEL_VENTS, PLACE
from coach.core.moment import Moment
from coach.core.numbers import Value
from coach.core.problems import CoachError
from coach.core.quantity import KINDS, Quantity, from_text
from coach.core.rules import Rules
from coach.core.units import SIGNED_KINDS

WORKING, PAUSED, STOPPING = "working", "paused", "stopping"
CLOSED, STOPPED, ACCEPTED, NEW = "closed", "stopped", "accepted", "new"
ENDS = (CLOSED, STOPPED, ACCEPTED)


@dataclass(frozen=True)
class Proof:
    """The last observation of a safeguard: what was stated, when, in which event, by whom; met: whether it held then."""

    values: Mapping[str, Any]
    at: Moment
    seq: int
    by: str
    met: bool = True


@dataclass(frozen=True)
class OpenDebt:
    """A debt not yet undone. amount: how many (tapes); tag: where it hangs on a tag, '' if on none."""

    amount: int
    since: Moment
    tag: str = ""


@dataclass(frozen=True)
class Trip:
    """A safeguard lost while a flame was lit. first: the first cause, kept. out: whether the flame is confirmed out."""

    step: str
    first: Mapping[str, Any]
    reasons: tuple[Mapping[str, Any], ...]
    at: Moment
    out: bool = False


@dataclass(frozen=True)
class State:
    """All that the events say of the job. Maps are never changed in place."""

    status: str = NEW
    job: str = ""
    boat: str = ""
    practice: bool = False
    technician: str = ""
    hands: frozenset[str] = frozenset()
    measures: Mapping[str, Value] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)
    done: Mapping[str, int] = field(default_factory=dict)
    evidence: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    excused: Mapping[str, str] = field(default_factory=dict)
    reopened: Mapping[str, str] = field(default_factory=dict)
    proofs: Mapping[str, Proof] = field(default_factory=dict)
    withdrawn: Mapping[str, str] = field(default_factory=dict)
    debts: Mapping[str, OpenDebt] = field(default_factory=dict)
    flame: str = ""
    heated: frozenset[str] = frozenset()
    watch_from: Moment | None = None
    trip: Trip | None = None
    timers: Mapping[str, Moment] = field(default_factory=dict)
    signatures: tuple[Mapping[str, Any], ...] = ()
    sent_back: tuple[Mapping[str, str], ...] = ()
    stop_reason: str = ""
    last: Moment | None = None
    seq: int = 0
    faults: tuple[str, ...] = ()
    began: Moment | None = None
    stepped: Moment | None = None  # when the walk came to where it is now
    hurried: str = ""  # the step that was called done too soon since then
    asked: str = ""  # the step after which a question waits
    wrong: Moment | None = None  # when it was answered wrong

    @property
    def fuel_vents(self) -> int | None:
        """The boat's number of fuel vents, or None while it is not known."""
        value = self.measures.get(FUEL_VENTS)
        return int(value.value) if isinstance(value, Quantity) else None

    @property
    def boat_place(self) -> str | None:
        """Where the boat stands, or None."""
        value = self.measures.get(PLACE)
        return value if isinstance(value, str) else None


def changed(state: State, **fields: Any) -> State:
    """The state with these fields in place of its own: dataclasses.replace, without its walk over all the others."""
    made: State = object.__new__(State)
    made.__dict__.update(state.__dict__)
    made.__dict__.update(fields)
    return made


def fold(rules: Rules, events: Iterable[Event], state: State | None = None) -> State:
    """The state after these events, from the beginning or from a state already folded."""
    now = state or State()
    for event in events:
        now = evolve(rules, now, event)
    return now


def evolve(rules: Rules, state: State, event: Event) -> State:
    """The state after one more event. Never raises: what cannot be read becomes a fault."""
    state = changed(state, seq=state.seq + 1, last=event.at)
    change = _CHANGES.get(event.kind)
    if change is None:
        return _fault(state, f"event {state.seq}: unknown kind '{event.kind}'")
    try:
        return change(rules, state, event)
    except (KeyError, TypeError, ValueError, AttributeError, CoachError) as error:
        return _fault(state, f"event {state.seq} ({event.kind}): cannot be read ({type(error).__name__})")


def _fault(state: State, text: str) -> State:
    return changed(state, faults=(*state.faults, text))


def without(mapping: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """The map without one key."""
    return {k: v for k, v in mapping.items() if k != key} if key in mapping else mapping


def measure_value(rules: Rules, measure: str, text: str) -> Value:
    """The value of a measure from its recorded text.

    Raises:
        KeyError, ValueError or QuantityError: no such measure, no such answer, or a quantity of another kind: another
            dimension, below zero where nothing can be, a count that is not whole.
    """
    found = rules.procedure.measures[measure]
    if found.kind == EXPIRY:
        if date.fromisoformat(text).isoformat() != text:
            raise ValueError(text)
        return text
    if found.kind == "choice":
        if text not in [option.id for option in found.options]:
            raise ValueError(text)
        return text
    if found.kind == "yes_no":
        return {"yes": True, "no": False}[text]
    value = from_text(text)
    below = value.value < 0 and found.kind not in SIGNED_KINDS
    split = found.kind == "count" and not (value.is_exact and value.value == int(value.value))
    if value.dimension != KINDS[found.kind] or below or split:
        raise ValueError(text)
    return value


def _started(rules: Rules, state: State, event: Event) -> State:
    data = event.data
    return changed(
        state, status=WORKING, job=data["job"], boat=data["boat"], practice=bool(data["practice"]),
        technician=data["technician"], hands=frozenset((data["technician"],)), began=event.at, stepped=event.at,
    )


def _measured(rules: Rules, state: State, event: Event) -> State:
    id = event.data["measure"]
    value = measure_value(rules, id, event.data["value"])
    return changed(state, measures={**state.measures, id: value}, typed={**state.typed, id: event.data["typed"]})


def _step_done(rules: Rules, state: State, event: Event) -> State:
    step = event.data["step"]
    return changed(
        state, done={**state.done, step: state.seq}, evidence={**state.evidence, step: event.data["evidence"]},
        reopened=without(state.reopened, step), excused=without(state.excused, step),
        stepped=event.at, hurried="", wrong=None,
        asked=step if _asks_after(rules, state, step) else "",
    )


def _asks_after(rules: Rules, state: State, step: str) -> bool:
    """Whether a question follows this step: drawn, and something is known that can be asked (attention.facts)."""
    if state.began is None or not rules.asks_after(state.began.wall, state.boat, step):
        return False
    return any(rules.procedure.measures[id].kind in ("count", "choice") for id in state.measures)


def _hurried(rules: Rules, state: State, event: Event) -> State:
    return changed(state, hurried=event.data["step"])


def _answered(rules: Rules, state: State, event: Event) -> State:
    if event.data["right"] is True:
        return changed(state, asked="", wrong=None)
    return changed(state, wrong=event.at)


def _step_excused(rules: Rules, state: State, event: Event) -> State:
    step = event.data["step"]
    return changed(
        state, excused={**state.excused, step: event.data["reason"]}, reopened=without(state.reopened, step),
        stepped=event.at, hurried="",
    )


def _step_reopened(rules: Rules, state: State, event: Event) -> State:
    step = event.data["step"]
    return changed(
        state, done=without(state.done, step), excused=without(state.excused, step),
        heated=state.heated - {step}, timers=without(state.timers, step),
        reopened={**state.reopened, step: event.data["text"]},
    )


def _timer_started(rules: Rules, state: State, event: Event) -> State:
    return changed(state, timers={**state.timers, event.data["step"]: event.at})


def _observed(rules: Rules, state: State, event: Event) -> State:
    id = event.data["safeguard"]
    proof = Proof(dict(event.data["values"]), event.at, state.seq, event.by, event.data["met"] is True)
    state = changed(state, proofs={**state.proofs, id: proof}, withdrawn=without(state.withdrawn, id))
    if event.data["met"] is True:
        state = changed(state, stepped=event.at, hurried="")
    step = rules.proving.get(id)
    if step is None or step in state.done or event.data["met"] is not True:
        return state
    return changed(state, done={**state.done, step: state.seq}, reopened=without(state.reopened, step))


def _withdrawn(rules: Rules, state: State, event: Event) -> State:
    id = event.data["safeguard"]
    return changed(
        state, proofs=without(state.proofs, id), withdrawn={**state.withdrawn, id: event.data["why"]}
    )


def _flame_lit(rules: Rules, state: State, event: Event) -> State:
    step = event.data["step"]
    return changed(state, flame=step, heated=state.heated | {step})


def _flame_out(rules: Rules, state: State, event: Event) -> State:
    trip = replace(state.trip, out=True) if state.trip else None
    return changed(state, flame="", trip=trip, watch_from=event.at)


def _tripped(rules: Rules, state: State, event: Event) -> State:
    data = event.data
    if state.trip is not None:
        return changed(state, proofs={})
    trip = Trip(data["step"], data["first"], tuple(data["reasons"]), event.at)
    return changed(state, flame="", proofs={}, trip=trip, watch_from=event.at)


def _trip_reset(rules: Rules, state: State, event: Event) -> State:
    return changed(state, trip=None, proofs={}, stepped=event.at)


def _paused(rules: Rules, state: State, event: Event) -> State:
    return changed(state, status=PAUSED, proofs={})


def _clocks_anew(state: State, now: Moment) -> State:
    """The fire watch's clock starts anew, and timers stop, where the old time can no longer be read."""
    watch = state.watch_from
    if watch is not None and watch.age_at(now) is None:
        watch = now
    timers = {id: at for id, at in state.timers.items() if at.age_at(now) is not None}
    return changed(state, proofs={}, watch_from=watch, timers=timers)


def _resumed(rules: Rules, state: State, event: Event) -> State:
    status = WORKING if state.status == PAUSED else state.status
    return changed(_clocks_anew(state, event.at), status=status, stepped=event.at)


def _handed_over(rules: Rules, state: State, event: Event) -> State:
    to = event.data["to"]
    return changed(_clocks_anew(state, event.at), technician=to, hands=state.hands | {to}, stepped=event.at)


def _debt_opened(rules: Rules, state: State, event: Event) -> State:
    id, amount = event.data["debt"], event.data["amount"]
    old = state.debts.get(id)
    debt = OpenDebt(max(amount, old.amount), old.since) if old else OpenDebt(amount, event.at)
    clearing = rules.clearing.get(id, "")
    return changed(
        state, debts={**state.debts, id: debt}, done=without(state.done, clearing),
        timers=without(state.timers, clearing),
    )


def _debt_cleared(rules: Rules, state: State, event: Event) -> State:
    id = event.data["debt"]
    drops = rules.debts[id].drops
    return changed(state, debts=without(state.debts, id), proofs=without(state.proofs, drops))


def _debt_tagged(rules: Rules, state: State, event: Event) -> State:
    id = event.data["debt"]
    return changed(state, debts={**state.debts, id: replace(state.debts[id], tag=event.data["where"])})


def _stop_asked(rules: Rules, state: State, event: Event) -> State:
    return changed(state, status=STOPPING, proofs={} if not state.flame else state.proofs, stop_reason=event.data["reason"])


def _signed(rules: Rules, state: State, event: Event) -> State:
    return changed(state, signatures=(*state.signatures, {**event.data, "by": event.by, "seq": state.seq}))


def _accepted(rules: Rules, state: State, event: Event) -> State:
    return changed(_signed(rules, state, event), status=ACCEPTED)


def _sent_back(rules: Rules, state: State, event: Event) -> State:
    debts = {id: replace(debt, tag="") for id, debt in state.debts.items()}  # a tag counts for its own stop only
    return changed(
        state, status=WORKING, sent_back=tuple(event.data["steps"]), stop_reason="", proofs={}, debts=debts,
        stepped=event.at,
    )


def _status(status: str) -> Callable[[Rules, State, Event], State]:
    return lambda rules, state, event: changed(state, status=status, proofs={})


_CHANGES: dict[str, Callable[[Rules, State, Event], State]] = {
    "job_started": _started,
    "measured": _measured,
    "step_done": _step_done,
    "hurried": _hurried,
    "answered": _answered,
    "step_excused": _step_excused,
    "step_reopened": _step_reopened,
    "timer_started": _timer_started,
    "observed": _observed,
    "withdrawn": _withdrawn,
    "flame_lit": _flame_lit,
    "flame_out": _flame_out,
    "heat_refused": lambda rules, state, event: state,
    "tripped": _tripped,
    "trip_reset": _trip_reset,
    "paused": _paused,
    "resumed": _resumed,
    "handed_over": _handed_over,
    "debt_opened": _debt_opened,
    "debt_cleared": _debt_cleared,
    "debt_tagged": _debt_tagged,
    "tag_cleared": _debt_cleared,
    "stop_asked": _stop_asked,
    "signed": _signed,
    "closed": _status(CLOSED),
    "stopped_safely": _status(STOPPED),
    "sent_back": _sent_back,
    "accepted": _accepted,
}
