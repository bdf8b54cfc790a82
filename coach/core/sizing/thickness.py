"""Film's thickness: which is usual, what it weighs, how thick its roll is, and what a span of it can carry.

Rules kept here:
 1. A load that film 'carries' is true only for a span: the trade's 256 lb a square foot is beyond the strength of
    polyethylene when the film spans more than about a foot. A front end shows both.
"""

from __future__ import annotations

import math
from fractions import Fraction

from coach.core.sizing.constants import FOOT, INCH, MIL, PSF, Number
from coach.core.sizing.ranges import DENSITY, FILM_LENGTH, FILM_WIDTH, LENGTH, THICKNESS, TUCK, Range, demand

USUAL_DENSITY = 920  # kg/m3: polyethylene film 915 to 925, Springer encyclopedia entry 7048
# Longest boat for each thickness; common practice, no source. Heavy snow or an open site takes one step more.
USUAL_THICKNESS: tuple[tuple[Number, Number], ...] = (
    (18 * FOOT, 6 * MIL),
    (26 * FOOT, 7 * MIL),
    (40 * FOOT, 8 * MIL),
    (200 * FOOT, 10 * MIL),
)
HEAVY_SNOW = 40 * PSF  # ground snow from which the film is taken one step thicker; common practice, no source
TRADE_LOAD = 256 * PSF  # said of the thinnest film; common practice, no source
STRENGTH_LOW, STRENGTH_HIGH = 5_000_000, 26_000_000  # Pa: tensile strength of LDPE, a published table
SAG_SHARE = Fraction(1, 8)  # of the span, for a loaded film; ours, no source

_GROUND_SNOW = Range("ground snow", "Pa", 0, 30_000)
_LAYERS = Range("layers", "", 1, 32)
_LOAD = Range("load", "Pa", 0, 50_000)
_SPAN = Range("span", "m", Fraction(1, 100), 20)
_SAG = Range("sag share", "", Fraction(1, 100), Fraction(1, 2))
_STRESS = Range("film strength", "Pa", 100_000, 10**9)


def usual_thickness(length: Number, ground_snow: Number = 0, open_site: bool = False) -> Number:
    """The film thickness that is usual for a boat's length, one step more for heavy snow or an open site.

    Args:
        length: of the boat, m, 2 to 60.
        ground_snow: Pa, 0 to 30 000; from 1915 Pa (40 psf) counts as heavy.
        open_site: whether wind finds the boat unsheltered.

    Returns:
        The thickness, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source; the film's maker comes first.
    """
    demand((LENGTH, length), (_GROUND_SNOW, ground_snow))
    step = next(i for i, (longest, _) in enumerate(USUAL_THICKNESS) if length <= longest)
    if ground_snow >= HEAVY_SNOW or open_site:
        step = min(step + 1, len(USUAL_THICKNESS) - 1)
    return USUAL_THICKNESS[step][1]


def grammage(thickness: Number, density: Number = USUAL_DENSITY) -> Number:
    """The mass of a square metre of film.

    Args:
        thickness: m, 1e-5 to 1e-3.
        density: kg/m3, 800 to 1100.

    Returns:
        thickness x density, kg/m2; exact for Fractions. 7 mil at 920 gives 0.163576 kg/m2.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((THICKNESS, thickness), (DENSITY, density))
    return thickness * density


def film_mass(width: Number, length: Number, thickness: Number, density: Number = USUAL_DENSITY) -> Number:
    """The mass of a film or of a whole roll without its core.

    Args:
        width: unfolded, m, 0.1 to 40.
        length: m, 0.1 to 2000.
        thickness: m, 1e-5 to 1e-3.
        density: kg/m3, 800 to 1100.

    Returns:
        The mass, kg; 12 x 100 ft of 7 mil at 920 gives 18.236 kg.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((FILM_WIDTH, width), (FILM_LENGTH, length))
    return width * length * grammage(thickness, density)


def roll_diameter(length: Number, thickness: Number, layers: int, core: Number = 3 * INCH) -> float:
    """The outside diameter of a solid-wound roll.

    Args:
        length: of film on the roll, m, 0.1 to 2000.
        thickness: of one layer, m, 1e-5 to 1e-3.
        layers: after folding, 1 to 32.
        core: outside diameter of the core, m, 0 to 1.

    Returns:
        2 sqrt(r^2 + layers thickness length / pi), m; 100 ft of 7 mil in 4 layers on 3 in gives 7.2 in.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: the film's cross-section fills a ring.
    """
    demand((FILM_LENGTH, length), (THICKNESS, thickness), (_LAYERS, layers), (TUCK, core))
    ring = layers * float(thickness) * float(length) / math.pi
    return 2 * math.sqrt((float(core) / 2) ** 2 + ring)


def film_stress(load: Number, span: Number, thickness: Number, sag_share: Number = SAG_SHARE) -> Number:
    """The stress in film that spans between two supports under an even load.

    Args:
        load: Pa, 0 to 50 000.
        span: clear between supports, m, 0.01 to 20.
        thickness: m, 1e-5 to 1e-3.
        sag_share: sag over span, 0.01 to 0.5.

    Returns:
        w L / (8 n t), Pa: 256 lb/ft2 over 1 ft of 6 mil gives 24.5 MPa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: parabola, level pull a metre of width over the thickness.
    """
    demand((_LOAD, load), (_SPAN, span), (THICKNESS, thickness), (_SAG, sag_share))
    return load * span / (8 * sag_share * thickness)


def film_span(
    load: Number, thickness: Number, strength: Number = STRENGTH_HIGH, sag_share: Number = SAG_SHARE
) -> float:
    """The widest span over which film reaches its strength only at this load: where a capacity said of it ends.

    Args:
        load: Pa, 1 to 50 000.
        thickness: m, 1e-5 to 1e-3.
        strength: Pa, 1e5 to 1e9.
        sag_share: sag over span, 0.01 to 0.5.

    Returns:
        m; 256 lb/ft2 on 6 mil at 26 MPa gives 0.32 m, about a foot.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: `film_stress` turned round.
    """
    demand((Range("load", "Pa", 1, 50_000), load), (THICKNESS, thickness), (_STRESS, strength), (_SAG, sag_share))
    return float(strength) * 8 * float(sag_share) * float(thickness) / float(load)
