"""What one step may be, seen by itself: heat, flame words, proofs, debts and hold points.

Rules kept here:
 1. A step that speaks of flame is a heat step, or says why it needs none.
 2. A step that proves a safeguard or clears a debt is never a heat step. A proof's questions are the kernel's, and
    every boat comes to them.
 3. A hold point has evidence that is more than a tick.
Knows nothing of: other steps (heat looks at the whole).
Called by: steps.
"""

from __future__ import annotations

import re

from coach.core.gate import DEBTS
from coach.core.model import Step
from coach.core.policy import FIRE_WATCH
from coach.reader.draft import Draft
from coach.reader.faults import clip
from coach.reader.fields import Fields

# Beginnings of the words that a reader takes for an order to use the tool.
_FLAME = re.compile(
    r"\b(?:blow-?|re-?|pre-?)?(?:torch|flame|flaming|burner|weld|shrink|shrank|shrunk|heat|ignit)[a-z]*"
    r"|\bhot[ -]air\b|\b(?:re)?light (?:the|it|up|your)\b|\bfire up\b",
    re.IGNORECASE,
)


def check_step(draft: Draft, fields: Fields, step: Step) -> None:
    """Notes what cannot be right in this step, whatever the others are."""
    if step.heat:
        _heat_step(draft, fields, step)
    else:
        _cold_step(draft, fields, step)
    if step.proves:
        _proving_step(draft, fields, step)
    if step.clears:
        _clearing_step(draft, fields, step)
    if step.hold and not step.proves and not any(item.kind != "tick" and not item.optional for item in step.evidence):
        draft.faults.add(
            "P405", "a hold point without a number, count, choice, photo, timer or second person",
            "work must not pass it on a tick alone", "add such evidence, not optional, or take 'hold' out",
            fields.place_of("hold"),
        )


def _heat_step(draft: Draft, fields: Fields, step: Step) -> None:
    for key, why in (
        ("proves", "the safeguard must stand before the flame is lit"),
        ("clears", "what makes things safe must be possible without a flame"),
        ("no_flame", "a step has a flame or has none"),
    ):
        if fields.has(key):
            draft.faults.add(
                "P401", "a heat step with '%(key)s'", why, "make two steps of it, or take one of the two out",
                fields.entries[key][0].place, key=key,
            )


def _cold_step(draft: Draft, fields: Fields, step: Step) -> None:
    scalar = fields.scalar("do")
    match = _FLAME.search(scalar.text) if scalar else None
    if scalar and match and not step.no_flame:
        draft.faults.add(
            "P402", "'%(word)s' in a step without heat",
            "someone may light the tool at a step that no safeguard guards",
            "add 'heat: true', or say in 'no_flame:' why no flame is needed", scalar.at(match.start()),
            word=clip(match[0]),
        )


def _proving_step(draft: Draft, fields: Fields, step: Step) -> None:
    for key in ("evidence", "asks", "clears", "opens"):
        if fields.has(key):
            draft.faults.add(
                "P403", "a step that proves a safeguard has '%(key)s'",
                "it is done by answering the safeguard's own questions, so this would never be asked",
                "move it to a step of its own", fields.entries[key][0].place, key=key,
            )
    if fields.has("when"):
        draft.faults.add(
            "P407", "a step that proves a safeguard has 'when'",
            "a flame needs the safeguard on every boat, and a boat that passes the step over could never prove it",
            "take 'when' out", fields.entries["when"][0].place,
        )


def _clearing_step(draft: Draft, fields: Fields, step: Step) -> None:
    if step.clears in step.opens:
        draft.faults.add(
            "P404", "the step opens and clears '%(debt)s' at once", "it could never be done with",
            "make two steps of it",
            fields.place_of("clears"), debt=clip(step.clears),
        )
    for item in step.evidence:
        if step.clears == FIRE_WATCH and item.role not in ("", FIRE_WATCH):
            draft.faults.add(
                "P408", "the end of the fire watch is confirmed by a %(role)s", "only a fire watch of the yard can say that it was held",
                "write 'role: fire_watch', or take 'role' out", item.place, role=item.role,
            )
    counted = DEBTS[step.clears].counted if step.clears in DEBTS else ""
    if counted and not any(item.id == counted and item.kind == "count" and not item.optional for item in step.evidence):
        draft.faults.add(
            "P406", "the step that clears '%(debt)s' does not count '%(counted)s'",
            "as many must come off as went on", "add to its evidence: %(counted)s: {kind: count, ask: ...}",
            fields.place_of("clears"), debt=step.clears, counted=counted,
        )
