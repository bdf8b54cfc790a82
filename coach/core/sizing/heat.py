"""Fuel for the shrinking heat: the least and the expected propane, what a cold cylinder can give, what to load.

Rules kept here:
 1. The least is an energy balance of the film alone. The expected is that over an assumed share of the flame's heat;
    no measured share is published, so it is an order of magnitude and is always shown with both numbers.
 2. Pure propane; commercial propane stands 11 to 15 % higher in pressure in trade tables.
"""

from __future__ import annotations

import math
from fractions import Fraction

from coach.core.sizing.constants import BTU, BTU_PER_HOUR, MIL, POUND, Number
from coach.core.sizing.ranges import FILM_AREA, Range, demand
from coach.core.sizing.rounding import ceil_of
from coach.core.sizing.thickness import USUAL_DENSITY, grammage

GROSS_HEAT = float(21_500 * BTU / POUND)  # J/kg: 21 500 BTU/lb, Menon, Piping Calculations Manual
GROSS_HEAT_TABLE = float(21_548 * BTU / POUND)  # J/kg, LP-gas property table (NFPA 58 annex B, read in a copy)
FILM_HEAT = 2200  # J/kgK mean to 110 C, 2.1 to 2.3 from published cp of polyethylene
FILM_RISE = 100  # K from the air to melting
FILM_MELTING = 110_000  # J/kg, 100 to 147 by crystallinity
FLAME_SHARE = Fraction(1, 10)  # of the flame's heat that the film takes: an assumption, 0.05 to 0.3
USABLE_SHARE = Fraction(8, 10)  # of a cylinder's propane before it starves in the cold; common practice, no source
USUAL_FILM = 7 * MIL
USUAL_TOOL = 200_000 * BTU_PER_HOUR  # W; no standard defines the class

# Lemmon, McLinden and Wagner 2009 (J. Chem. Eng. Data 54, 3141), auxiliary vapour pressure equation.
CRITICAL_TEMPERATURE, CRITICAL_PRESSURE = 369.89, 4_251_200.0
_VAPOUR = ((-6.7722, 1.0), (1.6938, 1.5), (-1.3341, 2.2), (-3.1876, 4.8), (0.94937, 6.2))
VAPOUR_FIT_ERROR = 1.1e-4  # against CoolProp 8.0, -50 to 65 C, relative
BOILING_POINT = 231.036  # K at 101 325 Pa, CoolProp 8.0
MOLAR_MASS, GAS_CONSTANT = 0.0440956, 8.314462618  # kg/mol, J/molK
LATENT_AT_FREEZING = 374_870  # J/kg at 0 C, CoolProp 8.0
LIQUID_HEAT, STEEL_HEAT = 2490, 470  # J/kgK: liquid propane at 0 C (CoolProp 8.0), carbon steel (from memory)
LOWER_LIMIT = Fraction(21, 1000)  # by volume, OSHA chemical data 563

TEMPERATURE = Range("temperature", "K", 223.15, 338.15)
POWER = Range("tool power", "W", 100, 300_000)
PROPANE = Range("propane", "kg", 0, 500)
CYLINDER = Range("cylinder contents", "kg", 0.1, 60)
_SHARE = Range("flame share", "", 0.01, 1)
_USABLE = Range("usable share", "", 0.1, 1)
_SPARE = Range("spare cylinders", "", 0, 20)
_RISE = Range("temperature rise", "K", 1, 300)
_HEAT = Range("heat value", "J/kg", 10_000_000, 60_000_000)


def film_heat(thickness: Number, rise: Number = FILM_RISE, density: Number = USUAL_DENSITY) -> float:
    """The least heat that a square metre of film takes to melt.

    Args:
        thickness: m, 1e-5 to 1e-3.
        rise: from the film's start to melting, K, 1 to 300.
        density: kg/m3, 800 to 1100.

    Returns:
        grammage x (cp rise + heat of melting), J/m2; 7 mil and 100 K give 53 980.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: energy balance; published cp and heat of melting of polyethylene.
    """
    demand((_RISE, rise))
    return float(grammage(thickness, density)) * (FILM_HEAT * float(rise) + FILM_MELTING)


def propane_least(area: Number, thickness: Number = USUAL_FILM, rise: Number = FILM_RISE) -> float:
    """The propane that no job can do with less than.

    Args:
        area: of film, m2, 0 to 20 000.
        thickness: m, 1e-5 to 1e-3.
        rise: K, 1 to 300.

    Returns:
        Mass, kg; 45 m2 of 7 mil gives 0.0486 kg.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: energy balance over the gross heat of propane.
    """
    demand((FILM_AREA, area))
    return float(area) * film_heat(thickness, rise) / GROSS_HEAT


def propane_expected(
    area: Number, thickness: Number = USUAL_FILM, share: Number = FLAME_SHARE, rise: Number = FILM_RISE
) -> float:
    """The propane to expect: the least over the share of the flame's heat that the film takes.

    Args:
        area: of film, m2, 0 to 20 000.
        thickness: m, 1e-5 to 1e-3.
        share: 0.01 to 1; shipped 0.1.
        rise: K, 1 to 300.

    Returns:
        Mass, kg, an order of magnitude; 45 m2 of 7 mil at 0.1 gives 0.486 kg.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: the share is an assumption; no measured efficiency is published.
    """
    demand((_SHARE, share))
    return propane_least(area, thickness, rise) / float(share)


