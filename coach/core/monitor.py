"""The second reading of safety: goes through a finished log and knows only the sentences below.

Rules kept here:
 1. It shares no code with the gate, its checks and the session; it believes the log's facts, never its verdicts.
 2. A stay at the boat begins with the start, a resumption, a pause, a hand-over, a trip, a reset, a new run of the
    program and the end of the job; what was proven in one stay proves nothing in another.
 3. What cannot be read, or what time cannot be trusted for, counts as not proven.
Knows nothing of: procedures, steps, files, the clock. Called by: ledger (before it seals), review.
Proved by: tests/core/test_monitor.py, tests/core/test_monitor_mutations.py, tests/core/test_stateful.py.
This watches an administrative control; it is no safety system and claims no integrity level.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from coach.core.events import KINDS, Event
from coach.core.moment import Moment
from coach.core.monitor_stay import MINUTE, OwnRule, Stay, trusted_age
from coach.core.monitor_values import Doubt, strictest
from coach.core.policy import SUPERVISOR, Policy

SENTENCES: dict[str, str] = {
    "readable": "every event of a job can be read, and the first one starts it",
    "proven": "between lit and out, every safeguard was proven in this stay at the boat, met its limits and was fresh",
    "honest": "what the log calls met does meet the limits",
    "at_once": "when a safeguard is lost in the flame, the next event is the trip or the flame going out",
    "latched": "after a trip nothing is lit before the flame is out, a person has reset, and everything is proven anew",
    "one_flame": "the technician of the job lights one flame at a time, and none once the job stops or has ended",
    "attended": "nobody pauses, hands over, signs or ends a job whose flame is not out",
    "undone": "what was done for safety counts as undone only when it is: flame out, tape counted, fire watch held",
    "tagged": "only a job that is being stopped may hang a debt on a tag, with place and reason, and never a cylinder",
    "ended": "a job ends with the flame out, no debt left (stopped: or on its tag) and the technician's signature",
    "own_work": "a supervisor reviews, never their own work, and only a job that has ended",
    "accepted": "a job is accepted with every tag cleared and every excused step seen",
}

_TAPE = "taped_vents"
_STOPPED_BY = ("tripped", "flame_out")
_NOTES = ("debt_opened", "heat_refused", "hurried")  # no acts: they stand beside the act that made them
_PROOF_OF = {_TAPE: "vents_taped", "open_cylinder": "leak_test", "fire_watch": "fire_watch"}  # ends with the debt
_NOT_WHILE_BURNING = ("paused", "handed_over", "signed", "closed", "stopped_safely", "sent_back", "accepted")
_KEEPS_SIGNATURE = ("signed", "closed", "stopped_safely")


@dataclass(frozen=True)
class Finding:
    """One sentence that a log does not keep. number: of the event, from 1; what: a template over slots.

    doubt: what is wrong with a proof, where that is the finding.
    """

    sentence: str
    number: int
    what: str
    slots: Mapping[str, object] = field(default_factory=dict)
    doubt: Doubt | None = None

    def text(self) -> str:
        """The finding in English, one line."""
        what = self.what % self.slots if self.slots else self.what
        doubt = f": {self.doubt.text()}" if self.doubt else ""
        return f"event {self.number}: {what}{doubt} - but {SENTENCES[self.sentence]}"

    def __str__(self) -> str:
        return self.text()


@dataclass(frozen=True)
class _Loss:
    """What was found lost in the flame, not yet answered by a trip."""

    number: int
    about: str
    doubt: Doubt


def watch_log(
    events: Sequence[Event], policy: Policy, own_safeguards: Iterable[OwnRule] = (), expiries: Mapping[str, str] | None = None
) -> tuple[Finding, ...]:
    """Everything in which a log does not keep the sentences, in the order of the events; empty if it keeps them all.

    Args:
        events: the whole log of one job, or any beginning of it that ends between two acts.
        policy: the yard's policy by which the job was done.
        own_safeguards: the safeguards that the job's procedure adds to the kernel's.
        expiries: the measures of that procedure that are a last good day, each with the safeguard that rests on it.
    """
    watch = _Watch(policy, own_safeguards, expiries or {})
    for number, event in enumerate(events, 1):
        watch.see(number, event)
    watch.end()
    return tuple(watch.findings)


class _Watch:
    """The reading of one log, event by event."""

    def __init__(self, policy: Policy, own_safeguards: Iterable[OwnRule], expiries: Mapping[str, str]) -> None:
        self.findings: list[Finding] = []
        self.policy = policy
        self.stay = Stay(policy, own_safeguards, expiries)
        self.watch_minutes = strictest(policy, "fire_watch_minutes")
        self.workers: set[str] = set()
        self.burning = self.tripped = self.blamed = False
        self.loss: _Loss | None = None
        self.last: Moment | None = None
        self.since_out: list[Moment] = []
        self.owed: dict[str, int] = {}
        self.tags: set[str] = set()
        self.excused: set[str] = set()
        self.signed = self.stopping = False
        self.outcome = ""

    def note(self, sentence: str, number: int, what: str, doubt: Doubt | None = None, **slots: object) -> None:
        self.findings.append(Finding(sentence, number, what, slots, doubt))

    # -- one event ---------------------------------------------------------------------------------------------

    def see(self, number: int, event: Event) -> None:
        """Take in one event: what must have come first, what it says itself, what it leaves behind."""
        if event.kind not in KINDS or (event.kind == "job_started") != (number == 1):
            self.note("readable", number, "'%(kind)s' stands where it cannot be read", kind=event.kind)
        if event.kind not in _NOTES:
            self._answer_loss(event.kind in _STOPPED_BY)
        if self.burning and event.kind in _NOT_WHILE_BURNING:
            self.note("attended", number, "'%(kind)s' while the flame was not out", kind=event.kind)
        if self.lit and self.loss is None and event.kind not in _STOPPED_BY:
            self.loss = self._loss_at(number, event.at)
        if event.kind not in _KEEPS_SIGNATURE:
            self.signed = False
        if self.since_out and not self.burning:
            self.since_out.append(event.at)
        act = _ACTS.get(event.kind)
        if act is not None:
            act(self, number, event)
        self.last = event.at
        if self.lit and self.loss is None:
            self.loss = self._loss_at(number, event.at)

    def end(self) -> None:
        """The log ends here: a loss that is still waiting for its trip has none."""
        self._answer_loss(False)

    @property
    def lit(self) -> bool:
        """Whether the flame burns and no trip has ordered it out."""
        return self.burning and not self.tripped

    # -- safeguards --------------------------------------------------------------------------------------------

    def _answer_loss(self, stopped: bool) -> None:
        """The event after a loss has come: it had to be the trip or the flame going out."""
        loss, self.loss = self.loss, None
        if loss and not stopped and not self.blamed:
            self.blamed = True  # one finding a flame: what follows in the same flame is the same fault
            self.note("at_once", loss.number, "%(about)s was lost in the flame", loss.doubt, about=loss.about)

    def _loss_at(self, number: int, now: Moment) -> _Loss | None:
        """The first thing that does not hold for a flame now; None if all holds."""
        if self.last is not None and trusted_age(self.last, now) is None:
            return _Loss(number, "the clock", Doubt("time cannot be trusted since the event before"))
        about, doubt = next(self.stay.doubts(now), ("", None))
        return _Loss(number, about, doubt) if doubt else None

    def observed(self, number: int, event: Event) -> None:
        safeguard, values = _text(event, "safeguard"), event.data.get("values")
        values = values if isinstance(values, Mapping) else {}
        doubt = self.stay.observed(number, event, safeguard, values)
        if doubt is not None:
            self.note("honest", number, "%(about)s is called met", doubt, about=safeguard)
        taped = values.get("taped")
        if safeguard == "vents_taped" and type(taped) is int and taped > 0:
            self._owe(_TAPE, taped)
        if safeguard == "leak_test" and values.get("soaped") is True:
            self._owe("open_cylinder", 1)

    def withdrawn(self, number: int, event: Event) -> None:
        self.stay.lose(_text(event, "safeguard"))

    def measured(self, number: int, event: Event) -> None:
        self.stay.measured(event.data.get("measure"), event.data.get("value"))

    def new_stay(self, number: int, event: Event) -> None:
        self.stay.begin_anew()

    def job_started(self, number: int, event: Event) -> None:
        self._takes_over(_text(event, "technician"))
        self.stay.begin_anew()

    def handed_over(self, number: int, event: Event) -> None:
        self._takes_over(_text(event, "to"))
        self.stay.begin_anew()

    def _takes_over(self, person: str) -> None:
        self.stay.technician = person
        self.workers.add(person)

    # -- the flame ---------------------------------------------------------------------------------------------

    def flame_lit(self, number: int, event: Event) -> None:
        if self.burning:
            self.note("one_flame", number, "lit while a flame was not out")
        if self.stopping or self.outcome:
            self.note("one_flame", number, "lit when the job was being stopped or had ended")
        operator, technician = event.data.get("operator"), self.stay.technician
        if event.by != technician or operator != technician:
            self.note("one_flame", number, "lit by %(by)s for %(operator)s", by=event.by, operator=operator)
        if self.tripped:
            self.note("latched", number, "lit after a trip that nobody had reset")
        self._check_proofs(number, event)
        self.burning, self.tripped = True, False
        self.since_out = []
        for debt in ("open_cylinder", "fire_watch"):
            self._owe(debt, 1)

    def _check_proofs(self, number: int, event: Event) -> None:
        named = event.data.get("proofs")
        named = named if isinstance(named, Mapping) else {}
        doubts = dict(self.stay.doubts(event.at))
        for about, doubt in doubts.items():
            self.note("proven", number, "lit without %(about)s", doubt, about=about)
        for about, proof in self.stay.proofs.items():
            if about in self.stay.life and about not in doubts and named.get(about) != proof.number:
                what = "%(about)s is said to rest on event %(named)s, not %(proof)s"
                self.note("proven", number, what, about=about, named=named.get(about), proof=proof.number)
        self.blamed = bool(doubts)  # said once; the flame is not blamed again for what it was lit without

    def _needs_flame(self, number: int, kind: str) -> None:
        if not self.burning:
            self.note("one_flame", number, "'%(kind)s' when the log had lit no flame", kind=kind)

    def flame_out(self, number: int, event: Event) -> None:
        self._needs_flame(number, event.kind)
        if event.data.get("confirmed") is not True:
            self.note("attended", number, "the flame is called out and nobody confirmed it")
            return
        self.burning = False
        self.since_out = [event.at]

    def trip(self, number: int, event: Event) -> None:
        if self.tripped:
            self.note("latched", number, "a second trip over the first, whose cause must be kept")
        self._needs_flame(number, event.kind)
        self.tripped = True
        self.stay.begin_anew()

    def trip_reset(self, number: int, event: Event) -> None:
        if self.burning:
            self.note("latched", number, "reset while the flame was not out")
        if not self.tripped:
            self.note("latched", number, "reset when the log had no trip")
        self.tripped = False
        self.stay.begin_anew()

    # -- debts -------------------------------------------------------------------------------------------------

    def _owe(self, debt: str, amount: int) -> None:
        self.owed[debt] = max(amount, self.owed.get(debt, 0))
        self.tags.discard(debt)

    def debt_opened(self, number: int, event: Event) -> None:
        amount = event.data.get("amount")
        self._owe(_text(event, "debt"), amount if type(amount) is int else 1)

    def debt_cleared(self, number: int, event: Event) -> None:
        debt, amount = _text(event, "debt"), event.data.get("amount")
        if self.burning:
            self.note("undone", number, "%(debt)s called undone while the flame was not out", debt=debt)
        if debt == _TAPE:
            evidence, on = event.data.get("evidence"), self.owed.get(debt, 0)
            off = evidence.get("removed") if isinstance(evidence, Mapping) else None
            if type(off) is not int or off != on or amount != on:
                self.note("undone", number, "tape off %(off)s vents, it was on %(on)s", off=off, on=on)
        if debt == "fire_watch" and not self._watch_held(event.at):
            what = "the fire watch was not held for %(least)s min after the last flame"
            self.note("undone", number, what, least=self.watch_minutes)
        person = event.data.get("watched_by")
        if debt == "fire_watch" and "watched_by" in event.data and not self.stay.watches(person):
            self.note("undone", number, "the fire watch is ended by %(person)r, who is no fire watch", person=person)
        self._paid(debt)

    def _paid(self, debt: str) -> None:
        """A debt is gone, and with it the proof that made it."""
        self.owed.pop(debt, None)
        self.tags.discard(debt)
        self.stay.lose(_PROOF_OF.get(debt, ""))

    def _watch_held(self, now: Moment) -> bool:
        """Whether both clocks agree on the whole watch, counted from the last flame out or from any event after it."""
        ages = (trusted_age(moment, now) for moment in self.since_out)
        return any(age is not None and age >= self.watch_minutes * MINUTE for age in ages)

    def debt_tagged(self, number: int, event: Event) -> None:
        debt = _text(event, "debt")
        if not self.stopping or debt == "open_cylinder" or debt not in self.owed:
            self.note("tagged", number, "%(debt)s was hung on a tag", debt=debt)
        if not _text(event, "where").strip() or not _text(event, "reason").strip():
            self.note("tagged", number, "the tag of %(debt)s names no place or no reason", debt=debt)
        self.tags.add(debt)

    def tag_cleared(self, number: int, event: Event) -> None:
        self._reviewer(number, event)
        if not _text(event, "found").strip():
            self.note("accepted", number, "a tag was cleared without a word of what was found")
        self._paid(_text(event, "debt"))

    # -- the end -----------------------------------------------------------------------------------------------

    def step_excused(self, number: int, event: Event) -> None:
        self.excused.add(_text(event, "step"))

    def step_again(self, number: int, event: Event) -> None:
        self.excused.discard(_text(event, "step"))

    def stop_asked(self, number: int, event: Event) -> None:
        self.stopping = True

    def sign(self, number: int, event: Event) -> None:
        drawn = all(event.data.get(name) for name in ("name", "role", "meaning", "strokes"))
        self.signed = drawn and event.by == self.stay.technician

    def closed(self, number: int, event: Event) -> None:
        self._end(number, "closed", set(self.owed))

    def stopped_safely(self, number: int, event: Event) -> None:
        if not self.stopping:
            self.note("ended", number, "stopped without anybody having asked to stop")
        self._end(number, "stopped_safely", set(self.owed) - self.tags)

    def _end(self, number: int, outcome: str, left: set[str]) -> None:
        if left:
            self.note("ended", number, "ended with %(debts)s still to be undone", debts=", ".join(sorted(left)))
        if not self.signed:
            self.note("ended", number, "ended without the technician's signature under all that was done")
        self.outcome = outcome
        self.stay.begin_anew()

    def _reviewer(self, number: int, event: Event) -> None:
        known = self.policy.people.get(event.by)
        if known is None or SUPERVISOR not in known.roles:
            self.note("own_work", number, "%(by)s is no supervisor of this yard", by=event.by)
        elif event.by in self.workers:
            self.note("own_work", number, "%(by)s worked on this job", by=event.by)
        if not self.outcome or self.outcome == "accepted":
            self.note("own_work", number, "reviewed when there was nothing to review")

    def sent_back(self, number: int, event: Event) -> None:
        self._reviewer(number, event)
        self.outcome, self.stopping = "", False
        self.tags.clear()
        self.stay.begin_anew()

    def accepted(self, number: int, event: Event) -> None:
        self._reviewer(number, event)
        if self.owed:
            self.note("accepted", number, "%(debts)s still hung on a tag", debts=", ".join(sorted(self.owed)))
        seen = event.data.get("excused")
        unseen = {step for step in self.excused if not isinstance(seen, (list, tuple)) or step not in seen}
        if unseen:
            self.note("accepted", number, "%(steps)s excused and never seen", steps=", ".join(sorted(unseen)))
        if not all(event.data.get(name) for name in ("name", "role", "meaning", "strokes")):
            self.note("accepted", number, "accepted without a signature")
        self.outcome = "accepted"
        self.stay.begin_anew()


def _text(event: Event, name: str) -> str:
    value = event.data.get(name)
    return value if isinstance(value, str) else ""


_ACTS: dict[str, Callable[[_Watch, int, Event], None]] = {
    "job_started": _Watch.job_started,
    "measured": _Watch.measured,
    "step_done": _Watch.step_again,
    "step_excused": _Watch.step_excused,
    "step_reopened": _Watch.step_again,
    "observed": _Watch.observed,
    "withdrawn": _Watch.withdrawn,
    "flame_lit": _Watch.flame_lit,
    "flame_out": _Watch.flame_out,
    "tripped": _Watch.trip,
    "trip_reset": _Watch.trip_reset,
    "paused": _Watch.new_stay,
    "resumed": _Watch.new_stay,
    "handed_over": _Watch.handed_over,
    "debt_opened": _Watch.debt_opened,
    "debt_cleared": _Watch.debt_cleared,
    "debt_tagged": _Watch.debt_tagged,
    "tag_cleared": _Watch.tag_cleared,
    "stop_asked": _Watch.stop_asked,
    "signed": _Watch.sign,
    "closed": _Watch.closed,
    "stopped_safely": _Watch.stopped_safely,
    "sent_back": _Watch.sent_back,
    "accepted": _Watch.accepted,
}
