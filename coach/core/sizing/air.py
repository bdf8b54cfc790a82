"""Air under the cover: dew point, how many vents and where, their free area against the area covered.

Rules kept here:
 1. Vents stand in pairs across the boat, one pair near each end at least, so that any wind finds a way in and out.
 2. More vents never hurt; the count is the larger of cross-flow and free area, and even.
"""

from __future__ import annotations

import math

from coach.core.sizing.constants import FOOT, FREEZING, GRAVITY, SQUARE_INCH, Number
from coach.core.sizing.outline import outline_area, transom_half_breadth
from coach.core.sizing.ranges import BEAM, LENGTH, PLAN_AREA, Range, demand
from coach.core.sizing.rounding import ceil_of

PAIR_EVERY = 10 * FOOT  # a pair of vents for each such run of boat; common practice, no source: four at 19 ft
VENT_FREE = 16 * SQUARE_INCH  # m2 that one vent leaves open, a hole of about 4 1/2 in; ours, measure your own
FREE_SHARE = 300  # covered area over free area, IRC R806.2 with vents high and low; a rule for attics, a comparison
MAGNUS_WMO = (611.2, 17.62, 243.12)  # Pa, -, C; WMO, Sonntag 1990, over water
MAGNUS_ALDUCHOV = (610.94, 17.625, 243.04)  # Alduchov and Eskridge, J. Appl. Meteor. 35 (1996) 601

TEMPERATURE = Range("temperature", "K", 233.15, 323.15)
HUMIDITY = Range("relative humidity", "", 0.01, 1)
_PAIRS = Range("pair spacing", "m", 0.25, 10)
_FREE = Range("free area of a vent", "m2", 0.0001, 1)
_SHARE = Range("covered area over free area", "", 1, 2000)
_WIND = Range("wind", "m/s", 0, 75)
_OPENING = Range("opening", "m2", 0, 100)
_COEFFICIENT = Range("coefficient", "", 0, 1)


def vent_count(length: Number, beam: Number) -> int:
    """How many vents a power boat takes, with the shipped pair spacing, vent size and share.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.

    Returns:
        An even count, four or more.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: four on a 19 ft boat, common practice, no source; free area compared with IRC R806.2 (attics).
    """
    return vents_for(length, outline_area(length, beam))


def vents_for(
    length: Number,
    area: Number,
    free: Number = VENT_FREE,
    share: Number = FREE_SHARE,
    pair_every: Number = PAIR_EVERY,
) -> int:
    """How many vents a cover takes: the larger of cross-flow and free area, made even.

    Args:
        length: m, 2 to 60.
        area: covered, seen from above, m2, 0 to 1000.
        free: that one vent leaves open, m2, 0.0001 to 1.
        share: covered area over free area, 1 to 2000 (150 or 300 in IRC R806.2).
        pair_every: run of boat for each pair, m, 0.25 to 10.

    Returns:
        An even count, four or more.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: as `vent_count`.
    """
    demand((LENGTH, length), (_PAIRS, pair_every))
    cross_flow = 2 * max(2, ceil_of(length / pair_every))
    by_area = ceil_of(free_area_needed(area, share) / _checked_free(free))
    return max(cross_flow, by_area + by_area % 2)


def free_area_needed(area: Number, share: Number = FREE_SHARE) -> Number:
    """The free vent area for a covered area.

    Args:
        area: covered, seen from above, m2, 0 to 1000.
        share: covered area over free area, 1 to 2000.

    Returns:
        area / share, m2; exact for Fractions. 900 ft2 gives 864 in2 at 150 and 432 in2 at 300.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: IRC R806.2, a rule for attics: a comparison only.
    """
    demand((PLAN_AREA, area), (_SHARE, share))
    return area / share


def vent_positions(length: Number, beam: Number, count: int) -> tuple[tuple[float, float], ...]:
    """Where the vents go on the plan: pairs spread along the boat, half way between middle line and rail.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        count: 2 to 200; an odd count is taken up to the next even one.

    Returns:
        (distance from the bow, distance to starboard, negative to port), m, bow to stern.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or wider than long.

    Source: cross-flow, common practice, no source.
    """
    demand((LENGTH, length), (BEAM, beam), (Range("vent count", "", 2, 200), count))
    pairs = (count + 1) // 2
    spots = []
    for i in range(pairs):
        x = float(length) * (2 * i + 1) / (2 * pairs)
        out = transom_half_breadth(length, beam, x) / 2
        spots += [(x, -out), (x, out)]
    return tuple(spots)


