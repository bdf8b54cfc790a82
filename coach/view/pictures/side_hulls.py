"""The hulls of the side view by kind of craft, what they stand on, and the way of the film's ridge over them.

Rules kept here:
 1. The rub rail, the toe rail or the deck's edge is level zero; positions along the craft are metres from the bow,
    heights metres above the rail.
 2. A length that was measured is drawn to scale; one that was not is a typical share of the craft's length.
Source: the shares are those of common boats, by eye; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.view.drawing import Circle, Line, Part, Point, Polygon, Polyline
from coach.view.pictures.common import Measured
from coach.view.pictures.craft import Craft


@dataclass(frozen=True)
class Profile:
    """A craft from the side, in distances from the bow. ridge: the ridge line's points between its ends; behind: what
    the film passes behind the stern, from the ridge's end down; deep: of the hull; low: of the lowest part."""

    parts: tuple[Part, ...]
    deep: float
    low: float
    behind: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Given:
    """What a side view is drawn from."""

    length: Measured
    drop: Measured
    ridge: float
    windshield: float | None
    craft: Craft


def profile(given: Given) -> Profile:
    """The profile of a craft of this kind, in distances from the bow."""
    make = {"power": _power, "pontoon": _pontoon, "jet": _jet, "sail": _sail}[given.craft.kind]
    return make(given)


def scaled(wide: float, high: float, *points: Point) -> tuple[Point, ...]:
    """Points given in shares of a width and of a height."""
    return tuple((x * wide, y * high) for x, y in points)


def _engine(
    given: Given, reach: str, depth: str, head: bool, deep: float
) -> tuple[tuple[Part, ...], tuple[Point, ...]]:
    """What hangs behind the stern, and the film's way over it. reach, depth: the names of its two lengths."""
    long, size, craft = given.length.value, given.length.value * 0.05, given.craft
    out = craft.length(reach, 1.9 * size).value
    foot = craft.lengths.get(depth)
    low = -deep - 0.9 * size if foot is None else -given.drop.value - foot
    style = given.length.body("engine")
    top = 2.0 * size if head else -0.1 * deep
    neck = min(0.5 * size, top)
    leg = ((long + 0.28 * out, neck), (long + 0.75 * out, neck), (long + 0.66 * out, low), (long + 0.38 * out, low))
    hood = ((long + 0.15 * out, neck), (long + 0.19 * out, top), (long + 0.9 * out, top), (long + out, neck))
    parts = (Polygon(leg, style), *([Polygon(hood, style)] if head else []))
    far = long + out + 0.25 * size
    return parts, ((far, top + 0.3 * size), (far, low - 0.3 * size), (1.01 * long, low - 0.3 * size))


def _deep(given: Given, name: str, share: float, most: float) -> float:
    """The hull's depth: as it was measured from the film's edge, within what can be drawn, or a share of the length."""
    long, found = given.length.value, given.craft.lengths.get(name)
    return share * long if found is None else min(max(found + given.drop.value, 0.05 * long), most * long)


def _power(given: Given) -> Profile:
    long, craft = given.length.value, given.craft
    deep = _deep(given, "band_to_keel", 0.13, 0.3)
    shape = scaled(long, deep, (0, 0), (1, 0), (1, -1), (0.35, -1), (0.16, -0.72), (0.05, -0.3))
    parts: list[Part] = [Polygon(shape, given.length.body("hull")), *_above(given)]
    behind: tuple[Point, ...] = ()
    reach = craft.lengths.get("platform_reach")
    if reach is not None:
        parts.append(
            Polygon(
                (
                    (long, -0.55 * deep),
                    (long + reach, -0.55 * deep),
                    (long + reach, -0.65 * deep),
                    (long, -0.65 * deep),
                ),
                "hull",
            )
        )
        end = long + reach * 1.04
        behind = ((end, -0.45 * deep), (end, -0.8 * deep), (1.01 * long, -0.8 * deep))
    low = -deep
    if craft.drive:
        engine, behind = _engine(given, "drive_reach", "drive_depth", craft.drive == "outboard", deep)
        parts += engine
        low = min(low, behind[1][1])
    return Profile(tuple(parts), deep, low, behind)


