"""Every hand-made fault of the kernel is caught: by the prover, or where it cannot see it by the kernel's own tests.

Each fault is put into the kernel as it is loaded in a process of its own; for the tests it is written into a copy of the
code. `python -m tests.mutation.test_mutants` prints the table of what caught what.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutation.mutants import MUTANTS, Mutant
from tests.mutation.prove_mutant import ROOT, mutated

FAST = tuple(f"tests/core/test_{name}.py" for name in (
    "session_flame", "session_order", "session_debts", "session_end", "session_offers", "gate", "moment"))
_FAILED = re.compile(r"^FAILED (\S+)", re.MULTILINE)


def prover_says(number: int) -> str:
    """The codes of the prover's findings, or its verdict."""
    command = [sys.executable, str(ROOT / "tests" / "mutation" / "prove_mutant.py"), str(number)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, cwd=ROOT)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout.strip()


def told_by_tests(mutant: Mutant, folder: Path) -> str:
    """The first of the fast tests that fails on a copy of the code with the fault, '' if none does."""
    for name in ("coach", "tests", "procedures"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__", "tablet"))
    shutil.copy(ROOT / "pyproject.toml", folder)
    path = folder / "coach" / "core" / mutant.file
    path.write_text(mutated(mutant, path.read_text("utf-8")), "utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *FAST]
    env = {**os.environ, "PYTHONPATH": str(folder)}
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, cwd=folder, env=env)
    failed = _FAILED.search(done.stdout)
    return failed[1] if failed else ""


@pytest.mark.parametrize("number", range(len(MUTANTS)), ids=lambda number: MUTANTS[number].name.replace(" ", "-"))
def test_the_fault_is_caught(number: int, tmp_path: Path) -> None:
    mutant = MUTANTS[number]
    codes = prover_says(number)
    if mutant.by_tests:
        assert codes == "proven", "the prover sees it now: take 'by_tests' out"
        assert told_by_tests(mutant, tmp_path)
    else:
        assert codes not in ("proven", "not proven")


def test_there_are_enough_of_them() -> None:
    assert len(MUTANTS) >= 20
    assert len({mutant.name for mutant in MUTANTS}) == len(MUTANTS)


def main() -> None:
    """Print what caught each fault."""
    import tempfile

    for number, mutant in enumerate(MUTANTS):
        caught = prover_says(number)
        if caught in ("proven", "not proven"):
            with tempfile.TemporaryDirectory() as folder:
                caught = told_by_tests(mutant, Path(folder)) or "NOT CAUGHT"
        print(f"| {mutant.name} | {caught} |", flush=True)


if __name__ == "__main__":
    main()
