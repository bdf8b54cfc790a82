"""What lies at the top of the repository, and that nobody's records or keys lie anywhere in it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]
MAY = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "coach", "procedures", "locale", "tests", "assets"}
OWN_DATA = (".sqlite", ".sqlite-wal", ".sqlite-shm", ".pem")


def kept() -> list[str]:
    """The files that the repository holds, or would hold: those that git keeps or does not know yet."""
    if not (TOP / ".git").exists() or shutil.which("git") is None:
        pytest.skip("this is no clone of the repository: what it holds cannot be told")
    line = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    return subprocess.run(line, cwd=TOP, capture_output=True, text=True, check=True).stdout.split("\n")[:-1]


def test_nothing_else_lies_at_the_top() -> None:
    names = {file.split("/")[0] for file in kept()}
    assert names >= {"README.md", "coach"}
    assert sorted(name for name in names - MAY if not name.startswith(".")) == []


def test_no_ledger_and_no_key_is_part_of_the_program() -> None:
    assert [file for file in kept() if file.endswith(OWN_DATA)] == []
