"""Run in a process of its own: puts one fault into the kernel as it is loaded, then proves one whole safe job in two forms.

Arguments: the mutant's number. Prints the codes of what the prover found, or 'proven'.
"""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import sys
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.mutation.mutants import MUTANTS, Mutant  # noqa: E402


class Faulty(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Loads one module of the kernel with a fault in it."""

    def __init__(self, mutant: Mutant) -> None:
        self.name = f"coach.core.{mutant.file.removesuffix('.py')}"
        self.path = ROOT / "coach" / "core" / mutant.file
        self.source = mutated(mutant, self.path.read_text("utf-8"))

    def find_spec(self, name: str, path: object, target: object = None) -> importlib.machinery.ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self, origin=str(self.path)) if name == self.name else None

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.source, str(self.path), "exec"), module.__dict__)


def mutated(mutant: Mutant, source: str) -> str:
    """The source with the fault. Raises ValueError if its place is not there exactly once."""
    if source.count(mutant.old) != 1:
        raise ValueError(f"{mutant.name}: its place stands {source.count(mutant.old)} times in {mutant.file}")
    return source.replace(mutant.old, mutant.new)


def main(number: int) -> None:
    """Prove the whole job with this fault."""
    sys.meta_path.insert(0, Faulty(MUTANTS[number]))
    from coach.core.sizing.registry import FUNCTIONS
    from coach.prover import prove
    from tests.mutation.whole_job import whole_job
    from tests.prover.build import POLICY

    memory: dict[tuple[object, ...], object] = {}
    proofs = [prove(job, POLICY, FUNCTIONS, memory=memory) for job in (whole_job(), whole_job(timed=False))]  # type: ignore[arg-type]
    codes = {finding.problem.code for proof in proofs for finding in proof.findings}
    print(" ".join(sorted(codes)) or proofs[0].verdict)


if __name__ == "__main__":
    main(int(sys.argv[1]))
