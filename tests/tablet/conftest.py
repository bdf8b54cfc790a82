"""Tests of the tablet draw into memory: no display is needed, and none is used where there is one.

The driver is imported here, before any test module, because it sets the toolkit up before anything else imports it.
"""

from __future__ import annotations

import os

os.environ["SDL_VIDEODRIVER"] = "offscreen"

import tests.tablet.driver  # noqa: E402, F401
