"""Starting the toolkit: quiet, nothing written, a missing display said in plain words."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from coach.tablet.bootstrap import DisplayError, have_display

WINDOW = "from coach.tablet import bootstrap; shown = bootstrap.window((320, 200), {density}, offscreen=True);"


def run(code: str, home: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run code in a process of its own, with a home of its own."""
    keep = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("KIVY", "KCFG", "SDL", "DISPLAY", "WAYLAND"))
    }
    return subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**keep, "HOME": str(home), **variables},
        cwd=Path(__file__).parents[2],
    )


def test_a_window_opens_without_a_word_and_writes_no_log_and_no_settings(tmp_path: Path) -> None:
    done = run(
        WINDOW.format(density=1.5)
        + """
from kivy.metrics import Metrics
from coach.tablet.theme import theme
from coach.tablet.widgets.field import Field
from kivy.config import Config
Field(label='x')
print(shown.size, Metrics.density, round(theme.mm, 3), Config.get('input', 'mouse'))
""",
        tmp_path,
    )
    assert done.stderr == ""
    assert done.stdout == "(320, 200) 1.5 9.449 mouse,disable_multitouch\n"
    assert [path for path in tmp_path.rglob("*") if path.suffix in (".ini", ".txt", ".log")] == []


def test_tracebacks_still_reach_the_person(tmp_path: Path) -> None:
    done = run(WINDOW.format(density=None) + "raise RuntimeError('seen')", tmp_path)
    assert done.returncode == 1
    assert done.stderr.endswith("RuntimeError: seen\n")


def test_our_own_command_line_is_left_alone(tmp_path: Path) -> None:
    code = "import sys; sys.argv = ['coach', '--help'];" + WINDOW.format(density=None) + "print(sys.argv)"
    assert run(code, tmp_path).stdout == "['coach', '--help']\n"


@pytest.mark.parametrize(
    ("variables", "platform", "code"),
    [
        ({"DISPLAY": ":0"}, "linux", None),
        ({"SDL_VIDEODRIVER": "offscreen"}, "linux", None),
        ({}, "win32", None),
        ({}, "darwin", None),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", "C402"),
        ({}, "linux", "C403"),
        ({"DISPLAY": ""}, "linux", "C403"),
    ],
)
def test_what_is_missing_for_a_display(
    variables: dict[str, str], platform: str, code: str | None, tmp_path: Path
) -> None:
    missing = have_display(variables, platform, tmp_path)
    assert (missing and missing.code) == code


def test_a_graphics_card_is_enough_without_a_desktop(tmp_path: Path) -> None:
    (tmp_path / "card0").touch()
    assert have_display({}, "linux", tmp_path) is None


def test_the_whole_message_without_a_display(tmp_path: Path) -> None:
    assert str(have_display({}, "linux", tmp_path)) == (
        "C403 no display found\n"
        "    why   the tablet screens need a screen to draw on\n"
        "    mend  start it from a desktop session, or use the terminal: coach walk"
    )


@pytest.mark.skipif(
    any(Path("/dev/dri").glob("card*")) or not sys.platform.startswith("linux"), reason="this machine has a screen"
)
def test_a_window_without_a_display_is_refused_before_the_toolkit_starts(tmp_path: Path) -> None:
    done = run(
        "from coach.tablet import bootstrap\ntry:\n    bootstrap.window()\nexcept bootstrap.DisplayError as error:\n"
        "    print(error.problems[0].code)\nimport sys\nprint('kivy' in sys.modules)",
        tmp_path,
    )
    assert (done.stdout, done.stderr) == ("C403\nFalse\n", "")
    assert issubclass(DisplayError, Exception)
