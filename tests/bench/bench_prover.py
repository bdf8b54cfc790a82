"""How fast procedures are proven. Run by hand; it judges nothing and is not collected as a test.

    python tests/bench/bench_prover.py [--spin]

1. Every shipped procedure, each proven from nothing, as `coach prove FILE` does it.
2. Growth: one chain of 125 to 1,000 steps with 12 safeguards and 12 branches, as a table and a picture.
3. With --spin: SPIN (Debian package `spin`, gcc -O2) on the same procedures, by the translation of the tests, which
   searches every order and every set of answers in one piece. It is cut off after LONGEST seconds.

Times are the shortest of a few runs in processor seconds, because this is run beside other work. `unit` is the time of
ten million additions in a plain loop here and now: divide by it to compare machines.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from coach.core.model import Procedure
from coach.core.policy import Policy
from coach.core.sizing.registry import FUNCTIONS
from coach.prover import Proof, prove
from coach.reader.load import list_procedures, load_procedure
from tests.prover.promela import check
from tests.prover.synthetic import large

RUNS, LONGEST = 5, 120
POLICY = Policy("Pell Harbour Boatyard")
SIZES = (125, 250, 500, 750, 1000)


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


def spin_seconds(procedure: Procedure) -> str:
    """How long SPIN takes, with its compiling, on the clock."""
    begin = time.perf_counter()
    try:
        facts = check([procedure], "-O2", LONGEST)[0]
    except subprocess.TimeoutExpired:
        return f"over {LONGEST}"
    except AssertionError as error:
        return f"gave up ({str(error).splitlines()[0]})"
    assert not facts.dead_end
    return f"{time.perf_counter() - begin:.1f}"


def shipped(spin: bool) -> None:
    """The table of shipped procedures."""
    print(f"{'procedure':28} {'steps':>5} {'states':>7} {'slices':>6} {'s':>6}" + ("   SPIN s" if spin else ""))
    for id, _ in list_procedures():
        procedure = load_procedure(id)
        seconds, proof = shortest(procedure)
        other = f"   {spin_seconds(procedure)}" if spin else ""
        print(f"{id:28} {len(procedure.steps):5} {proof.states:7} {proof.slices:6} {seconds:6.2f}{other}  {proof.verdict}", flush=True)


def growth(spin: bool) -> None:
    """The table and the picture of growth."""
    print(f"\n{'steps':>5} {'flames':>6} {'states':>7} {'slices':>6} {'s':>6} {'ms a step':>9}" + ("   SPIN s" if spin else ""))
    rows = []
    for size in SIZES:
        procedure = large(size)
        seconds, proof = shortest(procedure, 3)
        rows.append((size, seconds))
        other = f"   {spin_seconds(procedure)}" if spin and size <= 250 else ""
        flames = sum(step.heat for step in procedure.steps)
        print(f"{size:5} {flames:6} {proof.states:7} {proof.slices:6} {seconds:6.2f} {1000 * seconds / size:9.2f}{other}", flush=True)
    most = max(seconds for _, seconds in rows)
    print()
    for size, seconds in rows:
        print(f"{size:5} | {'#' * round(60 * seconds / most)} {seconds:.2f} s")


if __name__ == "__main__":
    with_spin = "--spin" in sys.argv[1:]
    print(f"unit {min(unit() for _ in range(3)):.2f} s")
    shipped(with_spin)
    growth(with_spin)
    print(f"unit {min(unit() for _ in range(3)):.2f} s")
