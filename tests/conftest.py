"""For all tests: no skip goes unseen in CI, and random tests are the same on every run there."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

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