def _above(given: Given) -> tuple[Part, ...]:
    """What stands above a power boat's rail: windshield, flybridge or tower."""
    long, craft = given.length.value, given.craft
    parts: list[Part] = []
    if given.windshield is not None:
        x, high = given.windshield * long, craft.length("windshield_height", 0.075 * long)
        style = high.body("glass") if given.length.known else "unknown-body"
        glass = (
            (x - 0.05 * long, 0.0),
            (x + 0.015 * long, high.value),
            (x + 0.05 * long, high.value),
            (x + 0.04 * long, 0.0),
        )
        parts.append(Polygon(glass, style))
    if craft.top == "flybridge":
        high = craft.length("fly_height", 0.16 * long)
        house = scaled(
            long, high.value, (0.36, 0), (0.44, 0.55), (0.5, 0.55), (0.53, 1), (0.56, 0.62), (0.76, 0.6), (0.8, 0)
        )
        parts.append(Polyline(house, high.style("post")))
    if craft.top == "tower":
        parts.append(Polyline(scaled(long, 0.8 * given.ridge, (0.5, 0), (0.56, 1), (0.64, 1), (0.68, 0)), "post"))
    return tuple(parts)


def _pontoon(given: Given) -> Profile:
    """A flat deck over a tube with a raised nose, a fence with its gate along the deck."""
    long = given.length.value
    thick, radius = 0.014 * long, 0.045 * long
    middle = -thick - 0.016 * long - radius
    outline = ((0.09, 1), (0, 0.75), (0.035, 0.2), (0.075, -0.72), (0.1, -1), (0.975, -1), (0.985, 0), (0.975, 1))
    tube = tuple((x * long, middle + y * radius) for x, y in outline)
    deck = scaled(long, thick, (0.01, 0), (1, 0), (1, -1), (0.01, -1))
    parts: list[Part] = [
        Polygon(tube, given.length.body("hull")),
        *(
            Line((x * long, -thick), (x * long, middle + radius * 0.97), "part")
            for x in (0.12, 0.3, 0.48, 0.66, 0.84, 0.95)
        ),
        Polygon(deck, given.length.body("hull")),
        *_fence(given),
    ]
    engine, behind = _engine(given, "motor_reach", "motor_depth", True, thick + 0.016 * long + 1.4 * radius)
    return Profile((*parts, *engine), -middle + radius, min(middle - radius, behind[1][1]), behind)


def _fence(given: Given) -> tuple[Part, ...]:
    """Panels, posts and rail, a gate ajar, and a top that stays up."""
    long, craft = given.length.value, given.craft
    fence = craft.length("fence_height", 0.095 * long)
    high, style = fence.value, fence.style("post") if given.length.known else "unknown"
    gate = (0.3, 0.38)
    parts: list[Part] = []
    for first, last in ((0.06, gate[0]), (gate[1], 0.94)):
        panel = scaled(long, high, (first, 0.12), (last, 0.12), (last, 0.9), (first, 0.9))
        parts += [Polygon(panel, fence.body("hull")), Line((first * long, high), (last * long, high), style)]
    parts += [Line((x * long, 0.0), (x * long, high), style) for x in (0.06, *gate, 0.55, 0.75, 0.94)]
    parts.append(Line((gate[0] * long, 0.1 * high), (gate[1] * long, 0.85 * high), "part"))
    if "canopy_height" in craft.lengths or craft.top == "fixed":
        top = craft.length("canopy_height", 0.85 * given.ridge)
        arch = ((0.5 * long, high), (0.54 * long, top.value), (0.8 * long, top.value), (0.76 * long, high))
        parts.append(Polyline(arch, top.style("post")))
    return tuple(parts)


