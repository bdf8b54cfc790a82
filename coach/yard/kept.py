"""Procedure and policy out of the very texts that the record keeps of a job.

Rules kept here:
 1. What cannot be read is said; a job never goes on, and is never judged, by another text than its own.
Knows nothing of: stores, jobs.
Called by: desk, shelf.
"""

from __future__ import annotations

import json

from coach.core.model import Procedure
from coach.core.policy import Policy
from coach.core.problems import Problem, RecordError
from coach.reader.schema import read_procedure
from coach.yard.policy_file import read_policy, shipped_policy


def procedure_from(document: str) -> Procedure:
    """The procedure of the text that the record keeps. Raises ProcedureError, RecordError R480 if it is no bundle."""
    try:
        files = {name: text.encode("utf-8") for name, text in json.loads(document).items()}
        main = next(name for name in files if "/" not in name)
    except (ValueError, AttributeError, StopIteration) as error:
        raise RecordError(
            Problem(
                "R480",
                "the record's procedure text cannot be read",
                "the job must go on by its own text",
                "ask for the job's sealed file from the tablet that made it",
            )
        ) from error

    def part(id: str) -> tuple[str, bytes] | None:
        name = f"parts/{id}.yaml"
        return (name, files[name]) if name in files else None

    return read_procedure(files[main], main, part)


def policy_from(document: str) -> Policy:
    """The policy of the text that the record keeps; the shipped one for an empty text."""
    return read_policy(document.encode("utf-8"), "policy.yaml") if document else shipped_policy()
