"""What a person may ask of the kernel. An action may be refused; what comes of it are events, which may not.

Every action carries `by`, the id of the person who acts. Values are plain: text, whole numbers, yes/no.
Called by: front ends make them, session.decide answers them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Action:
    """The root of all actions.

    identified: pairs of person and how they showed who they are ('pin'), for those who did; it is only recorded.
    """

    by: str
    identified: tuple[tuple[str, str], ...] = field(default=(), kw_only=True)


@dataclass(frozen=True)
class Start(Action):
    """Open a job for a boat. The technician is `by`."""

    job: str = ""
    boat: str = ""
    practice: bool = False


@dataclass(frozen=True)
class Measure(Action):
    """State, or correct, one measure. typed: as the person wrote it; value: its exact text, option id, 'yes' or 'no'."""

    measure: str = ""
    typed: str = ""
    value: str = ""


@dataclass(frozen=True)
class Do(Action):
    """Say that a step is done, with its evidence. shown: the sentence as it stood on the screen."""

    step: str = ""
    evidence: Mapping[str, Any] = field(default_factory=dict)
    shown: str = ""


@dataclass(frozen=True)
class Answer(Action):
    """Answer the question that waits. value: a whole number, the id of an option or of a person, as text."""

    value: str = ""


@dataclass(frozen=True)
class Excuse(Action):
    """Leave a step out, with the reason; the supervisor decides at the review."""

    step: str = ""
    reason: str = ""


@dataclass(frozen=True)
class StartTimer(Action):
    """Start the timer of a step."""

    step: str = ""


@dataclass(frozen=True)
class Observe(Action):
    """State what was seen of a safeguard: its proof, or that it does not hold."""

    safeguard: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)
    shown: str = ""


@dataclass(frozen=True)
class Withdraw(Action):
    """Say that a safeguard no longer holds. Anybody may, at any moment."""

    safeguard: str = ""
    why: str = ""


@dataclass(frozen=True)
class Light(Action):
    """Light the flame for a heat step."""

    step: str = ""


@dataclass(frozen=True)
class FlameOut(Action):
    """Say that the flame is out and the tool is closed. Anybody may, at any moment."""


@dataclass(frozen=True)
class Reset(Action):
    """After a trip, with the flame out: begin to prove the safeguards again. A reset never lights."""


@dataclass(frozen=True)
class Look(Action):
    """Let the kernel look at the clock: the only way in which time itself may end a safeguard in the record."""


@dataclass(frozen=True)
class Pause(Action):
    """Leave the boat for a while. Every proof lapses."""

    why: str = ""


@dataclass(frozen=True)
class Resume(Action):
    """Go on after a pause or after the program was started anew. Every proof is asked again."""


@dataclass(frozen=True)
class HandOver(Action):
    """The job passes to another technician, who is `by`. Every proof lapses."""


@dataclass(frozen=True)
class AskStop(Action):
    """Stop the job safely: flame out, debts undone or hung on a tag, then signed."""

    reason: str = ""


@dataclass(frozen=True)
class Tag(Action):
    """While stopping: hang an open debt on a tag at the boat, for the supervisor to clear."""

    debt: str = ""
    where: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Sign(Action):
    """The technician signs: the whole job, or the safe stop. strokes: lists of whole-number points."""

    meaning: str = ""
    strokes: tuple[tuple[tuple[int, int], ...], ...] = ()
    shown: str = ""


@dataclass(frozen=True)
class ClearTag(Action):
    """The supervisor has undone what hung on a tag. found: what was found at the boat."""

    debt: str = ""
    found: str = ""


@dataclass(frozen=True)
class SendBack(Action):
    """The supervisor sends the job back: pairs of step and reason."""

    steps: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Accept(Action):
    """The supervisor accepts and countersigns. excused: the excused steps they have seen and accept."""

    meaning: str = ""
    strokes: tuple[tuple[tuple[int, int], ...], ...] = ()
    excused: tuple[str, ...] = ()
    shown: str = ""
