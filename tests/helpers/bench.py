"""A job on the bare kernel, as the app drives it: the clock is looked at first, then the action is decided.

Nothing is stored. `may` answers with the refusal's codes, `must` insists; both keep the log and the state.
"""

from __future__ import annotations

from collections.abc import Sequence

from coach.core.actions import Accept, Action, Do, FlameOut, Light, Measure, Observe, Sign, Start
from coach.core.events import Event
from coach.core.monitor import Finding, watch_log
from coach.core.rules import Rules
from coach.core.session import Refusal, decide, fold, refusal_note, watch
from coach.core.state import State
from coach.practice.clock import HandClock
from tests.helpers.people import MORNING, STROKES, good
from tests.helpers.procedures import rules_for

ANSWERS = (("fuel_vents", "2"), ("place", "outdoors"), ("beam", "2.5 m"), ("door", "no"))

EVIDENCE: dict[str, dict[str, object]] = {"untape": {"removed": 2}, "hold": {"watcher": "joel"}}


class Bench:
    """One job: rules, clock, events, state. Ana is its technician."""

    def __init__(self, rules: Rules | None = None, by: str = "ana") -> None:
        self.rules = rules or rules_for()
        self.clock = HandClock(MORNING)
        self.events: list[Event] = []
        self.state = State()
        self.by = by

    # -- acting --------------------------------------------------------------------------------------------------

    def take(self, events: Sequence[Event]) -> None:
        """Put events into the log."""
        self.events += events
        self.state = fold(self.rules, events, self.state)

    def act(self, action: Action) -> tuple[Event, ...] | Refusal:
        """Look at the clock, then decide; the log grows by what came of it."""
        self.take(watch(self.rules, self.state, self.clock()))
        answer = decide(self.rules, self.state, action, self.clock())
        if isinstance(answer, Refusal):
            self.take(refusal_note(self.state, action, answer, self.clock()))
            return answer
        self.take(answer)
        return answer

    def must(self, action: Action) -> tuple[Event, ...]:
        """Act; the test fails if it is refused."""
        answer = self.act(action)
        assert not isinstance(answer, Refusal), [reason.text() for reason in answer.reasons]
        return answer

    def codes(self, action: Action) -> list[str]:
        """Act, and give the refusal's codes in their order; empty if it was taken."""
        answer = self.act(action)
        return [reason.code for reason in answer.reasons] if isinstance(answer, Refusal) else []

    def texts(self, action: Action) -> list[str]:
        """Act, and give the refusal's reasons as one line each."""
        answer = self.act(action)
        return [reason.text() for reason in answer.reasons] if isinstance(answer, Refusal) else []

    def kinds(self, since: int = 0) -> list[str]:
        """The kinds of the events after the first `since`."""
        return [event.kind for event in self.events[since:]]

    def findings(self) -> tuple[Finding, ...]:
        """What the monitor has against the log."""
        return watch_log(self.events, self.rules.policy, self.rules.procedure.safeguards, self.rules.procedure.expiries)

    def wait(self, minutes: float) -> None:
        """Let time pass, looking at the clock every half minute as the app does."""
        for _ in range(int(minutes * 2)):
            self.clock.pass_seconds(30)
            self.take(watch(self.rules, self.state, self.clock()))

    # -- the usual way -------------------------------------------------------------------------------------------

    def start(self) -> Bench:
        """Start the job."""
        self.must(Start(self.by, "job-1", "Dunlin"))
        return self

    def measure(self, **answers: str) -> Bench:
        """State measures: those given, or all of the small procedure."""
        for id, value in answers.items() if answers else ANSWERS:
            self.must(Measure(self.by, id, value, value))
        return self

    def do(self, *steps: str) -> Bench:
        """Do steps that ask for a tick, or undo a debt."""
        for id in steps:
            self.must(Do(self.by, id, EVIDENCE.get(id, {"tick": True})))
        return self

    def prove(self, *safeguards: str) -> Bench:
        """State good values for safeguards, all of them if none are named."""
        for id in safeguards or self.rules.safeguards:
            self.must(Observe(self.by, id, good(id, **({"person": self.by} if id == "operator" else {}))))
        return self

    def ready(self) -> Bench:
        """Everything done and proven that comes before the first flame."""
        return self.start().measure().do("look", "cut", "prop").prove()

    def lit(self, step: str = "weld") -> Bench:
        """Light the flame for a step."""
        self.must(Light(self.by, step))
        return self

    def out(self) -> Bench:
        """Put the flame out."""
        self.must(FlameOut(self.by))
        return self

    def heated(self) -> Bench:
        """Both heat steps done, the flame out, the debts open."""
        self.ready().lit("weld").out().do("weld")
        return self.lit("shrink").out().do("shrink")

    def undone(self) -> Bench:
        """All debts cleared and every step done; left is the signature."""
        self.heated().do("close", "unprop", "untape")
        self.wait(60)
        return self.do("hold", "tidy")

    def signed(self) -> Bench:
        """The whole job, closed."""
        self.undone().must(self.sign())
        return self

    def sign(self) -> Sign:
        """The technician's signature."""
        return Sign(self.by, "The work is done as recorded.", STROKES)

    def accept(self, by: str = "marta", excused: tuple[str, ...] = ()) -> Accept:
        """A supervisor's acceptance."""
        return Accept(by, "Seen and accepted.", STROKES, excused)
