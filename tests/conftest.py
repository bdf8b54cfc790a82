"""For all tests: no skip goes unseen in CI, random tests are the same on every run there, one yard is made once."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from coach.practice.worker import Worker
    from tests.helpers.yard_jobs import Yard

IN_CI = os.environ.get("CI") == "true"

settings.register_profile("ci", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("dev", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "dev"))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):  # type: ignore[no-untyped-def]
    """In CI a skipped test is a failed test: what is missing there must be installed there."""
    report = yield
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped in CI: {report.longrepr}"
    return report


@pytest.fixture(scope="session")
def season_jobs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Yard, dict[str, Worker]]:
    """Two weeks of the invented yard and its jobs by name, for tests that only look; nothing may be added to them."""
    from tests.helpers.yard_jobs import two_weeks

    return two_weeks(tmp_path_factory.mktemp("yard"))
