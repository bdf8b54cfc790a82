"""An open job and a second window on it: what was written there is taken in, and the late act is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core import actions as act
from coach.core.problems import RecordError
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy
from tests.helpers.yard_jobs import Yard


def test_a_job_that_went_on_elsewhere_is_read_again(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    here = yard.begin("Eider").job
    other = Desk.open(tmp_path, yard.clock, lambda procedure: True, demo_policy())
    there = other.job(here.id)
    yard.clock.pass_minutes(1)
    assert here.act(act.Measure("ana", "tools_out", "12", "12"), yard.clock()) is None
    with pytest.raises(RecordError, match="R415"):
        there.act(act.Measure("ana", "tools_out", "13", "13"), yard.clock())
    assert there.events == here.events
    assert there.state.measures == here.state.measures
    assert there.act(act.Measure("ana", "tools_out", "13", "13"), yard.clock()) is None
    assert other.ledger.events(here.id) == there.events
