"""Finite answers in place of all numbers: for each measure the few values that a set of conditions can tell apart.

Rules kept here:
 1. Two values of a measure are the same for the kernel if every atom of every condition gives the same truth for
    them; one real value stands for each such cell, so every answer in a story is one that a person could give.
 2. A condition that compares one measure with a constant, or asks for a choice or a yes/no, is split exactly: at the
    constant, just below and just above, and at the plausible ends.
 3. Any other condition (over several measures, or over computed numbers) is searched: ends, middles, constants, and
    seeded random values between the ends. If one of its truths was not met, intervals decide whether it could be;
    where they cannot, the atom is undecided, and nothing that reads it is called proven.
Why this is sound: the kernel reads a measure only through the truth of conditions (`when`), as a fact of the gate
(vents, place: each of their values that the gate can tell apart is kept), and in evidence that is held against it or
against a number that rests on it, for which `evidence_for` takes the value itself. Partly known answers are covered because cells are split by atom, not
by whole condition, and the kernel works conditions out atom by atom.
Knows nothing of: steps, states.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from coach.core.formula import Formula, Function, Node, atoms, names_in
from coach.core.formula_run import Value
from coach.core.formula_tree import Call, Compare, If, Literal, Member, Name, walk
from coach.core.model import EXPIRY, FUEL_VENTS, PLACE, Measure, Procedure
from coach.core.numbers import compute, truth
from coach.core.quantity import KINDS, Quantity, as_text, from_text
from coach.prover.cast import GOOD_DAY
from coach.prover.ranges import can_be

MOST_TRIES = 1_500
_SEED = 20_261


@dataclass(frozen=True)
class Answers:
    """values: measure -> texts, one for each cell. undecided: the texts of atoms of which one truth is not decided."""

    values: Mapping[str, tuple[str, ...]]
    undecided: tuple[str, ...] = ()


def as_formula(node: Node) -> Formula:
    """A part of a formula as a formula of its own."""
    calls = frozenset(part.function for part in walk(node) if isinstance(part, Call))
    return Formula(node.text, node, names_in(node), calls)


def value_of(measure: Measure, text: str) -> Value:
    """The value that the recorded text of an answer stands for."""
    if measure.kind in ("choice", EXPIRY):
        return text
    return text == "yes" if measure.kind == "yes_no" else from_text(text)


def answers(
    procedure: Procedure, functions: Mapping[str, Function], conditions: Iterable[Formula], wanted: Iterable[str] = (),
    numbers: Iterable[Formula] = (),
) -> Answers:
    """The answers that tell these conditions' truths apart, for their measures and those in `wanted`.

    `numbers`: formulas of numbers; the conditions inside their ifs are told apart.
    """
    whole = tuple(conditions)
    inner = [as_formula(part.condition) for f in (*whole, *numbers) for part in walk(f.tree) if isinstance(part, If)]
    parts = tuple(dict.fromkeys(atom for condition in (*whole, *inner) for atom in atoms(condition)))
    simple = {atom: id for atom in parts if (id := _one_measure(procedure, atom))}
    hard = tuple(atom for atom in parts if atom not in simple)
    values: dict[str, tuple[str, ...]] = {}
    reached = {atom: _measures_of(procedure, names_in(atom)) for atom in hard}
    for id in dict.fromkeys((*simple.values(), *itertools.chain(*reached.values()), *wanted)):
        own = [atom for atom, measure in simple.items() if measure == id]
        values[id] = _cells(procedure, functions, procedure.measures[id], own)
    undecided: list[str] = []
    if hard:
        values.update(_searched(procedure, functions, hard, reached, values, undecided))
    return Answers(values, tuple(undecided))


def fewer_vents(procedure: Procedure, found: Answers, conditions: Iterable[Formula], ends: bool) -> Answers:
    """The answers with two counts of fuel vents, where none of these conditions asks for them through any number.

    ends: whether the two are the least and the most, or the two least.
    """
    if any(FUEL_VENTS in _measures_of(procedure, condition.names) for condition in conditions):
        return found
    texts = found.values.get(FUEL_VENTS, ())
    kept = tuple(dict.fromkeys((texts[0], texts[-1] if ends else texts[:2][-1]))) if texts else ()
    return Answers({id: kept if id == FUEL_VENTS else own for id, own in found.values.items()}, found.undecided)


def workable(procedure: Procedure, functions: Mapping[str, Function], found: Answers, numbers: tuple[str, ...]) -> Answers:
    """The answers with other values for measures that have one only, so that these numbers can be worked out.

    A number that no boat's measures give (a roll wider than any) holds its step back until they are corrected, as a
    strict check does; it is enough that some boat's do. Unchanged if no try gives them all: then the step is stuck, and
    the prover says so.
    """
    behind = [id for id in _measures_of(procedure, numbers) if len(found.values.get(id, ())) == 1]
    if not numbers or not behind or _work(procedure, functions, found, {}, numbers):
        return found
    known = {id: found.values[id] for id in behind}
    for given in _tries(procedure, tuple(behind), [], known):
        if _work(procedure, functions, found, given, numbers):
            return Answers({id: (given[id],) if id in given else texts for id, texts in found.values.items()}, found.undecided)
    return found


def _work(
    procedure: Procedure, functions: Mapping[str, Function], found: Answers, given: Mapping[str, str], numbers: tuple[str, ...]
) -> bool:
    texts = {id: given.get(id, own[0]) for id, own in found.values.items() if own}
    values = {id: value_of(procedure.measures[id], text) for id, text in texts.items()}
    worked = compute(procedure, values, functions, numbers)
    return all(worked[number].value is not None for number in numbers)


def _one_measure(procedure: Procedure, atom: Node) -> str:
    """The measure of an atom that compares one measure with a constant, or asks one; '' for any other."""
    match atom:
        case Member():
            return atom.name.id if atom.name.id in procedure.measures else ""
        case Name():
            return atom.id if atom.id in procedure.measures else ""
        case Compare(left=Name() as name, right=Literal()) | Compare(left=Literal(), right=Name() as name):
            return name.id if name.id in procedure.measures else ""
        case _:
            return ""


def _measures_of(procedure: Procedure, names: Iterable[str]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    waiting, seen = list(names), set()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        if name in procedure.measures:
            found[name] = None
        elif name in procedure.numbers:
            waiting.extend(procedure.numbers[name].formula.names)
    return tuple(sorted(found))


def _cells(
    procedure: Procedure, functions: Mapping[str, Function], measure: Measure, own: list[Node]
) -> tuple[str, ...]:
    """One value for every truth that the atoms on this one measure can have, and for what the gate tells apart."""
    formulas = [as_formula(atom) for atom in own]
    cells: dict[tuple[object, ...], str] = {}
    for text in _candidates(measure, own):
        value = value_of(measure, text)
        mark: object = text if measure.id == PLACE else _vents_mark(measure, value)
        cells.setdefault((mark, *(truth(f, procedure, {measure.id: value}, functions) for f in formulas)), text)
    return tuple(cells.values())


def _vents_mark(measure: Measure, value: Value) -> object:
    """The gate compares counted tapes with the vents: none, one, two and the most that a boat has stand for all counts."""
    if measure.id != FUEL_VENTS or not isinstance(value, Quantity):
        return None
    return "most" if value == measure.high else min(int(value.value), 2)


def _candidates(measure: Measure, own: Iterable[Node]) -> list[str]:
    """Values of a measure on which atoms could change, ends first."""
    if measure.kind == EXPIRY:  # what is past its day is changed for another; gate_slices has the other day
        return [GOOD_DAY]
    if measure.kind == "choice":
        return [option.id for option in measure.options]
    if measure.kind == "yes_no":
        return ["yes", "no"]
    constants = [part for atom in own for part in walk(atom) if isinstance(part, Literal)]
    return [as_text(value) for value in _numbers(measure, constants)]


def _numbers(measure: Measure, constants: Iterable[Literal]) -> list[Quantity]:
    dimension = KINDS[measure.kind]
    low = Fraction(measure.low.value) if measure.low else None
    high = Fraction(measure.high.value) if measure.high else None
    step = Fraction(1) if measure.kind == "count" else Fraction(1, 10_000)
    found = [Fraction(n) for n in (0, 1, 2, 3)] if measure.id == FUEL_VENTS else []  # neighbours first: a miscount is by one
    found += [low, high] if low is not None and high is not None else [low or Fraction(0), high or (low or 0) + 1000]
    for constant in constants:
        at = Fraction(constant.value)
        if measure.kind == "count":
            found += [Fraction(at.__floor__() + n) for n in (-1, 0, 1, 2)]
        else:
            found += [at - step, at, at + step]
    fits = [v for v in found if v is not None and (low is None or v >= low) and (high is None or v <= high)]
    if measure.kind == "count":
        fits = [v for v in fits if v >= 0 and v.denominator == 1]
    return [Quantity(value, dimension) for value in dict.fromkeys(fits)]


def _searched(
    procedure: Procedure, functions: Mapping[str, Function], hard: tuple[Node, ...], reached: Mapping[Node, tuple[str, ...]],
    known: Mapping[str, tuple[str, ...]], undecided: list[str],
) -> dict[str, tuple[str, ...]]:
    """Values found by search for atoms over several measures, group by group of atoms that share a measure."""
    found: dict[str, tuple[str, ...]] = {}
    for group in _groups(hard, reached):
        ids = tuple(dict.fromkeys(id for atom in group for id in reached[atom]))
        formulas = [as_formula(atom) for atom in group]
        met: dict[tuple[object, ...], dict[str, str]] = {}
        for given in _tries(procedure, ids, group, known):
            values = {id: value_of(procedure.measures[id], text) for id, text in given.items()}
            met.setdefault(tuple(truth(f, procedure, values, functions) for f in formulas), given)
        for id in ids:
            texts = [*known[id], *(given[id] for given in met.values())]
            found[id] = tuple(dict.fromkeys((*found.get(id, ()), *texts)))
        undecided += _undecided(procedure, group, met)
    return found


def _groups(hard: tuple[Node, ...], reached: Mapping[Node, tuple[str, ...]]) -> list[list[Node]]:
    groups: list[tuple[set[str], list[Node]]] = []
    for atom in hard:
        ids, members = set(reached[atom]), [atom]
        apart = []
        for other_ids, others in groups:
            if ids & other_ids:
                ids |= other_ids
                members = others + members
            else:
                apart.append((other_ids, others))
        groups = [*apart, (ids, members)]
    return [members for _, members in groups]


def _tries(
    procedure: Procedure, ids: tuple[str, ...], group: list[Node], known: Mapping[str, tuple[str, ...]]
) -> Iterable[dict[str, str]]:
    """Assignments to try: all corners if they are few, else a seeded sample of them, and random points between."""
    chance = random.Random(_SEED)
    literals = [part for atom in group for part in walk(atom) if isinstance(part, Literal)]
    columns = []
    for id in ids:
        measure = procedure.measures[id]
        fitting = [x for x in literals if measure.kind in KINDS and x.dimension == KINDS[measure.kind]]
        own = [as_text(v) for v in _numbers(measure, fitting)] if measure.kind in KINDS else _candidates(measure, ())
        columns.append(tuple(dict.fromkeys((*known[id], *own, *_between(measure, chance)))))
    total = 1
    for column in columns:
        total *= len(column)
    if total <= MOST_TRIES:
        for chosen in itertools.product(*columns):
            yield dict(zip(ids, chosen, strict=True))
        return
    for _ in range(MOST_TRIES):
        yield {id: chance.choice(column) for id, column in zip(ids, columns, strict=True)}


def _between(measure: Measure, chance: random.Random) -> list[str]:
    if measure.kind not in KINDS or measure.low is None or measure.high is None:
        return []
    low, high = Fraction(measure.low.value), Fraction(measure.high.value)
    shares = [Fraction(chance.randrange(1, 1000), 1000) for _ in range(3)]
    values = [low + (high - low) * share for share in (Fraction(1, 2), *shares)]
    if measure.kind == "count":
        values = [Fraction(round(value)) for value in values]
    return [as_text(Quantity(value, KINDS[measure.kind])) for value in values]


def _undecided(procedure: Procedure, group: list[Node], met: Mapping[tuple[object, ...], object]) -> list[str]:
    """Atoms of which a truth was not met and could not be ruled out either."""
    found = []
    for index, atom in enumerate(group):
        seen = {truths[index] for truths in met}
        if any(wanted not in seen and can_be(procedure, atom, wanted) for wanted in (True, False)):
            found.append(atom.text)
    return found
