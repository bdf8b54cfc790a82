"""What a person has given and not yet sent, kept on disk each second, so that a killed tablet loses none of it.

Rules kept here:
 1. One draft, of the job that is open; it belongs to that job alone.
 2. Answers about safeguards are never kept: after a gap nothing at the boat is taken for granted. Nor is the second
    person who showed who they are: they show it again.
 3. A draft that cannot be written or read is no draft; the record does not rest on it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

FILE = "draft.json"
BESIDE = "_beside"  # in a step's draft: the second person who has just shown who they are


def kept(draft: Mapping[str, Any]) -> dict[str, Any]:
    """The part of a draft that may outlive the program."""
    own = {
        key: value for key, value in draft.items() if not key.startswith(("proof ", "_")) and isinstance(value, dict)
    }
    return {key: _plain(value) for key, value in own.items()}


def _plain(given: Mapping[str, Any]) -> dict[str, Any]:
    beside = given.get(BESIDE)
    return {
        key: value
        for key, value in given.items()
        if key != BESIDE and isinstance(value, str | int | bool) and (beside is None or value != beside)
    }


def text_of(job: str, draft: Mapping[str, Any]) -> str:
    """A job's draft as it is kept."""
    return json.dumps({"job": job, "draft": kept(draft)}, sort_keys=True)


def save(folder: Path, text: str) -> None:
    """Keep it, whole or not at all."""
    try:
        fresh = folder / f"{FILE}.new"
        fresh.write_text(text, "utf-8")
        fresh.replace(folder / FILE)
    except OSError:
        pass  # see rule 3


def load(folder: Path, job: str) -> dict[str, Any]:
    """The draft of this job; empty where there is none."""
    try:
        read = json.loads((folder / FILE).read_text("utf-8"))
        found = kept(read["draft"]) if read["job"] == job else {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}
    return found
