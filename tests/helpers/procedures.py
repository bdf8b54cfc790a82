"""Small procedures for the tests of the kernel, built as values: no file is read.

`covering()` is the shortest job with everything the kernel knows: questions, a number, a step that applies to some
boats only, two heat steps, the three debts and one of the author's own, and an own safeguard if wanted. Without
`gate_steps` a safeguard may be stated at any time, which lets random histories reach a flame quickly; with them each
has its step, as a procedure file must have.
"""

from __future__ import annotations

from typing import Any

from coach.core.formula import parse_formula
from coach.core.gate import SAFEGUARDS
from coach.core.model import Evidence, Measure, Number, Option, OwnDebt, OwnSafeguard, Procedure, Stage, Step
from coach.core.policy import Policy
from coach.core.problems import Place
from coach.core.quantity import Quantity, parse_quantity, parse_rounding
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from tests.helpers.people import POLICY

HERE = Place("tests")
LADDER = OwnSafeguard("ladder", "Ladder footed", "Is the ladder footed?", "a ladder slips", "foot the ladder", 20, HERE)


def step(id: str, *needs: str, when: str = "", **parts: Any) -> Step:
    """A step with plain texts; `when` as a formula's text."""
    condition = parse_formula(when) if when else None
    return Step(id, "all", f"Do {id}.", "why", "right", "wrong", HERE, needs, condition, **parts)


def evidence(kind: str, **parts: Any) -> Evidence:
    """One item of evidence, named after its kind unless `id` is given."""
    return Evidence(parts.pop("id", kind), kind, f"Give the {kind}.", HERE, **parts)


def feet(text: str) -> Quantity:
    """A length as a person writes it."""
    return parse_quantity(text, "length")


MEASURES = {
    measure.id: measure
    for measure in (
        Measure("fuel_vents", "How many fuel vents?", "count", HERE, low=Quantity(0), high=Quantity(6)),
        Measure("place", "Where does the boat stand?", "choice", HERE,
                options=(Option("outdoors", "Outdoors"), Option("indoors", "Indoors"))),
        Measure("beam", "Widest beam", "length", HERE, low=feet("4 ft"), high=feet("16 ft")),
        Measure("door", "Does the owner want a door?", "yes_no", HERE),
        Measure("door_height", "How high is the door?", "length", HERE, when=parse_formula("door")),
    )
}
NUMBERS = {
    "width": Number("width", "Film width", parse_formula("beam * 2 + 12 in"), "length", HERE,
        parse_rounding("up to 1 ft")),
    "spare": Number("spare", "Spare film", parse_formula("width - beam"), "length", HERE),
}


HOSE = Measure("hose", "Until when is the hose good?", "expiry", HERE, safeguard="leak_test")


def covering(gate_steps: bool = False, own_safeguard: bool = False, dated: bool = False) -> Procedure:
    """The small job. Order: look, cut, (gate), prop, weld, shrink, close, unprop, untape, hold, [door], tidy.

    dated: the leak test rests on a last good day, asked at look; the cut is held against the film's width; the
    fire watch confirms that all is tidy.
    """
    own = (LADDER,) if own_safeguard else ()
    rows = [*SAFEGUARDS, *(row.id for row in own)] if gate_steps else []
    gate, last = [], "cut"
    for id in rows:
        gate.append(step(f"gate-{id}", last, proves=id))
        last = f"gate-{id}"
    steps = (
        step("look", asks=("fuel_vents", "place", "beam", "door", "door_height", *(("hose",) if dated else ()))),
        step("cut", "look", uses=("width",), evidence=(WIDE,) if dated else ()),
        *gate,
        step("prop", last, opens=("prop",)),
        step("weld", "prop", heat=True),
        step("shrink", "weld", heat=True, shows=("spare",)),
        step("close", "shrink", clears="open_cylinder"),
        step("unprop", "close", clears="prop"),
        step("untape", "unprop", clears="taped_vents",
            evidence=(evidence("count", id="removed", low=Quantity(0), high=Quantity(9)),)),
        step("hold", "untape", clears="fire_watch", evidence=(evidence("second_person", id="watcher"),)),
        step("cut-door", "hold", when="door"),
        step("tidy", "cut-door", evidence=(READER,) if dated else ()),
    )
    debts = (OwnDebt("prop", "Prop under the film", "it wears a hole", "take the prop out", HERE),)
    stage = Stage("all", "All of it", steps, HERE)
    measures = {**MEASURES, "hose": HOSE} if dated else MEASURES
    return Procedure("small-dated" if dated else "small", 1, "Small cover", "tests", (stage,), measures, NUMBERS, HERE, (),
        own, debts, hash="h" * 64)


WIDE = evidence("number", id="cut", quantity="length", at_least="width", within=feet("1 ft"))
READER = evidence("second_person", id="reader", role="fire_watch")


def rules_for(procedure: Procedure | None = None, policy: Policy = POLICY, proven: bool = True) -> Rules:
    """The rules of a procedure, the small one unless another is given."""
    return Rules(procedure or covering(), policy, FUNCTIONS, proven)
