"""What happened in a run beside the job's own events: the record that the assessment reads.

Rules kept here:
 1. A note is a second, a kind, what it is about, and plain details; so a track can be kept and read again.
Knows nothing of: what is good or bad (assess).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

# kind -> what its details hold
KINDS: dict[str, str] = {
    "event": "about: the event",
    "look": "about: the look or fact",
    "deed": "about: the deed",
    "said": "about: safeguard, 'measure X' or 'answer S.I'; false [fields], seen (whether it was looked at)",
    "asked": "about: what the act is about; act, codes [refused codes], reasons about",
    "quick": "about: the step or safeguard; seconds, least",
    "lost": "about: safeguard",
    "lit": "about: step",
    "out": "about: step",
    "film": "about: step; state, count (sections newly so)",
    "pulled": "about: step; columns (drawn out of the tuck)",
    "cold": "about: step; count, of",
    "opened": "about: weld-hem; count (places of the hem that a gust opened)",
    "weak": "about: step; share (of the flame the cylinder feeds)",
    "over": "about: why the run ended",
}


@dataclass(frozen=True)
class Note:
    """One thing that happened."""

    second: int
    kind: str
    about: str
    details: Mapping[str, Any] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        """The plain form."""
        return {"second": self.second, "kind": self.kind, "about": self.about, "details": dict(self.details)}

    @staticmethod
    def from_dict(plain: Mapping[str, Any]) -> Note:
        """The note of its plain form."""
        return Note(plain["second"], plain["kind"], plain["about"], dict(plain["details"]))
