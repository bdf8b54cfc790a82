"""The one measure that is asked for, large, on the side view: where it runs on this kind of craft.

Rules kept here:
 1. A measure that the side view cannot show gives no parts; the picture stands without.
"""

from __future__ import annotations

from typing import Protocol

from coach.view.drawing import Arrow, Dimension, Line, Part, Point, Text
from coach.view.pictures.common import Measured, Show
from coach.view.pictures.craft import Craft
from coach.view.pictures.side_hulls import Profile

# The measures that a side view can show, by the names of the procedures.
SHOWS = frozenset(
    {
        "boat_length",
        "windshield_height",
        "bow_rise",
        "stern_rise",
        "end_rise",
        "ridge_height",
        "edge_drop",
        "bow_to_stern",
        "drive_reach",
        "drive_depth",
        "motor_reach",
        "motor_depth",
        "platform_reach",
        "bar_height",
        "bow_to_mast",
        "mast_to_stern",
        "mast_length",
        "mast_ahead",
        "mast_behind",
    }
)


class View(Protocol):
    """What must be known of a side view to mark a measure on it."""

    length: Measured
    stern: Measured
    drop: Measured
    top: Measured
    craft: Craft
    hull: Profile

    def at(self, x: float, y: float) -> Point:
        """The place on paper of a distance from the bow and a height."""

    def line(self) -> list[Point]:
        """The ridge line, in distances from the bow."""


def asked(only: str, boat: View, show: Show) -> tuple[Part, ...]:
    """The parts of the asked measure."""
    if only in ("bow_to_stern", "bow_to_mast", "mast_to_stern"):
        return _tape(only, boat, show)
    span = _spans(boat).get(only)
    if span is None:
        return ()
    first, last, value, guides = span
    one, two = boat.at(*first), boat.at(*last)
    words = show(value.value) if value.known else "?"
    level = first[1] == last[1]
    outside = one[0] < 0 or two[0] < 0
    above = (one[0] < two[0]) == (one[1] > 0)
    aside = 0.01 if (above if level else outside) else -0.01
    lines = tuple(Line(boat.at(*a), boat.at(*b), "guide") for a, b in guides)
    return (*lines, Dimension(one, two, words, aside, value.known, beside=True, asked=True))


Span = tuple[Point, Point, Measured, tuple[tuple[Point, Point], ...]]


def _spans(boat: View) -> dict[str, Span]:
    """First and last place, the value, and the guides, all in distances from the bow."""
    long, craft, drop, top, stern = boat.length.value, boat.craft, boat.drop.value, boat.top, boat.stern
    low = boat.hull.low - 0.07 * long
    far = long * 1.06
    found: dict[str, Span] = {
        "boat_length": ((long, low), (0.0, low), boat.length, (((long, 0.0), (long, low)), ((0.0, 0.0), (0.0, low)))),
        "ridge_height": ((0.5 * long, 0.0), (0.5 * long, top.value), top, ()),
        "edge_drop": (
            (-0.05 * long, 0.0),
            (-0.05 * long, -drop),
            boat.drop,
            (((0.0, 0.0), (-0.05 * long, 0.0)), ((0.035 * long, -drop), (-0.05 * long, -drop))),
        ),
        "end_rise": (
            (-0.06 * long, 0.0),
            (-0.06 * long, stern.value),
            stern,
            (((0.0, 0.0), (-0.06 * long, 0.0)), ((0.0, stern.value), (-0.06 * long, stern.value))),
        ),
    }
    bow = craft.length("bow_rise", max(0.1, top.value - 0.06))
    found["bow_rise"] = (
        (0.0, top.value - bow.value),
        (0.0, top.value),
        bow,
        (((0.0, top.value), (0.4 * long, top.value)),),
    )
    rise = craft.length("stern_rise", max(0.1, top.value - stern.value))
    back = far + (0.08 * long if boat.hull.behind else 0.0)
    found["stern_rise"] = (
        (back, top.value - rise.value),
        (back, top.value),
        rise,
        (
            ((back, top.value), (0.6 * long, top.value)),
            ((back, top.value - rise.value), (long, top.value - rise.value)),
        ),
    )
    glass = craft.length("windshield_height", 0.075 * long)
    found["windshield_height"] = (
        (0.3 * long, 0.0),
        (0.3 * long, glass.value),
        glass,
        (((0.3 * long, glass.value), (0.42 * long, glass.value)),),
    )
    bar = craft.length("bar_height", 0.23 * long)
    found["bar_height"] = (
        (-0.06 * long, 0.0),
        (-0.06 * long, bar.value),
        bar,
        (((-0.06 * long, bar.value), (0.385 * long, bar.value)), ((-0.06 * long, 0.0), (0.0, 0.0))),
    )
    return found | _behind(boat) | _mast(boat)


