"""Pages that are gone leave nothing behind: a tablet runs for a season, and a change of language asks what is left."""

from __future__ import annotations

import gc
import re
from pathlib import Path

import pytest

import coach.tablet
from coach.tablet.shell import Shell
from tests.tablet.driver import Driver
from tests.tablet.test_app import Boat

KV = sorted(Path(coach.tablet.__file__).parent.rglob("*.kv"))


def shells() -> int:
    gc.collect()
    return sum(type(each) is Shell for each in gc.get_objects())


@pytest.mark.parametrize("minutes", [0, 20], ids=["ready", "blocked"])
def test_an_app_that_ended_is_given_back(minutes: int, tmp_path: Path) -> None:
    before, aside = shells(), gc.get_freeze_count()
    for turn in range(2):
        with Driver((1280, 800)) as drive:
            boat = Boat(drive, tmp_path / str(turn), "weld-hem")
            boat.clock.pass_minutes(minutes)
            boat.enter()
        del boat, drive
    assert shells() <= before + 1  # the toolkit itself holds the last one
    assert gc.isenabled() and gc.get_freeze_count() <= aside


@pytest.mark.parametrize("path", KV, ids=lambda path: path.stem)
def test_no_rule_follows_ids(path: Path) -> None:
    """The toolkit keeps the dictionary of ids of such a rule, and with it the widget, for ever (Kivy 2.3.1, measured)."""
    followed = re.findall(r"\w+\.ids\.\w+.*", re.sub(r"\n\s*on_\w+:[^\n]*", "", path.read_text("utf-8")))
    assert followed == []