def saturation_pressure(temperature: Number, constants: tuple[float, float, float] = MAGNUS_WMO) -> float:
    """The pressure of saturated water vapour over water, by Magnus.

    Args:
        temperature: K, 233.15 to 323.15 (-40 to 50 C).
        constants: of the Magnus form, Pa, -, C.

    Returns:
        The pressure, Pa; error under 0.4 % over the range.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: WMO constants (Sonntag 1990); 25 C gives 3160 Pa where ASHRAE 2017 prints 3169.7.
    """
    demand((TEMPERATURE, temperature))
    scale, a, b = constants
    celsius = float(temperature) - float(FREEZING)
    return scale * math.exp(a * celsius / (b + celsius))


def dew_point(temperature: Number, humidity: Number, constants: tuple[float, float, float] = MAGNUS_WMO) -> float:
    """The temperature at which the air under the cover starts to drip.

    Args:
        temperature: K, 233.15 to 323.15 (-40 to 50 C).
        humidity: relative, 0.01 to 1.
        constants: of the Magnus form, Pa, -, C.

    Returns:
        The dew point over water, K; below 0 C frost forms at a slightly higher temperature (0.25 C at -10 C).

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Magnus with WMO constants; 20 C and 60 % give 11.995 C, psychrolib 12.007 C.
    """
    demand((TEMPERATURE, temperature), (HUMIDITY, humidity))
    _, a, b = constants
    celsius = float(temperature) - float(FREEZING)
    gamma = math.log(float(humidity)) + a * celsius / (b + celsius)
    return b * gamma / (a - gamma) + float(FREEZING)


def wind_flow(opening: Number, wind: Number, effectiveness: Number = 0.55) -> Number:
    """The air that wind drives through an inlet with an equal outlet.

    Args:
        opening: free inlet area, m2, 0 to 100.
        wind: m/s, 0 to 75.
        effectiveness: Cv, 0 to 1: 0.5 to 0.6 square on, 0.25 to 0.35 aslant (the latter from memory).

    Returns:
        Cv A U, m3/s.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASHRAE form, Principles of Sustainable Energy eq. 9.14; .55, .02 m2, 3 m/s give .033 m3/s.
    """
    demand((_OPENING, opening), (_WIND, wind), (_COEFFICIENT, effectiveness))
    return effectiveness * opening * wind


def stack_flow(opening: Number, rise: Number, inside: Number, outside: Number, discharge: Number = 0.65) -> float:
    """The air that warmth under the cover drives through separate low and high openings.

    Args:
        opening: free area, m2, 0 to 100.
        rise: from the lower opening to the neutral level, m, 0 to 8.
        inside, outside: K, 233.15 to 323.15.
        discharge: Cd, 0 to 1 (0.65 from memory).

    Returns:
        Cd A sqrt(2 g rise (Ti - To) / Ti), m3/s; 0 when it is not warmer inside.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASHRAE 1997 eq. 37-38, p. 25.13; .02 m2, .5 m, 5 K at 283.15 K give .0054107 m3/s.
    """
    demand((_OPENING, opening), (Range("rise", "m", 0, 8), rise), (TEMPERATURE, inside), (TEMPERATURE, outside))
    demand((_COEFFICIENT, discharge))
    warmth = max(0.0, float(inside) - float(outside))
    drive = 2 * float(GRAVITY) * float(rise) * warmth / float(inside)
    return float(discharge) * float(opening) * math.sqrt(drive)


def orifice_flow(opening: Number, difference: Number, discharge: Number = 0.65, density: Number = 1.2) -> float:
    """The air that a pressure difference drives through an opening.

    Args:
        opening: free area, m2, 0 to 100.
        difference: Pa, 0 to 10 000.
        discharge: Cd, 0 to 1.
        density: of the air, kg/m3, 0.8 to 1.7.

    Returns:
        Cd A sqrt(2 dp / rho), m3/s.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: orifice equation; .65, .04 m2, 25 Pa, 1.2 give .1678 m3/s.
    """
    demand((_OPENING, opening), (Range("pressure difference", "Pa", 0, 10_000), difference))
    demand((_COEFFICIENT, discharge), (Range("air density", "kg/m3", 0.8, 1.7), density))
    return float(discharge) * float(opening) * math.sqrt(2 * float(difference) / float(density))


def _checked_free(free: Number) -> Number:
    demand((_FREE, free))
    return free
