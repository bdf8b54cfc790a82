"""Wind: Beaufort by eye, height, pressure, and the pull on a film that is being laid.

Rules kept here:
 1. A force read by eye counts with the upper end of its class.
 2. Classes are decided in m/s, never from whole km/h or mph, whose printed tables have gaps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from coach.core.sizing.constants import Number
from coach.core.sizing.ranges import FILM_AREA, Range, demand
from coach.core.sizing.rounding import ceil_of

AIR_DENSITY = 1.225  # kg/m3 at 15 C, the basis of ASCE 7's 0.613
SHEET_DRAG = 1.2  # a flat sheet square to the wind, 1.1 to 1.3 (Hoerner, from memory); flapping is worse, no source
HOLD = 150  # N that one person holds safely at a film's edge; ours, no source
GUST_SHARE = 1.53  # gust over mean implied by the UK roof-work pairs 17/26 and 23/35 mph

WIND = Range("wind", "m/s", 0, 75)
FORCE_NUMBER = Range("Beaufort force", "", 0, 12)
_HEIGHT = Range("height above ground", "m", 0.5, 200)
_PULL = Range("pull", "N", 0, 1_000_000)
_HOLD = Range("hold of one person", "N", 10, 1000)
_FACTOR = Range("factor", "", 0, 5)


@dataclass(frozen=True)
class Force:
    """One class of the Beaufort scale: number, name, first speed (m/s), what is seen on land."""

    number: int
    name: str
    first: float
    seen: str


# WMO table; the signs are in our own words.
BEAUFORT: tuple[Force, ...] = (
    Force(0, "calm", 0.0, "smoke rises straight"),
    Force(1, "light air", 0.3, "smoke leans, a vane stays still"),
    Force(2, "light breeze", 1.6, "felt on the face, leaves stir"),
    Force(3, "gentle breeze", 3.4, "twigs move all the time, a small flag opens"),
    Force(4, "moderate breeze", 5.5, "dust and paper lift, small branches move"),
    Force(5, "fresh breeze", 8.0, "small trees with leaves sway"),
    Force(6, "strong breeze", 10.8, "big branches move, an umbrella is hard to hold"),
    Force(7, "near gale", 13.9, "whole trees move, walking against it is hard"),
    Force(8, "gale", 17.2, "twigs break, walking is slow"),
    Force(9, "strong gale", 20.8, "roofs lose tiles"),
    Force(10, "storm", 24.5, "trees fall, buildings are damaged"),
    Force(11, "violent storm", 28.5, "damage is wide"),
    Force(12, "hurricane", 32.7, "devastation"),
)


def beaufort(speed: Number) -> int:
    """The Beaufort force of a mean wind.

    Args:
        speed: m/s, 0 to 75.

    Returns:
        0 to 12. Speeds between two printed classes, such as 5.45, belong to the lower until the next begins.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: WMO table in m/s.
    """
    demand((WIND, speed))
    return max(force.number for force in BEAUFORT if speed >= force.first)


def beaufort_top(force: int) -> float:
    """The highest speed that a force read by eye may be.

    Args:
        force: 0 to 12.

    Returns:
        m/s: a tenth under the next class, as printed; for force 12 there is no top and 75 is returned.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: WMO table in m/s.
    """
    demand((FORCE_NUMBER, force))
    return round(BEAUFORT[int(force) + 1].first - 0.1, 1) if force < 12 else float(WIND.high)


def beaufort_speed(force: Number) -> float:
    """The middle speed of a force by the empirical formula.

    Args:
        force: 0 to 12.

    Returns:
        0.836 B^1.5, m/s; agrees with every edge of the WMO table at half forces.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: formula from memory, checked against the WMO table.
    """
    demand((FORCE_NUMBER, force))
    return 0.836 * float(force) * math.sqrt(float(force))


def at_height(speed: Number, measured_at: Number, wanted_at: Number, roughness: Number = 0.03) -> float:
    """A wind carried from one height to another over open ground.

    Args:
        speed: m/s, 0 to 75.
        measured_at, wanted_at: above ground, m, 0.5 to 200, over the roughness.
        roughness: z0, m, 0.0001 to 2 (0.03 open, 0.1 with hedges and boats).

    Returns:
        m/s by the logarithmic profile; from 10 m to 2 m at 0.03 is 0.7229 of it. Between boats it may be more.

    Raises:
        QuantityError U301 to U303: an argument outside its range, or a height not above the roughness.

    Source: logarithmic wind profile (formula from memory).
    """
    demand((WIND, speed), (_HEIGHT, measured_at), (_HEIGHT, wanted_at))
    demand((Range("roughness length", "m", 0.0001, min(2, measured_at / 2, wanted_at / 2)), roughness))
    return float(speed) * math.log(wanted_at / roughness) / math.log(measured_at / roughness)


def gust_of(mean: Number, share: Number = GUST_SHARE) -> Number:
    """The gust to expect with a mean wind when only the mean is known.

    Args:
        mean: m/s, 0 to 75.
        share: gust over mean, 1 to 3.

    Returns:
        m/s.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ratio implied by published UK roof-work limits, 26/17 and 35/23 mph.
    """
    demand((WIND, mean), (Range("gust over mean", "", 1, 3), share))
    return mean * share


def pressure(speed: Number, density: Number = AIR_DENSITY) -> float:
    """The pressure of wind that is brought to rest.

    Args:
        speed: m/s, 0 to 75.
        density: of the air, kg/m3, 0.8 to 1.7.

    Returns:
        rho v^2 / 2, Pa; 7.6 m/s gives 35.4, 15 m/s 137.8.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Bernoulli.
    """
    demand((WIND, speed), (Range("air density", "kg/m3", 0.8, 1.7), density))
    return float(density) * float(speed) ** 2 / 2


def code_pressure(speed: Number, height_factor: Number, direction: Number = 0.85, terrain: Number = 1.0) -> float:
    """The velocity pressure of ASCE 7.

    Args:
        speed: m/s, 0 to 75; a strength-level wind in 7-10 and later, times 0.6 on the result for a service check.
        height_factor: Kz, 0 to 5.
        direction: Kd, 0 to 5 (0.85).
        terrain: Kzt times Ke, 0 to 5.

    Returns:
        0.613 Kz Kzt Kd V^2, Pa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-10 eq. 27.3-1; Kz .7778, Kd .85, 72.2222 m/s gives 2113.92 Pa.
    """
    demand((WIND, speed), (_FACTOR, height_factor), (_FACTOR, direction), (_FACTOR, terrain))
    return 0.613 * float(height_factor) * float(terrain) * float(direction) * float(speed) ** 2


def sheet_force(area: Number, speed: Number, drag: Number = SHEET_DRAG) -> float:
    """The pull of the wind on a loose film that stands square to it.

    Args:
        area: that the wind catches, m2, 0 to 20 000.
        speed: the gust, m/s, 0 to 75.
        drag: 0 to 5; a flapping film is worse than 1.2, with no sourced factor.

    Returns:
        N; 12 m2 at 15 m/s gives 1985.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: drag of a flat plate.
    """
    demand((FILM_AREA, area), (_FACTOR, drag))
    return pressure(speed) * float(drag) * float(area)


def hands_needed(force: Number, hold: Number = HOLD) -> int:
    """How many people hold a film against a pull; never fewer than two.

    Args:
        force: N, 0 to 1 000 000.
        hold: that one person holds safely, N, 10 to 1000.

    Returns:
        The count.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ours, no source.
    """
    demand((_PULL, force), (_HOLD, hold))
    return max(2, ceil_of(force / hold))


def speed_to_hold(area: Number, people: int, hold: Number = HOLD, drag: Number = SHEET_DRAG) -> float:
    """The gust above which a crew cannot hold a loose film.

    Args:
        area: that the wind catches, m2, 0.1 to 20 000.
        people: 1 to 20.
        hold: that one person holds safely, N, 10 to 1000.
        drag: 0.1 to 5.

    Returns:
        m/s.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: `sheet_force` turned round.
    """
    demand((Range("film area", "m2", 0.1, 20_000), area), (Range("people", "", 1, 20), people))
    demand((_HOLD, hold), (Range("factor", "", 0.1, 5), drag))
    return math.sqrt(2 * people * float(hold) / (AIR_DENSITY * float(drag) * float(area)))
