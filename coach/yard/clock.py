"""The device's clocks, read in one place: wall, steady, the start of the device, the run of the program.

Rules kept here:
 1. The steady clock also runs while the device sleeps where the system offers such a clock; where it does not, the
    two clocks disagree after a sleep and every proof lapses.
Called by: the shells (tablet, terminal, command line), never by the core.
"""

from __future__ import annotations

import secrets
import time
from collections.abc import Callable
from pathlib import Path

from coach.core.moment import Moment

Clock = Callable[[], Moment]

_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


def _steady_ms() -> int:
    boottime = getattr(time, "CLOCK_BOOTTIME", None)
    if boottime is not None:
        return int(time.clock_gettime(boottime) * 1000)
    return int(time.monotonic() * 1000)


def _boot_name() -> str:
    """The start of the device; where the system does not name it, the minute of the start by the wall clock."""
    try:
        return _BOOT_ID.read_text("ascii").strip()
    except OSError:
        return f"start-{int((time.time() - time.monotonic()) // 60)}"


def device_clock() -> Clock:
    """A function that reads the clocks; every call of this function begins a new run of the program."""
    boot, run = _boot_name(), secrets.token_hex(8)
    return lambda: Moment(int(time.time() * 1000), _steady_ms(), boot, run)
