"""How the hand moves of `moves` are shown moving: what is drawn at a share of the way, in the picture's metres.

Rules kept here:
 1. Pure geometry: a share of the way from 0 to 1 gives parts; who draws them and how fast is no matter here.
 2. The moving parts stand in place of the picture's own groups that a motion names; the rest stays still.
 3. A hand moves slowly, as it should at the boat: the ways take 6 to 10 s.
Source: the moves are common practice of the trade, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from coach.view.drawing import Arrow, Circle, Line, Part, Point, Polygon, Polyline, Sign
from coach.view.pictures.moves import (
    BAND_WELD,
    DOOR_U,
    PANELS,
    PLEAT_TOP,
    SECTIONS,
    SHOULDER,
    SIDES,
    SWING_WAY,
    TOPS,
    torch,
)


@dataclass(frozen=True)
class Motion:
    """A move: how long it takes, which groups of the picture it stands in for, and what it looks like at a share."""

    seconds: float
    instead: frozenset[str]
    at: Callable[[float], tuple[Part, ...]]


def along(points: tuple[Point, ...], share: float) -> tuple[Point, ...]:
    """The beginning of a line through points, so large a share of its length (0 to 1) as is asked for."""
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    left = max(0.0, min(1.0, share)) * sum(lengths)
    found = [points[0]]
    for (a, b), length in zip(pairwise(points), lengths, strict=True):
        if left <= 0:
            break
        part = min(1.0, left / length) if length else 1.0
        found.append((a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part))
        left -= length
    return tuple(found)


def _weld(share: float) -> tuple[Part, ...]:
    """The flame goes along level, just above the band; the glove follows."""
    done = along(BAND_WELD, share)
    x, y = done[-1]
    parts: list[Part] = [Polyline(done, "weld")] if len(done) > 1 else []
    parts += torch((x + 0.12, y), 1.25, 0.1)
    if x > BAND_WELD[0][0] + 0.9:
        parts.append(Sign((x - 0.75, y + 0.18), "hand", 8.0))
    return tuple(parts)


def _bottom_up(share: float) -> tuple[Part, ...]:
    """All round from the band upwards first, then the top, one section after the other; what is done is filled."""
    ways = (*SIDES, *TOPS)
    place = min(len(ways) - 1, int(share * len(ways)))
    part = share * len(ways) - place
    sides = tuple(((one, 0.0), (two, 0.0), (two, SHOULDER), (one, SHOULDER)) for one, two in PANELS)
    parts: list[Part] = [Polygon(area, "done") for area in (*sides, *SECTIONS)[:place]]
    parts += [Arrow(way, "arrow" if way in SIDES else "tapeline") for way in ways[:place]]
    now = along(ways[place], max(0.05, part))
    parts.append(Polyline(now, "arrow" if ways[place] in SIDES else "tapeline"))
    return (*parts, *torch(now[-1], 0.95, 0.25, turned=now[-1][0] > 3.4))


def _door(share: float) -> tuple[Part, ...]:
    """The cut goes down, round the bottom, and up again; then the tape goes the same way."""
    cut = along(DOOR_U, min(1.0, 2 * share))
    if share < 0.5:
        return (*((Polyline(cut, "ink-thin"),) if len(cut) > 1 else ()), Circle(cut[-1], 0.12, "engine"))
    taped = along(DOOR_U, 2 * share - 1)
    done = (Polyline(taped, "tapeline"),) if len(taped) > 1 else ()
    return (*done, Polyline(cut, "ink-thin"), Circle(taped[-1], 0.12, "timber"))


def _pleat(share: float) -> tuple[Part, ...]:
    """The spare film stands up, goes over towards the stern, and lies flat."""
    forward, aft, foot = 4.5, 2.7, 3.7
    edge = (forward + (aft - forward) * share, 0.0)
    return (
        Line((forward, 0.0), PLEAT_TOP, "guide"),
        Polygon(((foot, 0.0), edge, PLEAT_TOP), "pleat"),
        Polyline((edge, PLEAT_TOP), "film"),
        Sign((edge[0] + (PLEAT_TOP[0] - edge[0]) * 0.25, 0.55), "hand", 6.5),
    )


def _swing(share: float) -> tuple[Part, ...]:
    """Even strokes from the bottom up, never standing still."""
    done = along(SWING_WAY, max(0.02, share))
    return (Polyline(done, "arrow"), *torch(done[-1], 0.95, 0.25))


MOTIONS: Mapping[str, Motion] = {
    "flame-level": Motion(7.0, frozenset({"weld", "torch", "hand"}), _weld),
    "bottom-up": Motion(10.0, frozenset({"first", "then"}), _bottom_up),
    "u-door": Motion(9.0, frozenset({"door", "way"}), _door),
    "pleat": Motion(6.0, frozenset({"fold"}), _pleat),
    "swing": Motion(9.0, frozenset({"way"}), _swing),
}
