"""Random small procedures: clean by the way they are made, faulty by one planted fault, or wild (nobody knows).

All from one seed, so that a failure can be made again. A clean job has its questions before their use, its conditions
on what is asked before, its debts undone after they are opened, and (half of the time) a flame with the whole gate.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from coach.core.gate import SAFEGUARDS
from coach.core.model import Measure, Number, Option, OwnDebt, OwnSafeguard, Procedure, Step
from coach.core.quantity import parse_quantity
from tests.prover.build import HERE, SPOT, VENTS, after_flame, choice, item, length, number, procedure, step, when

FEET = ("6 ft", "8 ft", "10 ft")


@dataclass
class Draft:
    """A job while it is being made. known: measures that every boat has been asked for by now, in this order."""

    chance: random.Random
    steps: list[Step] = field(default_factory=list)
    measures: dict[str, Measure] = field(default_factory=dict)
    numbers: dict[str, Number] = field(default_factory=dict)
    debts: list[OwnDebt] = field(default_factory=list)
    safeguards: list[OwnSafeguard] = field(default_factory=list)
    known: list[str] = field(default_factory=list)

    def made(self, id: str) -> Procedure:
        return procedure(
            self.steps, self.measures.values(), self.numbers.values(), self.safeguards, self.debts, chained=False, id=id,
        )

    trunk: str = ""

    def add(self, one: Step) -> Step:
        """A step behind the trunk's last one; a step with needs of its own is a side branch and leaves the trunk be."""
        if not one.needs:
            one = replace(one, needs=(self.trunk,) if self.trunk else ())
            self.trunk = one.id
        self.steps.append(one)
        return one

    def atom(self, names: list[str] | None = None) -> str:
        """A condition on one of the known measures, '' if there is none."""
        fitting = [n for n in (self.known if names is None else names) if self.measures[n].kind != "count"]
        if not fitting:
            return ""
        measure = self.measures[self.chance.choice(fitting)]
        if measure.kind == "yes_no":
            return self.chance.choice([measure.id, f"not {measure.id}"])
        if measure.kind == "choice":
            options = [option.id for option in measure.options]
            if len(options) > 2 and self.chance.random() < 0.3:
                return f"{measure.id} in [{', '.join(self.chance.sample(options, 2))}]"
            return f"{measure.id} {self.chance.choice(['==', '!='])} {self.chance.choice(options)}"
        return f"{measure.id} {self.chance.choice(['<', '<=', '>', '>='])} {self.chance.choice(FEET)}"

    def condition(self) -> str:
        """A condition of one atom, or of two on different measures."""
        first = self.atom()
        used = [name for name in self.known if name in first.split()]
        other = self.atom([name for name in self.known if name not in used])
        if first and other and self.chance.random() < 0.3:
            return f"{first} {self.chance.choice(['and', 'or'])} {other}"
        return first


def clean(seed: int, heat: bool | None = None) -> Draft:
    """A safe job."""
    draft = Draft(random.Random(seed))
    chance = draft.chance
    heats = chance.random() < 0.5 if heat is None else heat
    draft.add(step("arrive"))
    if heats:
        draft.measures |= {VENTS.id: replace(VENTS, high=parse_quantity("2", "count")), SPOT.id: replace(SPOT, options=SPOT.options[:1])}
        draft.add(step("facts", asks=["fuel_vents", "place"]))
    for n in range(chance.randint(1, 3)):
        id = f"q{n}"
        kind = chance.choice(("choice", "choice", "yes_no", "length"))
        draft.measures[id] = {
            "choice": choice(id, "a", "b", *(["c"] if chance.random() < 0.4 else [])),
            "yes_no": Measure(id, f"Is it {id}?", "yes_no", HERE),
            "length": length(id, "4 ft", "12 ft"),
        }[kind]
        draft.add(step(f"ask-{id}", asks=[id]))
        draft.known.append(id)
    for n in range(chance.randint(1, 4)):
        _work(draft, n)
    if chance.random() < 0.5:
        draft.debts.append(OwnDebt("plugs", "Plugs", "Rain must run off.", "Take them out.", HERE))
        draft.add(step("plug", opens=["plugs"], **_perhaps(draft)))
    if heats:
        _heat(draft)
    if draft.debts:
        draft.add(step("unplug", clears="plugs"))
    draft.add(step("end"))
    return draft


