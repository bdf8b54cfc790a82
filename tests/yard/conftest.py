"""Two weeks of the invented yard, made once for all who only look at them."""

from __future__ import annotations

import pytest

from coach.practice.worker import Worker
from tests.helpers.yard_jobs import Yard, two_weeks


@pytest.fixture(scope="session")
def season_jobs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Yard, dict[str, Worker]]:
    """The yard and its jobs by name; nothing may be added to them."""
    return two_weeks(tmp_path_factory.mktemp("yard"))
