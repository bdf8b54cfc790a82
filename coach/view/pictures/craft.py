"""What kind of craft the pictures draw, and the lengths of it that only some kinds have.

Rules kept here:
 1. The kind decides the outline: a power boat, a pontoon boat, a personal watercraft, a sailing boat.
 2. A length goes by the name that its measure has in the procedures; one that is not known yet is None.
Knows nothing of: procedures, how a measure is asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from coach.view.pictures.common import Measured, measured

Kind = Literal["power", "pontoon", "jet", "sail"]
Support = Literal["trailer", "stands", "cradle", "blocks", "cart"]


@dataclass(frozen=True)
class Craft:
    """One craft.

    drive: outboard, sterndrive or '' for none that hangs behind the stern; keel: fin, long, twin or lifting; mast: up,
    down or '' without one; top: low, tower or flybridge; rows: rows of posts side by side; boom: it carries the ridge
    behind a mast that is up; lengths: m, by the names of their measures; belly: belly bands are part of the job.
    """

    kind: Kind = "power"
    support: Support = "trailer"
    drive: str = "outboard"
    keel: str = "fin"
    mast: str = ""
    top: str = "low"
    rows: int = 1
    boom: bool = False
    belly: bool = False
    lengths: Mapping[str, float] = field(default_factory=dict)

    def length(self, name: str, typical: float) -> Measured:
        """A length by its measure's name, or a typical one that is marked as not known."""
        return measured(self.lengths.get(name), typical)

    @property
    def mast_at(self) -> float:
        """Where a standing mast is, a share of the length from the bow: as the two tapes along the ridge divide it."""
        ahead, behind = self.lengths.get("bow_to_mast"), self.lengths.get("mast_to_stern")
        if ahead is None or behind is None or ahead + behind <= 0:
            return 0.4
        return min(0.6, max(0.2, ahead / (ahead + behind)))


POWER = Craft()
