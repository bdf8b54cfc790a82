"""Every invented boat of the tests of procedures, in one list."""

from __future__ import annotations

from tests.procedures.boat import Boat
from tests.procedures.other_boats import BITTERN, CRATES, ENGINE, GODWIT, LOADER, SANDPIPER
from tests.procedures.other_jobs import (
    DUNLIN_BARE, DUNLIN_IN_SNOW, DUNLIN_PATCHED, MONDAY, SMALL_CYLINDER, TERN_IN_SUN, TERN_PATCHED,
)
from tests.procedures.power_boats import DUNLIN, KNOT, PLOVER, TERN, WHIMBREL
from tests.procedures.sailing_boats import AVOCET, CURLEW, DOTTEREL, RUFF

BOATS: tuple[Boat, ...] = (
    DUNLIN, TERN, PLOVER, WHIMBREL, KNOT, CURLEW, RUFF, AVOCET, DOTTEREL, GODWIT, BITTERN, SANDPIPER, ENGINE,
    CRATES, LOADER, DUNLIN_IN_SNOW, TERN_IN_SUN, DUNLIN_PATCHED, TERN_PATCHED, DUNLIN_BARE, SMALL_CYLINDER,
    MONDAY,
)
