"""Shows a quantity as the trade writes it: 5' 6 1/2", 12 ft, 8 in, 1.68 m, 70 mm, 40 lb, 12.1 mph.

Rules kept here:
 1. The value is rounded first and split into feet and inches after; a fraction is always below one.
 2. A value that is not zero is never shown as a length of zero: small lengths go to mil and µm.
Knows nothing of: languages (the decimal mark is passed in), what the value is for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from coach.core.quantity_value import Quantity
from coach.core.units import KINDS, UNITS

_EIGHTH = Fraction(1, 8)
_HALF = Fraction(1, 2)
_INCH = Fraction(254, 10000)


@dataclass(frozen=True)
class _Style:
    """From `least` (in SI) up, show in `unit` with so many decimals; trailing zeros are cut unless `fixed`."""

    least: Fraction
    unit: str
    sign: str
    decimals: int
    fixed: bool = False


def _style(least: str, unit: str, decimals: int, sign: str = "", fixed: bool = False) -> _Style:
    return _Style(Fraction(least), unit, sign or f" {unit}", decimals, fixed)


# kind -> system -> styles, the biggest first; the last one takes everything below
_STYLES: dict[str, dict[str, tuple[_Style, ...]]] = {
    "length": {"metric": (_style("0.1", "m", 2, fixed=True), _style("0.001", "mm", 0), _style("0", "µm", 0))},
    "area": {
        "us": (_style("0.18580608", "ft2", 1, " ft²"), _style("0", "in2", 1, " in²")),
        "metric": (_style("0.1", "m2", 2, " m²"), _style("0", "cm2", 1, " cm²")),
    },
    "volume": {"us": (_style("0", "gal", 2),), "metric": (_style("0", "L", 2),)},
    "mass": {"us": (_style("0", "lb", 1),), "metric": (_style("1", "kg", 1), _style("0", "g", 0))},
    "force": {"us": (_style("0", "lbf", 0),), "metric": (_style("1000", "kN", 2), _style("0", "N", 0))},
    "force_per_length": {
        "us": (_style("0", "lb/ft", 1),), "metric": (_style("1000", "kN/m", 2), _style("0", "N/m", 0)),
    },
    "pressure": {"us": (_style("0", "psf", 1),), "metric": (_style("0", "kPa", 2),)},
    "speed": {"us": (_style("0", "mph", 1),), "metric": (_style("0", "m/s", 1),)},
    "temperature": {"us": (_style("0", "°F", 0),), "metric": (_style("0", "°C", 1),)},
    "angle": {"": (_style("0", "°", 1, "°"),)},
    "ratio": {"": (_style("0", "rad", 3, " "),)},
    "energy": {"us": (_style("0", "BTU", 0),), "metric": (_style("1e6", "MJ", 1), _style("0", "kJ", 0))},
    "power": {"us": (_style("0", "BTU/h", 0),), "metric": (_style("0", "kW", 1),)},
    "density": {"us": (_style("0", "lb/ft3", 1, " lb/ft³"),), "metric": (_style("0", "kg/m3", 0, " kg/m³"),)},
    "mass_per_area": {"us": (_style("0", "oz/yd2", 1, " oz/yd²"),), "metric": (_style("0", "g/m2", 0, " g/m²"),)},
    "flow": {"us": (_style("0", "cfm", 0),), "metric": (_style("0", "L/s", 1),)},
}


def show(quantity: Quantity, kind: str, system: str = "us", *, step: Quantity | None = None, decimal: str = ".") -> str:
    """The quantity as a person of the trade would write it.

    Args:
        quantity: of the kind's dimension.
        kind: one of KINDS.
        system: 'us' or 'metric'.
        step: a finer or coarser step than the usual one; for US lengths the usual one is 1/8 in.
        decimal: the decimal mark, '.' or ','.

    Returns:
        Text with its unit, '5\\' 6 1/2"' or '1.68 m'.

    Raises:
        ValueError: the quantity is not of that kind or the system is unknown, which is a fault of the program.
    """
    if quantity.dimension != KINDS[kind] or system not in ("us", "metric"):
        raise ValueError(f"{quantity} cannot be shown as {kind} in {system}")
    value = Fraction(quantity.value)
    if step is not None:
        size = Fraction(step.value)
        value = math.floor(value / size + _HALF) * size
    if value < 0 and kind != "temperature":
        return "-" + show(Quantity(-value, quantity.dimension), kind, system, step=step, decimal=decimal)
    if kind == "count":
        return _decimal(value, 3, False, decimal)
    if kind == "duration":
        return _duration(value)
    if kind == "length" and system == "us":
        return _feet_and_inches(value, step, decimal)
    if kind == "length" and value == 0:
        return "0 mm"
    styles = _STYLES[kind].get(system) or _STYLES[kind][""]
    style = next(style for style in styles if value >= style.least or style is styles[-1])
    number = Fraction(UNITS[style.unit].from_si(value))
    return (_decimal(number, style.decimals + (step is not None), style.fixed, decimal) + style.sign).rstrip()


def _decimal(number: Fraction, places: int, fixed: bool, mark: str) -> str:
    """A decimal number, a half rounded away from zero."""
    scaled = math.floor(abs(number) * 10**places + _HALF)
    digits = str(scaled).rjust(places + 1, "0")
    whole, rest = (digits[:-places], digits[-places:]) if places else (digits, "")
    if not fixed:
        rest = rest.rstrip("0")
    sign = "-" if number < 0 and scaled else ""
    return sign + whole + (mark + rest if rest else "")


def _feet_and_inches(value: Fraction, step: Quantity | None, mark: str) -> str:
    inches = value / _INCH
    if 0 < inches < Fraction(1, 16) and step is None:
        return f"{_decimal(inches * 1000, 1, False, mark)} mil"
    if step is None:
        inches = math.floor(inches / _EIGHTH + _HALF) * _EIGHTH
    if inches.denominator > 64:  # a step that no tape shows
        return f"{_decimal(inches, 2, False, mark)} in"
    if inches and inches % 12 == 0:
        return f"{inches // 12} ft"
    if inches < 24:
        return f"{_mixed(inches)} in"
    feet, rest = divmod(inches, 12)
    return f"{feet}' {'0 ' if rest < 1 else ''}{_mixed(rest)}\""


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _duration(value: Fraction) -> str:
    seconds = math.floor(value + _HALF)
    if seconds < 60:
        return f"{seconds} s"
    if seconds < 3600 and seconds % 60:
        return f"{seconds // 60} min {seconds % 60} s"
    minutes = math.floor(Fraction(seconds, 60) + _HALF)
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60} min" if minutes % 60 else f"{minutes // 60} h"


@dataclass(frozen=True)
class Shown:
    """A quantity in a text: in English by itself, in the reader's units where a front end shows it."""

    quantity: Quantity
    kind: str

    def __str__(self) -> str:
        return show(self.quantity, self.kind)
