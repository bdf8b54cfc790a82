"""Small procedures made by hand, for the prover's tests: one word a thing, a whole safe job in one call."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from coach.core.formula import Formula, parse_formula
from coach.core.gate import SAFEGUARDS
from coach.core.model import Evidence, Measure, Number, Option, OwnDebt, OwnSafeguard, Procedure, Stage, Step
from coach.core.problems import Place
from coach.core.quantity import parse_quantity, parse_rounding
from coach.core.policy import Policy

HERE = Place("built by hand")
POLICY = Policy("Pell Harbour Boatyard")


def when(text: str) -> Formula | None:
    return parse_formula(text) if text else None


def step(id: str, **more: object) -> Step:
    """A step with plain texts; `when` may be given as text."""
    if isinstance(more.get("when"), str):
        more["when"] = when(more["when"])
    for name in ("needs", "asks", "uses", "shows", "opens", "evidence"):
        if isinstance(more.get(name), list):
            more[name] = tuple(more[name])
    return Step(id, "work", f"Do {id}.", "It is due.", "It is right.", "It goes wrong.", HERE, **more)


def choice(id: str, *options: str, **more: object) -> Measure:
    return Measure(id, f"Which {id}?", "choice", HERE, options=tuple(Option(o, o.capitalize()) for o in options), **more)


def length(id: str, low: str = "1 ft", high: str = "60 ft", **more: object) -> Measure:
    return Measure(id, f"How long is {id}?", "length", HERE, low=parse_quantity(low, "length"), high=parse_quantity(high, "length"), **more)


def count(id: str, low: int = 0, high: int = 8, **more: object) -> Measure:
    return Measure(id, f"How many {id}?", "count", HERE, low=parse_quantity(str(low), "count"), high=parse_quantity(str(high), "count"), **more)


def number(id: str, formula: str, kind: str = "length", round: str = "") -> Number:
    return Number(id, id, parse_formula(formula), kind, HERE, parse_rounding(round) if round else None, round, "It is needed.")


def item(id: str, kind: str, **more: object) -> Evidence:
    return Evidence(id, kind, f"Give {id}", HERE, **more)


VENTS = count("fuel_vents")
SPOT = choice("place", "outdoors", "indoors")
HOSE = Measure("hose", "Until when is the hose good?", "expiry", HERE, safeguard="leak_test")


def procedure(
    steps: Iterable[Step], measures: Iterable[Measure] = (), numbers: Iterable[Number] = (), safeguards: Iterable[OwnSafeguard] = (),
    debts: Iterable[OwnDebt] = (), chained: bool = True, id: str = "by-hand",
) -> Procedure:
    """A procedure; chained: each step without needs of its own needs the step before it."""
    made: list[Step] = []
    for one in steps:
        if chained and not one.needs and made:
            one = replace(one, needs=(made[-1].id,))
        elif one.needs == ("-",):
            one = replace(one, needs=())
        made.append(one)
    return Procedure(
        id, 1, id, "For a test.", (Stage("work", "Work", tuple(made), HERE),), {m.id: m for m in measures}, {n.id: n for n in numbers},
        HERE, safeguards=tuple(safeguards), debts=tuple(debts), hash="by-hand",
    )


def arrival() -> list[Step]:
    return [step("arrive", asks=["fuel_vents", "place"])]


def gate(skip: Iterable[str] = (), **more: object) -> list[Step]:
    """The steps that prove the kernel's safeguards."""
    return [step(f"gate-{id}", proves=id, **more) for id in SAFEGUARDS if id not in set(skip)]


def after_flame() -> list[Step]:
    return [
        step("close-cylinder", clears="open_cylinder"),
        step("untape", clears="taped_vents", evidence=[item("removed", "count")]),
        step("hold-watch", clears="fire_watch", evidence=[item("held", "timer", limit="fire_watch_minutes")]),
    ]


def heating(*middle: Step, before: Iterable[Step] = (), after: Iterable[Step] = (), measures: Iterable[Measure] = (), **more: object) -> Procedure:
    """A whole safe job: arrival, gate, the heat steps given (one if none), what is owed, the end."""
    heats = middle or (step("shrink", heat=True),)
    steps = [*arrival(), *before, *gate(), *heats, *after_flame(), *after, step("last-walk")]
    return procedure(steps, [VENTS, SPOT, *measures], **more)
