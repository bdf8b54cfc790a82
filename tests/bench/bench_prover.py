"""How fast procedures are proven. Run by hand; it judges nothing and is not collected as a test.

    python -m tests.bench.bench_prover [--spin] [--out PICTURE.svg]

1. Every shipped procedure, each proven from nothing, as `coach prove FILE` does it.
2. Growth of one chain in steps, in safeguards and in branches, as a table.
3. With --spin: SPIN (Debian package `spin`, gcc -O2) on the same procedures, by the translation of the tests, which
   searches every order of acts and every set of answers in one piece: seconds of compiling + of the search, which is cut
   off after LONGEST seconds on the clock. It asks less: in its model nothing is withdrawn, corrected, stopped or late.
4. With --out: a picture of the growth.

Times are the shortest of a few runs in processor seconds, because this is run beside other work. `unit` is the time of
ten million additions in a plain loop here and now: divide by it to compare machines.
"""

from __future__ import annotations

import argparse
import subprocess
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from coach.core.model import Procedure
from coach.core.policy import Policy
from coach.core.sizing.registry import FUNCTIONS
from coach.prover import Proof, prove
from coach.reader.load import list_procedures, load_procedure
from tests.bench.growth_picture import Line, picture
from tests.prover.promela import check
from tests.prover.synthetic import large

RUNS, LONGEST = 5, 240
BESIDE = "SPIN s (compiling + search)"
POLICY = Policy("Pell Harbour Boatyard")
STEPS = (125, 250, 500, 1000, 2000)
SAFEGUARDS = (11, 12, 16, 20)
BRANCHES = (0, 2, 4, 6, 8, 12, 24)
SHORT = 125  # steps of the chain that branches are counted on, beside SPIN


@dataclass(frozen=True)
class Row:
    """One chain, measured. spin: seconds of its search; None: not run, or cut off."""

    steps: int
    safeguards: int
    branches: int
    seconds: float
    states: int
    spin: float | None


def unit() -> float:
    """Seconds of ten million additions."""
    begin, total = time.process_time(), 0
    for number in range(10_000_000):
        total += number
    return time.process_time() - begin


def shortest(procedure: Procedure, runs: int = RUNS) -> tuple[float, Proof]:
    """The shortest of some proofs from nothing, and the proof."""
    found = []
    for _ in range(runs):
        begin = time.process_time()
        proof = prove(procedure, POLICY, FUNCTIONS)
        found.append(time.process_time() - begin)
    return min(found), proof


def by_spin(procedure: Procedure) -> tuple[str, float | None]:
    """What SPIN took, as text and as seconds of its search."""
    spent: list[float] = []
    try:
        facts = check([procedure], "-O2", LONGEST, spent)[0]
    except subprocess.TimeoutExpired:
        return f"over {LONGEST}", None
    except AssertionError as error:
        return f"gave up ({str(error).splitlines()[0]})", None
    return f"{spent[0]:.1f} + {spent[1]:.2f}" + (" dead end!" if facts.dead_end else ""), spent[1]


def shipped(spin: bool) -> None:
    """The table of shipped procedures."""
    print(f"{'procedure':24} {'steps':>5} {'heat':>5} {'branches':>8} {'states':>7} {'slices':>6} {'s':>6}   verdict   {BESIDE}")
    for id, _ in list_procedures():
        procedure = load_procedure(id)
        seconds, proof = shortest(procedure)
        steps = procedure.steps
        branches = len({step.when.text for step in steps if step.when is not None})
        print(f"{id:24} {len(steps):5} {sum(step.heat for step in steps):5} {branches:8} {proof.states:7} {proof.slices:6} "
              f"{seconds:6.2f}   {proof.verdict:9} {by_spin(procedure)[0] if spin else ''}", flush=True)


def growth(shapes: Sequence[tuple[int, int, int]], spin: bool) -> list[Row]:
    """The rows of a table of growth, printed as they come."""
    print(f"\n{'steps':>5} {'safeguards':>10} {'branches':>8} {'flames':>6} {'states':>7} {'s':>6} {'ms a step':>9}   verdict   {BESIDE}")
    rows = []
    for shape in shapes:
        procedure = large(*shape)
        seconds, proof = shortest(procedure, 3)
        text, search = by_spin(procedure) if spin else ("", None)
        rows.append(Row(*shape, seconds, proof.states, search))
        flames = sum(step.heat for step in procedure.steps)
        print(f"{shape[0]:5} {shape[1]:10} {shape[2]:8} {flames:6} {proof.states:7} {seconds:6.2f} {1000 * seconds / shape[0]:9.2f}   {proof.verdict:9} {text}", flush=True)
    return rows


def main() -> None:
    """Print the tables; write the picture where it is asked for."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--spin", action="store_true", help="run SPIN beside")
    asked.add_argument("--out", type=Path, help="where to write the picture of the growth")
    given = asked.parse_args()
    print(f"unit {min(unit() for _ in range(3)):.2f} s")
    shipped(given.spin)
    in_steps = growth([(steps, 12, 12) for steps in STEPS], False)
    growth([(1000, safeguards, 12) for safeguards in SAFEGUARDS], False)
    in_branches = growth([(SHORT, 12, branches) for branches in BRANCHES], given.spin)
    if given.spin:
        growth([(steps, 12, 2) for steps in STEPS], True)
    print(f"unit {min(unit() for _ in range(3)):.2f} s")
    if given.out is not None:
        steps = Line("prover, 12 safeguards, 12 branches", tuple((row.steps, row.seconds) for row in in_steps))
        branches = Line("prover", tuple((row.branches, row.seconds) for row in in_branches))
        beside = Line("SPIN's search", tuple((row.branches, row.spin) for row in in_branches if row.spin is not None))
        given.out.write_text(picture((("steps", False, (steps,)), (f"branches, {SHORT} steps", True, (branches, beside)))), "utf-8")


if __name__ == "__main__":
    main()
