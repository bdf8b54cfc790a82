"""Puts parts that were made in distances from the bow on the picture's paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from coach.view.drawing import Circle, Line, Part, Point, Polygon, Polyline

Place = Callable[[float, float], Point]


def moved(parts: tuple[Part, ...], at: Place) -> tuple[Part, ...]:
    """The same parts, each point at its place. Radii stay as they are."""
    return tuple(_moved(part, at) for part in parts)


def _moved(part: Part, at: Place) -> Part:
    if isinstance(part, Line):
        return replace(part, start=at(*part.start), end=at(*part.end))
    if isinstance(part, Polygon | Polyline):
        return replace(part, points=tuple(at(*point) for point in part.points))
    if isinstance(part, Circle):
        return replace(part, centre=at(*part.centre))
    raise TypeError(type(part).__name__)
