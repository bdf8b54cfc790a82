"""Belly bands: how many, and where along this boat.

Rules kept here:
 1. Each band holds its own bay of the hull's run; bays are equal and no longer than the spacing.
 2. On a power boat none lies ahead of the windshield, where the hull holds the band down.
 3. None lies across a fin keel, and no two share a place: a side of the keel that takes a band over is dealt anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from coach.core.sizing.constants import FOOT, INCH, Number
from coach.core.sizing.ranges import BEAM, DISTANCE, LENGTH, SPACING, Range, contradiction, demand
from coach.core.sizing.rounding import ceil_of

# Longest bay a band holds, by kind of hull: every 6 to 8 ft on a power boat, closer on a sailing hull; common
# practice, no source. Pontoon and equipment: ours, no source.
SPACINGS: dict[str, Number] = {"power": 8 * FOOT, "sail": 5 * FOOT, "pontoon": 8 * FOOT, "equipment": 6 * FOOT}
WINDSHIELD_SHARE = Fraction(2, 5)  # of the length from the bow, if not measured; common practice, no source
TAIL = 18 * INCH  # m of strap for both loops and the buckle; common practice, no source

_START = Range("windshield from the bow", "m", 0, 60)


def belly_band_count(length: Number) -> int:
    """How many belly bands a power boat takes, its windshield at two fifths of its length.

    Args:
        length: m, 2 to 60.

    Returns:
        One or more.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: every 6 to 8 ft and none ahead of the windshield, common practice, no source.
    """
    demand((LENGTH, length))
    return _bays(length - length * WINDSHIELD_SHARE, SPACINGS["power"])


def bands_behind_windshield(length: Number, windshield: Number) -> int:
    """How many belly bands a power boat takes behind a windshield that was measured.

    Args:
        length: m, 2 to 60.
        windshield: its aft edge from the bow, m, 0 to 60, under the length.

    Returns:
        One or more.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a windshield beyond the stern.

    Source: every 6 to 8 ft and none ahead of the windshield, common practice, no source.
    """
    return len(belly_positions(length, windshield, SPACINGS["power"]))


def sail_band_count(length: Number) -> int:
    """How many belly bands a sailing boat takes, along its whole length.

    Args:
        length: m, 2 to 60.

    Returns:
        One or more.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: closer than on a power boat, common practice, no source.
    """
    demand((LENGTH, length))
    return _bays(length, SPACINGS["sail"])


def pontoon_band_count(length: Number) -> int:
    """How many belly bands a pontoon boat takes, along its whole deck.

    Args:
        length: of the deck, m, 2 to 60.

    Returns:
        One or more.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ours, no source.
    """
    demand((LENGTH, length))
    return _bays(length, SPACINGS["pontoon"])


def belly_positions(length: Number, start: Number, spacing: Number) -> tuple[Number, ...]:
    """Where the belly bands lie, each in the middle of its bay.

    Args:
        length: of the boat, m, 2 to 60.
        start: where bands begin, from the bow, m, 0 to under the length: the windshield on a power boat, else 0.
        spacing: longest bay, m, 0.25 to 10.

    Returns:
        Distances from the bow, m, bow to stern; exact for Fractions.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a start beyond the stern.

    Source: common practice, no source.
    """
    demand((LENGTH, length), (_START, start), (SPACING, spacing))
    if start >= length:
        raise contradiction("windshield from the bow", "length", "less than the length")
    run = length - start
    count = _bays(run, spacing)
    bay = run / count if isinstance(run, float) else Fraction(run) / count
    return tuple(start + bay * (2 * i + 1) / 2 for i in range(count))


def clear_of_keel(places: Sequence[float], length: float, ahead: float, behind: float) -> tuple[float, ...]:
    """The same bands with none across the keel: each of those goes to the nearer side, and that side's bands to equal bays.

    Args:
        places: from the bow, m, in their order.
        length: of the boat, m.
        ahead: the keel's front edge from the bow, m; behind: its back edge. Where the keel leaves a side no room, all
            bands lie on the other; a keel along the whole boat leaves them as they are.

    Returns:
        Distances from the bow, m, bow to stern, as many; no two are the same.

    Raises:
        Nothing: the places and the keel come from measures that are checked.

    Source: no band across a fin keel, common practice, no source; equal bays: ours, no source.
    """
    across = [x for x in places if ahead < x < behind]
    if not across or (ahead <= 0 and behind >= length):
        return tuple(places)
    forward = [x for x in across if behind >= length or (ahead > 0 and x - ahead <= behind - x)]
    sides = (
        ([x for x in places if x <= ahead], len(forward), 0.0, ahead),
        ([x for x in places if x >= behind], len(across) - len(forward), behind, length),
    )
    found: list[float] = []
    for own, taken, start, end in sides:
        count = len(own) + taken
        found += [start + (end - start) * (2 * i + 1) / (2 * count) for i in range(count)] if taken else own
    return tuple(found)


def belly_band_length(beam: Number, depth: Number, tail: Number = TAIL) -> Number:
    """The strap for one belly band from the perimeter band under the hull to the other side.

    Args:
        beam: at the band, m, 0.5 to 12.
        depth: perimeter band down to the keel, m, 0 to 60.
        tail: for both loops and the buckle, m, 0 to 60.

    Returns:
        beam + 2 depth + tail, m: the box around the hull, never short.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: a convex section lies inside its box.
    """
    demand((BEAM, beam), (DISTANCE, depth), (DISTANCE, tail))
    return beam + 2 * depth + tail


def _bays(run: Number, spacing: Number) -> int:
    """How many equal bays, none longer than the spacing, make up a run."""
    return max(1, ceil_of(run / spacing if isinstance(run, float) else Fraction(run) / spacing))
