"""Whether the job can be stopped safely from a state, with the world against it.

Rules kept here:
 1. The world gives nothing back: no safeguard is shown again. Only time passes.
 2. First as it should be: flame out, every debt undone by its step. Then as it may have to be: every debt on a tag,
    but for the open cylinder, which is closed. Both must end in a stopped job without a flame.
Why this is enough: guards ask only for what is there, never for what is missing, so a kinder world can only add ways.
Knows nothing of: which property a state was reached for.
"""

from __future__ import annotations

from coach.core import actions as act
from coach.core.checks import clock_doubt, watch_lost
from coach.core.moment import Moment
from coach.core.problems import fill
from coach.core.session import Refusal, fold
from coach.core.state import STOPPED, State
from coach.prover.explore import Fault, Node, answer_to
from coach.prover.given import evidence_for
from coach.prover.moves import STROKES
from coach.prover.reduce import Slice, named
from coach.prover.truth import CYLINDER
from coach.prover.watchers import STOP


class _Stopping:
    """One attempt to stop: the state as it goes."""

    def __init__(self, slice: Slice, node: Node) -> None:
        self.slice = slice
        self.state: State = node.state
        self.now: Moment = node.now
        self.refused: Refusal | None = None

    def act(self, action: act.Action) -> bool:
        answer = answer_to(self.slice.rules, self.state, action, self.now)
        if isinstance(answer, Refusal):
            self.refused = answer
            return False
        self.state = fold(self.slice.rules, answer, self.state)
        return True

    def calm(self) -> bool:
        """Ask to stop, flame out, trip reset, clock trusted again."""
        by = self.state.technician
        for safeguard in self.slice.safeguards:
            self.act(act.Withdraw(by, safeguard, "lost"))
        if not self.act(act.AskStop(by, "the weather turns")):
            return False
        if (self.state.flame or (self.state.trip and not self.state.trip.out)) and not self.act(act.FlameOut(by)):
            return False
        if (clock_doubt(self.state, self.now) or watch_lost(self.state, self.now)) and not self.act(act.Resume(by)):
            return False
        return self.state.trip is None or self.act(act.Reset(by))

    def undo(self, debt: str) -> bool:
        """Do the step that undoes a debt, after its timer and its minutes."""
        by, rules = self.state.technician, self.slice.rules
        step = rules.steps.get(rules.clearing.get(debt, ""))
        if step is None:
            return False
        if any(item.kind == "timer" for item in step.evidence):
            self.act(act.StartTimer(by, step.id))
        self.now = self.now.plus(self.slice.outlasting)
        return any(self.act(act.Do(by, step.id, evidence)) for evidence in evidence_for(rules, self.state, step))


def safe_stop_fault(slice: Slice, node: Node) -> Fault | None:
    """What stands in the way of a safe stop from this state, or None."""
    undoing = _Stopping(slice, node)
    if not undoing.calm():
        return _fault(node, "cannot stop", "", undoing)
    for debt in tuple(undoing.state.debts):
        if not undoing.undo(debt):
            return _fault(node, "cannot undo", debt, undoing)
    if not _ended(undoing):
        return _fault(node, "cannot sign", "", undoing)
    tagging = _Stopping(slice, node)
    tagging.calm()
    by = tagging.state.technician
    for debt in tuple(tagging.state.debts):
        hung = debt != CYLINDER and tagging.act(act.Tag(by, debt, "at the bow", "left for the supervisor"))
        if not hung and not (debt == CYLINDER and tagging.undo(debt)):
            return _fault(node, "cannot tag", debt, tagging)
    return None if _ended(tagging) else _fault(node, "cannot sign", "", tagging)


def _ended(attempt: _Stopping) -> bool:
    signed = attempt.act(act.Sign(attempt.state.technician, "stopped safely", STROKES))
    return signed and attempt.state.status == STOPPED and not attempt.state.flame


def _fault(node: Node, code: str, about: str, attempt: _Stopping) -> Fault:
    reasons = attempt.refused.reasons if attempt.refused else ()
    detail = named(attempt.slice, "; ".join(fill(reason.what, reason.slots) for reason in reasons))
    return Fault(STOP, code, about, node, ("stop",), detail)
