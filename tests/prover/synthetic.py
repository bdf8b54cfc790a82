"""Large procedures made for measuring: many steps in one chain, 12 safeguards, 12 branches, several flames."""

from __future__ import annotations

from coach.core.model import Procedure
from tests.prover.build import SPOT, VENTS, after_flame, arrival, choice, gate, item, length, number, procedure, step
from tests.prover.planted import PLUGS, TARP

BRANCHES = 12


def large(steps: int, branches: int = BRANCHES) -> Procedure:
    """A safe procedure of so many steps.

    One in eight steps has a condition on one of the branches, one in ten shows a number, one in twelve asks for a count
    as evidence, one in six behind the gate holds a flame.
    """
    questions = [choice(f"q{n}", "a", "b") for n in range(branches)]
    lengths = [length(f"l{n}", "4 ft", "40 ft") for n in range(6)]
    made = [*arrival(), *(step(f"ask{n}", asks=[f"q{n}"]) for n in range(branches)), *(step(f"tape{n}", asks=[f"l{n}"]) for n in range(6))]
    made.append(step("plug", opens=["plugs"]))
    ends = [step("unplug", clears="plugs"), *after_flame(), step("last-walk")]
    numbers = [number(f"n{n}", f"2 * l{n % 6} + l{(n + 1) % 6}", round="up to 1 ft") for n in range(12)]
    rest = steps - len(made) - len(ends) - 12
    gate_at = rest // 2
    for n in range(rest):
        if n == gate_at:
            made += [*gate(), step("gate-tarp", proves="tarp_wet")]
        more: dict[str, object] = {}
        if n % 8 == 3:
            more["when"] = f"q{n // 8 % branches} == a"
        if n % 10 == 4:
            more["shows"] = [f"n{n // 10 % 12}"]
        if n % 12 == 5:
            more["evidence"] = [item("pieces", "count")]
        if n > gate_at and n % 6 == 0:
            more["heat"] = True
        made.append(step(f"work{n}", **more))
    return procedure([*made, *ends], [VENTS, SPOT, *questions, *lengths], numbers, [TARP], [PLUGS], id=f"large-{steps}")
