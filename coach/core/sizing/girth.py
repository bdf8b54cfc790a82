"""The tape over the cover: what a half tape must be, from the rail's edge over the ridge, and which numbers disagree.

Rules kept here:
 1. A tape cannot be shorter than the straight line, nor longer than the box around it: with half beam b, height h and
    drop d, sqrt(b^2 + h^2) + d <= half tape <= b + h + d.
 2. A taut film or tape touches only the upper hull of the points below it; hollows between them are bridged.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from coach.core.amount import BY_TAPE, Amount
from coach.core.problems import Phrase, Problem, QuantityError
from coach.core.sizing.constants import INCH, Number
from coach.core.sizing.ranges import DROP, HALF_BEAM, HALF_TAPE, HEIGHT, Range, demand
from coach.core.sizing.rounding import hypotenuse

READING = INCH / 8  # m: how far an honest reading of the tape may be out; steel tapes are marked to 1/16 in
GROSS = Fraction(1, 4)  # a tape out by less than a quarter is a slip of the tape, not of the unit; ours, no source
DROP_LEAST, DROP_MOST = 6 * INCH, 8 * INCH  # film edge below the rub rail; common practice, no source

_POINT = Range("point", "m", -60, 60)
_WANTED_SLOPE = Range("slope", "rad", 0, 1.5)
_READING = Range("reading", "m", 0, 1)

# Slips that turn up when a measure is typed: what it looks like, and the factor that mends it. Common practice.
SLIPS: tuple[tuple[str, Number], ...] = (
    ("the whole typed for the half", Fraction(1, 2)),
    ("feet typed as inches", Fraction(12)),
    ("inches typed as feet", Fraction(1, 12)),
    ("inches typed as centimetres", INCH * 100),
    ("centimetres typed as inches", 1 / (INCH * 100)),
)


@dataclass(frozen=True)
class Slip:
    """One measure that, taken as such a slip, makes the tape possible: its name, the slip, the value it would be."""

    measure: str
    slip: str
    value: Number


def tape_low(half_beam: Number, height: Number, drop: Number) -> Number:
    """The shortest half tape that geometry allows: the straight line from ridge to rail, then down to the film's edge.

    Args:
        half_beam: half the widest beam at the rub rail, m, 0.25 to 6.
        height: ridge above the rail, m, 0 to 8.
        drop: from the rail down to the film's edge, m, 0 to 1.

    Returns:
        sqrt(half_beam^2 + height^2) + drop, m; exact where the root is rational.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: triangle inequality; checks (48, 36, 0) 60 in and (51, 30, 7) 66.169 in.
    """
    demand((HALF_BEAM, half_beam), (HEIGHT, height), (DROP, drop))
    return hypotenuse(half_beam, height) + drop


def tape_high(half_beam: Number, height: Number, drop: Number) -> Number:
    """The longest half tape that geometry allows for a taut drape: out along the top of the box and down its side.

    Args:
        half_beam: half the widest beam at the rub rail, m, 0.25 to 6.
        height: ridge above the rail, m, 0 to 8.
        drop: from the rail down to the film's edge, m, 0 to 1.

    Returns:
        half_beam + height + drop, m; exact for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: a convex curve inside a box is no longer than the two sides it spans; check (51, 30, 7) 88 in.
    """
    demand((HALF_BEAM, half_beam), (HEIGHT, height), (DROP, drop))
    return half_beam + height + drop


def triangle_girth(half_beam: Number, height: Number) -> Number:
    """The straight line from the ridge to the rail, m.

    Args:
        half_beam: m, 0.25 to 6.
        height: ridge above the rail, m, 0 to 8.

    Returns:
        sqrt(half_beam^2 + height^2), m; exact where it is rational.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Pythagoras.
    """
    demand((HALF_BEAM, half_beam), (HEIGHT, height))
    return hypotenuse(half_beam, height)


def slope_angle(half_beam: Number, height: Number) -> float:
    """The slope of the cover from the ridge to the rail.

    Args:
        half_beam: m, 0.25 to 6.
        height: ridge above the rail, m, 0 to 8.

    Returns:
        The angle above level, rad, 0 to about 1.54.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: tangent; check 1/4 in a foot is 1.1935 degrees (IBC 1611.2 prints 1.19).
    """
    demand((HALF_BEAM, half_beam), (HEIGHT, height))
    return math.atan2(height, half_beam)


def rise_for_slope(half_beam: Number, slope: Number) -> float:
    """The ridge height above the rail that gives a slope.

    Args:
        half_beam: m, 0.25 to 6.
        slope: wanted angle above level, rad, 0 to 1.5.

    Returns:
        The height, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: tangent; over 48 in: 15 degrees 12.9 in, 30 degrees 27.7 in.
    """
    demand((HALF_BEAM, half_beam), (_WANTED_SLOPE, slope))
    return float(half_beam) * math.tan(slope)


def drape(points: Sequence[tuple[Number, Number]]) -> Number:
    """The length of a line laid along every point in turn, hollows and all.

    Args:
        points: (across, up) in m, each from -60 to 60, two or more, in the order in which the tape meets them.

    Returns:
        The sum of the straight pieces, m.

    Raises:
        QuantityError U301 to U303: a point outside its range; U305: fewer than two points.

    Source: definition of a polyline's length; check (51,0)(30,22)(12,40)(0,44) is 68.518767.
    """
    _check_points(points)
    total: Number = 0
    for first, second in pairwise(points):
        total += hypotenuse(_apart(first[0], second[0]), _apart(first[1], second[1]))
    return total


def taut_line(points: Sequence[tuple[Number, Number]]) -> tuple[tuple[Number, Number], ...]:
    """The points that a taut tape or film touches: the upper hull, from the first across to the last.

    Args:
        points: (across, up) in m, each from -60 to 60, two or more, in any order.

    Returns:
        The bearing points from the least `across` to the greatest.

    Raises:
        QuantityError U301 to U303: a point outside its range; U305: fewer than two points.

    Source: upper hull by the monotone chain (A. M. Andrew, 1979).
    """
    _check_points(points)
    hull: list[tuple[Number, Number]] = []
    for point in sorted(set(points)):
        while len(hull) >= 2 and not _bends_down(hull[-2], hull[-1], point):
            hull.pop()
        hull.append(point)
    return tuple(hull)


def taut_girth(points: Sequence[tuple[Number, Number]]) -> Number:
    """The length of a taut tape over the points, for example ridge, tower, windshield, rail.

    Args:
        points: (across, up) in m, each from -60 to 60, two or more, in any order.

    Returns:
        The length along the upper hull, m: never less than the straight line, never more than `drape` of the points.

    Raises:
        QuantityError U301 to U303: a point outside its range; U305: fewer than two points.

    Source: as `taut_line`.
    """
    return drape(taut_line(points))


def half_tape_over(points: Sequence[tuple[Number, Number]], drop: Number) -> Number:
    """The half tape over bearing points from the ridge to the rail, then down to the film's edge.

    Args:
        points: (distance out from the middle, height above the rail) in m, ridge and rail among them.
        drop: from the rail down to the film's edge, m, 0 to 1.

    Returns:
        The half tape, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U305: fewer than two points.

    Source: as `taut_line`.
    """
    demand((DROP, drop))
    return taut_girth(points) + drop


def tape_faults(
    half_tape: Number, half_beam: Number, height: Number, drop: Number, reading: Number = READING
) -> tuple[Problem, ...]:
    """What speaks against a half tape, from both sides, naming the two numbers that disagree.

    Args:
        half_tape: from the film's edge over the ridge to the middle, m, 0.25 to 15.
        half_beam: m, 0.25 to 6.
        height: ridge above the rail, m, 0 to 8.
        drop: from the rail down to the film's edge, m, 0 to 1.
        reading: how far the reading may be out, m, 0 to 1.

    Returns:
        No problem, or one (U310 too short, U311 too long) whose slots name the pair, the bounds and a likely slip.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: triangle inequality from below, box from above; check b 51, h 30, d 7 in: 66.169 to 88 in.
    """
    demand((HALF_TAPE, half_tape), (HALF_BEAM, half_beam), (HEIGHT, height), (DROP, drop))
    demand((_READING, reading))
    low, high = hypotenuse(half_beam, height) + drop, half_beam + height + drop
    if low - reading <= half_tape <= high + reading:
        return ()
    short = half_tape < low
    slips = likely_slips(half_tape, half_beam, height, drop, reading)
    first, second = _pair(half_tape, half_beam, height, drop, short, slips)
    return (_tape_problem(short, first, second, half_tape, low, high, slips),)


def likely_slips(
    half_tape: Number, half_beam: Number, height: Number, drop: Number, reading: Number = READING
) -> tuple[Slip, ...]:
    """The single slips of typing that would explain a tape that geometry forbids, most common first.

    Args:
        half_tape, half_beam, height, drop, reading: as `tape_faults`.

    Returns:
        Each measure and slip that, undone alone, brings the tape inside its bounds; none for a tape out by less
        than a quarter.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((HALF_TAPE, half_tape), (HALF_BEAM, half_beam), (HEIGHT, height), (DROP, drop))
    low, high = hypotenuse(half_beam, height) + drop, half_beam + height + drop
    if low * (1 - GROSS) <= half_tape <= high * (1 + GROSS):
        return ()
    found = []
    for slip, factor in SLIPS:
        tries = (
            ("half tape", half_tape * factor, (half_tape * factor, half_beam, height)),
            ("half beam", half_beam * factor, (half_tape, half_beam * factor, height)),
            ("height", height * factor, (half_tape, half_beam, height * factor)),
        )
        for measure, value, (tape, beam, up) in tries:
            if beam <= HALF_BEAM.high and hypotenuse(beam, up) + drop - reading <= tape <= beam + up + drop + reading:
                found.append(Slip(measure, slip, value))
    return tuple(found)


