"""What in a job's log asks a supervisor to look first: signs of haste, of trouble, of a record that does not fit.

Rules kept here:
 1. A flag is a sign, never a verdict: it names the events it rests on, and a person judges them.
 2. A step done sooner than it can be read is a sign of not reading: 2 s, or what the procedure says it takes. Time
    counts from when the step came before the eyes: since the step before it was settled, a question answered,
    or the job gone on with.
 3. Where the clocks do not agree nothing is called quick.
Knows nothing of: stores, screens, languages.
Source of the 2 s: items of a list answered in under 2 s an item are a common sign of careless answering (Huang et al.
2012, Journal of Business and Psychology 27; as reported, not read). The other limits are common practice, no source.
Called by: review.  Proved by: tests/yard/test_flags.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.monitor import watch_log
from coach.core.problems import Words
from coach.core.rules import Rules
from coach.yard.objections import objection_of

# The kinds of flag, gravest first.
FINDING, RECORD, TRIP, TAG, UNIDENTIFIED, WRONG, QUICK, BATCH, EXCUSED, LATE, REFUSED, LAPSED = KINDS = (
    "finding",
    "record",
    "trip",
    "tag",
    "unidentified",
    "wrong_answer",
    "quick",
    "batch",
    "excused",
    "late_correction",
    "heat_refused",
    "lapsed",
)
LEAST_MS = 2_000
BATCH_SIZE, BATCH_MS = 4, 20_000  # ticks in a row, and the time they fall in; common practice, no source
OFTEN = 3  # refusals of the flame in one job; common practice, no source
_LAPSED = "G104"  # checks.safeguard_status: shown too long ago
_BEGINS = ("job_started", "resumed", "handed_over", "trip_reset", "sent_back", "step_done", "step_excused", "answered")
_LOOSE = ("flame_out", "withdrawn", "tripped")  # anybody may say these, at any moment


@dataclass(frozen=True)
class Flag:
    """One sign. count: how often; events: numbers from 1 of those it rests on; about: ids of steps, safeguards, debts or
    measures; texts: sentences of the second reading or of the exchange."""

    kind: str
    count: int
    events: tuple[int, ...] = ()
    about: tuple[str, ...] = ()
    texts: tuple[Words, ...] = ()


def flags_of(rules: Rules, events: Sequence[Event]) -> tuple[Flag, ...]:
    """Every flag of a job, gravest first."""
    found = [flag for look in _LOOKS for flag in look(rules, events)]
    return tuple(sorted(found, key=lambda flag: KINDS.index(flag.kind)))


def _numbered(events: Sequence[Event], *kinds: str) -> list[tuple[int, Event]]:
    return [(number, event) for number, event in enumerate(events, 1) if event.kind in kinds]


def _flag(kind: str, found: Sequence[tuple[int, str]]) -> Iterator[Flag]:
    """One flag over (event, what it is about), if there is any."""
    if found:
        yield Flag(
            kind, len(found), tuple(dict.fromkeys(n for n, _ in found)), tuple(dict.fromkeys(a for _, a in found if a))
        )


def _findings(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    found = watch_log(events, rules.policy, rules.procedure.safeguards, rules.procedure.expiries)
    if found:
        yield Flag(
            FINDING,
            len(found),
            tuple(dict.fromkeys(each.number for each in found)),
            (),
            tuple(objection_of(each) for each in found),
        )


def _trips(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    trips = _numbered(events, "tripped")
    return _flag(TRIP, [(n, str(event.data["first"]["about"])) for n, event in trips])


def _refusals(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    refused = _numbered(events, "heat_refused")
    if len(refused) >= OFTEN:
        yield from _flag(REFUSED, [(n, str(event.data["step"])) for n, event in refused])


def _lapses(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Safeguards that had lapsed when the flame was asked for, or that lapsed while it burned."""
    noted = _numbered(events, "heat_refused", "tripped")
    return _flag(
        LAPSED, [(n, str(r["about"])) for n, event in noted for r in event.data["reasons"] if r["code"] == _LAPSED]
    )


