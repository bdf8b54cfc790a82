"""A proof: what was found about one procedure by one version of the kernel, and how it is shown.

Rules kept here:
 1. The verdict is 'proven' only if every search came to its end, every condition was decided and nothing was found;
    'refuted' if anything was found; else 'not proven'.
 2. A proof holds nothing that differs from run to run: no time, no machine.
Knows nothing of: how it was found, where it is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from coach.core.problems import Place, Problem, fill
from coach.core.problems import render as render_problem
from coach.prover.findings import Finding

PROVEN, REFUTED, NOT_PROVEN = "proven", "refuted", "not proven"
VERDICTS = {
    PROVEN: "%(procedure)s: proven (%(states)d states in %(slices)d slices)",
    REFUTED: "%(procedure)s: refuted (%(states)d states in %(slices)d slices)",
    NOT_PROVEN: "%(procedure)s: not proven (%(states)d states in %(slices)d slices)",
}


@dataclass(frozen=True)
class Proof:
    """procedure, title: what it is about; hash: of its text; kernel: version; open: why it is not decided."""

    procedure: str
    title: str
    hash: str
    kernel: str
    verdict: str
    findings: tuple[Finding, ...] = ()
    open: tuple[Problem, ...] = ()
    slices: int = 0
    states: int = 0


def render(
    proof: Proof, say: Callable[[str], str] = str, told: Callable[[Problem], str] = render_problem
) -> str:
    """A proof as text for a terminal.

    Args:
        proof: what was found.
        say: translates a text; English if not given.
        told: words a problem; in English if not given.
    """
    slots = {"procedure": proof.procedure, "states": proof.states, "slices": proof.slices}
    lines = [say(VERDICTS[proof.verdict]) % slots]
    for finding in proof.findings:
        lines += ["", told(finding.problem)]
        lines += [f"    {number:>3}. {line}" for number, line in enumerate(finding.story, 1)]
    for problem in proof.open:
        lines += ["", told(problem)]
    return "\n".join(lines)


def as_json(proof: Proof) -> dict[str, Any]:
    """A proof as plain values."""
    return {
        "procedure": proof.procedure, "title": proof.title, "hash": proof.hash, "kernel": proof.kernel, "verdict": proof.verdict,
        "findings": [
            {"property": one.property, "about": one.about, "problem": problem_as_json(one.problem), "story": list(one.story)}
            for one in proof.findings
        ],
        "open": [problem_as_json(problem) for problem in proof.open], "slices": proof.slices, "states": proof.states,
    }


def problem_as_json(problem: Problem) -> dict[str, Any]:
    """A problem as plain values, its texts filled in."""
    place = problem.place
    return {
        "code": problem.code, "what": fill(problem.what, problem.slots), "why": fill(problem.why, problem.slots),
        "mend": fill(problem.mend, problem.slots),
        "place": {"file": place.file, "line": place.line, "column": place.column} if place is not None else None,
    }


def from_json(plain: Mapping[str, Any]) -> Proof:
    """The proof that `as_json` wrote. Raises KeyError, TypeError or ValueError if it is none."""
    verdict = plain["verdict"]
    if verdict not in (PROVEN, REFUTED, NOT_PROVEN):
        raise ValueError(verdict)
    found = tuple(
        Finding(one["property"], one["about"], _problem(one["problem"]), tuple(one["story"])) for one in plain["findings"]
    )
    return Proof(
        plain["procedure"], plain["title"], plain["hash"], plain["kernel"], verdict, found,
        tuple(_problem(one) for one in plain["open"]), int(plain["slices"]), int(plain["states"]),
    )


def _problem(plain: Mapping[str, Any]) -> Problem:
    place = plain["place"]
    at = Place(place["file"], place["line"], place["column"]) if place else None
    return Problem(plain["code"], plain["what"], plain["why"], plain["mend"], at)