def _perhaps(draft: Draft) -> dict[str, object]:
    text = draft.condition() if draft.chance.random() < 0.5 else ""
    return {"when": when(text)} if text else {}


def _work(draft: Draft, n: int) -> None:
    """A step of work: with a condition, a number, a further question on some boats, or behind an earlier step."""
    chance, more = draft.chance, _perhaps(draft)
    lengths = [id for id in draft.known if draft.measures[id].kind == "length"]
    roll = chance.random()
    if roll < 0.3 and lengths:
        draft.numbers[f"n{n}"] = number(f"n{n}", f"2 * {chance.choice(lengths)}")
        more["shows"] = [f"n{n}"]
    elif roll < 0.5 and (only := draft.atom()):
        id, default = f"m{n}", "1 ft"
        draft.measures[id] = length(id, "4 ft", "12 ft")
        draft.add(step(f"ask-{id}", asks=[id], when=when(only)))
        draft.numbers[f"n{n}"] = number(f"n{n}", f"if({only}, {id}, {default})")
        more["shows"] = [f"n{n}"]
    if chance.random() < 0.2:
        more["needs"] = [draft.trunk] if more.get("when") or more.get("shows") else [chance.choice(draft.steps).id]
    draft.add(step(f"work{n}", **more))


def _heat(draft: Draft) -> None:
    chance = draft.chance
    if chance.random() < 0.3:
        draft.safeguards.append(OwnSafeguard("tarp", "Tarp wet", "Is it wet?", "It burns.", "Wet it.", 60, HERE))
    rows = [*SAFEGUARDS, *(own.id for own in draft.safeguards)]
    first, spread = draft.trunk, chance.random() < 0.2
    for id in rows:
        aside = spread and id in ("gas", "area", "wind")  # three steps of the gate in any order
        draft.add(step(f"gate-{id}", proves=id, needs=[first] if aside else []))
    if spread:
        draft.add(step("gathered"))
        draft.steps[-1] = replace(draft.steps[-1], needs=(*draft.steps[-1].needs, "gate-gas", "gate-area", "gate-wind"))
    for n in range(chance.randint(1, 2)):
        draft.add(step(f"heat{n}", heat=True, **_perhaps(draft)))
    ends = after_flame()
    chance.shuffle(ends)
    for one in ends:
        draft.add(one)


def _index(draft: Draft, test: Callable[[Step], bool]) -> int | None:
    fitting = [n for n, one in enumerate(draft.steps) if test(one)]
    return draft.chance.choice(fitting) if fitting else None


def _swap_in(draft: Draft, at: int, **new: object) -> bool:
    draft.steps[at] = replace(draft.steps[at], **new)
    return True


def _rechain(draft: Draft) -> bool:
    draft.steps = [replace(one, needs=(draft.steps[n - 1].id,) if n else ()) for n, one in enumerate(draft.steps)]
    return True


def circle(draft: Draft) -> bool:
    """An early step needs a later one."""
    trunk = [draft.steps[-1].needs[0]]
    while draft.steps[_at(draft, trunk[-1])].needs:
        trunk.append(draft.steps[_at(draft, trunk[-1])].needs[0])
    at = _at(draft, draft.chance.choice(trunk))
    return _swap_in(draft, at, needs=(*draft.steps[at].needs, draft.steps[-1].id))


def _at(draft: Draft, id: str) -> int:
    return next(n for n, one in enumerate(draft.steps) if one.id == id)


def gate_missing(draft: Draft) -> bool:
    """One step of the gate is not there."""
    at = _index(draft, lambda one: bool(one.proves))
    return at is not None and _drop(draft, at)


def _drop(draft: Draft, at: int) -> bool:
    gone = draft.steps.pop(at)
    draft.steps = [
        replace(one, needs=tuple(dict.fromkeys(n for need in one.needs for n in (gone.needs if need == gone.id else (need,)))))
        for one in draft.steps
    ]
    return True


def gate_on_one_branch(draft: Draft) -> bool:
    """One step of the gate falls away on some boats, the flame does not."""
    at, only = _index(draft, lambda one: bool(one.proves)), draft.atom()
    for n, one in enumerate(draft.steps):
        if one.heat:
            draft.steps[n] = replace(one, when=None)
    return at is not None and bool(only) and _splits(draft, only) and _swap_in(draft, at, when=when(only))


def _splits(draft: Draft, text: str) -> bool:
    """Whether a condition on a length really leaves boats on both sides; choices and yes/no always do."""
    return "<= 12" not in text and "in [" not in text or len(draft.measures[text.split()[0]].options) > 2


