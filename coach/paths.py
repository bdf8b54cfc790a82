"""Where things are: what comes with the program (procedures, catalogues, pictures and fonts), and this person's data.

Rules kept here:
 1. In an installed program the data lie inside the package; in a checkout they lie beside it. The package comes first.
 2. Nothing is created by asking where it is, but the data folder by `made_data_folder`.
Knows nothing of: what is in the folders.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

from coach.core.problems import Problem, StoreError

DATA_VARIABLE = "COVER_COACH_DATA"
_PACKAGE = Path(__file__).resolve().parent
_NAME = "cover-coach"


def shipped(name: str, package: Path = _PACKAGE) -> Path:
    """A folder that comes with the program: inside the package, or beside it in a checkout."""
    inside = package / name
    return inside if inside.is_dir() else package.parent / name


def procedures() -> Path:
    """The folder of the shipped procedures; their parts are in `parts` below it."""
    return shipped("procedures")


def locale() -> Path:
    """The folder of the catalogues of translations."""
    return shipped("locale")


def assets() -> Path:
    """The folder of fonts and pictures."""
    return shipped("assets")


def data_folder(environment: Mapping[str, str] | None = None, platform: str = sys.platform) -> Path:
    """The folder for this person's jobs, keys and own procedures, as the platform has it. It may not exist yet.

    Args:
        environment: variables; the process's own if not given. COVER_COACH_DATA comes before everything else.
        platform: as sys.platform names it.
    """
    values = os.environ if environment is None else environment
    own = values.get(DATA_VARIABLE, "")
    if own:
        return Path(own)
    home = Path(values.get("HOME") or values.get("USERPROFILE") or Path.home())
    if platform == "win32":
        return Path(values.get("LOCALAPPDATA") or home / "AppData" / "Local") / _NAME
    if platform == "darwin":
        return home / "Library" / "Application Support" / _NAME
    if platform == "android" or "ANDROID_PRIVATE" in values:
        return Path(values.get("ANDROID_PRIVATE") or home) / _NAME
    return Path(values.get("XDG_DATA_HOME") or home / ".local" / "share") / _NAME


def made_data_folder(folder: Path | None = None) -> Path:
    """The data folder, made if it does not exist, readable by its owner only.

    Raises:
        StoreError P510: it cannot be made.
    """
    path = folder or data_folder()
    try:
        path.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            Problem(
                "P510", "the data folder %(path)s cannot be made: %(error)s",
                "jobs would be lost at the end of the day",
                "free the place, or set %(variable)s to a folder that can be written", None,
                {"path": str(path), "error": error.strerror or str(error), "variable": DATA_VARIABLE},
            )
        ) from error
    return path
