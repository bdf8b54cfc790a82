"""Why something matters, in the procedure's and the gate's own words: for findings and for questions.

Knows nothing of: runs, trainees.
"""

from __future__ import annotations

from coach.core.model import Step
from coach.core.rules import Rules
from coach.yard.skills import GATE, WATCHING, skill_of_stage

DEBT = "debt"


def why_of(rules: Rules, about: str) -> tuple[str, str]:
    """The reason of a step, safeguard or debt, and what goes wrong without it; empty texts for anything else."""
    step = rules.steps.get(about)
    if step is not None:
        return step.why, step.wrong
    row = rules.safeguards.get(about)
    if row is not None:
        proving = rules.steps.get(rules.proving.get(about, ""))
        return row.why, proving.wrong if proving else ""
    if about in rules.debts:
        return _why_of_debt(rules, about)
    kind, _space, rest = about.partition(" ")
    if kind == DEBT and rest in rules.debts:  # a debt may bear the name of a safeguard: the fire watch
        return _why_of_debt(rules, rest)
    if kind == "measure":
        asking = rules.asking.get(rest, ())
        return why_of(rules, asking[0]) if asking else ("", "")
    if kind == "answer":
        return why_of(rules, rest.partition(".")[0])
    return "", ""


def _why_of_debt(rules: Rules, id: str) -> tuple[str, str]:
    clearing = rules.steps.get(rules.clearing.get(id, ""))
    return rules.debts[id].why, clearing.wrong if clearing else ""


def name_of(rules: Rules, about: str) -> str:
    """What a step, safeguard, debt, measure or item is called; the id itself for anything else."""
    if about in rules.steps:
        return rules.steps[about].do
    if about in rules.safeguards:
        return rules.safeguards[about].name
    if about in rules.debts:
        return rules.debts[about].name
    kind, _space, rest = about.partition(" ")
    if kind == DEBT and rest in rules.debts:
        return rules.debts[rest].name
    if kind == "measure" and rest in rules.procedure.measures:
        return rules.procedure.measures[rest].ask
    if kind == "answer":
        step, _dot, item = rest.partition(".")
        found = [each.ask for each in rules.steps[step].evidence if each.id == item] if step in rules.steps else []
        return found[0] if found else rest
    return about


def skill_of(rules: Rules, about: str) -> str:
    """The skill that a step, safeguard, debt, measure or item belongs to; '' for none."""
    if about in rules.safeguards or about in rules.debts:
        return WATCHING if about == WATCHING else GATE
    kind, _space, rest = about.partition(" ")
    if kind == DEBT:
        return skill_of(rules, rest)
    if kind == "measure":
        asking = rules.asking.get(rest, ())
        return skill_of(rules, asking[0]) if asking else ""
    if kind == "answer":
        return skill_of(rules, rest.partition(".")[0])
    step = rules.steps.get(about)
    return skill_of_step(step) if step else ""


def skill_of_step(step: Step) -> str:
    """The skill that a step shows; '' for none of ours."""
    if step.proves == WATCHING:
        return WATCHING
    return skill_of_stage(step.stage)
