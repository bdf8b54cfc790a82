"""Uprights: how many, where, how long they are cut, what each carries, and what a timber of that length may carry.

Rules kept here:
 1. Bays between uprights (and from the ends to the first and last) are no longer than the spacing.
 2. An upright stands behind the windshield and lifts the ridge strap clear of it.
 3. Timber is checked as a column by the NDS column factor, never by Euler alone (2.9 times too hopeful at 60 in).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from coach.core.sizing.constants import FOOT, INCH, PSI, Number
from coach.core.sizing.ranges import BEAM, DISTANCE, HEIGHT, LENGTH, SPACING, Range, contradiction, demand
from coach.core.sizing.rounding import ceil_of

BAY = 8 * FOOT  # longest bay between uprights; common practice, no source: two uprights on a boat of about 19 ft
OVER_WINDSHIELD = 10 * INCH  # ridge strap above the windshield's top; common practice, no source
SLENDERNESS_LIMIT = 50  # le/d, NDS 3.7.1

SOLE_BELOW = Range("sole below the band", "m", 0, 8)
PADS = Range("pads", "m", 0, 1)
POST_LENGTH = Range("upright length", "m", Fraction(1, 20), 8)
SIDE = Range("side of the timber", "m", Fraction(1, 100), Fraction(1, 2))
MODULUS = Range("elastic modulus", "Pa", 10**8, 3 * 10**11)
STRENGTH = Range("compressive strength", "Pa", 10**5, 10**9)
LOAD = Range("load", "Pa", 0, 50_000)


def upright_count(length: Number, bay: Number = BAY) -> int:
    """How many uprights carry the ridge.

    Args:
        length: of the covered run from bow to stern, m, 2 to 60.
        bay: longest bay, m, 0.25 to 10.

    Returns:
        One or more, so that no bay is longer than `bay`.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source; two at 19 ft.
    """
    demand((LENGTH, length), (SPACING, bay))
    return max(1, ceil_of(length / bay if isinstance(length, float) else Fraction(length) / bay) - 1)


def upright_positions(length: Number, bay: Number = BAY, windshield: Number | None = None) -> tuple[Number, ...]:
    """Where the uprights stand, from the bow.

    Args:
        length: m, 2 to 60.
        bay: longest bay, m, 0.25 to 10.
        windshield: its aft edge from the bow, m, 0 to 60, under the length; None if there is none.

    Returns:
        Distances from the bow, m. With a windshield one stands at its aft edge, and the runs ahead of it and behind
        it are divided evenly.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a windshield beyond the stern.

    Source: common practice, no source.
    """
    demand((LENGTH, length), (SPACING, bay))
    if windshield is None:
        count = upright_count(length, bay)
        return tuple(length * Fraction(i + 1, count + 1) for i in range(count))
    demand((Range("windshield from the bow", "m", Fraction(1, 10), 60), windshield))
    if windshield >= length:
        raise contradiction("windshield from the bow", "length", "less than the length")
    ahead = max(1, ceil_of(windshield / bay))
    behind = max(1, ceil_of((length - windshield) / bay))
    fore = tuple(windshield * Fraction(i + 1, ahead) for i in range(ahead))
    return fore + tuple(windshield + (length - windshield) * Fraction(i + 1, behind) for i in range(behind - 1))


def windshield_lift(strap_at_windshield: Number, windshield: Number, clear: Number = OVER_WINDSHIELD) -> Number:
    """How much the ridge strap must be lifted to pass clear of the windshield.

    Args:
        strap_at_windshield: height of the strap where it passes, above the band, m, 0 to 8.
        windshield: height of its top above the band, m, 0 to 8.
        clear: wanted between them, m, 0 to 60.

    Returns:
        0 or more, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: about 10 in, common practice, no source.
    """
    demand((HEIGHT, strap_at_windshield), (HEIGHT, windshield), (DISTANCE, clear))
    return max(0, windshield + clear - strap_at_windshield)


def ridge_height_at(x: Number, points: Sequence[tuple[Number, Number]]) -> Number:
    """The height of a ridge strap at a distance from the bow, straight between its supports.

    Args:
        x: from the bow, m, 0 to 60.
        points: (distance from the bow, height above the band) of its supports, m, two or more, rising distances.

    Returns:
        The height, m; the end's height beyond an end.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or distances that do not rise.

    Source: definition.
    """
    demand((DISTANCE, x), *((DISTANCE, at) for at, _ in points), *((HEIGHT, up) for _, up in points))
    if any(a[0] >= b[0] for a, b in pairwise(points)):
        raise contradiction("support", "next support", "nearer to the bow than the next")
    if x <= points[0][0]:
        return points[0][1]
    for (x1, y1), (x2, y2) in pairwise(points):
        if x <= x2:
            return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
    return points[-1][1]


def cut_length(ridge: Number, sole_below: Number, pads: Number = 0) -> Number:
    """The length to cut an upright.

    Args:
        ridge: strap above the band where it stands, m, 0 to 8.
        sole_below: the surface it stands on, below the band, m, 0 to 8.
        pads: thickness of pads and cap under and over it, m, 0 to 1.

    Returns:
        ridge + sole_below - pads, m; exact for Fractions.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or pads thicker than the upright.

    Source: definition.
    """
    demand((HEIGHT, ridge), (SOLE_BELOW, sole_below), (PADS, pads))
    if pads >= ridge + sole_below:
        raise contradiction("pads", "upright", "thinner than the upright is long")
    return ridge + sole_below - pads


def tributary_runs(length: Number, positions: Sequence[Number]) -> tuple[Number, ...]:
    """The run of ridge that each upright carries: half of the bay on either side.

    Args:
        length: m, 2 to 60.
        positions: of the uprights from the bow, m, 0 to 60, rising, inside the length.

    Returns:
        A run for each upright, m. The end bays rest half on the band's fittings.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or positions that do not rise inside the length.

    Source: tributary area, statics.
    """
    demand((LENGTH, length), *((DISTANCE, at) for at in positions))
    edges = (0, *positions, length)
    if any(a >= b for a, b in pairwise(edges)):
        raise contradiction("upright", "next upright", "nearer to the bow than the next, and inside the length")
    return tuple((after - before) / 2 for before, after in zip(edges, edges[2:], strict=False))


def upright_load(load: Number, run: Number, beam: Number) -> Number:
    """The force on an upright: the ridge carries the inner half of each side, the band the outer half.

    Args:
        load: on the level projection, Pa, 0 to 50 000.
        run: of ridge that it carries, m, 0 to 60.
        beam: there, m, 0.5 to 12.

    Returns:
        load x run x beam / 2, N.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: tributary area, statics.
    """
    demand((LOAD, load), (DISTANCE, run), (BEAM, beam))
    return load * run * beam / 2


def euler_load(modulus: Number, inertia: Number, length: Number, effective: Number = 1) -> float:
    """The load at which a slender column buckles by Euler.

    Args:
        modulus: E, Pa, 1e8 to 3e11.
        inertia: I of the weak axis, m4, 1e-10 to 1.
        length: m, 0.05 to 8.
        effective: K, 0.5 (both ends fixed) to 2 (one end free); 1 is pinned.

    Returns:
        pi^2 E I / (K L)^2, N.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Euler; 2x4 of 60 in at 1.4e6 psi, weak axis, gives 3778 lb.
    """
    demand((MODULUS, modulus), (Range("second moment", "m4", 1e-10, 1), inertia))
    demand((POST_LENGTH, length), (Range("effective length factor", "", 0.5, 2.1), effective))
    return math.pi**2 * float(modulus) * float(inertia) / (float(effective) * float(length)) ** 2


def column_factor(buckling: Number, crushing: Number, kind: Number = 0.8) -> float:
    """The share of its crushing strength that a timber column keeps: the NDS column stability factor.

    Args:
        buckling: FcE, Pa, 1 to 1e12.
        crushing: Fc*, Pa, 1e5 to 1e9.
        kind: c, 0.8 sawn, 0.85 round, 0.9 glued.

    Returns:
        CP, over 0 and under 1.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: NDS 3.7.1; Gere, Mechanics of Materials 7th ed., 11.9-31: .662106 at ratio .9215856.
    """
    demand((Range("buckling stress", "Pa", 1, 10**12), buckling), (STRENGTH, crushing))
    demand((Range("column kind", "", 0.5, 0.95), kind))
    ratio, c = float(buckling) / float(crushing), float(kind)
    middle = (1 + ratio) / (2 * c)
    # The smaller root of CP^2 - 2 middle CP + ratio/c = 0, in the form that does not lose digits.
    return ratio / c / (middle + math.sqrt(middle * middle - ratio / c))


def timber_allowed(length: Number) -> float:
    """What a wet 2x4 of spruce-pine-fir No.2 may carry as an upright under snow, pinned at both ends.

    Args:
        length: m, 0.05 to 8; over 1.9 m (75 in) it is too slender and must be braced.

    Returns:
        N.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: as `timber_column`.
    """
    return timber_column(length).allowed


@dataclass(frozen=True)
class Timber:
    """A timber's sides (m) and adjusted design values (Pa). Shipped: spruce-pine-fir No.2, NDS Supplement table 4A."""

    thin: Number = Fraction(3, 2) * INCH
    wide: Number = Fraction(7, 2) * INCH
    compression: Number = 1150 * PSI
    modulus_least: Number = 510_000 * PSI
    duration: Number = Fraction(115, 100)  # two months of snow
    size: Number = Fraction(115, 100)  # from memory
    wet_compression: Number = Fraction(8, 10)  # from memory: outdoor timber over 19 % moisture
    wet_modulus: Number = Fraction(9, 10)  # from memory
    wet: bool = True


