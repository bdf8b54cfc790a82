"""Times for programs: ISO 8601 with the offset of the zone, the same in every language.

Knows nothing of: what a time is for.
"""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo


def iso(wall: int, zone: tzinfo | None = None) -> str:
    """A wall time (ms since 1970 UTC) in the zone, or the device's: 2026-11-03T09:30:12.000-05:00."""
    return datetime.fromtimestamp(wall / 1000, UTC).astimezone(zone).isoformat(timespec="milliseconds")