def _pair(
    half_tape: Number, half_beam: Number, height: Number, drop: Number, short: bool, slips: tuple[Slip, ...]
) -> tuple[str, str]:
    """The two measures that disagree: a slip names the first; else the tape and the larger of beam and height."""
    larger = "half beam" if half_beam >= height else "height"
    if slips and slips[0].measure != "half tape":
        return ("half tape", slips[0].measure)
    if short and half_tape < half_beam + drop and half_tape >= height + drop:
        return ("half tape", "half beam")
    if short and half_tape < height + drop and half_tape >= half_beam + drop:
        return ("half tape", "height")
    return ("half tape", larger if short else "height")


def _tape_problem(
    short: bool, first: str, second: str, half_tape: Number, low: Number, high: Number, slips: tuple[Slip, ...]
) -> Problem:
    """The problem for a tape outside its bounds."""
    slots: dict[str, object] = {
        "first": first,
        "second": second,
        "value": Amount(round(1000 * half_tape), BY_TAPE),
        "low": Amount(round(1000 * low), BY_TAPE),
        "high": Amount(round(1000 * high), BY_TAPE),
        "slip": Phrase("the %(measure)s, %(slip)s", {"measure": slips[0].measure, "slip": slips[0].slip}) if slips else "",
    }
    if short:
        what = "%(first)s and %(second)s disagree: the tape is %(value)s, and the straight line alone is %(low)s"
    else:
        what = "%(first)s and %(second)s disagree: the tape is %(value)s, and no taut film is longer than %(high)s"
    mend = "measure the %(first)s and the %(second)s again"
    if slips:
        mend = "measure the %(first)s and the %(second)s again; it may be %(slip)s"
    why = "the film would be cut from a number that cannot be true"
    return Problem("U310" if short else "U311", what, why, mend, None, slots)


def _apart(one: Number, other: Number) -> Number:
    return one - other if one >= other else other - one


def _check_points(points: Sequence[tuple[Number, Number]]) -> None:
    demand(*((_POINT, number) for point in points for number in point))
    if len(points) < 2:
        raise QuantityError(
            Problem(
                "U305",
                "a line needs two points or more, and %(count)s were given",
                "a length lies between points",
                "give the ridge and the rail at least",
                None,
                {"count": len(points)},
            )
        )


def _bends_down(first: tuple[Number, Number], middle: tuple[Number, Number], last: tuple[Number, Number]) -> bool:
    """Whether the line turns clockwise (downwards) at the middle point, so that the middle point carries it."""
    across = (middle[0] - first[0]) * (last[1] - first[1])
    up = (middle[1] - first[1]) * (last[0] - first[0])
    return across < up
