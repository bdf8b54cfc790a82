"""The events of a job: what happened, when, by whom. A job is a list of these and nothing else.

Rules kept here:
 1. An event is past tense and cannot be refused; its data are text, whole numbers, yes/no, lists and maps of these
    (no floats: quantities travel as text), so that one canonical byte form exists.
 2. The kinds are our own words, never the name of a class, and are never reused for something else.
Called by: session (makes and folds them), monitor (reads them), record (stores them as they are).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coach.core.moment import Moment

SCHEMA = 1

# kind -> what its data hold. The monitor, the sheet and the review read these names. Any kind that a person's act made
# may hold besides: identified {person: how they showed who they are ('pin')}; whoever is not in it is named at their word.
KINDS: dict[str, str] = {
    "job_started": "job, boat, procedure, version, procedure_hash, policy_hash, practice, technician (id), name",
    "measured": "measure, typed, value, previous?",
    "step_done": "step, evidence {name: value}, shown?",
    "hurried": "step, seconds (since the walk came to it), least (seconds it takes)",
    "answered": "question (what it is about), step (after which it was asked), given, right",
    "step_excused": "step, reason",
    "step_reopened": "step, why (measure id or 'sent back'), text",
    "timer_started": "step, seconds",
    "observed": "safeguard, values {field: value}, met (whether it held when it was stated), shown?",
    "withdrawn": "safeguard, why",
    "flame_lit": "step, operator, proofs {safeguard: seq}",
    "flame_out": "step, confirmed",
    "heat_refused": "step, reasons [{code, about, text, what (its template), slots}]",
    "tripped": "step, first {code, about, text, what, slots}, reasons [...]",
    "trip_reset": "",
    "paused": "why",
    "resumed": "",
    "handed_over": "to, name",
    "debt_opened": "debt, amount",
    "debt_cleared": "debt, amount, evidence",
    "debt_tagged": "debt, where, reason",
    "tag_cleared": "debt, found",
    "stop_asked": "reason",
    "signed": "name, role, meaning, strokes, shown",
    "closed": "",
    "stopped_safely": "",
    "sent_back": "steps [{step, reason}], name",
    "accepted": "name, role, meaning, strokes, excused [step], shown?",
}


@dataclass(frozen=True)
class Event:
    """One thing that happened. `by` is a person's id in the crew list; `data` as KINDS says."""

    kind: str
    at: Moment
    by: str
    data: Mapping[str, Any] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        """The plain form that is hashed and stored."""
        return {
            "kind": self.kind,
            "wall": self.at.wall,
            "steady": self.at.steady,
            "boot": self.at.boot,
            "run": self.at.run,
            "by": self.by,
            "data": dict(self.data),
        }

    @staticmethod
    def from_dict(plain: Mapping[str, Any]) -> Event:
        """The event of its plain form. Raises KeyError if a field is missing; an unknown kind is kept as it is."""
        moment = Moment(plain["wall"], plain["steady"], plain["boot"], plain["run"])
        return Event(plain["kind"], moment, plain["by"], dict(plain["data"]))
