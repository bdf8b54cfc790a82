"""Many runs of simulated trainees over drills: what passed, what was found, whether any flame got past the gate.

Rules kept here:
 1. The independent monitor reads every log; a finding of it is a fault of ours, not of the trainee.
 2. A fault that a trainee knows it made must be named in its assessment; those that are not are counted.
Knows nothing of: files, screens.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from coach.core.model import Procedure
from coach.core.monitor import watch_log
from coach.core.policy import Policy
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.formats import decimal_text
from coach.practice.assess import assess
from coach.practice.assessment import Assessment
from coach.practice.begin import Beginning, begin
from coach.practice.crew import practice_policy
from coach.practice.drill import Drill
from coach.practice.habits import Habits
from coach.practice.run import Run
from coach.practice.trainee import Fault, Trainee
from coach.reader.load import load_procedure

TRAINEE = "trainee"
SHOWN = 3  # findings in a line of the table


@dataclass(frozen=True)
class Prepared:
    """A drill with everything that its runs share."""

    drill: Drill
    rules: Rules
    beginning: Beginning

    def run(self, trainee: str = TRAINEE, number: int = 0) -> Run:
        """A fresh run."""
        return Run(self.drill, self.rules, self.beginning, trainee, number)


@dataclass(frozen=True)
class Row:
    """What many runs of one kind of trainee over one drill gave. named: in how many runs each finding was made."""

    drill: str
    trainee: str
    runs: int
    passed: int
    mean_score: float
    faults: int
    unnamed: int
    past_the_gate: int
    findings: int
    named: tuple[tuple[str, int], ...] = ()


def prepare(drill: Drill, policy: Policy, trainee: str = TRAINEE, name: str = "", proven: bool = True) -> Prepared:
    """Load the drill's procedure and play what comes before. Practice starts without a proof; `proven` is only said."""
    procedure = _procedure(drill.procedure)
    rules = Rules(procedure, practice_policy(policy, trainee, drill.role, name), FUNCTIONS, proven)
    return Prepared(drill, rules, begin(drill, rules))


@cache
def _procedure(id: str) -> Procedure:
    """A drill's procedure, read once: a trial takes a thousand runs, a tablet shows one drill after another."""
    return load_procedure(id)


@dataclass(frozen=True)
class Outcome:
    """One simulated run, judged twice: by the assessment, and by the monitor."""

    assessment: Assessment
    faults: tuple[Fault, ...]
    unnamed: tuple[Fault, ...]
    objections: tuple[object, ...]


def simulate(prepared: Prepared, habits: Habits, number: int) -> Outcome:
    """One run of one simulated trainee."""
    run = prepared.run(number=number)
    who = Trainee(run, habits, number)
    who.work()
    done = assess(run)
    objections = watch_log(run.job.events, run.rules.policy, run.rules.procedure.safeguards, run.rules.procedure.expiries)
    return Outcome(done, tuple(who.faults), unnamed(who.faults, done), tuple(objections))


def unnamed(faults: Sequence[Fault], done: Assessment) -> tuple[Fault, ...]:
    """The faults that no finding of the assessment names."""

    def is_named(fault: Fault) -> bool:
        return any(found.code in fault.codes and fault.about in ("", found.about) for found in done.findings)

    return tuple(fault for fault in faults if not is_named(fault))


def trial(prepared: Prepared, habits: Habits, runs: int) -> Row:
    """Many runs of one kind of trainee over one drill."""
    outcomes = [simulate(prepared, habits, number) for number in range(runs)]
    return Row(
        prepared.drill.id,
        habits.name,
        runs,
        sum(each.assessment.passed for each in outcomes),
        sum(each.assessment.score for each in outcomes) / max(1, runs),
        sum(len(each.faults) for each in outcomes),
        sum(len(each.unnamed) for each in outcomes),
        sum(bool(each.objections) for each in outcomes),
        sum(len(each.assessment.findings) for each in outcomes),
        named(each.assessment for each in outcomes),
    )


def named(judged: Iterable[Assessment]) -> tuple[tuple[str, int], ...]:
    """In how many runs the assessment made each finding, by the code of the finding; the most frequent first."""
    runs = Counter(code for done in judged for code in {finding.code for finding in done.findings})
    return tuple(sorted(runs.items(), key=lambda each: (-each[1], each[0])))


def table(rows: Sequence[Row]) -> Iterator[str]:
    """The rows as lines of text."""
    heads = ("drill", "trainee", "runs", "passed", "score", "faults", "unnamed", "past gate", "found most (runs)")
    yield "{:28} {:14} {:>6} {:>7} {:>6} {:>8} {:>8} {:>10}  {}".format(*heads)
    for row in rows:
        most = ", ".join(f"{code} {runs}" for code, runs in row.named[:SHOWN])
        yield (
            f"{row.drill:28} {row.trainee:14} {row.runs:6} {row.passed:7} {decimal_text(row.mean_score, 1):>6} {row.faults:8} "
            f"{row.unnamed:8} {row.past_the_gate:10}  {most}".rstrip()
        )
