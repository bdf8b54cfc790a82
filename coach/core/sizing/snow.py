"""Snow on the cover by the codes: ASCE 7-16, the National Building Code of Canada, EN 1991-1-3.

Rules kept here:
 1. Ground snow of one code never goes into another's formula: ASCE 7-22 maps are not for these factors (7-16).
 2. Every load is on the level projection.
 3. No slope takes anything off below 15 degrees in the unheated, slippery case, in either North American code.
Source of the ASCE tables: two open transcriptions that agree (chapter 7 of 7-05 to 7-16).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from coach.core.sizing.constants import FOOT, PSF, Number
from coach.core.sizing.ranges import SLOPE, Range, contradiction, demand

CODES = ("asce7-16", "nbc", "en1991")
PCF = float(PSF / FOOT)  # N/m3
# Thermal factor -> degrees at which a slope factor starts to fall: (slippery, other). ASCE 7-16 figure 7.4-1.
ASCE_STARTS: dict[float, tuple[float, float]] = {1.0: (5, 30), 1.1: (10, 37.5), 1.2: (15, 45)}
ASCE_FLAT_SHARE, ASCE_ENDS_AT = 0.7, 70
ASCE_LOW_SLOPE = 15  # degrees below which the minimum load counts
UNHEATED = 1.2  # thermal factor of an unheated cover

GROUND = Range("ground snow", "Pa", 0, 30_000)
EXPOSURE = Range("exposure factor", "", 0.5, 2)
THERMAL = Range("thermal factor", "", 0.8, 1.4)
IMPORTANCE = Range("importance factor", "", 0.5, 1.5)
_SNOW = Range("snow load", "Pa", 0, 50_000)
_WEIGHT = Range("snow weight", "N/m3", 100, 9810)
_FACTOR = Range("factor", "", 0, 3)


@dataclass(frozen=True)
class SnowPolicy:
    """The code that the yard works by, and its factors. Shipped: ASCE 7-16, a low-risk unheated cover."""

    code: str = "asce7-16"
    exposure: Number = 1.0
    thermal: Number = UNHEATED
    importance: Number = 0.8
    slippery: bool = True
    rain: Number = 0  # Sr of the Canadian code, Pa

    def load(self, ground: Number, slope: Number) -> float:
        """The snow load on a cover of this slope (rad) for a ground snow (Pa), Pa on the level projection."""
        if self.code == "nbc":
            return nbc_load(ground, self.rain, nbc_slope_factor(slope, self.slippery), self.importance)
        if self.code == "en1991":
            return en_load(ground, en_shape(slope), self.exposure, self.thermal)
        flat = asce_flat(ground, self.exposure, self.thermal, self.importance)
        sloped = flat * asce_slope_factor(slope, self.thermal, self.slippery)
        if math.degrees(slope) < ASCE_LOW_SLOPE:
            return max(sloped, asce_least(ground, self.importance))
        return sloped


def cover_load(ground: Number, slope: Number) -> float:
    """The snow load on a cover of ours by the shipped code and factors: ASCE 7-16, unheated, slippery, low risk.

    Args:
        ground: pg, Pa, 0 to 30 000.
        slope: rad, 0 to pi/2.

    Returns:
        Pa on the level projection.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-16 chapter 7 (open transcriptions).
    """
    return SnowPolicy().load(ground, slope)


def asce_flat(ground: Number, exposure: Number, thermal: Number, importance: Number) -> float:
    """The snow load on a flat roof by ASCE 7-16.

    Args:
        ground: pg, Pa, 0 to 30 000.
        exposure: Ce, 0.5 to 2 (table 0.8 to 1.2).
        thermal: Ct, 0.8 to 1.4 (unheated 1.2).
        importance: Is, 0.5 to 1.5 (0.8 to 1.2 by risk category).

    Returns:
        0.7 Ce Ct Is pg, Pa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-05 to 7-16 eq. 7.3-1; Hibbeler, Structural Analysis, example 1.4: 8.064 psf.
    """
    demand((GROUND, ground), (EXPOSURE, exposure), (THERMAL, thermal), (IMPORTANCE, importance))
    return ASCE_FLAT_SHARE * float(exposure) * float(thermal) * float(importance) * float(ground)


def asce_least(ground: Number, importance: Number) -> float:
    """The least load on a low slope by ASCE 7-16.

    Args:
        ground: pg, Pa, 0 to 30 000.
        importance: Is, 0.5 to 1.5.

    Returns:
        Is pg up to 20 psf, and Is x 20 psf above, Pa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-16 7.3.4 (open transcription).
    """
    demand((GROUND, ground), (IMPORTANCE, importance))
    return float(importance) * min(float(ground), 20 * float(PSF))


def asce_slope_factor(slope: Number, thermal: Number = UNHEATED, slippery: bool = True) -> float:
    """What a slope leaves of the flat load by ASCE 7-16.

    Args:
        slope: rad, 0 to pi/2.
        thermal: Ct, one of 1.0, 1.1, 1.2.
        slippery: smooth film with room below the eave for the snow to land.

    Returns:
        Cs, 1 to 0.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a thermal factor that the figure does not have.

    Source: ASCE 7-16 figure 7.4-1; Ct 1.1 at 26.6 degrees gives 0.72.
    """
    demand((SLOPE, slope), (THERMAL, thermal))
    starts = ASCE_STARTS.get(float(thermal))
    if starts is None:
        raise contradiction("thermal factor", "slope factor", "1.0, 1.1 or 1.2")
    start = starts[0 if slippery else 1]
    return _falling(math.degrees(slope), start, ASCE_ENDS_AT)


def rain_surcharge(ground: Number, slope: Number, width: Number) -> float:
    """The rain-on-snow load that ASCE 7-16 adds on low slopes in places of little snow.

    Args:
        ground: pg, Pa, 0 to 30 000.
        slope: rad, 0 to pi/2.
        width: from ridge to eave, m, 0.1 to 100.

    Returns:
        5 psf or 0, Pa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-16 7.10: pg up to 20 psf but not 0, and slope in degrees under W/50, W in feet.
    """
    demand((GROUND, ground), (SLOPE, slope), (Range("width", "m", 0.1, 100), width))
    applies = 0 < ground <= 20 * PSF and math.degrees(slope) < float(width) / float(FOOT) / 50
    return 5 * float(PSF) if applies else 0.0


def asce_weight(ground: Number) -> float:
    """The weight of snow by ASCE 7.

    Args:
        ground: pg, Pa, 0 to 30 000.

    Returns:
        0.13 pg + 14, at most 30 lb/ft3, as N/m3.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-16 eq. 7.7-1; 20 psf gives 16.6, 25 psf 17.25 lb/ft3.
    """
    demand((GROUND, ground))
    return min(30.0, 0.13 * float(ground) / float(PSF) + 14) * PCF


def depth_of(load: Number, weight: Number) -> float:
    """How deep snow lies that loads so much.

    Args:
        load: Pa, 0 to 50 000.
        weight: N/m3, 100 to 9810 (fresh 500 to 1500, settled 2000, wet 4000: EN 1991-1-3 annex E).

    Returns:
        m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition; 20 psf at 16.6 lb/ft3 gives 1.205 ft. An estimate only: a core that is weighed is the proof.
    """
    demand((_SNOW, load), (_WEIGHT, weight))
    return float(load) / float(weight)


def load_of_depth(depth: Number, weight: Number) -> float:
    """What a depth of snow loads.

    Args:
        depth: m, 0 to 10.
        weight: N/m3, 100 to 9810.

    Returns:
        Pa, an estimate only.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((Range("snow depth", "m", 0, 10), depth), (_WEIGHT, weight))
    return float(depth) * float(weight)


