"""Large procedures made for measuring: many steps in one chain, safeguards, branches, several flames."""

from __future__ import annotations

from dataclasses import replace

from coach.core.gate import SAFEGUARDS
from coach.core.model import Procedure
from tests.prover.build import SPOT, VENTS, after_flame, arrival, choice, gate, item, length, number, procedure, step
from tests.prover.planted import PLUGS, TARP

LENGTHS = 6


def large(steps: int, safeguards: int = 12, branches: int = 12) -> Procedure:
    """A safe procedure of so many steps, safeguards (not fewer than the kernel's) and questions that steps hang on.

    One in eight steps has a condition on one of the branches, one in ten shows a number, one in twelve asks for a count
    as evidence, one in six behind the gate holds a flame.

    Raises:
        ValueError: fewer safeguards than the kernel has, or too few steps for what each such procedure has.
    """
    own = [replace(TARP, id=f"own{n}") for n in range(safeguards - len(SAFEGUARDS))]
    questions = [choice(f"q{n}", "a", "b") for n in range(branches)]
    lengths = [length(f"l{n}", "4 ft", "40 ft") for n in range(LENGTHS)]
    made = [*arrival(), *(step(f"ask{n}", asks=[q.id]) for n, q in enumerate(questions))]
    made += [*(step(f"tape{n}", asks=[one.id]) for n, one in enumerate(lengths)), step("plug", opens=["plugs"])]
    guards = [*gate(), *(step(f"gate-{one.id}", proves=one.id) for one in own)]
    ends = [step("unplug", clears="plugs"), *after_flame(), step("last-walk")]
    numbers = [number(f"n{n}", f"2 * l{n % LENGTHS} + l{(n + 1) % LENGTHS}", round="up to 1 ft") for n in range(12)]
    rest = steps - len(made) - len(ends) - len(guards)
    if safeguards < len(SAFEGUARDS) or rest < 2:
        raise ValueError(f"{steps} steps with {safeguards} safeguards")
    for n in range(rest):
        if n == rest // 2:
            made += guards
        more: dict[str, object] = {}
        if n % 8 == 3 and branches:
            more["when"] = f"q{n // 8 % branches} == a"
        if n % 10 == 4:
            more["shows"] = [f"n{n // 10 % 12}"]
        if n % 12 == 5:
            more["evidence"] = [item("pieces", "count")]
        if n > rest // 2 and n % 6 == 0:
            more["heat"] = True
        made.append(step(f"work{n}", **more))
    return procedure([*made, *ends], [VENTS, SPOT, *questions, *lengths], numbers, own, [PLUGS], id=f"large-{steps}-{safeguards}-{branches}")