def gate_late(draft: Draft) -> bool:
    """One step of the gate stands behind the flame."""
    at = _index(draft, lambda one: bool(one.proves))
    if at is None:
        return False
    moved = draft.steps.pop(at)
    last = max(n for n, one in enumerate(draft.steps) if one.heat)
    draft.steps.insert(last + 1, moved)
    return _rechain(draft)


def undoing_missing(draft: Draft) -> bool:
    """A debt that nothing undoes."""
    at = _index(draft, lambda one: bool(one.clears))
    return at is not None and _drop(draft, at)


def undoing_on_one_branch(draft: Draft) -> bool:
    """Undoing a debt is held against a count that only some boats are asked for."""
    at, only = _index(draft, lambda one: one.clears == "plugs"), draft.atom()
    if at is None or not only or not _splits(draft, only):
        return False
    draft.measures["plugged"] = replace(VENTS, id="plugged", high=parse_quantity("1", "count"))
    draft.steps[at] = replace(draft.steps[at], evidence=(item("out", "count", equals="plugged"),))
    opener = next(n for n, one in enumerate(draft.steps) if one.opens)
    draft.steps[opener] = replace(draft.steps[opener], when=None)
    draft.steps.insert(opener, step("count", asks=["plugged"], when=when(only)))
    return _rechain(draft)


def tape_off_early(draft: Draft) -> bool:
    """The tape comes off, or the cylinder is closed, before the last flame."""
    at = _index(draft, lambda one: one.clears in ("taped_vents", "open_cylinder"))
    heat = _index(draft, lambda one: one.heat)
    if at is None or heat is None:
        return False
    moved = draft.steps.pop(at)
    draft.steps.insert(heat, moved)
    draft.steps[heat + 1] = replace(draft.steps[heat + 1], when=None)
    return _rechain(draft)


def asked_late(draft: Draft) -> bool:
    """A condition reads an answer that is asked for at the end."""
    if not draft.known:
        return False
    id = draft.chance.choice(draft.known)
    draft.add(step("late", asks=[id]))
    draft.steps = [replace(one, asks=tuple(a for a in one.asks if a != id or one.id == "late")) for one in draft.steps]
    reader = step("reader", when=when(_any_atom(draft, id)))
    draft.steps.insert(1, replace(reader, needs=(draft.steps[0].id,)))
    return True


def _any_atom(draft: Draft, id: str) -> str:
    return draft.atom([id])


def never_asked(draft: Draft) -> bool:
    """A number rests on a measure that no step asks for."""
    draft.measures["lost"] = length("lost", "4 ft", "12 ft")
    draft.numbers["sum"] = number("sum", "2 * lost")
    at = draft.chance.randrange(1, len(draft.steps))
    return not draft.steps[at].clears and _swap_in(draft, at, shows=("sum",))


def asked_on_one_branch(draft: Draft) -> bool:
    """A measure is asked on one branch and used on all."""
    only = draft.atom()
    if not only or not _splits(draft, only):
        return False
    draft.measures["deep"] = length("deep", "4 ft", "12 ft")
    draft.numbers["twice"] = number("twice", "2 * deep")
    draft.add(step("go-deep", asks=["deep"], when=when(only)))
    draft.add(step("cut", shows=["twice"]))
    return True


def no_boat(draft: Draft) -> bool:
    """A step whose condition holds on no boat."""
    id = next((one for one in draft.known if draft.measures[one].kind == "choice"), None)
    text = f"{id} == a and {id} == b" if id else ""
    lengths = [one for one in draft.known if draft.measures[one].kind == "length"]
    text = text or (f"{lengths[0]} > 20 ft" if lengths else "")
    if not text:
        return False
    draft.add(step("nobody", when=when(text)))
    return True


def impossible_evidence(draft: Draft) -> bool:
    """Evidence that nothing can meet."""
    at = _index(draft, lambda one: not one.proves and not one.clears and one.when is None and one.id != "arrive")
    low, high = parse_quantity("8 in", "length"), parse_quantity("6 in", "length")
    wrong = draft.chance.choice((
        item("drop", "number", quantity="length", low=low, high=high),
        item("look", "choice", options=(Option("good", "Good"),), accept=("bad",)),
    ))
    return at is not None and _swap_in(draft, at, evidence=(wrong,))


