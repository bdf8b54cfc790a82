"""What a run was worth, as plain values: findings with their moment and reason, what was met, the score.

Rules kept here:
 1. The score comes from good work done and faults made, and from nothing else: neither time left over nor the number
    of acts, looks or ticks is in it.
 2. An unsafe act fails the drill whatever else was good; so does anything missed that must be done.
Knows nothing of: how a run is judged (assess), screens.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

MISSED, LATE, ORDER, UNSAFE, WRONG, UNREAD = "missed", "late", "order", "unsafe", "wrong", "unread"
SEVERITY = (UNSAFE, MISSED, WRONG, LATE, ORDER, UNREAD)
COSTS = {UNSAFE: 25, MISSED: 10, WRONG: 15, LATE: 10, ORDER: 8, UNREAD: 3}
UNSAFE_MOST, MISSED_MOST, PASS = 40, 60, 80
UNREAD_MOST = 5  # more quick answers than that are a fault by themselves


@dataclass(frozen=True)
class Finding:
    """One thing that was not good. code: a word of ours that says which; why, wrong: the procedure's own words."""

    kind: str
    code: str
    second: int
    about: str
    what: str
    slots: Mapping[str, object]
    why: str
    wrong: str
    skill: str
    must: bool = True


@dataclass(frozen=True)
class Met:
    """One good deed that was done, with its moment."""

    good: str
    second: int
    says: str
    skill: str


@dataclass(frozen=True)
class Assessment:
    """The whole judgement of a run."""

    drill: str
    drill_hash: str
    title: str
    trainee: str
    started: int
    seconds: int
    over: str
    status: str
    score: int
    passed: bool
    skills: tuple[str, ...]
    findings: tuple[Finding, ...]
    met: tuple[Met, ...]


MUST_WEIGHS, REST_WEIGHS = 2, 1


def score_of(weights_met: int, weights: int, findings: tuple[Finding, ...]) -> int:
    """The score, 0 to 100: good work done over good work asked, less what the faults cost, under the caps of rule 2."""
    start = round(100 * weights_met / weights) if weights else 100
    kinds = [finding.kind for finding in findings]
    cost = sum(COSTS[kind] for kind in kinds if kind != MISSED)
    cost += sum(COSTS[MISSED] for finding in findings if finding.kind == MISSED and finding.code != "good")
    score = max(0, start - cost)
    if UNSAFE in kinds:
        score = min(score, UNSAFE_MOST)
    if any(finding.must for finding in findings if finding.kind in (MISSED, WRONG)):
        score = min(score, MISSED_MOST)
    return score


def is_pass(score: int, findings: tuple[Finding, ...]) -> bool:
    """Whether the drill is passed."""
    if any(finding.kind == UNSAFE for finding in findings):
        return False
    if any(finding.must and finding.kind in (MISSED, WRONG, LATE) for finding in findings):
        return False
    return score >= PASS and sum(finding.kind == UNREAD for finding in findings) <= UNREAD_MOST


def as_dict(done: Assessment) -> dict[str, Any]:
    """The plain form, as it is kept."""
    plain = {
        name: getattr(done, name)
        for name in Assessment.__dataclass_fields__
        if name not in ("findings", "met", "skills")
    }
    plain["skills"] = list(done.skills)
    plain["findings"] = [{**vars(finding), "slots": dict(finding.slots)} for finding in done.findings]
    plain["met"] = [dict(vars(each)) for each in done.met]
    return plain


def from_dict(plain: Mapping[str, Any]) -> Assessment:
    """The assessment of its plain form. Raises KeyError or TypeError if it is none."""
    fields = {
        name: plain[name] for name in Assessment.__dataclass_fields__ if name not in ("findings", "met", "skills")
    }
    return Assessment(
        **fields,
        skills=tuple(plain["skills"]),
        findings=tuple(Finding(**each) for each in plain["findings"]),
        met=tuple(Met(**each) for each in plain["met"]),
    )
