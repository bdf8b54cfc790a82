"""Prints the table of outside checks of the sizing: name, ours, theirs, source, status. Run by hand.

python tests/bench/outside_checks.py
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "core" / "sizing")]

from test_worked_examples import EXAMPLES, UNITS, answer


def in_unit_of(expected: object, value: object) -> str:
    """Our answer in the unit in which theirs is printed."""
    if isinstance(value, bool) or not isinstance(expected, str):
        return str(value) if isinstance(value, bool | int) else f"{float(value):.6g}"  # type: ignore[arg-type]
    unit = expected.split(" ", 1)[1]
    base = UNITS.Quantity(1.0, unit).to_base_units().units
    return f"{UNITS.Quantity(float(value), base).to(unit).magnitude:.6g} {unit}"  # type: ignore[arg-type]


def main() -> None:
    print("| check | ours | theirs | source | status |\n|---|---|---|---|---|")
    for example in EXAMPLES:
        ours = in_unit_of(example["expected"], answer(example))
        print(f"| {example['name']} | {ours} | {example['expected']} | {example['source']} | {example['status']} |")
    print(f"\n{len(EXAMPLES)} checks")


if __name__ == "__main__":
    main()
