"""What makes each kind of craft known from above: windshield, fence and tubes, bar and seat, cabin and mast; loops.

Rules kept here:
 1. Details are quiet: thin lines under the straps, no names, no measures.
 2. Loops lie even along the band, as their count is worked out from its length.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import hypot

from coach.view.drawing import Circle, Line, Part, Point, Polygon, Polyline
from coach.view.pictures.common import Measured
from coach.view.pictures.craft import Craft

At = Callable[[float, float], Point]


def details(craft: Craft, at: At, half: Callable[[float], float], length: float, beam: Measured) -> tuple[Part, ...]:
    """The details of a craft. at: place on paper of a distance from the bow and from the middle line; half: breadth."""
    b = beam.value / 2
    make = {"power": _power, "pontoon": _pontoon, "jet": _jet, "sail": _sail}[craft.kind]
    return make(craft, at, half, length, b)


def _box(at: At, x1: float, x2: float, y: float, style: str = "part") -> Polygon:
    return Polygon((at(x1, -y), at(x1, y), at(x2, y), at(x2, -y)), style)


def _power(craft: Craft, at: At, half: Callable[[float], float], length: float, b: float) -> tuple[Part, ...]:
    wide = 0.72 * half(0.42 * length)
    parts: list[Part] = [
        Polyline(
            (
                at(0.46 * length, -wide),
                at(0.39 * length, -0.75 * wide),
                at(0.365 * length, 0.0),
                at(0.39 * length, 0.75 * wide),
                at(0.46 * length, wide),
            ),
            "part",
        )
    ]
    if craft.drive:
        out = craft.length("drive_reach", 0.08 * length).value
        parts.append(
            Polygon(
                (at(length, -0.12 * b), at(length, 0.12 * b), at(length + out, 0.08 * b), at(length + out, -0.08 * b)),
                "engine",
            )
        )
    return tuple(parts)


def _pontoon(craft: Craft, at: At, half: Callable[[float], float], length: float, b: float) -> tuple[Part, ...]:
    parts: list[Part] = [_box(at, 0.05 * length, 0.95 * length, 0.92 * b)]
    for side in (-1, 1):
        for edge in (0.5, 0.94):
            parts.append(Line(at(0.02 * length, side * edge * b), at(0.98 * length, side * edge * b), "guide"))
        parts.append(Line(at(0.3 * length, side * 0.92 * b), at(0.37 * length, side * 0.72 * b), "part"))
    out = craft.length("motor_reach", 0.08 * length).value
    parts.append(
        Polygon(
            (at(length, -0.1 * b), at(length, 0.1 * b), at(length + out, 0.07 * b), at(length + out, -0.07 * b)),
            "engine",
        )
    )
    return tuple(parts)


def _jet(craft: Craft, at: At, half: Callable[[float], float], length: float, b: float) -> tuple[Part, ...]:
    return (
        Polygon(
            (
                at(0.42 * length, -0.16 * b),
                at(0.42 * length, 0.16 * b),
                at(0.6 * length, 0.3 * b),
                at(0.86 * length, 0.26 * b),
                at(0.86 * length, -0.26 * b),
                at(0.6 * length, -0.3 * b),
            ),
            "engine",
        ),
        Polyline(
            (
                at(0.42 * length, -0.52 * b),
                at(0.37 * length, -0.2 * b),
                at(0.37 * length, 0.2 * b),
                at(0.42 * length, 0.52 * b),
            ),
            "post",
        ),
        Polyline(
            (
                at(0.34 * length, -0.4 * b),
                at(0.12 * length, -0.12 * b),
                at(0.12 * length, 0.12 * b),
                at(0.34 * length, 0.4 * b),
            ),
            "part",
        ),
    )


def _sail(craft: Craft, at: At, half: Callable[[float], float], length: float, b: float) -> tuple[Part, ...]:
    parts: list[Part] = [
        Polygon(
            (
                at(0.3 * length, -0.3 * b),
                at(0.3 * length, 0.3 * b),
                at(0.62 * length, 0.55 * b),
                at(0.62 * length, -0.55 * b),
            ),
            "part",
        ),
        _box(at, 0.66 * length, 0.9 * length, 0.32 * b),
    ]
    if craft.mast == "up":
        parts.append(Circle(at(craft.mast_at * length, 0.0), 0.05 * b, "engine"))
    if craft.mast == "down":
        ahead, behind = craft.length("mast_ahead", 0.06 * length).value, craft.length("mast_behind", 0.1 * length).value
        parts.append(
            Polygon(
                (
                    at(-ahead, -0.03 * b),
                    at(-ahead, 0.03 * b),
                    at(length + behind, 0.045 * b),
                    at(length + behind, -0.045 * b),
                ),
                "engine",
            )
        )
    return tuple(parts)


def round_the_edge(points: tuple[Point, ...], count: int) -> tuple[Point, ...]:
    """So many places, even along a closed line; none for a count of 0 or less."""
    if count <= 0:
        return ()
    closed = (*points, points[0])
    lengths = [hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in pairwise(closed)]
    bay, found, gone, place = sum(lengths) / count, [], 0.0, 0
    for each in range(count):
        want = (each + 0.5) * bay
        while place < len(lengths) - 1 and gone + lengths[place] < want:
            gone += lengths[place]
            place += 1
        share = (want - gone) / lengths[place] if lengths[place] else 0.0
        (x1, y1), (x2, y2) = closed[place], closed[place + 1]
        found.append((x1 + (x2 - x1) * share, y1 + (y2 - y1) * share))
    return tuple(found)
