"""One careful way through a slice or a whole procedure: everything that can be done is done, in the file's order.

Rules kept here:
 1. Every act goes through decide; a walk only chooses what to ask for.
 2. Nothing is corrected, withdrawn or excused; safeguards are shown again when they are gone, flames are put out.
Why a walk is enough to find that steps wait for each other: what is done takes no other step's turn away, so every
order of acts comes to the same end.
Knows nothing of: properties.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.core import actions as act
from coach.core.checks import gate_status, open_steps
from coach.core.model import Step
from coach.core.moment import Moment
from coach.core.problems import Reason, fill
from coach.core.session import Refusal, fold
from coach.core.state import CLOSED, State
from coach.prover.cast import BEGIN, HOLDER
from coach.prover.explore import Node, answer_to
from coach.prover.given import evidence_for
from coach.prover.moves import STROKES, scene_of
from coach.prover.observations import can_hold, good
from coach.prover.reduce import Slice, named
from coach.prover.truth import Truth

ROUNDS = 8  # more than any walk needs that does not go in a circle: each round does all that is open


class Walk:
    """A walk as it goes. taken: how many acts the kernel took; refused: its last word on each step."""

    def __init__(self, slice: Slice, state: State, now: Moment) -> None:
        self.slice = slice
        self.state = state
        self.now = now
        self.truth = Truth()
        self.taken = 0
        self.refused: dict[str, tuple[Reason, ...]] = {}
        self.done: list[str] = []

    @staticmethod
    def started(slice: Slice, answers: Mapping[str, str]) -> Walk:
        """A walk at its beginning, with the free measures stated at once."""
        walk = Walk(slice, State(), BEGIN)
        walk.act(act.Start(HOLDER, "job", "boat"))
        walk.answers = dict(answers)
        for id, text in walk.answers.items():
            if id in slice.free:
                walk.act(act.Measure(HOLDER, id, text, text))
        return walk

    answers: dict[str, str] = {}

    def act(self, action: act.Action, about: str = "") -> bool:
        """Ask for one act; whether it was taken."""
        answer = answer_to(self.slice.rules, self.state, action, self.now)
        if isinstance(answer, Refusal):
            if about:
                self.refused[about] = answer.reasons
            return False
        self.state = fold(self.slice.rules, answer, self.state)
        self.taken += 1
        return bool(answer)

    def all_that_can_be_done(self) -> None:
        """Do steps until a whole round over the open ones changes nothing, or until it goes round and round."""
        progress, rounds = True, 0
        while progress and rounds <= ROUNDS + len(self.slice.rules.steps):
            progress, rounds = False, rounds + 1
            for id in open_steps(self.slice.rules, self.state):
                if id not in self.state.done and self._try(self.slice.rules.steps[id]):
                    progress = True
                    self.done.append(id)

    def _try(self, step: Step) -> bool:
        by = self.state.technician
        for id in step.asks:
            if id in self.answers and id not in self.state.typed and id not in self.slice.free:
                self.act(act.Measure(by, id, self.answers[id], self.answers[id]))
        if step.proves in self.slice.rules.safeguards:
            return self._show(step.proves, step.id) and step.id in self.state.done
        if step.heat and step.id not in self.state.heated and not self._heat(step):
            return False
        if any(item.kind == "timer" for item in step.evidence) and self.act(act.StartTimer(by, step.id), step.id):
            self.now = self.now.plus(self.slice.outlasting)
        elif step.clears == "fire_watch":
            self.now = self.now.plus(self.slice.outlasting)
        return any(self.act(act.Do(by, step.id, given), step.id) for given in evidence_for(self.slice.rules, self.state, step))

    def _show(self, safeguard: str, about: str) -> bool:
        scene = scene_of(self.slice, Node(self.state, self.now, self.truth))
        if not can_hold(safeguard, scene):
            return False
        return self.act(act.Observe(self.state.technician, safeguard, good(safeguard, scene)), about)

    def _heat(self, step: Step) -> bool:
        """Light and put out, showing again what does not hold once nothing else stands in the way."""
        by = self.state.technician
        if not self.act(act.Light(by, step.id), step.id):
            if any(reason.code == "G053" for reason in self.refused[step.id]):
                return False
            for status in gate_status(self.slice.rules, self.state, self.now):
                if not status.holds:
                    self._show(status.safeguard, "")
            if not self.act(act.Light(by, step.id), step.id):
                return False
        return self.act(act.FlameOut(by))

    def closed(self) -> bool:
        """Sign, and say whether that closed the job."""
        self.act(act.Sign(self.state.technician, "done", STROKES), "sign")
        return self.state.status == CLOSED

    def settled(self) -> bool:
        """Whether no step is left but those that undo debts."""
        return all(self.slice.rules.steps[id].clears for id in open_steps(self.slice.rules, self.state))

    def why_not_closed(self) -> str:
        """The kernel's reasons against each step still open, and against signing."""
        found: dict[str, None] = {}
        for id in open_steps(self.slice.rules, self.state):
            for reason in self.refused.get(id, ()):
                found[fill(reason.what, reason.slots)] = None
        return named(self.slice, "; ".join(found))

    def said_answers(self) -> tuple[str, ...]:
        """The answers of this boat, as words for a story."""
        return ("boat", *(word for pair in sorted(self.answers.items()) for word in pair))


def why_stuck(slice: Slice, node: Node) -> str:
    """The kernel's own reasons why the open steps of a stuck slice cannot be done."""
    walk = Walk(slice, node.state, node.now)
    walk.all_that_can_be_done()
    return walk.why_not_closed()