def _tags(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Debts that hang on a tag now."""
    open_: dict[str, int] = {}
    for number, event in enumerate(events, 1):
        if event.kind == "debt_tagged":
            open_[str(event.data["debt"])] = number
        elif event.kind in ("tag_cleared", "debt_cleared"):
            open_.pop(str(event.data["debt"]), None)
        elif event.kind == "sent_back":
            open_.clear()
    return _flag(TAG, [(n, debt) for debt, n in open_.items()])


def _excused(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Steps that are left out now."""
    out: dict[str, int] = {}
    for number, event in enumerate(events, 1):
        if event.kind == "step_excused":
            out[str(event.data["step"])] = number
        elif event.kind in ("step_done", "step_reopened"):
            out.pop(str(event.data["step"]), None)
    return _flag(EXCUSED, [(n, step) for step, n in out.items()])


def _late(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Measures corrected when something that relied on them had been called done."""
    found = []
    for number, event in _numbered(events, "measured"):
        after = events[number] if number < len(events) else None
        if "previous" in event.data and after is not None and after.kind == "step_reopened":
            found.append((number, str(event.data["measure"])))
    return _flag(LATE, found)


@dataclass(frozen=True)
class _Tick:
    """Something called done, and how long it had stood before the eyes; None where the clocks do not tell."""

    number: int
    step: str
    at: Moment
    dwell: int | None


def _ticks(rules: Rules, events: Sequence[Event]) -> list[_Tick]:
    """Steps that were ticked and safeguards that were shown to hold, in order."""
    found: list[_Tick] = []
    since: Moment | None = None
    for number, event in enumerate(events, 1):
        shown = event.kind == "observed" and event.data.get("met") is True
        if event.kind == "step_done" or shown:
            step = (
                str(event.data["step"]) if event.kind == "step_done" else rules.proving.get(event.data["safeguard"], "")
            )
            found.append(_Tick(number, step, event.at, since.age_at(event.at) if since else None))
        if shown or event.kind in _BEGINS:
            since = event.at
    return found


def _wrong(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Questions about this boat that were answered otherwise than the record has it."""
    wrong = [(n, e) for n, e in _numbered(events, "answered") if e.data["right"] is not True]
    return _flag(WRONG, [(n, str(event.data["question"])) for n, event in wrong])


def _quick(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Ticks that came too soon, those that were believed and those that were not."""
    found = [(n, str(event.data["step"])) for n, event in _numbered(events, "hurried")]
    for tick in _ticks(rules, events):
        step = rules.steps.get(tick.step)
        least = max(LEAST_MS, step.least_seconds * 1000 if step else 0)
        if tick.dwell is not None and tick.dwell < least:
            found.append((tick.number, tick.step))
    return _flag(QUICK, sorted(found))


def _batches(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """Runs of ticks of which any four in a row lie within 20 s."""
    ticks = _ticks(rules, events)
    in_batch: set[int] = set()
    runs = 0
    for place in range(len(ticks) - BATCH_SIZE + 1):
        first, last = ticks[place], ticks[place + BATCH_SIZE - 1]
        age = first.at.age_at(last.at)
        if age is not None and age <= BATCH_MS:
            runs += place not in in_batch
            in_batch.update(range(place, place + BATCH_SIZE))
    if in_batch:
        held = [ticks[place] for place in sorted(in_batch)]
        yield Flag(
            BATCH,
            runs,
            tuple(tick.number for tick in held),
            tuple(dict.fromkeys(tick.step for tick in held if tick.step)),
        )


def _unidentified(rules: Rules, events: Sequence[Event]) -> Iterator[Flag]:
    """In a job whose people show who they are: acts and second persons that were taken at their word."""
    if not any("identified" in event.data for event in events):
        return iter(())
    found, lit = [], False
    for number, event in enumerate(events, 1):
        lit = (lit or event.kind == "flame_lit") and event.kind not in ("flame_out", "tripped")
        if event.kind in _LOOSE:
            continue
        missing = [
            who for who in (event.by, *_seconds(rules, event, lit)) if who not in event.data.get("identified", {})
        ]
        found += [(number, who) for who in missing]
    return _flag(UNIDENTIFIED, found)


def _seconds(rules: Rules, event: Event, lit: bool) -> tuple[str, ...]:
    """The second persons an event names. Under a flame nobody leaves the post to show who they are."""
    if event.kind == "observed" and event.data["safeguard"] == "fire_watch" and not lit:
        named = event.data["values"].get("person")
        return (str(named),) if named else ()
    step = rules.steps.get(event.data["step"]) if event.kind == "step_done" else None
    if step is None:
        return ()
    given = event.data["evidence"]
    return tuple(str(given[item.id]) for item in step.evidence if item.kind == "second_person" and item.id in given)


_LOOKS: tuple[Callable[[Rules, Sequence[Event]], Iterator[Flag]], ...] = (
    _findings,
    _trips,
    _tags,
    _unidentified,
    _wrong,
    _quick,
    _batches,
    _excused,
    _late,
    _refusals,
    _lapses,
)
