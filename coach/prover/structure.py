"""What a procedure must have before there is anything to explore: every word names something, nothing is missing twice.

Rules kept here:
 1. The reader refuses most of this in files; here it is said again of the model itself, for procedures that were
    made in another way, because the kernel would stumble over them or the exploration would have no meaning.
 2. A structure with a fault of the first kind (`broken`) is not explored.
Knows nothing of: states.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coach.core.formula import Formula, Function, check
from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import EXPIRY, FUEL_VENTS, PLACE, PLACE_OPTIONS, Procedure, Step
from coach.core.policy import FIRE_WATCH
from coach.core.problems import FormulaError, Place, Problem
from coach.core.quantity import KINDS
from coach.prover.watchers import DEAD_END, HEAT, MEASURED, REACH, UNITS
from coach.prover.watchers import DEBTS as DEBT_PROPERTY

# code -> property, what, why, mend, whether it leaves nothing to explore
_FAULTS: dict[str, tuple[str, str, str, str, bool]] = {
    "V101": (DEAD_END, "'%(step)s' needs '%(word)s', which is no step", "it would wait for ever", "name a step of the procedure", True),
    "V102": (MEASURED, "'%(step)s' speaks of '%(word)s', which is no measure or number", "nothing could ever be known of it", "declare it, or correct the name", True),
    "V103": (DEAD_END, "two steps have the id '%(step)s'", "nobody could tell which is meant", "give one of them another id", True),
    "V104": (HEAT, "'%(step)s' proves '%(word)s', which is no safeguard", "the gate would never ask for it", "name a safeguard", True),
    "V105": (DEBT_PROPERTY, "'%(step)s' speaks of the debt '%(word)s', which there is not", "it could never be owed or undone", "name a debt", True),
    "V106": (HEAT, "no step shows the safeguard '%(word)s'", "the flame needs it, and nobody is told where and when to look", "add a step with 'proves: %(word)s'", False),
    "V107": (HEAT, "two steps show the safeguard '%(word)s': '%(other)s' and '%(step)s'", "only one of them would count", "take 'proves' out of one of them", False),
    "V108": (DEBT_PROPERTY, "no step undoes the debt '%(word)s'", "the job could never be closed once it is owed", "add a step with 'clears: %(word)s'", False),
    "V109": (DEBT_PROPERTY, "two steps undo the debt '%(word)s': '%(other)s' and '%(step)s'", "when the debt is made again only one of them comes back", "take 'clears' out of one of them", False),
    "V110": (MEASURED, "no measure '%(word)s' of kind %(kind)s", "the gate judges by it", "add the measure, and ask it before the gate", False),
    "V111": (REACH, "'%(step)s' undoes '%(word)s', which nothing makes be owed", "the step would never be asked", "take the step out, or name what opens the debt", False),
    "V112": (HEAT, "'%(step)s' is a heat step that shows a safeguard or undoes a debt", "the gate must stand before the flame, and what makes things safe must be possible without one", "make two steps of it", False),
    "V114": (DEAD_END, "'%(step)s' holds the count '%(word)s' against a measure and against limits of its own", "on some boat no count could meet both", "take the limits out", True),
    "V115": (MEASURED, "'%(step)s' is a last good day that names no safeguard, or is not always asked", "a boat could pass it by", "name a safeguard, and take 'when' out", True),
    "V116": (UNITS, "'%(step)s' holds '%(item)s' against '%(word)s', which is of another kind", "only quantities of one kind can be compared", "name a measure or number of its kind", True),
    "V117": (DEAD_END, "'%(step)s' holds '%(item)s' against more than one thing, or within no distance that could be", "on some boat nothing could meet all of it", "keep one of them, with a tolerance above zero for a number that is to be equal", True),
    "V118": (DEBT_PROPERTY, "the end of the fire watch in '%(step)s' is confirmed by a %(word)s", "only a fire watch of the yard can say that it was held", "take 'role' out", True),
    "V119": (MEASURED, "a formula of '%(step)s' reads '%(word)s', which is a day", "the kernel itself holds a last good day against today", "take it out of the formula", True),
}


@dataclass(frozen=True)
class Flaw:
    """One fault of structure. broken: there is nothing to explore with it."""

    property: str
    about: str
    problem: Problem
    broken: bool


def flaw(code: str, about: str, place: Place, **slots: object) -> Flaw:
    """A fault by its code."""
    property, what, why, mend, broken = _FAULTS[code]
    return Flaw(property, about, Problem(code, what, why, mend, place, slots), broken)


def flaws(procedure: Procedure, functions: Mapping[str, Function]) -> list[Flaw]:
    """Every fault of structure and of dimensions."""
    found = [*_words(procedure)]
    if not any(one.broken for one in found):
        found += [*_gate(procedure), *_debts(procedure)]
    return found + [*dimensions(procedure, functions)]


def _words(procedure: Procedure) -> Iterator[Flaw]:
    """Words that must name something."""
    ids = [step.id for step in procedure.steps]
    names = {*procedure.measures, *procedure.numbers}
    safeguards = {*SAFEGUARDS, *(own.id for own in procedure.safeguards)}
    debts = {*DEBTS, *(own.id for own in procedure.debts)}
    for step in procedure.steps:
        said = {"step": step.id}
        if ids.count(step.id) > 1:
            yield flaw("V103", step.id, step.place, **said)
        yield from (flaw("V101", step.id, step.place, word=need, **said) for need in step.needs if need not in ids)
        yield from (flaw("V102", step.id, step.place, word=id, **said) for id in _read_by(step) if id not in names)
        yield from (flaw("V102", step.id, step.place, word=id, **said) for id in step.asks if id not in procedure.measures)
        yield from _evidence(procedure, step)
        if step.proves and step.proves not in safeguards:
            yield flaw("V104", step.id, step.place, word=step.proves, **said)
        for debt in (*step.opens, *([step.clears] if step.clears else [])):
            if debt not in debts:
                yield flaw("V105", step.id, step.place, word=debt, **said)
    for measure in procedure.measures.values():
        if measure.kind == EXPIRY and (measure.safeguard not in safeguards or measure.when is not None):
            yield flaw("V115", measure.id, measure.place, step=measure.id)
    for owner, formula, place in _formulas(procedure):
        yield from (flaw("V119", owner, place, step=owner, word=id) for id in sorted(formula.names & set(procedure.expiries)))
        yield from (flaw("V102", owner, place, step=owner, word=id) for id in sorted(formula.names - names))


def _evidence(procedure: Procedure, step: Step) -> Iterator[Flaw]:
    """Evidence that is held against something, and the role of who confirms."""
    for item in step.evidence:
        said = {"step": step.id, "item": item.id}
        kind = item.quantity or "count"
        if item.against and (item.low is not None or item.high is not None):
            yield flaw("V114", step.id, item.place, step=step.id, word=item.id)
        named = procedure.measures.get(item.against) or procedure.numbers.get(item.against)
        if named is not None and named.kind != kind:
            yield flaw("V116", step.id, item.place, word=item.against, **said)
        far = item.within
        near = item.kind == "number" and bool(item.equals) and far is None
        bad = far is not None and (far.value < 0 or far.dimension != KINDS[kind] or not item.against)
        if near or bad or sum(map(bool, (item.equals, item.at_least, item.at_most))) > 1:
            yield flaw("V117", step.id, item.place, **said)
        if step.clears == FIRE_WATCH and item.role not in ("", FIRE_WATCH):
            yield flaw("V118", step.id, item.place, step=step.id, word=item.role)


def _read_by(step: Step) -> list[str]:
    return [*step.uses, *step.shows, *(item.against for item in step.evidence if item.against)]


def _gate(procedure: Procedure) -> Iterator[Flaw]:
    """What a procedure with a flame needs for its gate."""
    heat = next((step for step in procedure.steps if step.heat), None)
    seen: dict[str, Step] = {}
    for step in procedure.steps:
        if step.proves in seen:
            yield flaw("V107", step.proves, step.place, word=step.proves, other=seen[step.proves].id, step=step.id)
        if step.proves:
            seen.setdefault(step.proves, step)
        if step.heat and (step.proves or step.clears):
            yield flaw("V112", step.id, step.place, step=step.id)
    if heat is None:
        return
    for id in (*SAFEGUARDS, *(own.id for own in procedure.safeguards)):
        if id not in seen:
            yield flaw("V106", id, heat.place, word=id)
    for id, kind in ((FUEL_VENTS, "count"), (PLACE, "choice")):
        measure = procedure.measures.get(id)
        options = {option.id for option in measure.options} if measure else set()
        if measure is None or measure.kind != kind or (id == PLACE and not options <= set(PLACE_OPTIONS)):
            yield flaw("V110", id, measure.place if measure else heat.place, word=id, kind=kind)


def _debts(procedure: Procedure) -> Iterator[Flaw]:
    """Debts that nothing undoes, that two steps undo, or that nothing opens."""
    heats = procedure.heats
    opened = {debt for step in procedure.steps for debt in step.opens} | (set(DEBTS) if heats else set())
    proofs = {step.proves for step in procedure.steps}
    opened |= {debt for debt, proof in (("taped_vents", "vents_taped"), ("open_cylinder", "leak_test")) if proof in proofs}
    clearing: dict[str, Step] = {}
    for step in procedure.steps:
        if step.clears in clearing:
            yield flaw("V109", step.clears, step.place, word=step.clears, other=clearing[step.clears].id, step=step.id)
        if step.clears:
            clearing.setdefault(step.clears, step)
            if step.clears not in opened:
                yield flaw("V111", step.id, step.place, step=step.id, word=step.clears)
    place = next((step.place for step in procedure.steps if step.heat or step.opens or step.proves), procedure.place)
    yield from (flaw("V108", debt, place, word=debt) for debt in sorted(opened - set(clearing)))


def _formulas(procedure: Procedure) -> Iterator[tuple[str, Formula, Place]]:
    for measure in procedure.measures.values():
        if measure.when is not None:
            yield measure.id, measure.when, measure.place
    for number in procedure.numbers.values():
        yield number.id, number.formula, number.place
    for one in procedure.checks:
        yield one.id, one.holds, one.place
    for step in procedure.steps:
        if step.when is not None:
            yield step.id, step.when, step.place


def dimensions(procedure: Procedure, functions: Mapping[str, Function]) -> Iterator[Flaw]:
    """Property 6: every condition is a condition, every number is of the kind it says, and dimensions agree inside."""
    declared = procedure.declared()
    due = {number.id: number.kind for number in procedure.numbers.values()}
    for owner, formula, place in _formulas(procedure):
        try:
            check(formula, declared, functions, due=due.get(owner, "yes_no"))  # type: ignore[arg-type]
        except FormulaError as error:
            yield from (Flaw(UNITS, owner, problem.at(place), True) for problem in error.problems)
    for number in procedure.numbers.values():
        step = number.rounding.step if number.rounding is not None else None
        if step is not None and step.dimension != KINDS[number.kind]:
            what = "'%(number)s' is rounded to steps of another kind"
            yield Flaw(UNITS, number.id, Problem("V113", what, "it could never be worked out", "round to steps of its own kind",
                                                 number.place, {"number": number.id}), True)