def drift_height(fetch: Number, ground: Number, windward: bool = False) -> float:
    """How high snow drifts above the even layer beside something higher, such as a shed or a bigger boat.

    Args:
        fetch: of snow that feeds the drift, m, 1 to 300.
        ground: pg, Pa, 0 to 30 000.
        windward: whether the drift lies before the obstacle (three quarters).

    Returns:
        0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5 ft, not under 0, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ASCE 7-16 eq. 7.6-1 in ft and psf; 40 ft and 25 psf give 2.0769 ft.
    """
    demand((Range("fetch", "m", 1, 300), fetch), (GROUND, ground))
    feet = 0.43 * math.cbrt(float(fetch) / float(FOOT)) * math.sqrt(math.sqrt(float(ground) / float(PSF) + 10)) - 1.5
    return max(0.0, feet * (0.75 if windward else 1.0)) * float(FOOT)


def nbc_slope_factor(slope: Number, slippery: bool = True) -> float:
    """What a slope leaves of the load by the National Building Code of Canada.

    Args:
        slope: rad, 0 to pi/2.
        slippery: smooth and unobstructed.

    Returns:
        Cs: slippery 1 to 15 degrees, (60 - a)/45, 0 from 60; other 1 to 30, (70 - a)/40, 0 from 70.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: NBC 4.1.6.2 sentences 5 to 7.
    """
    demand((SLOPE, slope))
    return _falling(math.degrees(slope), 15, 60) if slippery else _falling(math.degrees(slope), 30, 70)


