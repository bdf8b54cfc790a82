"""The hulls of the cross-section by kind: outline, where posts stand, where a belly band runs, what film meets.

Rules kept here:
 1. The rub rail, the toe rail or the deck's edge is level zero, the middle line is x = 0; every outline is even on both
    sides and given for the right one, from the rail down to the middle.
 2. A depth that was measured is drawn to scale; one that was not is a typical share of the half beam.
Source: the shares are those of common boats, by eye; common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from coach.view.drawing import Circle, Line, Part, Point, Polygon, Polyline
from coach.view.pictures.common import Measured, all_known
from coach.view.pictures.craft import Craft


@dataclass(frozen=True)
class Section:
    """A hull in section. side: its outer right side from the rail to the keel; over: what the film passes over between
    ridge and rail, from the ridge outwards; floor: level where a post stands, None where no post is set; keel: level of
    its lowest part that a belly band passes; low: level of the lowest thing drawn."""

    parts: tuple[Part, ...]
    side: tuple[Point, ...]
    floor: Measured | None
    keel: Measured
    low: float
    over: tuple[Point, ...] = ()


def mirror(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same points on the other side."""
    return tuple((-x, y) for x, y in points)


def even(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """A closed outline from its right half, given from the top down to the middle line."""
    return (*points, *mirror(points)[::-1])


def section(craft: Craft, half: Measured, ridge: Measured, drop: Measured) -> Section:
    """The section of a craft of this kind."""
    make = {"power": _power, "pontoon": _pontoon, "jet": _jet, "sail": _sail}[craft.kind]
    return make(craft, half, ridge, drop)


def _below(craft: Craft, name: str, drop: Measured, typical: float) -> Measured:
    """The level of what was measured downwards from the film's edge, negative; a typical one where it was not."""
    found = craft.lengths.get(name)
    return Measured(typical, False) if found is None else Measured(-drop.value - found, True)


def _rails(half: Measured) -> tuple[Part, ...]:
    b = half.value
    return tuple(
        Polygon(
            (
                (x - 0.025 * b, 0.03 * b),
                (x + 0.025 * b, 0.03 * b),
                (x + 0.025 * b, -0.03 * b),
                (x - 0.025 * b, -0.03 * b),
            ),
            half.body("timber"),
        )
        for x in (-b, b)
    )


def _stands(craft: Craft, b: float, low: float, at: Point) -> tuple[Part, ...]:
    """A block under the keel and a prop on either side, or the arms of a cradle, on the ground."""
    if craft.support not in ("stands", "cradle"):
        return ()
    ground, x = low - 0.24 * b, at[0] * 1.35
    blocks = tuple(
        Polygon(((x - 0.12 * b, low), (x + 0.12 * b, low), (x + 0.12 * b, ground), (x - 0.12 * b, ground)), "timber")
        for x in ((-0.47 * b, 0.47 * b) if craft.keel == "twin" else (0.0,))
    )
    props = tuple(Line((side * x, ground), (side * at[0], at[1]), "post") for side in (-1, 1))
    feet = (
        (Line((-x, ground + 0.05 * b), (x, ground + 0.05 * b), "post"),)
        if craft.support == "cradle"
        else tuple(Line((side * at[0] * 1.05, ground), (side * at[0], at[1]), "post") for side in (-1, 1))
    )
    return (*blocks, *props, *feet, Line((-1.25 * b, ground), (1.25 * b, ground), "ground"))


def _power(craft: Craft, half: Measured, ridge: Measured, drop: Measured) -> Section:
    b = half.value
    keel = _below(craft, "band_to_keel", drop, -0.85 * b)
    deep = -keel.value
    floor = _below(craft, "sole_below", drop, -deep * 0.52)
    sole = max(floor.value, -deep * 0.8)
    side = ((b, 0.0), (b * 0.985, -deep * 0.25), (b * 0.86, -deep * 0.62), (0.0, -deep))
    inside = ((b * 0.92, 0.0), (b * (0.8 if sole > -deep * 0.55 else 0.66), sole), (0.0, sole))
    outline = (*side, *mirror(side)[::-1], *mirror(inside), *inside[::-1])
    parts: list[Part] = [
        *_stands(craft, b, -deep, (b * 0.72, -deep * 0.7)),
        Polygon(outline, half.body("hull")),
        *_rails(half),
    ]
    if craft.top == "flybridge":
        high = craft.length("fly_height", min(0.7 * ridge.value, b))
        house = ((0.42 * b, high.value), (0.5 * b, 0.55 * high.value), (0.66 * b, 0.5 * high.value), (0.74 * b, 0.0))
        parts.append(Polyline((*mirror(house)[::-1], *house), "part" if high.known else "unknown"))
    if craft.top == "tower":
        arch = ((0.5 * b, 0.7 * ridge.value), (0.72 * b, 0.0))
        parts.append(Polyline((*mirror(arch)[::-1], *arch), "part"))
    return Section(tuple(parts), side, Measured(sole, floor.known), keel, -deep)


def _pontoon(craft: Craft, half: Measured, ridge: Measured, drop: Measured) -> Section:
    """A flat deck on cross beams over two tubes, a fence round it."""
    b = half.value
    thick, radius = 0.07 * b, 0.25 * b
    beams = _below(craft, "deck_to_frame", drop, -(thick + 0.09 * b))
    under = min(beams.value, -thick - 0.03 * b)
    fence = craft.length("fence_height", 0.48 * b)
    rail = min(fence.value, 0.85 * ridge.value)
    inner = 0.93 * b
    parts: list[Part] = [*_tubes(craft, half, under, radius)]
    low = under - 1.94 * radius
    parts += [
        Polygon(
            even(((0.95 * b, -thick), (0.95 * b, under), (0.0, under))), "engine" if beams.known else "unknown-body"
        ),
        Polygon(even(((b, 0.0), (b, -thick), (0.0, -thick))), half.body("hull")),
        *_fence(fence, rail, inner, b),
    ]
    if "canopy_height" in craft.lengths or craft.top == "fixed":
        high = craft.length("canopy_height", 0.85 * ridge.value)
        arch = ((0.55 * b, high.value), (0.72 * b, 0.9 * high.value), (0.76 * b, 0.0))
        parts.append(Polyline((*mirror(arch)[::-1], *arch), high.style("part")))
    side_line = ((b, 0.0), (b, -thick), (0.95 * b, under), (0.0, under))
    return Section(
        tuple(parts), side_line, Measured(0.0, True), Measured(under, beams.known), low, ((inner, rail + 0.03 * b),)
    )


def _tubes(craft: Craft, half: Measured, under: float, radius: float) -> tuple[Part, ...]:
    """A tube below either side, on its blocks where it stands on blocks."""
    b, middle = half.value, under - 0.94 * radius
    low, ground = middle - radius, middle - radius - 0.2 * b
    parts: list[Part] = []
    for x in (1.2 * radius - b, b - 1.2 * radius):
        if craft.support == "blocks":
            top = ((x - 0.2 * b, low + 0.03 * b), (x + 0.2 * b, low + 0.03 * b))
            parts.append(Polygon((*top, (x + 0.24 * b, ground), (x - 0.24 * b, ground)), "timber"))
        parts += [
            Circle((x, middle), radius, half.body("hull")),
            Line((x - 0.5 * radius, under), (x - 0.32 * radius, middle + 0.92 * radius), "part"),
            Line((x + 0.5 * radius, under), (x + 0.32 * radius, middle + 0.92 * radius), "part"),
        ]
    return (*parts, *([Line((-1.2 * b, ground), (1.2 * b, ground), "ground")] if craft.support == "blocks" else []))


def _fence(fence: Measured, rail: float, inner: float, b: float) -> tuple[Part, ...]:
    """A panel, a post and the rail above them on either side."""
    parts: list[Part] = []
    for side in (-1, 1):
        near, far = side * inner, side * (inner - 0.02 * b)
        panel = ((far, 0.06 * b), (near, 0.06 * b), (near, 0.94 * rail), (far, 0.94 * rail))
        parts += [
            Polygon(panel, fence.body("hull")),
            Line((near, 0.0), (near, rail), fence.style("post")),
            Circle((near, rail), 0.028 * b, fence.body("hull")),
        ]
    return tuple(parts)


def _jet(craft: Craft, half: Measured, ridge: Measured, drop: Measured) -> Section:
    """A narrow hull, footwells on both sides of a seat, the handlebar above it."""
    b = half.value
    keel = _below(craft, "band_to_keel", drop, -0.62 * b)
    deep = -keel.value
    bar = craft.length("bar_height", min(0.95 * ridge.value, 1.15 * b))
    seat = min(0.62 * bar.value, 0.62 * b)
    side = ((b, 0.0), (0.97 * b, -0.2 * deep), (0.74 * b, -0.52 * deep), (0.3 * b, -0.8 * deep), (0.0, -deep))
    deck = (
        (0.99 * b, 0.05 * b),
        (0.9 * b, 0.06 * b),
        (0.8 * b, -0.1 * b),
        (0.44 * b, -0.1 * b),
        (0.34 * b, 0.1 * b),
        (0.27 * b, 0.8 * seat),
        (0.18 * b, 0.97 * seat),
        (0.0, seat),
    )
    outline = (*side, *mirror(side)[::-1], *mirror(deck), *deck[::-1])
    grip, wide = bar.value - 0.05 * b, 0.52 * b
    parts: tuple[Part, ...] = (
        Polygon(((-0.07 * b, 0.9 * seat), (0.07 * b, 0.9 * seat), (0.05 * b, grip), (-0.05 * b, grip)), "engine"),
        Line((-wide, grip), (wide, grip), bar.style("post")),
        *(Line((s * 0.34 * b, grip), (s * wide, grip), bar.style("grip")) for s in (-1, 1)),
        Polygon(outline, half.body("hull")),
        *_rails(half),
    )
    top = min(bar.value, ridge.value - 0.02 * b)
    return Section(parts, side, None, keel, -deep, ((wide * 1.06, top + 0.02 * b),))


def _sail(craft: Craft, half: Measured, ridge: Measured, drop: Measured) -> Section:
    """A round bilge, a keel that is cut off, a deck with its cabin."""
    b = half.value
    keel = _below(craft, "band_to_hull", drop, -0.9 * b)
    deep = -keel.value
    turns = [place / 12 * pi / 2 for place in range(13)]
    side = tuple((b * cos(turn) ** 0.72, -deep * sin(turn) ** 1.25) for turn in turns)
    deck = ((b, 0.0), (0.62 * b, 0.06 * b), (0.55 * b, 0.26 * b), (0.0, 0.32 * b))
    cut = 0.42 * b
    keel_low = -deep - (0.5 * cut if craft.keel == "lifting" else cut)
    wide_top, wide_foot = {"long": (0.14, 0.05), "lifting": (0.04, 0.04)}.get(craft.keel, (0.07, 0.055))
    keels: list[tuple[Point, ...]] = [
        (
            (-wide_top * b, -0.97 * deep),
            (wide_top * b, -0.97 * deep),
            (wide_foot * b, keel_low),
            (-wide_foot * b, keel_low),
        )
    ]
    if craft.keel == "twin":
        one: tuple[Point, ...] = (
            (0.28 * b, -0.93 * deep),
            (0.38 * b, -0.9 * deep),
            (0.5 * b, keel_low),
            (0.44 * b, keel_low),
        )
        keels = [one, mirror(one)]
    floor_at = craft.lengths.get("deck_below")
    floor = Measured(0.32 * b, False) if floor_at is None else Measured(ridge.value - floor_at, True)
    parts: tuple[Part, ...] = (
        *_stands(craft, b, keel_low, (0.78 * b, -0.72 * deep)),
        *(Polygon(points, half.body("hull")) for points in keels),
        Polygon((*side, *mirror(side[:-1])[::-1], *mirror(deck[1:]), *deck[1:-1][::-1]), half.body("hull")),
        *_rails(half),
        Polyline((*mirror(deck)[:-1], *deck[::-1]), half.style("part")),
    )
    if craft.mast == "up":
        high = ridge.value + 0.5 * b
        parts = (
            *parts,
            Polygon(((-0.05 * b, 0.3 * b), (0.05 * b, 0.3 * b), (0.05 * b, high), (-0.05 * b, high)), "engine"),
            *(Line((-0.11 * b, high - gap), (0.11 * b, high + 0.08 * b - gap), "ink-thin") for gap in (0.0, 0.06 * b)),
        )
    if craft.mast == "down":
        parts = (*parts, Circle((0.0, ridge.value - 0.09 * b), 0.075 * b, all_known(ridge).body("engine")))
    return Section(parts, side, floor, keel, -deep - cut)
