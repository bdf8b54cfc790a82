"""All numbers of a procedure from a few measures, as lines for a terminal and as plain values for JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coach.core.formula import Function
from coach.core.model import Procedure
from coach.core.numbers import Value, truth
from coach.language import _
from coach.view.advice import notes_for, slip_lines, tape_lines
from coach.view.measures import fields, number_lines, shown_value


def as_json(procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function], system: str) -> dict[str, Any]:
    """numbers.NAME: si (SI units, None while it waits), display, explanation, why, waits_for; measures; checks; tape: what
    speaks against the half tape; slip: what an inch does to each length; notes."""
    lines = number_lines(procedure, values, functions, system)
    return {
        "procedure": procedure.id,
        "version": procedure.version,
        "hash": procedure.hash,
        "measures": {id: shown_value(procedure.measures[id], value, system) for id, value in values.items()},
        "numbers": {
            line.id: {
                "title": line.title, "kind": line.kind, "si": line.si, "display": line.shown, "explanation": line.explanation,
                "why": line.why, "waits_for": list(line.waits_for), "problem": line.problem,
            }
            for line in lines
        },
        "checks": [
            {"id": check.id, "says": _(check.says), "measures": list(check.measures)}
            for check in procedure.checks
            if truth(check.holds, procedure, values, functions) is False
        ],
        "tape": list(tape_lines(procedure, values, functions, system)),
        "slip": {
            line.number: {"change": line.change, "measures": list(line.measures)}
            for line in slip_lines(procedure, values, functions, system)
        },
        "notes": list(notes_for(procedure, functions)),
    }


def as_lines(procedure: Procedure, values: Mapping[str, Value], functions: Mapping[str, Function], system: str) -> list[str]:
    """The same for people."""
    lines = [_(procedure.title), ""]
    for field in fields(procedure, tuple(values), values, {}, functions, system):
        lines.append(f"  {field.ask}: {field.value}")
    lines.append("")
    waiting = []
    for line in number_lines(procedure, values, functions, system):
        if line.shown:
            lines.append(f"  {line.title:28} {line.shown:>10}   {line.explanation}")
        else:
            waiting.append(f"  {line.title:28} {_('waits for')} {', '.join(line.waits_for) or line.problem}")
    slips = [f"  {line.text}" for line in slip_lines(procedure, values, functions, system)]
    slips = ["", _("If the tape slips"), *slips] if slips else []
    notes = ["", _("Good to know"), *(f"  - {text}" for text in notes_for(procedure, functions))]
    failed = [_(c.says) for c in procedure.checks if truth(c.holds, procedure, values, functions) is False]
    failed += tape_lines(procedure, values, functions, system)
    return [
        *lines, *([""] + waiting if waiting else []), *slips, *notes,
        *([""] + [f"  ! {text}" for text in failed] if failed else []),
    ]
