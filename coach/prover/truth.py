"""What has really happened at the boat, kept beside the kernel's state and by other means.

Rules kept here:
 1. This is written from the safety sentences and looks at what people and the world did, never at the kernel's own
    account of proofs and debts. If the two part, the kernel or the procedure is at fault, and the prover says so.
 2. A safeguard is shown from a good statement on; it is lost by a bad one, a withdrawal, its time, a doubt about the
    clock, a start of the program, a pause, a hand-over, a trip, a reset, the undoing of what its proof put on. Any
    loss while a flame is lit loses all.
 3. A debt is owed from the act that makes it (tape on, cylinder open, flame lit, a step that opens it) until the step
    that undoes it is done, with the full count; the fire watch only after its minutes without a flame.
Knows nothing of: decide, offers, the gate's judgements.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from coach.core import actions as act
from coach.core.model import FUEL_VENTS, PLACE, PLACE_OPTIONS, Step
from coach.core.rules import Rules
from coach.core.state import State
from coach.prover.cast import GOOD_DAY

TAPE, CYLINDER, FIRE = "taped_vents", "open_cylinder", "fire_watch"
ENDED_WITH = {TAPE: "vents_taped", CYLINDER: "leak_test", FIRE: "fire_watch"}
COUNTED_AS = {TAPE: "removed"}


class Truth(NamedTuple):
    """shown: safeguards that were shown, each with the fact for which it was (a count of vents, a place). owed: debts with how many. tagged: of those, the
    ones on a tag. watched: whether the fire watch's minutes have passed since the last flame. doubt: whether
    the clock was changed, or the program started anew, and nothing was taken down since."""

    shown: frozenset[tuple[str, str]] = frozenset()
    owed: frozenset[tuple[str, int]] = frozenset()
    tagged: frozenset[str] = frozenset()
    watched: bool = False
    doubt: bool = False

    def holds(self, safeguard: str, state: State, rules: Rules) -> bool:
        """Whether the safeguard really holds for the boat as it is known now, and nothing it rests on is past its day."""
        return (safeguard, fact(safeguard, state)) in self.shown and in_date(safeguard, state, rules)

    @property
    def owing(self) -> Mapping[str, int]:
        """What is owed, and how many."""
        return dict(self.owed)

    def owes(self, debt: str, amount: int) -> Truth:
        """The truth once this is owed too; of what is on already, the larger count stays on."""
        owing = {**self.owing}
        owing[debt] = max(amount, owing.get(debt, 0))
        return self._replace(owed=frozenset(owing.items()))

    def undone(self, debt: str) -> Truth:
        """The truth once this is owed no more; what its proof put on is off, so the proof is gone with it."""
        ended = ENDED_WITH.get(debt)
        return self._replace(owed=frozenset(pair for pair in self.owed if pair[0] != debt), tagged=self.tagged - {debt},
            shown=frozenset(pair for pair in self.shown if pair[0] != ended),
        )

    def lost(self, safeguard: str, flame: bool) -> Truth:
        """The truth once this safeguard is lost."""
        return self.nothing_shown() if flame else self._replace(shown=frozenset(p for p in self.shown if p[0] != safeguard))

    def nothing_shown(self) -> Truth:
        """The truth once every safeguard must be shown again."""
        return self._replace(shown=frozenset())


def fact(safeguard: str, state: State) -> str:
    """The fact of the boat that a statement about this safeguard was made for."""
    if safeguard == "vents_taped":
        return state.typed.get(FUEL_VENTS, "none")
    return state.typed.get(PLACE, "nowhere") if safeguard == "air" else ""


def in_date(safeguard: str, state: State, rules: Rules) -> bool:
    """Whether the last good day of everything that the safeguard rests on is known and far away."""
    expiries = rules.procedure.expiries
    return all(state.typed.get(measure) == GOOD_DAY for measure in expiries if expiries[measure] == safeguard)


def is_good(rules: Rules, state: State, action: act.Observe, good: bool) -> bool:
    """Whether a statement is true and enough for this boat as it is known now."""
    id, values, policy = action.safeguard, action.values, rules.policy
    if not in_date(id, state, rules):
        return False
    if id == "vents_taped":
        taped = values.get("taped")
        return taped is not None and taped == values.get("markers") and str(taped) == state.typed.get(FUEL_VENTS)
    if id == "air":
        outdoors, _ = PLACE_OPTIONS
        if state.typed.get(PLACE) == outdoors:
            return values.get("open_air") is True
        named = bool(policy.indoor_permit and policy.indoor_ventilation)
        return named and PLACE in state.typed and values.get("ventilated") is True
    return good


def after_observing(rules: Rules, truth: Truth, state: State, action: act.Observe, good: bool) -> Truth:
    """The truth after a statement about a safeguard that was taken down."""
    id, values = action.safeguard, action.values
    truth = truth.lost(id, bool(state.flame) and not is_good(rules, state, action, good))
    if is_good(rules, state, action, good):
        truth = truth._replace(shown=truth.shown | {(id, fact(id, state))})
    if id == "vents_taped" and values.get("taped"):
        truth = truth.owes(TAPE, values["taped"])
    if id == "leak_test" and values.get("soaped"):
        truth = truth.owes(CYLINDER, 1)
    return truth


def after_doing(truth: Truth, step: Step) -> Truth:
    """The truth after a step was done: first what it undoes, then what it opens."""
    if step.clears in truth.owing:
        truth = truth.undone(step.clears)
    for debt in step.opens:
        truth = truth.owes(debt, 1)
    return truth


def after_taken(rules: Rules, truth: Truth, state: State, action: act.Action) -> Truth:
    """The truth after any other action that the kernel took."""
    match action:
        case act.Withdraw():
            return truth.lost(action.safeguard, bool(state.flame))
        case act.Light():
            lit = truth.owes(CYLINDER, 1).owes(FIRE, 1)
            return lit._replace(watched=False)
        case act.FlameOut():
            return truth._replace(watched=False)
        case act.Do():
            return after_doing(truth, rules.steps[action.step])
        case act.Tag():
            return truth._replace(tagged=truth.tagged | {action.debt})
        case act.ClearTag():
            return truth.undone(action.debt)
        case act.SendBack():
            return truth.nothing_shown()._replace(tagged=frozenset())  # a tag counts for its own stop only
        case act.Pause() | act.Resume() | act.HandOver() | act.Reset():
            return truth.nothing_shown()
        case act.AskStop():
            return truth if state.flame else truth.nothing_shown()
        case _:
            return truth


def must_stay(step: Step) -> bool:
    """Whether people's safety hangs on this step, so that nobody may leave it out: it shows a safeguard, undoes a debt, or
    rests on the word of the fire watch."""
    words = [item.role for item in step.evidence if item.kind == "second_person" and not item.optional]
    return step.proves != "" or step.clears != "" or FIRE in words


def fault_of_undoing(truth: Truth, step: Step, evidence: Mapping[str, Any]) -> str:
    """What is wrong with this undoing of a debt, '' if nothing is."""
    amount = truth.owing.get(step.clears)
    if amount is None:
        return ""
    counted = COUNTED_AS.get(step.clears)
    if counted and evidence.get(counted) != amount:
        return f"{amount} were put on, {evidence.get(counted)} came off"
    if step.clears == FIRE and not truth.watched:
        return "the fire watch was not held for its minutes"
    return ""
