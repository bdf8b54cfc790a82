"""Heat steps whose cautions defer to nobody: local fire codes and the makers' instructions come before this list."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.core.model import Procedure
from coach.core.problems import Problem
from coach.prover.rules.surroundings import Surroundings

_CODES = re.compile(r"\bfire codes?\b|\bfire regulations?\b|\bfire office\b|\bpermit\b", re.IGNORECASE)
_MAKERS = re.compile(r"\binstructions?\b", re.IGNORECASE)


def look(procedure: Procedure, around: Surroundings) -> Iterator[Problem]:
    """A problem for each heat step without a caution, or whose cautions name neither codes nor instructions."""
    for step in procedure.steps:
        if not step.heat:
            continue
        said = " ".join(caution.text for caution in step.cautions)
        if not _CODES.search(said) or not _MAKERS.search(said):
            yield Problem(
                "V508", "the cautions of the heat step '%(step)s' do not defer to local fire codes and to the makers' instructions",
                "this list is no licence: codes, the tool's and the film's instructions come first",
                "add a caution that says so", step.place, {"step": step.id},
            )
