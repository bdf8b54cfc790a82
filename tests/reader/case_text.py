"""What the reader says of a case: the whole message, as an author would see it.

`python -m tests.reader.case_text` writes every `.expected.txt` anew from what the reader says now; read the difference
line by line before you keep it.
"""

from __future__ import annotations

from pathlib import Path

from coach.core.problems import ProcedureError
from coach.reader.schema import read_procedure

CASES = Path(__file__).parent / "cases"


def find_part(id: str) -> tuple[str, bytes] | None:
    """A part of the cases."""
    path = CASES / "parts" / f"{id}.yaml"
    return (f"parts/{id}.yaml", path.read_bytes()) if path.is_file() else None


def message_of(path: Path) -> str:
    """The reader's whole message about a case; a line that says so if it found nothing wrong."""
    try:
        read_procedure(path.read_bytes(), path.name, find_part)
    except ProcedureError as error:
        return f"{error}\n"
    return "nothing wrong\n"


def all_cases() -> list[Path]:
    """The case files, by name."""
    return sorted(CASES.glob("*.yaml"))


if __name__ == "__main__":
    for case in all_cases():
        case.with_suffix(".expected.txt").write_text(message_of(case), encoding="utf-8")
