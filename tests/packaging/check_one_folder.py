"""The one-folder build, started as on a tablet without Python: it works a whole boat and writes nothing beside itself.

Not collected with the suite, because the folder must be made first: `.ci/folder OUT`, then
`COACH_FOLDER=OUT/coach python -m pytest tests/packaging/check_one_folder.py`.
"""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from coach import __version__

FOLDER = Path(os.environ["COACH_FOLDER"])


def run(home: Path, *words: str) -> str:
    """What the program says; it sees no variable of this process that could lend it a Python."""
    bare = {"HOME": str(home), "PATH": "/usr/bin:/bin", "SDL_VIDEODRIVER": "offscreen", "LANG": "C.UTF-8"}
    done = subprocess.run([str(FOLDER / "coach"), *words], env=bare, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    return done.stdout


def files() -> dict[str, int]:
    """Everything in the folder, with its time of change."""
    return {str(path.relative_to(FOLDER)): path.stat().st_mtime_ns for path in FOLDER.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def before() -> dict[str, int]:
    return files()


def test_it_is_this_version(before: dict[str, int], tmp_path: Path) -> None:
    assert __version__ in run(tmp_path, "--version")


def test_it_carries_every_procedure_and_its_languages(tmp_path: Path) -> None:
    shipped = {path.stem for path in (Path(__file__).resolve().parents[2] / "procedures").glob("*.yaml")}
    assert shipped <= set(run(tmp_path, "list").split())
    assert "Couvrir un bateau" in run(tmp_path, "--language", "fr", "size", "power-boat-trailer")


def test_it_works_a_whole_boat_with_a_window_and_its_record_verifies(tmp_path: Path) -> None:
    out = tmp_path / "demo"
    assert "verified" in run(tmp_path, "demo", "--out", str(out))
    (record,) = out.glob("*.coach")
    assert f"{record}: verified" in run(tmp_path, "verify", str(record))
    shots = sorted((out / "screens").glob("*.png"))
    assert len(shots) >= 30
    assert min(shot.stat().st_size for shot in shots) > 10_000  # a blank page of this size packs to less


def test_nothing_was_written_beside_the_program(before: dict[str, int]) -> None:
    assert files() == before