def nbc_load(
    snow: Number, rain: Number, slope_factor: Number, importance: Number, basic: Number = 0.8, wind: Number = 1.0
) -> float:
    """The snow load by the National Building Code of Canada.

    Args:
        snow: Ss, Pa, 0 to 30 000.
        rain: Sr, Pa, 0 to 30 000; never counts for more than the snow on the roof.
        slope_factor: Cs, 0 to 3.
        importance: Is, 0.5 to 1.5.
        basic: Cb, 0 to 3 (0.8 for small roofs).
        wind: Cw, 0 to 3.

    Returns:
        Is (Ss Cb Cw Cs + Sr), Pa, with the accumulation factor taken as 1.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: NBC 4.1.6.2; Ss 1 kPa, Sr 1 kPa, Cb 0.8 gives 1.8 kPa by the published calculator, which leaves out the
        limit on rain; this function holds the limit and gives 1.6 kPa.
    """
    demand((GROUND, snow), (Range("rain load", "Pa", 0, 30_000), rain), (_FACTOR, slope_factor))
    demand((IMPORTANCE, importance), (_FACTOR, basic), (_FACTOR, wind))
    on_roof = float(snow) * float(basic) * float(wind) * float(slope_factor)
    return float(importance) * (on_roof + min(float(rain), on_roof))


def en_shape(slope: Number) -> float:
    """The snow shape factor of a pitched roof by EN 1991-1-3.

    Args:
        slope: rad, 0 to pi/2.

    Returns:
        mu1: 0.8 to 30 degrees, 0.8 (60 - a)/30, 0 from 60.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: EN 1991-1-3 table 5.2.
    """
    demand((SLOPE, slope))
    return 0.8 * _falling(math.degrees(slope), 30, 60)


def en_load(ground: Number, shape: Number, exposure: Number = 1.0, thermal: Number = 1.0) -> float:
    """The snow load by EN 1991-1-3.

    Args:
        ground: sk, Pa, 0 to 30 000.
        shape: mu, 0 to 3.
        exposure: Ce, 0.5 to 2 (0.8, 1.0, 1.2).
        thermal: Ct, 0.8 to 1.4 (1.0).

    Returns:
        mu Ce Ct sk, Pa.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: EN 1991-1-3 eq. 5.1; SSB03 appendix A: sk 0.65, 5.7 degrees gives 0.52 kN/m2.
    """
    demand((GROUND, ground), (_FACTOR, shape), (EXPOSURE, exposure), (THERMAL, thermal))
    return float(shape) * float(exposure) * float(thermal) * float(ground)


def _falling(degrees: float, start: float, end: float) -> float:
    """1 up to `start`, straight down to 0 at `end`."""
    return min(1.0, max(0.0, (end - degrees) / (end - start)))
