"""A refusal, and the reasons that several acts of a job share.

Rules kept here:
 1. A refusal is a value with every reason; it changes nothing.
Knows nothing of: which act is asked for.
Called by: session, session_flame, session_end.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.events import Event
from coach.core.model import Step
from coach.core.policy import TECHNICIAN
from coach.core.problems import Reason
from coach.core.rules import Rules


@dataclass(frozen=True)
class Refusal:
    """Why an action was not taken: every reason, in the order in which a person would clear them."""

    reasons: tuple[Reason, ...]


Answer = tuple[Event, ...] | Refusal


def refuse(code: str, about: str, what: str, why: str, mend: str, **slots: object) -> Refusal:
    """A refusal for one reason."""
    return Refusal((Reason(code, about, what, why, mend, slots),))


def step_of(rules: Rules, id: str) -> Step | Refusal:
    """The procedure's step of this id, or the refusal that there is none."""
    step = rules.steps.get(id)
    if step is None:
        return Refusal((unknown_step(id),))
    return step


def unknown_step(id: str) -> Reason:
    """The reason that the procedure has no such step."""
    return Reason("G003", id, "there is no step '%(id)s'", "the procedure does not have it", "choose a step of the procedure", {"id": id})


def unknown_safeguard(id: str) -> Refusal:
    """The refusal that the gate has no such safeguard."""
    return refuse("G032", id, "there is no safeguard '%(id)s'", "the gate does not have it", "choose one of the gate", id=id)


def crew_reasons(rules: Rules, by: str, what: str) -> tuple[Reason, ...]:
    """A reason if this person is no technician of the yard's crew."""
    if rules.policy.has_role(by, TECHNICIAN):
        return ()
    return (Reason("G031", "person", what, "the record must say who did what", "choose a technician"),)


def text_reasons(about: str, text: str, what: str) -> tuple[Reason, ...]:
    """A reason if this text is too short to say anything; `what` says which text."""
    if len(text.strip()) >= 3:
        return ()
    return (Reason("G004", about, what, "the supervisor must be able to judge it", "say why in a few words"),)
