"""A monkey at the tablet, in small: touches at random over a boat that is about to be lit. The large one is `monkey`.

A touch builds a page in most cases, so the suite takes few; ten thousand are a command (see the head of `monkey`).
"""

from __future__ import annotations

from pathlib import Path

from tests.tablet.monkey import run

TOUCHES, SEED = 48, 1


def test_touches_at_random_break_nothing_and_light_only_what_the_monitor_lets_pass(tmp_path: Path) -> None:
    told = run(tmp_path, TOUCHES, SEED)
    assert told.objections == {}
    assert told.kinds["flame_lit"] >= 1, dict(told.kinds)  # else nothing was tried