def _behind(boat: View) -> dict[str, Span]:
    """What stands out behind the stern."""
    long, craft, drop, deep = boat.length.value, boat.craft, boat.drop.value, boat.hull.deep
    found: dict[str, Span] = {}
    for reach, depth in (("drive_reach", "drive_depth"), ("motor_reach", "motor_depth")):
        out = craft.length(reach, 0.095 * long)
        down = craft.length(depth, deep + 0.045 * long - drop)
        high = 0.16 * long
        found[reach] = (
            (long + out.value, high),
            (long, high),
            out,
            (((long, high), (long, 0.0)), ((long + out.value, high), (long + out.value, 0.0))),
        )
        x = long + out.value + 0.05 * long
        found[depth] = (
            (x, -drop - down.value),
            (x, -drop),
            down,
            (((x, -drop), (long, -drop)), ((x, -drop - down.value), (long + 0.5 * out.value, -drop - down.value))),
        )
    reach_out = craft.length("platform_reach", 0.08 * long)
    found["platform_reach"] = (
        (long + reach_out.value, 0.1 * long),
        (long, 0.1 * long),
        reach_out,
        (
            ((long, 0.1 * long), (long, 0.0)),
            ((long + reach_out.value, 0.1 * long), (long + reach_out.value, -0.55 * deep)),
        ),
    )
    return found


def _mast(boat: View) -> dict[str, Span]:
    """A mast that lies."""
    long, craft, top = boat.length.value, boat.craft, boat.top
    found: dict[str, Span] = {}
    ahead, behind = craft.length("mast_ahead", 0.06 * long), craft.length("mast_behind", 0.1 * long)
    over = top.value + 0.07 * long
    found["mast_ahead"] = (
        (0.0, over),
        (-ahead.value, over),
        ahead,
        (((0.0, over), (0.0, 0.0)), ((-ahead.value, over), (-ahead.value, top.value))),
    )
    found["mast_behind"] = (
        (long + behind.value, over),
        (long, over),
        behind,
        (((long, over), (long, 0.0)), ((long + behind.value, over), (long + behind.value, top.value))),
    )
    mast = craft.length("mast_length", long + ahead.value + behind.value)
    found["mast_length"] = ((long + behind.value, over), (long + behind.value - mast.value, over), mast, ())
    return found


def _tape(only: str, boat: View, show: Show) -> tuple[Part, ...]:
    """The tape along the ridge, from edge to edge or to the mast."""
    craft, drop, long = boat.craft, boat.drop.value, boat.length.value
    away = 0.07 * long
    line = boat.line()
    value = craft.lengths.get(only)
    mast = craft.mast_at * long
    points = [
        (line[0][0] - away, -drop),
        (line[0][0] - away, line[0][1]),
        *((x, y + away) for x, y in line[1:-1]),
        (line[-1][0] + 0.4 * away, line[-1][1] + 0.5 * away),
        (line[-1][0] + 0.4 * away, -drop),
    ]
    if only == "bow_to_mast":
        points = [point for point in points if point[0] < mast - 0.01 * long] + [
            (mast - 0.02 * long, boat.top.value + away)
        ]
    if only == "mast_to_stern":
        points = [(mast + 0.02 * long, boat.top.value + away)] + [
            point for point in points if point[0] > mast + 0.01 * long
        ]
    middle = max(1, len(points) // 2)
    (x1, y1), (x2, y2) = points[middle - 1], points[middle]
    centre = ((x1 + x2) / 2, (y1 + y2) / 2)
    style = "asked-unknown" if value is None else "asked"
    words = "?" if value is None else show(value)
    first = tuple(boat.at(*point) for point in (centre, *points[:middle][::-1]))
    last = tuple(boat.at(*point) for point in (centre, *points[middle:]))
    return (
        Arrow(first, style),
        Arrow(last, style),
        Text(
            boat.at(*centre),
            words,
            "top",
            "primary_ink",
            "lead",
            bold=True,
            gap=2.0 if only == "bow_to_stern" else 5.0,
            plate="primary",
        ),
    )
