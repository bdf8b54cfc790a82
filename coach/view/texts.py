"""Reasons and problems as people read them: translated, amounts in the user's units.

Knows nothing of: what a reason means, which screen shows it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.core.amount import Amount
from coach.core.problems import Problem, Reason, fill
from coach.language import _


@dataclass(frozen=True)
class ReasonText:
    """One reason on a screen: what is wrong, why it matters, what mends it, and the action that one touch starts."""

    code: str
    about: str
    act: str
    what: str
    why: str
    mend: str


def slots_for(slots: Mapping[str, object], system: str) -> dict[str, object]:
    """The slots with amounts in the user's units and texts of the procedure translated."""
    shown: dict[str, object] = {}
    for name, value in slots.items():
        if isinstance(value, Amount):
            shown[name] = value.text(system)
        else:
            shown[name] = _(value) if isinstance(value, str) and name in ("ask", "step", "name", "text") else value
    return shown


def reason_text(reason: Reason, system: str = "us") -> ReasonText:
    """A reason in the language in use."""
    slots = slots_for(reason.slots, system)
    return ReasonText(
        reason.code, reason.about, reason.act,
        sentence(fill(_(reason.what), slots)), sentence(fill(_(reason.why), slots)), sentence(fill(_(reason.mend), slots)),
    )


def problem_text(problem: Problem) -> tuple[str, str, str]:
    """A problem's what, why and mend in the language in use."""
    return tuple(sentence(fill(_(text), problem.slots)) for text in (problem.what, problem.why, problem.mend))  # type: ignore[return-value]


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")
