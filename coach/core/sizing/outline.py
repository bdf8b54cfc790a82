"""The boat seen from above: half breadths, perimeter and area by form, in closed form where one exists.

Rules kept here:
 1. x runs from the bow (0) to the stern (length); a half breadth is measured from the middle line.
 2. Perimeter and area are closed forms; tests check each against numerical integration of its half breadth.
Forms: pointed (parabola, both ends), transom (parabolic bow half, straight sides, flat stern), ellipse, superellipse,
rectangle (pontoon, pallet). The Wigley hull is the exact hull of the ship-resistance literature, kept for the checks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from coach.core.problems import Problem, QuantityError
from coach.core.sizing.constants import Number
from coach.core.sizing.ranges import BEAM, LENGTH, Range, contradiction, demand

ENTRY = 0.5  # share of a transom boat's length that narrows to the bow; common practice, no source

_X = Range("distance from the bow", "m", 0, 60)
_ENTRY = Range("entry", "", 0.05, 1)
_EXPONENT = Range("exponent", "", 1, 50)
_SEMI_AXIS = Range("semi-axis", "m", 0.001, 1000)
_DRAUGHT = Range("draught", "m", 0.01, 20)
_ORDINATE = Range("ordinate", "m", -1000, 1000)
_STEP = Range("spacing", "m", 0.0001, 1000)
_SPAN = Range("span", "m", 0.001, 1000)
_SAG = Range("sag", "m", 0, 1000)
_DEPTH = Range("depth", "m", 0, 20)


def parabola_arc(span: Number, sag: Number) -> float:
    """The exact length of a parabola's arc between level ends.

    Args:
        span: between the ends, m, 0.001 to 1000.
        sag: at the middle, m, 0 to 1000.

    Returns:
        The arc, m: (L/2)(sqrt(1 + a^2) + asinh(a)/a) with a = 4 sag / span.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: calculus; checks L 40, s 0.5: 40.016660; L 8, s 0.5: 8.082569.
    """
    demand((_SPAN, span), (_SAG, sag))
    slope = 4 * float(sag) / float(span)
    if slope < 1e-8:
        return float(span)
    return float(span) / 2 * (math.sqrt(1 + slope * slope) + math.asinh(slope) / slope)


def outline_area(length: Number, beam: Number) -> Number:
    """The area of a transom power boat seen from above, with the shipped entry of half its length.

    Args:
        length: m, 2 to 60.
        beam: the widest, m, 0.5 to 12, not over the length.

    Returns:
        The area, m2: 5/6 of length times beam, exact for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U304: wider than long.

    Source: area under a parabola is 2/3 of its box; 19 x 8 ft gives 126.67 ft2.
    """
    _check_boat(length, beam)
    return length * beam * 5 / 6


def outline_perimeter(length: Number, beam: Number) -> float:
    """The way round a transom power boat at the rail, with the shipped entry of half its length.

    Args:
        length: m, 2 to 60.
        beam: the widest, m, 0.5 to 12, not over the length.

    Returns:
        The perimeter, m: two half parabolas, two straight sides, the stern.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U304: wider than long.

    Source: parabola arc in closed form, checked by numerical integration.
    """
    return transom_perimeter(length, beam, ENTRY)


def transom_half_breadth(length: Number, beam: Number, x: Number, entry: Number = ENTRY) -> float:
    """Half the width of a transom power boat at a distance from the bow.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        x: from the bow, m, 0 to the length.
        entry: share of the length that narrows to the bow, 0.05 to 1.

    Returns:
        The half breadth, m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or x beyond the stern.

    Source: half a parabola, y = (B/2)(1 - (1 - x/e)^2), over the entry e; straight sides behind it.
    """
    _check_boat(length, beam, x)
    demand((_ENTRY, entry))
    share = min(1.0, float(x) / (float(length) * float(entry)))
    return float(beam) / 2 * (1 - (1 - share) ** 2)


def transom_area(length: Number, beam: Number, entry: Number = ENTRY) -> Number:
    """The area of a transom power boat seen from above.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        entry: share of the length that narrows to the bow, 0.05 to 1.

    Returns:
        beam * length * (1 - entry/3), m2.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: area under a parabola is 2/3 of its box.
    """
    _check_boat(length, beam)
    demand((_ENTRY, entry))
    return beam * length * (1 - entry / 3)


def transom_perimeter(length: Number, beam: Number, entry: Number = ENTRY) -> float:
    """The way round a transom power boat: two half parabolas to the bow, two straight sides, the stern.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        entry: share of the length that narrows to the bow, 0.05 to 1.

    Returns:
        The perimeter, m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: parabola arc in closed form.
    """
    _check_boat(length, beam)
    demand((_ENTRY, entry))
    bow = float(length) * float(entry)
    return parabola_arc(2 * bow, beam / 2) + 2 * (float(length) - bow) + float(beam)


def pointed_half_breadth(length: Number, beam: Number, x: Number) -> Number:
    """Half the width of a boat pointed at both ends, at a distance from the bow.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        x: from the bow, m, 0 to the length.

    Returns:
        (B/2)(1 - (2x/L - 1)^2), m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or x beyond the stern.

    Source: the waterline of the Wigley hull.
    """
    _check_boat(length, beam, x)
    return beam * (1 - (2 * x / length - 1) ** 2) / 2


def pointed_area(length: Number, beam: Number) -> Number:
    """The area of a boat pointed at both ends.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.

    Returns:
        2/3 of length times beam, m2, exact for Fractions.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: area under a parabola; 19 x 8 ft gives 101.333 ft2.
    """
    _check_boat(length, beam)
    return length * beam * 2 / 3


def pointed_perimeter(length: Number, beam: Number) -> float:
    """The way round a boat pointed at both ends.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.

    Returns:
        Two parabola arcs, m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: parabola arc; 19 x 8 ft gives 42.10454 ft, 5.8 x 2.4 m gives 12.8133 m.
    """
    _check_boat(length, beam)
    return 2 * parabola_arc(length, beam / 2)


def rectangle_area(length: Number, beam: Number) -> Number:
    """The area of a pontoon deck or a pallet.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.

    Returns:
        length * beam, m2.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: definition.
    """
    _check_boat(length, beam)
    return length * beam


def rectangle_perimeter(length: Number, beam: Number) -> Number:
    """The way round a pontoon deck or a pallet.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.

    Returns:
        2 (length + beam), m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: definition.
    """
    _check_boat(length, beam)
    return 2 * (length + beam)


def ellipse_perimeter(a: Number, b: Number) -> float:
    """The way round an ellipse, by the arithmetic-geometric mean: exact to the float's last digits.

    Args:
        a, b: the semi-axes, m, 0.001 to 1000.

    Returns:
        The perimeter, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: complete elliptic integral by the AGM (Gauss; Abramowitz and Stegun 17.6); (3,2) 15.865439589.
    """
    demand((_SEMI_AXIS, a), (_SEMI_AXIS, b))
    x, y = max(float(a), float(b)), min(float(a), float(b))
    total, weight, enough = (x * x + y * y) / 2, 1.0, 1e-15 * x
    while x - y > enough:
        spread = (x - y) / 2
        total -= weight * spread * spread
        x, y, weight = (x + y) / 2, math.sqrt(x * y), 2 * weight
    return 2 * math.pi * total / x


def superellipse_area(a: Number, b: Number, exponent: Number) -> float:
    """The area inside |x/a|^n + |y/b|^n = 1.

    Args:
        a, b: the semi-axes, m, 0.001 to 1000.
        exponent: n, 1 (diamond) to 50 (nearly a box); 2 is the ellipse.

    Returns:
        4 a b G(1 + 1/n)^2 / G(1 + 2/n), m2.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Dirichlet's integral; a 3, b 1.25, n 2.5 gives 12.678508; checked against scipy.special.gamma.
    """
    demand((_SEMI_AXIS, a), (_SEMI_AXIS, b), (_EXPONENT, exponent))
    n = float(exponent)
    return 4 * float(a) * float(b) * math.gamma(1 + 1 / n) ** 2 / math.gamma(1 + 2 / n)


def superellipse_perimeter(a: Number, b: Number, exponent: Number) -> float:
    """The way round |x/a|^n + |y/b|^n = 1, by chords that are halved until they settle.

    Args:
        a, b: the semi-axes, m, 0.001 to 1000.
        exponent: n, 1 to 50.

    Returns:
        The perimeter, m, to about one part in 10^7.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: arc length as the limit of chords, with one step of Richardson's extrapolation; a 3, b 1.25, n 2.5
        gives 14.367457.
    """
    demand((_SEMI_AXIS, a), (_SEMI_AXIS, b), (_EXPONENT, exponent))
    coarse, fine = (_chords(float(a), float(b), float(exponent), count) for count in (1000, 2000))
    return 4 * (fine + (fine - coarse) / 3)


def _chords(a: float, b: float, n: float, count: int) -> float:
    """A quarter of a superellipse as `count` chords, even in the angle seen from the middle after squaring the axes."""
    length, before = 0.0, (a, 0.0)
    for i in range(1, count + 1):
        angle = math.pi / 2 * i / count
        c, s = math.cos(angle), math.sin(angle)
        size = (c**n + s**n) ** (-1 / n) if i < count else 1.0
        point = (a * size * c, b * size * s)
        length += math.hypot(point[0] - before[0], point[1] - before[1])
        before = point
    return length


def simpson(ordinates: Sequence[Number], spacing: Number) -> Number:
    """The area under equally spaced ordinates by Simpson's first rule.

    Args:
        ordinates: an odd number, three or more, m, -1000 to 1000 each.
        spacing: between them, m, 0.0001 to 1000.

    Returns:
        (h/3)(y0 + 4 y1 + 2 y2 + ... + yn), m2; exact for a cubic, exact arithmetic for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U306: an even number of ordinates, or under three.

    Source: Tupper, Introduction to Naval Architecture, p. 23; Derrett p. 74: 7 half ordinates give 1207 m2.
    """
    demand((_STEP, spacing), *((_ORDINATE, ordinate) for ordinate in ordinates))
    if len(ordinates) < 3 or len(ordinates) % 2 == 0:
        what = "%(count)s ordinates were given, and the rule needs an odd number, three or more"
        why, mend = "the rule works on pairs of bays", "add or leave out one ordinate"
        raise QuantityError(Problem("U306", what, why, mend, None, {"count": len(ordinates)}))
    ends = ordinates[0] + ordinates[-1]
    return spacing * (ends + 4 * sum(ordinates[1:-1:2]) + 2 * sum(ordinates[2:-1:2])) / 3


def wigley_half_breadth(length: Number, beam: Number, draught: Number, x: Number, z: Number) -> Number:
    """Half the width of the Wigley hull.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        draught: keel below the waterline, m, 0.01 to 20.
        x: from the bow, m, 0 to the length.
        z: below the waterline, m, 0 to the draught.

    Returns:
        (B/2)(1 - (2x/L - 1)^2)(1 - (z/T)^2), m, exact for Fractions.

    Raises:
        QuantityError U301 to U304: an argument outside its range, x beyond the stern or z below the keel.

    Source: W. C. S. Wigley's parabolic hull; waterplane 2LB/3, volume 4LBT/9, midsection 2BT/3.
    """
    demand((_DRAUGHT, draught), (_DEPTH, z))
    if z > draught:
        raise contradiction("depth", "draught", "not more than the draught")
    return pointed_half_breadth(length, beam, x) * (1 - (z / draught) ** 2)


def _check_boat(length: Number, beam: Number, x: Number | None = None) -> None:
    """Ranges of a boat's length and beam, and that they fit together."""
    demand((LENGTH, length), (BEAM, beam), *(((_X, x),) if x is not None else ()))
    if beam > length:
        raise contradiction("beam", "length", "not more than the length")
    if x is not None and x > length:
        raise contradiction("distance from the bow", "length", "not more than the length")
