"""Looks up, when everything is declared, what every word refers to and what every formula means.

Rules kept here:
 1. Every reference names something that exists and fits; an unknown one is offered the nearest name.
 2. No number rests on itself, and no step waits for itself, through however many others.
Knows nothing of: heat.
Called by: schema.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coach.core.formula_check import shape_of
from coach.core.formula_shape import Declared, Shape, shape_for
from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import EXPIRY
from coach.core.problems import Place
from coach.core.sizing.registry import FUNCTIONS
from coach.core.units import KIND_PHRASES, KINDS
from coach.reader.draft import Draft, Reference
from coach.reader.faults import clip
from coach.reader.fields import offer

MAX_RINGS = 20  # more than an author can untie at once


def check_links(draft: Draft) -> None:
    """Notes every reference that names nothing, every formula that means nothing, and every ring."""
    known = _known(draft)
    for reference in draft.references:
        words = known[reference.kind]
        if reference.word.text not in words:
            _unknown(draft, reference, tuple(words))
    _check_formulas(draft)
    _check_debts(draft)
    number_needs = {id: tuple(number.formula.names) for id, number in draft.numbers.items()}
    number_needs |= {id: tuple(measure.when.names) for id, measure in draft.measures.items() if measure.when}
    places = {measure.id: measure.place for measure in draft.measures.values()}
    places |= {number.id: number.place for number in draft.numbers.values()}
    for ring in rings(number_needs):
        _ring(draft, ring, "P303", "measures and numbers", places[ring[0]], "it could never be worked out",
              "take one of them out of a formula")
    steps = {step.id: step for stage in draft.stages for step in stage.steps}
    for ring in rings({id: step.needs for id, step in steps.items()}):
        _ring(draft, ring, "P304", "steps", steps[ring[0]].place, "none of them could ever be begun",
              "take one of them out of a 'needs'")


def _known(draft: Draft) -> dict[str, dict[str, None]]:
    """For each kind of reference, the words it may name."""
    own_debts = [debt.id for debt in draft.debts]
    measures = list(draft.measures)
    words: dict[str, Iterable[str]] = {
        "step": (step.id for stage in draft.stages for step in stage.steps),
        "measure": measures,
        "measure or number": (*measures, *draft.numbers, *draft.broken),
        **{f"{kind} to hold against": _of_kind(draft, kind) for kind in KINDS},
        "safeguard": (*SAFEGUARDS, *(own.id for own in draft.safeguards)),
        "debt": (*DEBTS, *own_debts),
        "own debt": own_debts,
    }
    return {kind: dict.fromkeys(ids) for kind, ids in words.items()}


def _of_kind(draft: Draft, kind: str) -> list[str]:
    """The measures and numbers of this kind, and those whose own declaration is faulty."""
    kinds = {id: one.kind for id, one in draft.measures.items()} | {id: one.kind for id, one in draft.numbers.items()}
    return [*(id for id, found in kinds.items() if found in (kind, "")), *draft.broken]


def _unknown(draft: Draft, reference: Reference, words: tuple[str, ...]) -> None:
    word, kind = reference.word, reference.kind
    said = "measure or number" if kind.endswith(" to hold against") else kind
    if kind == "own debt" and word.text in DEBTS:
        draft.faults.add(
            "P305", "%(by)s opens the kernel's debt '%(word)s'",
            "the kernel opens its own debts when the tape goes on and "
            "the flame is lit", "take it out of 'opens'", word.place, by=reference.by, word=word.text,
        )
    elif kind.endswith(" to hold against") and word.text in {**draft.measures, **draft.numbers}:
        wanted = kind.removesuffix(" to hold against")
        draft.faults.add(
            "P306", "%(by)s holds %(found)s against '%(word)s', which is of another kind",
            "only quantities of one kind can be compared", "%(offer)s", word.place, by=reference.by,
            found=KIND_PHRASES.get(wanted, wanted), word=word.text, offer=offer(word.text, words),
        )
    else:
        draft.faults.add(
            "P302", "%(by)s names the %(kind)s '%(word)s', which does not exist",
            "it would wait for something that never comes",
            "%(offer)s", word.place, by=reference.by, kind=said, word=clip(word.text), offer=offer(word.text, words),
        )


def _check_formulas(draft: Draft) -> None:
    """Checks names, kinds and dimensions of every formula; a name whose own declaration is faulty fits everywhere."""
    shapes: dict[str, Shape | None] = {id: None for id in draft.broken}
    for id, measure in draft.measures.items():
        shapes[id] = shape_for(measure.declared()) if measure.kind else None
    for id, number in draft.numbers.items():
        shapes[id] = shape_for(Declared(number.kind)) if number.kind else None
    days = [id for id, measure in draft.measures.items() if measure.kind == EXPIRY]
    for pending in draft.formulas:
        if read := sorted(pending.formula.names & set(days)):
            draft.faults.add(
                "P308", "a formula reads '%(id)s', which is a day", "the kernel itself holds a last good day against today",
                "take it out of the formula", pending.text.place, id=read[0],
            )
            continue
        _, problems = shape_of(pending.formula, shapes, FUNCTIONS, pending.due or None)
        draft.note_inside(pending.text, tuple(problems))


def _check_debts(draft: Draft) -> None:
    opened = {debt for stage in draft.stages for step in stage.steps for debt in step.opens}
    for debt in draft.debts:
        if debt.id not in opened:
            draft.faults.add(
                "P307", "no step opens the debt '%(id)s'", "it would never be owed, and never asked for",
                "add 'opens: [%(id)s]' to the step that makes it, or delete it", debt.place, id=clip(debt.id),
            )


def _ring(draft: Draft, ring: tuple[str, ...], code: str, kind: str, place: Place, why: str, mend: str) -> None:
    shown = [clip(id) for id in (*ring, ring[0])]
    text = " > ".join(shown if len(shown) <= 8 else [*shown[:6], "...", shown[-1]])
    what = "the %(kind)s rest on each other in a ring: %(ring)s"
    draft.faults.add(code, what, why, mend, place, kind=kind, ring=text)


def rings(needs: Mapping[str, Iterable[str]]) -> list[tuple[str, ...]]:
    """One ring for each group of names that need each other, without recursion; names that are no key are ignored."""
    found: list[tuple[str, ...]] = []
    settled: set[str] = set()
    for start in needs:
        path: dict[str, None] = {}
        waiting: list[tuple[str, bool]] = [(start, False)]
        while waiting:
            name, leaving = waiting.pop()
            if leaving:
                path.pop(name, None)
                settled.add(name)
            elif name in path:
                order = list(path)
                found.append(tuple(order[order.index(name):]))
                if len(found) >= MAX_RINGS:
                    return _once(found)
            elif name in needs and name not in settled:
                path[name] = None
                waiting.append((name, True))
                waiting += [(need, False) for need in sorted(needs[name], reverse=True) if need not in settled]
    return _once(found)


def _once(found: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Rings that share no name with one before them: one fault for each knot."""
    kept: list[tuple[str, ...]] = []
    seen: set[str] = set()
    for ring in found:
        if seen.isdisjoint(ring):
            kept.append(ring)
            seen.update(ring)
    return kept