def makes_itself_owed(draft: Draft) -> bool:
    """Undoing a debt makes it owed again."""
    at = _index(draft, lambda one: one.clears == "plugs")
    return at is not None and _swap_in(draft, at, opens=("plugs",))


def undoes_nothing(draft: Draft) -> bool:
    """A step undoes a debt that nothing opens."""
    draft.debts.append(OwnDebt("ladder", "Ladder", "Somebody falls.", "Take it away.", HERE))
    draft.add(step("unladder", clears="ladder"))
    return True


def vents_asked_late(draft: Draft) -> bool:
    """The gate compares the tapes with vents that are counted afterwards."""
    if "fuel_vents" not in draft.measures:
        return False
    draft.steps = [replace(one, asks=tuple(a for a in one.asks if a != "fuel_vents")) for one in draft.steps]
    draft.add(step("count-late", asks=["fuel_vents"]))
    return True


def self_need(draft: Draft) -> bool:
    """A step needs itself."""
    at = draft.chance.randrange(len(draft.steps))
    return _swap_in(draft, at, needs=(*draft.steps[at].needs, draft.steps[at].id))


def unit_slip(draft: Draft) -> bool:
    """A number of another kind than it says."""
    draft.measures["wide"] = length("wide", "4 ft", "12 ft")
    draft.numbers["slip"] = number("slip", draft.chance.choice(["wide * wide", "wide + 2", "wide / wide"]))
    draft.steps[0] = replace(draft.steps[0], asks=(*draft.steps[0].asks, "wide"))
    return _swap_in(draft, 1, shows=("slip",))


# kind -> what plants it, and the properties of which at least one must be found broken
KINDS: dict[str, tuple[Callable[[Draft], bool], frozenset[str]]] = {
    "circle": (circle, frozenset({"dead end"})),
    "gate missing": (gate_missing, frozenset({"heat"})),
    "gate on one branch": (gate_on_one_branch, frozenset({"dead end"})),
    "gate late": (gate_late, frozenset({"dead end"})),
    "undoing missing": (undoing_missing, frozenset({"debts"})),
    "undoing on one branch": (undoing_on_one_branch, frozenset({"measured"})),
    "tape off early": (tape_off_early, frozenset({"dead end"})),
    "asked late": (asked_late, frozenset({"measured"})),
    "never asked": (never_asked, frozenset({"measured"})),
    "asked on one branch": (asked_on_one_branch, frozenset({"measured"})),
    "no boat": (no_boat, frozenset({"reach"})),
    "impossible evidence": (impossible_evidence, frozenset({"dead end"})),
    "makes itself owed": (makes_itself_owed, frozenset({"dead end"})),
    "undoes nothing": (undoes_nothing, frozenset({"reach"})),
    "vents asked late": (vents_asked_late, frozenset({"measured"})),
    "self need": (self_need, frozenset({"dead end"})),
    "unit slip": (unit_slip, frozenset({"units"})),
}
NEEDS_HEAT = {"gate missing", "gate on one branch", "gate late", "tape off early", "vents asked late"}


def faulty(seed: int, kind: str) -> Procedure:
    """A job with one planted fault of this kind; the seed moves on until a job offers a place for it."""
    plant = KINDS[kind][0]
    for attempt in range(200):
        draft = clean(seed + 7919 * attempt, heat=True if kind in NEEDS_HEAT else None)
        if plant(draft):
            return draft.made(f"{kind.replace(' ', '-')}-{seed}")
    raise AssertionError(f"no place for '{kind}' near seed {seed}")


def wild(seed: int) -> Procedure:
    """A job whose steps were shuffled and relinked at random: nobody knows whether it is safe."""
    draft = clean(seed)
    chance = draft.chance
    for _ in range(chance.randint(0, 2)):
        at = chance.randrange(len(draft.steps))
        moved = draft.steps.pop(at)
        draft.steps.insert(chance.randrange(len(draft.steps) + 1), moved)
    links: list[Step] = []
    for one in draft.steps:
        if not links:
            needs: tuple[str, ...] = ()
        elif chance.random() < 0.93:
            needs = (links[-1].id,)
        else:
            needs = tuple({chance.choice(links).id for _ in range(chance.randint(1, 2))})
        only = draft.atom() if chance.random() < 0.1 and not one.clears else ""
        links.append(replace(one, needs=needs, **({"when": when(only)} if only else {})))
    draft.steps = links
    return draft.made(f"wild-{seed}")