def burn_time(propane: Number, power: Number = USUAL_TOOL, heat: Number = GROSS_HEAT_TABLE) -> Number:
    """How long a tool burns on a mass of propane.

    Args:
        propane: kg, 0 to 500.
        power: of the tool, W, 100 to 300 000.
        heat: J/kg, 1e7 to 6e7.

    Returns:
        Seconds; 20 lb at 100 000 BTU/h gives 4.31 h.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((PROPANE, propane), (POWER, power), (_HEAT, heat))
    return propane * heat / power


def burn_rate(power: Number = USUAL_TOOL, heat: Number = GROSS_HEAT_TABLE) -> Number:
    """The propane that a tool burns each second.

    Args:
        power: W, 100 to 300 000.
        heat: J/kg, 1e7 to 6e7.

    Returns:
        kg/s; 100 000 BTU/h gives 2.105 kg/h.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((POWER, power), (_HEAT, heat))
    return power / heat


def vapour_pressure(temperature: Number) -> float:
    """The pressure in a cylinder of pure propane, absolute.

    Args:
        temperature: of the liquid, K, 223.15 to 338.15 (-50 to 65 C).

    Returns:
        Pa; within 0.011 % of CoolProp over the range.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Lemmon, McLinden and Wagner 2009, auxiliary equation of Wagner's form (coefficients from memory, checked).
    """
    demand((TEMPERATURE, temperature))
    kelvin = float(temperature)
    left = 1 - kelvin / CRITICAL_TEMPERATURE
    return CRITICAL_PRESSURE * math.exp(CRITICAL_TEMPERATURE / kelvin * sum(n * left**k for n, k in _VAPOUR))


def temperature_for(pressure: Number) -> float:
    """The liquid temperature at which a cylinder of pure propane stands at a pressure.

    Args:
        pressure: absolute, Pa, 71 000 to 2 300 000.

    Returns:
        K, between 223.15 and 338.15.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: `vapour_pressure` turned round by halving.
    """
    demand((Range("cylinder pressure", "Pa", 71_000, 2_300_000), pressure))
    low, high = float(TEMPERATURE.low), float(TEMPERATURE.high)
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if vapour_pressure(middle) < pressure else (low, middle)
    return (low + high) / 2


def minutes_to_starve(contents: Number, steel: Number, start: Number, least_pressure: Number, power: Number) -> float:
    """How long a tool runs on the cylinder's own warmth before the pressure falls below what it needs.

    Args:
        contents: propane in the cylinder, kg, 0.1 to 60.
        steel: mass of the empty cylinder, kg, 1 to 100.
        start: temperature of the liquid, K, 223.15 to 338.15.
        least_pressure: that the regulator needs, absolute Pa, 71 000 to 2 300 000.
        power: of the tool, W, 100 to 300 000.

    Returns:
        Minutes; 0 if it is too cold at the start. Heat from the air is left out, so the true time is longer.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: energy balance: what boils off takes its latent heat from the liquid and the steel.
    """
    demand((CYLINDER, contents), (Range("empty cylinder", "kg", 1, 100), steel), (TEMPERATURE, start))
    fall = float(start) - temperature_for(least_pressure)
    if fall <= 0:
        return 0.0
    stored = (float(contents) * LIQUID_HEAT + float(steel) * STEEL_HEAT) * fall
    seconds = stored / (float(burn_rate(power)) * LATENT_AT_FREEZING)
    return min(seconds, float(burn_time(contents, power))) / 60


def cylinders_to_load(propane: Number, contents: Number, usable: Number = USABLE_SHARE, spare: int = 1) -> int:
    """How many full cylinders the truck takes for an expected use.

    Args:
        propane: expected, kg, 0 to 500.
        contents: of one full cylinder, kg, 0.1 to 60.
        usable: share that comes out in the cold, 0.1 to 1.
        spare: cylinders on top, 0 to 20.

    Returns:
        The count, one or more with the shipped spare.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((PROPANE, propane), (CYLINDER, contents), (_USABLE, usable))
    demand((_SPARE, spare))
    return ceil_of(propane / (contents * usable)) + spare


def leak_cloud(propane: Number, temperature: Number) -> tuple[float, float]:
    """What leaked propane fills: as gas, and as the air it makes just able to burn.

    Args:
        propane: kg, 0 to 500.
        temperature: K, 223.15 to 338.15.

    Returns:
        Gas and mixture at the lower limit, m3; 1 kg at 20 C gives 0.545 (ideal gas; 0.536 real) and 26.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ideal gas at 101 325 Pa; lower limit 2.1 %, OSHA chemical data 563.
    """
    demand((PROPANE, propane), (TEMPERATURE, temperature))
    gas = float(propane) / MOLAR_MASS * GAS_CONSTANT * float(temperature) / 101_325
    return gas, gas / float(LOWER_LIMIT)
