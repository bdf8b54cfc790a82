"""Lines with smooth edges and round ends and corners, on any hardware.

Rules kept here:
 1. The toolkit's smooth line has no round ends, and throws spikes at sharp corners: there it is broken, and a dot set.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from kivy.graphics import InstructionGroup, SmoothEllipse, SmoothLine

# Cosine between the directions before and after a corner under which the corner counts as sharp (about 75 degrees).
SHARP = 0.26

Point = tuple[float, float]


def add_line(group: InstructionGroup, points: Sequence[Point], half: float, closed: bool = False,
             round_ends: bool = True) -> None:
    """Add a line through points, `half` pixels to either side, in the colour that is set."""
    path = [*points, points[0]] if closed else list(points)
    path = [point for place, point in enumerate(path) if place == 0 or point != path[place - 1]]
    if len(path) < 2:
        add_dot(group, path[0], half)
        return
    pieces = _pieces(path)
    for piece in pieces:
        group.add(SmoothLine(points=[value for point in piece for value in point], width=half))
    corners = [piece[0] for piece in pieces[1:]]
    if round_ends or closed:
        corners += [path[0], path[-1]]
    for corner in corners if half >= 1 else []:
        add_dot(group, corner, half)


def add_dot(group: InstructionGroup, point: Point, radius: float) -> None:
    """Add a filled dot, in the colour that is set."""
    group.add(SmoothEllipse(pos=(point[0] - radius, point[1] - radius), size=(2 * radius, 2 * radius), segments=32))


def _pieces(path: list[Point]) -> list[list[Point]]:
    """The path broken at its sharp corners."""
    pieces = [[path[0]]]
    for before, here, after in zip(path, path[1:], path[2:], strict=False):
        pieces[-1].append(here)
        if _straightness(before, here, after) < SHARP:
            pieces.append([here])
    pieces[-1].append(path[-1])
    return pieces


def _straightness(before: Point, here: Point, after: Point) -> float:
    """Cosine of the angle between the ways before and after a point: 1 straight on, -1 back."""
    ax, ay, bx, by = here[0] - before[0], here[1] - before[1], after[0] - here[0], after[1] - here[1]
    along = hypot(ax, ay) * hypot(bx, by)
    return (ax * bx + ay * by) / along if along else 1.0
