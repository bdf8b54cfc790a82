"""A procedure of the yard's own: where it lies, and the commented file to begin with.

Rules kept here:
 1. No file that is there is written over.
 2. The starter is a whole procedure: it loads, and it proves, before anything in it is changed.
Knows nothing of: how a procedure is read or proven.
Called by: cli.
"""

from __future__ import annotations

from pathlib import Path

from coach import paths
from coach.core.problems import Problem, ProcedureError
from coach.reader.faults import clip
from coach.reader.fields import ID
from coach.reader.load import ENDING

STARTER_ID = "my-procedure"


def own_procedures(data: Path) -> Path:
    """The folder of the yard's own procedures, in the data folder. It may not exist yet."""
    return data / "procedures"


def write_starter(id: str, folder: Path) -> Path:
    """Write the starter under an id, and the folder if it is not there.

    Args:
        id: small letters, digits, '_' and '-', beginning with a letter; none that a shipped procedure has.
        folder: where the file is written.

    Returns:
        The file.

    Raises:
        ProcedureError C140: no id; C141: a shipped procedure's; C142: the file is there; C143: it cannot be written.
    """
    if not ID.fullmatch(id):
        raise _refused(
            "C140",
            "'%(id)s' is no id for a procedure",
            "a file is found by its id",
            "write small letters, digits, _ and -, beginning with a letter, such as dinghy-on-rack",
            id=clip(id),
        )
    if (paths.procedures() / f"{id}{ENDING}").exists():
        raise _refused(
            "C141",
            "there is a shipped procedure '%(id)s'",
            "nobody could tell which of the two a record means",
            "choose another id",
            id=id,
        )
    file = folder / f"{id}{ENDING}"
    text = (paths.procedures() / "yard" / f"starter{ENDING}").read_text(encoding="utf-8")
    try:
        if not folder.exists():  # a file in its place is no folder, which opening says better than making
            folder.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8", newline="\n") as made:
            made.write(
                text.replace(f"procedure: {STARTER_ID} ", f"procedure: {id} ", 1).replace("THIS-FILE", file.name)
            )
    except FileExistsError as fault:
        raise _refused(
            "C142",
            "the file '%(file)s' is there already",
            "what you wrote in it would be lost",
            "choose another id, or another folder with --dir",
            file=file.name,
        ) from fault
    except OSError as fault:
        raise _refused(
            "C143",
            "the file '%(file)s' cannot be written: %(error)s",
            "the disk, or the rights to it, forbid it",
            "choose another folder with --dir",
            file=file.name,
            error=fault.strerror or str(fault),
        ) from fault
    return file


def _refused(code: str, what: str, why: str, mend: str, **slots: object) -> ProcedureError:
    return ProcedureError(Problem(code, what, why, mend, slots=slots))
