"""`coach prove`: proves files, or all shipped procedures, and prints what was found.

Rules kept here:
 1. Statuses: 0 every procedure is proven, 1 something was found or left undecided, or a file could not be used.
 2. Every file is looked at, also after one that is not safe.
Knows nothing of: how a proof is made, the command line's other words.
Called by: cli.
"""

from __future__ import annotations

import json as text_form
from collections.abc import Callable, Sequence
from pathlib import Path

from coach.core.problems import Problem, ProcedureError
from coach.core.problems import render as render_problem
from coach.core.sizing.registry import FUNCTIONS
from coach.prover.cast import STANDARD
from coach.prover.context import Memory
from coach.prover.lint import lint
from coach.prover.proof import PROVEN, as_json, problem_as_json, render
from coach.prover.prove import prove
from coach.prover.rules.surroundings import Surroundings
from coach.reader.load import list_procedures, load_procedure

FINE, FOUND = 0, 1


def run(
    paths: Sequence[str], json: bool, out: Callable[[str], object], surroundings: Surroundings | None = None,
    folders: Sequence[Path] | None = None, say: Callable[[str], str] = str,
    told: Callable[[Problem], str] = render_problem,
) -> int:
    """Prove and lint these files or ids; all shipped procedures if none is given.

    Args:
        paths: files, or ids of procedures.
        json: whether to print one JSON document in place of text.
        out: what prints a line.
        surroundings: pictures and translations for lint, if they are known.
        folders: where ids and parts are looked for; the shipped procedures if not given.
        say, told: translate a text, and word a problem; in English if not given.

    Returns:
        The exit status: 0 or 1.
    """
    names = list(paths) or [id for id, _ in list_procedures()]
    status, answers, memory = FINE, [], Memory()
    for name in names:
        try:
            procedure = load_procedure(name, folders)
        except ProcedureError as error:
            status = FOUND
            answers.append({"file": name, "problems": [problem_as_json(problem) for problem in error.problems]})
            if not json:
                for problem in error.problems:
                    out(told(problem))
            continue
        proof = prove(procedure, STANDARD, FUNCTIONS, memory=memory)
        hints = lint(procedure, surroundings)
        if proof.verdict != PROVEN:
            status = FOUND
        answers.append({"file": name, **as_json(proof), "lint": [problem_as_json(problem) for problem in hints]})
        if not json:
            out(render(proof, say, told))
            for problem in hints:
                out(told(problem))
    if json:
        out(text_form.dumps(answers, indent=2, ensure_ascii=False))
    return status
