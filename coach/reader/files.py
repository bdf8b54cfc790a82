"""Reads the bytes of a file that a person wrote.

Rules kept here:
 1. Only a plain file is read, and only up to the size that can be right.
Knows nothing of: what is in the file.
"""

from __future__ import annotations

from pathlib import Path

from coach import disk
from coach.core.problems import Place, Problem, ProcedureError
from coach.reader.text import MAX_BYTES


def read_bytes(path: Path, shown: str) -> bytes:
    """A file's bytes, at most one more than may be read, so that a larger file is noticed by its reader.

    Raises:
        ProcedureError P502, P503: it is not a plain file, or cannot be read.
    """
    try:
        if not path.is_file():
            what = "this is not a plain file" if path.exists() else "there is no such file"
            raise ProcedureError(
                Problem("P502", what, "only a file's bytes can be read", "correct the path", Place(shown))
            )
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        raise ProcedureError(
            Problem(
                "P503", "the file cannot be read: %(error)s", "what cannot be read cannot be checked",
                disk.read_cure(error), Place(shown),
                {"error": getattr(error, "strerror", None) or str(error)},
            )
        ) from error
