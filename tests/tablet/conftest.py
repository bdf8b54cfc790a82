"""Tests of the tablet draw into memory: no display is needed, and none is used where there is one."""

from __future__ import annotations

import os

os.environ["SDL_VIDEODRIVER"] = "offscreen"
