"""SIGKILL of a real app process at moments that matter: nothing acknowledged is lost, the same screen comes back, the
gate is shut."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


def process(folder: Path, moment: str) -> subprocess.Popen[str]:
    """The app in a process of its own."""
    variables = {**os.environ, "PYTHONPATH": str(ROOT), "SDL_VIDEODRIVER": "offscreen"}
    line = [sys.executable, "-m", "tests.tablet.killed_app", str(folder), moment]
    return subprocess.Popen(line, env=variables, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def killed_at(folder: Path, moment: str) -> dict[str, Any]:
    """Kill the app at this moment; answers with what it had shown and stored."""
    child = process(folder, moment)
    assert child.stdout is not None and child.stderr is not None
    line = child.stdout.readline()
    child.send_signal(signal.SIGKILL)
    _out, errors = child.communicate(timeout=60)
    assert line.startswith("READY "), errors
    assert child.returncode == -signal.SIGKILL
    told: dict[str, Any] = json.loads(line.removeprefix("READY "))
    return told


def opened_again(folder: Path) -> list[dict[str, Any]]:
    """What a new process shows: first, and after going on where that was asked."""
    child = process(folder, "look")
    out, errors = child.communicate(timeout=120)
    assert child.returncode == 0, errors
    return [json.loads(line) for line in out.splitlines()]


def test_a_flame_that_was_lit_comes_back_as_a_trip(tmp_path: Path) -> None:
    before = killed_at(tmp_path, "lit")
    (after,) = opened_again(tmp_path)
    assert after["kinds"][: before["seq"]] == before["kinds"]
    assert after["kinds"].count("tripped") == 1 and after["kinds"][-1] == "tripped"
    assert "Take the flame off the film and let go of the trigger." in after["texts"]
    assert "The flame is out, the tool is closed" in after["texts"]
    assert not any("Light the flame" in text for text in after["texts"])


def test_a_trip_whose_flame_is_out_waits_for_its_reset(tmp_path: Path) -> None:
    before = killed_at(tmp_path, "out")
    (after,) = opened_again(tmp_path)
    assert after["kinds"] == before["kinds"] and after["kinds"][-1] == "flame_out"
    assert "Reset" in after["texts"] and after["texts"][:3] == before["texts"][:3]


@pytest.mark.parametrize(
    ("moment", "step", "item"), [("typed", "open-fuel-vents", "removed"), ("photo", "look-over", "")]
)
def test_what_was_given_and_not_sent_is_there_again_on_the_same_screen(
    moment: str, step: str, item: str, tmp_path: Path
) -> None:
    before = killed_at(tmp_path, moment)
    resume, after = opened_again(tmp_path)
    assert "Go on with this boat" in resume["texts"]
    assert after["kinds"] == [*before["kinds"], "resumed"]
    assert after["draft"][step] == before["draft"][step] != {}
    assert [text for text in before["texts"] if text not in after["texts"] and not re.fullmatch(r"[\d:]+", text)] == []
    if item:
        assert after["draft"][step][item] == 2
        assert any(text.startswith("Fire watch after the flame") for text in after["texts"])  # it goes on where it was
