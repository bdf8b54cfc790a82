"""Finds procedure files and their parts, and has them read.

Rules kept here:
 1. An id never leaves its folder: only plain ids are looked up, and a part is `parts/<id>.yaml`.
 2. A file is read once.
Knows nothing of: the format.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coach import paths
from coach.core.model import Procedure
from coach.core.problems import Problem, ProcedureError, nearest
from coach.reader.faults import clip
from coach.reader.fields import ID
from coach.reader.files import read_bytes
from coach.reader.schema import read_procedure

ENDING = ".yaml"


def load_procedure(path_or_id: str | Path, folders: Sequence[Path] | None = None) -> Procedure:
    """The procedure of a file, or of an id in the folders of procedures.

    Args:
        path_or_id: an id such as 'power-boat-trailer', or the path of a file.
        folders: where ids and parts are looked for, in this order; the shipped procedures if not given. The parts
            beside the file itself come first.

    Raises:
        ProcedureError: every fault of the procedure and its parts, or why the file cannot be read.
    """
    places = [paths.procedures()] if folders is None else list(folders)
    path, shown = _find(path_or_id, places)
    data = read_bytes(path, shown)
    beside = (path.parent, *(folder for folder in places if folder != path.parent))

    def find_part(id: str) -> tuple[str, bytes] | None:
        if not ID.fullmatch(id):
            return None
        for folder in beside:
            part = folder / "parts" / f"{id}{ENDING}"
            if part.exists():
                name = f"parts/{part.name}"
                above = shown.removesuffix(path.name)
                return (f"{above}{name}" if folder == path.parent else name), read_bytes(part, name)
        return None

    def parts() -> tuple[str, ...]:
        return tuple(sorted({path.stem for folder in beside for path in (folder / "parts").glob(f"*{ENDING}")}))

    return read_procedure(data, shown, find_part, parts)


def list_procedures(folders: Sequence[Path] | None = None) -> list[tuple[str, str | Problem]]:
    """Every procedure in the folders, by id: its title, or the first problem for which it cannot be used."""
    places = [paths.procedures()] if folders is None else list(folders)
    listed: list[tuple[str, str | Problem]] = []
    for id in procedure_ids(places):
        try:
            listed.append((id, load_procedure(id, places).title))
        except ProcedureError as error:
            listed.append((id, error.problems[0]))
    return listed


def procedure_ids(folders: Sequence[Path]) -> list[str]:
    """The ids of the files of procedures in the folders, whether they can be used or not."""
    return sorted({path.stem for folder in folders if folder.is_dir() for path in folder.glob(f"*{ENDING}")})


def _find(path_or_id: str | Path, folders: Sequence[Path]) -> tuple[Path, str]:
    """The file to read and its name for messages."""
    text = str(path_or_id)
    if isinstance(path_or_id, Path) or text.endswith(ENDING) or "/" in text or "\\" in text:
        return Path(path_or_id), text.replace("\\", "/")
    if ID.fullmatch(text):
        for folder in folders:
            if (folder / f"{text}{ENDING}").exists():
                return folder / f"{text}{ENDING}", f"{text}{ENDING}"
    known = procedure_ids(folders)
    near = nearest(text[:60], known)
    raise ProcedureError(
        Problem(
            "P501", "there is no procedure '%(id)s'", "no file of that name lies in the folders of procedures",
            "take '%(near)s'" if near else "take one of: %(known)s", None,
            {"id": clip(text), "near": near, "known": ", ".join(known) or "(there are none)"},
        )
    )