def _jet(given: Given) -> Profile:
    """Short and low: a hood that rises to the handlebar, a long seat, a hull with a sharp bow."""
    long, craft = given.length.value, given.craft
    deep = _deep(given, "band_to_keel", 0.125, 0.3)
    bar = craft.length("bar_height", 0.23 * long)
    seat = seat_of(long, bar.value)
    keel = scaled(long, deep, (1, 0), (1, -0.8), (0.93, -1), (0.3, -1), (0.12, -0.6), (0.03, -0.12))
    hood = scaled(long, bar.value, (0.1, 0.42), (0.24, 0.66), (0.31, 0.8), (0.36, 0.74))
    saddle = scaled(long, seat, (0.41, 0.92), (0.56, 0.88), (0.62, 1.08), (0.82, 1.02))
    tail = scaled(long, seat, (0.88, 0.62), (0.985, 0.1))
    bow: tuple[Point, ...] = ((0.0, 0.02 * long),)
    cushion = (*saddle, *scaled(long, seat, (0.86, 0.75), (0.62, 0.72), (0.43, 0.66)))
    grip = (0.385 * long, bar.value - 0.012 * long)
    parts: tuple[Part, ...] = (
        Polygon((*bow, *hood, *saddle, *tail, (long, 0.0), (0.02 * long, 0.0)), given.length.body("hull")),
        Polygon(cushion, given.length.body("engine")),
        Polygon((*bow, (0.02 * long, 0.0), *keel), given.length.body("hull")),
        Line((0.33 * long, 0.76 * bar.value), grip, bar.style("post")),
        Circle(grip, 0.012 * long, bar.body("engine")),
        Line((0.1 * long, -0.3 * deep), (0.97 * long, -0.3 * deep), "part"),
    )
    return Profile(parts, deep, -deep)


def seat_of(long: float, bar: float) -> float:
    """The height of a watercraft's seat above its rail, by its handlebar and its length, m."""
    return min(0.62 * bar, 0.15 * long)


_KEELS: Mapping[str, tuple[tuple[Point, ...], ...]] = {
    # x as shares of the length, y: below 0 as shares of the hull's depth where it joins, of the fin's where it ends
    "fin": (((0.42, 0.97), (0.45, 1.0), (0.57, 1.0), (0.58, 0.98)),),
    "long": (((0.3, 0.85), (0.4, 0.55), (0.86, 0.55), (0.9, 0.7)),),
    "twin": (
        ((0.43, 0.96), (0.45, 0.7), (0.53, 0.7), (0.55, 0.96)),
        ((0.47, 0.96), (0.49, 0.7), (0.57, 0.7), (0.59, 0.96)),
    ),
    "lifting": (((0.45, 0.98), (0.46, 0.3), (0.53, 0.3), (0.54, 0.98)),),
}


def _sail(given: Given) -> Profile:
    """Overhangs at both ends, a keel and a rudder, a cabin."""
    long, craft = given.length.value, given.craft
    deep = _deep(given, "band_to_hull", 0.115, 0.25)
    fin = 0.11 * long
    hull = scaled(
        long, deep, (0, 0), (1, 0), (0.985, -0.45), (0.86, -0.78), (0.66, -1), (0.45, -1), (0.25, -0.82), (0.1, -0.5)
    )
    style = given.length.body("hull")
    parts: list[Part] = []
    for (x1, y1), (x2, y2), (x3, y3), (x4, y4) in _KEELS.get(craft.keel, _KEELS["fin"]):
        foot = ((x2 * long, -deep - y2 * fin), (x3 * long, -deep - y3 * fin))
        parts.append(Polygon(((x1 * long, -y1 * deep), *foot, (x4 * long, -y4 * deep)), style))
    low = min(y for keel in parts for _x, y in keel.points)  # type: ignore[union-attr]
    if craft.keel != "long":
        foot = ((0.91 * long, -deep - 0.45 * fin), (0.955 * long, -deep - 0.45 * fin))
        parts.append(Polygon(((0.9 * long, -0.66 * deep), *foot, (0.965 * long, -0.5 * deep)), style))
    cabin = scaled(long, long, (0.3, 0), (0.34, 0.045), (0.62, 0.05), (0.65, 0))
    parts += [
        Polygon(cabin, style),
        *(
            Polygon(scaled(long, long, (x, 0.018), (x + 0.05, 0.018), (x + 0.05, 0.034), (x, 0.034)), "glass")
            for x in (0.38, 0.47, 0.56)
        ),
        Polygon(hull, style),
    ]
    return Profile(tuple(parts), deep, low)
