"""What a procedure that heats must have as a whole, so that the kernel's gate finds every question a step.

Rules kept here:
 1. Every safeguard of the kernel, and every own one, is proven in exactly one step.
 2. Every debt of the kernel is cleared in exactly one step, and so is every own debt, with heat or without.
 3. The measures that the kernel reads are asked, always and under their ids.
Knows nothing of: order, reachability (the prover shows those).
Called by: schema.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import FUEL_VENTS, PLACE, PLACE_OPTIONS, Measure, Procedure
from coach.core.problems import Place
from coach.reader.draft import Draft
from coach.reader.faults import any_of, clip


@dataclass(frozen=True)
class _Once:
    """What must be named by exactly one step: under which key, and the codes of its faults."""

    kind: str
    key: str
    missing: str
    twice: str
    why: str


PROVEN = _Once(
    "safeguard", "proves", "P411", "P412", "a flame needs every safeguard, so the procedure could never heat"
)
CLEARED = _Once(
    "debt", "clears", "P413", "P414", "what was done for safety would stay undone, and the job could never close"
)


# The shipped part that proves or clears each of the kernel's own.
SHARED_IN = {
    "safeguard": {id: "heat-gate" for id in SAFEGUARDS},
    "debt": {"taped_vents": "vent-reopened", "open_cylinder": "flame-out", "fire_watch": "after-flame"},
}


def check_heat(draft: Draft, procedure: Procedure) -> None:
    """Notes what the gate and the debts miss. What is proven or cleared twice is noted in any procedure."""
    heat = next((step.place for step in procedure.steps if step.heat), None)
    if heat:
        _kernel_measures(draft, procedure, heat)
    own = [safeguard.id for safeguard in procedure.safeguards]
    _each_once(draft, PROVEN, (*SAFEGUARDS, *own), heat)
    _each_once(draft, CLEARED, DEBTS, heat)
    for debt in procedure.debts:
        _each_once(draft, CLEARED, (debt.id,), debt.place)


def _each_once(draft: Draft, rule: _Once, ids: Iterable[str], missing_at: Place | None) -> None:
    """Notes the ids that no step names (if they are due: missing_at), and every step that names one again."""
    missing = []
    for id in ids:
        said = [ref.word for ref in draft.references if ref.kind == rule.kind and not ref.apart and ref.word.text == id]
        if not said:
            missing.append(id)
        for again in said[1:]:
            draft.faults.add(
                rule.twice, "a second step %(key)s '%(id)s', the first is at %(first)s",
                "the kernel could not tell which of the two is meant", "delete one of the two", again.place,
                key=rule.key, id=clip(id), first=str(said[0].place),
            )
    if missing and missing_at is not None:
        parts = dict.fromkeys(SHARED_IN[rule.kind][id] for id in missing if id in SHARED_IN[rule.kind])
        draft.faults.add(
            rule.missing, "no step %(key)s %(ids)s", rule.why,
            "add a step with '%(key)s:' for each, or write '- use: %(part)s'" if parts else
            "add a step with '%(key)s:' for each", missing_at,
            key=rule.key, ids=any_of([clip(id) for id in missing]), part="', '- use: ".join(parts),
        )


def _kernel_measures(draft: Draft, procedure: Procedure, heat: Place) -> None:
    _kernel_measure(draft, procedure, FUEL_VENTS, "count", "the gate compares the taped vents with it", heat)
    why = "the gate asks for other things indoors than outdoors"
    place = _kernel_measure(draft, procedure, PLACE, "choice", why, heat)
    if place and place.options and {option.id for option in place.options} != set(PLACE_OPTIONS):
        draft.faults.add(
            "P417", "'%(id)s' has the options %(found)s, expected %(due)s", "the gate knows these two and no others",
            "write the options %(due)s", place.place, id=PLACE, found=", ".join(option.id for option in place.options),
            due=" and ".join(PLACE_OPTIONS),
        )


def _kernel_measure(draft: Draft, procedure: Procedure, id: str, kind: str, why: str, heat: Place) -> Measure | None:
    """A measure that the kernel reads: there, of its kind, asked of every boat, in a step."""
    measure = procedure.measures.get(id)
    if measure is None:
        draft.faults.add(
            "P415", "there is no measure '%(id)s' of kind %(kind)s", why,
            "add it to 'measures', and to the 'asks' of a step "
            "before the gate", heat, id=id, kind=kind,
        )
        return None
    if measure.kind and measure.kind != kind:
        draft.faults.add(
            "P416", "'%(id)s' is of kind %(found)s, expected %(kind)s", why, "write 'kind: %(kind)s'", measure.place,
            id=id, found=measure.kind, kind=kind,
        )
    if measure.when:
        draft.faults.add(
            "P418", "'%(id)s' is asked only of some boats", why, "take its 'when' out", measure.place, id=id,
        )
    if not any(id in step.asks for step in procedure.steps):
        draft.faults.add(
            "P419", "no step asks '%(id)s'", why, "add it to the 'asks' of a step before the gate", measure.place,
            id=id,
        )
    return measure if measure.kind == kind else None
