"""The signs of the screens as lines on a grid of 24 by 24, y upwards: plain data for any back end.

Rules kept here:
 1. The four states of a safeguard differ in shape alone: tick, empty ring, clock, cross.
 2. Filled shapes are convex, so that a fan of triangles fills them.
All signs are drawn by us.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Stroke:
    """A line through points."""

    points: tuple[tuple[float, float], ...]
    closed: bool = False


@dataclass(frozen=True)
class Shape:
    """A filled convex outline."""

    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Ring:
    """A circle, as a line or filled."""

    x: float
    y: float
    radius: float
    filled: bool = False


Part = Stroke | Shape | Ring


def _stroke(*numbers: float, closed: bool = False) -> Stroke:
    return Stroke(tuple(zip(numbers[0::2], numbers[1::2], strict=True)), closed)


ICONS: Mapping[str, tuple[Part, ...]] = {
    "tick": (_stroke(4, 12, 10, 5.5, 20.5, 18.5),),
    "hollow": (Ring(12, 12, 8.5),),
    "clock": (Ring(12, 12, 9.5), _stroke(12, 17.5, 12, 12, 16, 9.5)),
    "cross": (_stroke(5, 5, 19, 19), _stroke(5, 19, 19, 5)),
    "alert": (_stroke(12, 21.5, 1.8, 3, 22.2, 3, closed=True), _stroke(12, 15.5, 12, 10), Ring(12, 6.6, 1.3, True)),
    "info": (Ring(12, 12, 9.5), _stroke(12, 12.5, 12, 7), Ring(12, 16.6, 1.4, True)),
    "back": (_stroke(14.5, 20, 6.5, 12, 14.5, 4),),
    "next": (_stroke(9.5, 20, 17.5, 12, 9.5, 4),),
    "down": (_stroke(4, 14.5, 12, 6.5, 20, 14.5),),
    "up": (_stroke(4, 8.5, 12, 16.5, 20, 8.5),),
    "plus": (_stroke(12, 4, 12, 20), _stroke(4, 12, 20, 12)),
    "minus": (_stroke(4, 12, 20, 12),),
    "erase": (_stroke(8.5, 19, 21.5, 19, 21.5, 5, 8.5, 5, 2, 12, closed=True), _stroke(11.5, 9, 17.5, 15),
              _stroke(11.5, 15, 17.5, 9)),
    "menu": (_stroke(4, 18, 20, 18), _stroke(4, 12, 20, 12), _stroke(4, 6, 20, 6)),
    "list": (_stroke(9, 18, 21, 18), _stroke(9, 12, 21, 12), _stroke(9, 6, 21, 6), Ring(4, 18, 1.5, True),
             Ring(4, 12, 1.5, True), Ring(4, 6, 1.5, True)),
    "flame": (_stroke(12, 22, 13.5, 17, 18, 12.5, 18.8, 8.5, 17, 4.8, 13.8, 2.5, 10.2, 2.5, 7, 4.8, 5.2, 8.5, 6, 12,
                      8.2, 14.5, 9, 12, 11, 15.5, closed=True),),
    "flame-off": (_stroke(12, 22, 13.5, 17, 18, 12.5, 18.8, 8.5, 17, 4.8, 13.8, 2.5, 10.2, 2.5, 7, 4.8, 5.2, 8.5, 6, 12,
                          8.2, 14.5, 9, 12, 11, 15.5, closed=True), _stroke(3, 2.5, 21, 21)),
    "camera": (_stroke(3, 18, 7.5, 18, 9.5, 20.5, 14.5, 20.5, 16.5, 18, 21, 18, 21, 4.5, 3, 4.5, closed=True),
               Ring(12, 11.2, 3.9)),
    "pen": (_stroke(4, 4, 5, 8.5, 17, 20.5, 20.5, 17, 8.5, 5, closed=True), _stroke(14, 17.5, 17.5, 14)),
    "lock": (_stroke(5, 12.5, 19, 12.5, 19, 3, 5, 3, closed=True),
             _stroke(8, 12.5, 8, 17, 9.3, 19.6, 12, 20.6, 14.7, 19.6, 16, 17, 16, 12.5)),
    "person": (Ring(12, 16.5, 4), _stroke(4, 3, 4.6, 7, 7.4, 9.6, 12, 10.4, 16.6, 9.6, 19.4, 7, 20, 3)),
    "wind": (_stroke(2.5, 14, 15, 14, 17.6, 15.2, 18, 17.6, 16.2, 19.5, 13.8, 19),
             _stroke(2.5, 9.5, 19, 9.5, 21.2, 8.2, 21.2, 5.8, 19.2, 4.4, 17, 5.4), _stroke(2.5, 5, 12, 5)),
    "stop": (_stroke(8, 21.5, 16, 21.5, 21.5, 16, 21.5, 8, 16, 2.5, 8, 2.5, 2.5, 8, 2.5, 16, closed=True),
             _stroke(7, 12, 17, 12)),
    "pause": (_stroke(8, 19, 8, 5), _stroke(16, 19, 16, 5)),
    "boat": (_stroke(2, 11, 22, 11, 18.5, 4.5, 6, 4.5, closed=True), _stroke(9, 11, 9, 15.5, 14, 15.5, 17, 11)),
    "tape": (_stroke(2, 17, 22, 17, 22, 7, 2, 7, closed=True), _stroke(6, 17, 6, 13), _stroke(10, 17, 10, 11.5),
             _stroke(14, 17, 14, 13), _stroke(18, 17, 18, 11.5)),
    "again": (_stroke(19.5, 19.5, 19.5, 14, 14, 14), _stroke(19, 14, 16.6, 17.4, 13, 18.9, 9.2, 18.4, 6.2, 16.2, 4.8,
              12.6, 5.2, 8.8, 7.6, 5.6, 11.2, 4.2, 15, 4.6, 18, 6.8)),
    "sun": (Ring(12, 12, 4.2), _stroke(12, 19.5, 12, 22), _stroke(12, 2, 12, 4.5), _stroke(2, 12, 4.5, 12),
            _stroke(19.5, 12, 22, 12), _stroke(5, 5, 6.7, 6.7), _stroke(17.3, 17.3, 19, 19), _stroke(5, 19, 6.7, 17.3),
            _stroke(17.3, 6.7, 19, 5)),
    "moon": (_stroke(15, 21, 10.6, 20.4, 6.6, 17.6, 4.6, 13.4, 5, 8.8, 7.6, 5, 11.8, 3, 16.4, 3.4, 20, 6, 16, 6.6, 12.8,
                     8.6, 11.2, 12, 11.6, 16, 13, 19, closed=True),),
    "vent": (_stroke(3, 5, 21, 5, 18, 12, 14, 17, 10, 17, 6, 12, 3, 5, closed=True), _stroke(7.5, 9, 16.5, 9)),
    "buckle": (_stroke(6, 18, 18, 18, 18, 6, 6, 6, closed=True), _stroke(1, 12, 23, 12)),
    "hand": (_stroke(6, 3, 5, 10, 2.5, 13.5, 4.5, 15, 7.5, 12.5, 7.5, 20, 9.7, 20, 10.2, 14, 10.2, 21.5, 12.6, 21.5,
                     12.8, 14, 13.6, 20.6, 15.8, 20.4, 15.6, 13.4, 17, 18.4, 18.8, 17.8, 18, 9, 16.5, 3, closed=True),),
    "voice": (_stroke(3, 9, 3, 15, 7, 15, 12, 20, 12, 4, 7, 9, closed=True), _stroke(15.5, 8.5, 17, 12, 15.5, 15.5),
              _stroke(18.5, 5.5, 21, 12, 18.5, 18.5)),
    "play": (_stroke(6, 20, 19.5, 12, 6, 4, closed=True),),
    "one": (_stroke(8, 16, 12.5, 20, 12.5, 4), _stroke(8, 4, 17, 4)),
    "two": (_stroke(7, 16, 8, 18.6, 10.4, 20, 13.6, 20, 16, 18.6, 17, 16, 16.4, 13.6, 7, 4, 17.2, 4),),
    "question": (Ring(12, 12, 9.5), _stroke(8.8, 14.2, 9.4, 16.2, 12, 17.4, 14.6, 16.2, 15, 13.8, 12, 11.4, 12, 10),
                 Ring(12, 7, 1.3, True)),
}
