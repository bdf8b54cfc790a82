"""Simulated trainees over every shipped drill, many runs each: python -m tests.bench.bench_practice [RUNS] [DRILL...]

Prints the table of drills by trainee: runs, passed, mean score, faults known to the trainee, faults that the assessment
did not name, runs in which the monitor found a flame past the gate, and what the assessment found in most runs. Exit
status 1 if a careful run failed, a fault was not named, or a flame got past the gate.
"""

from __future__ import annotations

import sys
import time

from coach.practice.drill_file import list_drills
from coach.practice.habits import ALL
from coach.practice.trial import Row, prepare, table, trial
from coach.yard.policy_file import demo_policy


def main(arguments: list[str]) -> int:
    """Run and print; returns the exit status."""
    runs = int(arguments[0]) if arguments else 20
    wanted = arguments[1:]
    heads, *_rest = table([])
    print(heads, flush=True)
    bad, begin = 0, time.perf_counter()
    for drill in list_drills():
        if wanted and drill.id not in wanted:
            continue
        ready = prepare(drill, demo_policy())
        for habits in ALL:
            row = trial(ready, habits, runs)
            print(list(table([row]))[1], flush=True)
            bad += _is_bad(row)
    print(f"{time.perf_counter() - begin:.0f} s")
    return int(bad > 0)


def _is_bad(row: Row) -> bool:
    failed = row.trainee == "careful" and row.passed < row.runs
    return failed or row.unnamed > 0 or row.past_the_gate > 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