@dataclass(frozen=True)
class Column:
    """What a timber upright may carry, with the numbers on the way: slenderness, stresses (Pa), factor, load (N)."""

    slenderness: float
    buckling: float
    crushing: float
    factor: float
    allowed: float
    is_slender: bool


def timber_column(length: Number, timber: Timber = Timber(), effective: Number = 1) -> Column:
    """What a timber upright of a length may carry.

    Args:
        length: m, 0.05 to 8.
        timber: sides 0.01 to 0.5 m, design values 1e5 to 1e9 and 1e8 to 3e11 Pa.
        effective: K, 0.5 to 2; 1 is pinned.

    Returns:
        The column; `is_slender` when le/d is over 50, where the rule no longer holds and the timber must not be used.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: NDS 3.7.1, FcE = 0.822 Emin' / (le/d)^2; 2x4 dry at 60 in gives CP .165696, 1323.0 lb.
    """
    demand((POST_LENGTH, length), (SIDE, timber.thin), (SIDE, timber.wide), (STRENGTH, timber.compression))
    demand((MODULUS, timber.modulus_least), (Range("effective length factor", "", 0.5, 2.1), effective))
    least = float(min(timber.thin, timber.wide))
    slenderness = float(effective) * float(length) / least
    crushing = float(timber.compression * timber.duration * timber.size)
    modulus = float(timber.modulus_least)
    if timber.wet:
        crushing, modulus = crushing * float(timber.wet_compression), modulus * float(timber.wet_modulus)
    buckling = 0.822 * modulus / slenderness**2
    factor = column_factor(buckling, crushing)
    allowed = factor * crushing * float(timber.thin) * float(timber.wide)
    return Column(slenderness, buckling, crushing, factor, allowed, slenderness > SLENDERNESS_LIMIT)
