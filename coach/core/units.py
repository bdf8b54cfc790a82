"""Dimensions, the kinds of quantity a procedure may speak of, and the units people write.

Rules kept here:
 1. Every unit's factor to SI is an exact fraction; only the degree of angle is not (it holds pi).
 2. Degrees Celsius and Fahrenheit have a zero of their own: they serve at entry and display, never in arithmetic.
 3. One symbol means one unit. Upper and lower case differ (kn is a knot, kN a kilonewton); where only one unit can
    be meant, another case is understood too.
Knows nothing of: values, text forms, formulas.
Source: NIST SP 811 factors (BTU is the International Table BTU); checked against pint and scipy in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Dimension:
    """Integer exponents of length, mass, time and temperature."""

    length: int = 0
    mass: int = 0
    time: int = 0
    temperature: int = 0

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(*(a + b for a, b in zip(self.exponents, other.exponents)))

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(*(a - b for a, b in zip(self.exponents, other.exponents)))

    def __pow__(self, power: int) -> Dimension:
        return Dimension(*(a * power for a in self.exponents))

    def root(self) -> Dimension | None:
        """The dimension whose square this is, or None if an exponent is odd."""
        if any(a % 2 for a in self.exponents):
            return None
        return Dimension(*(a // 2 for a in self.exponents))

    @property
    def exponents(self) -> tuple[int, int, int, int]:
        """Length, mass, time, temperature."""
        return (self.length, self.mass, self.time, self.temperature)

    @property
    def name(self) -> str:
        """The dimension in words: 'length', 'force per length', or 'length^4' where it has no name of its own."""
        known = _NAMES.get(self)
        if known is not None:
            return known
        words = (f"{word}^{power}" if power != 1 else word
                 for word, power in zip(("length", "mass", "time", "temperature"), self.exponents) if power)
        return " x ".join(words)

    @property
    def phrase(self) -> str:
        """The name with its article: 'a length', 'an area'."""
        kind = KIND_OF.get(self) if self != NUMBER else None
        return KIND_PHRASES.get(kind or self.name, f"{'an' if self.name[0] in 'aeio' else 'a'} {self.name}")


NUMBER = Dimension()
_L, _M, _T, _K = Dimension(length=1), Dimension(mass=1), Dimension(time=1), Dimension(temperature=1)
_FORCE = _M * _L / _T**2

KINDS: Mapping[str, Dimension] = {
    "length": _L, "area": _L**2, "volume": _L**3, "mass": _M, "force": _FORCE, "force_per_length": _FORCE / _L,
    "pressure": _FORCE / _L**2, "speed": _L / _T, "temperature": _K, "duration": _T,
    "angle": NUMBER, "count": NUMBER, "ratio": NUMBER,
    "energy": _FORCE * _L, "power": _FORCE * _L / _T, "density": _M / _L**3, "mass_per_area": _M / _L**2,
    "flow": _L**3 / _T,
}
_NAMES: Mapping[Dimension, str] = {
    NUMBER: "plain number",
    **{dimension: kind.replace("_", " ") for kind, dimension in KINDS.items() if dimension != NUMBER},
    _L / _T**2: "acceleration",
}
KIND_OF: Mapping[Dimension, str] = {
    NUMBER: "ratio", **{dimension: kind for kind, dimension in KINDS.items() if dimension != NUMBER},
}
# Kinds that may be below zero. A temperature has a floor of its own: absolute zero.
SIGNED_KINDS = frozenset({"temperature", "angle", "ratio"})


@dataclass(frozen=True)
class Unit:
    """A unit: SI value = (number + offset) x factor. `system` is 'us', 'metric' or '' where both use it."""

    symbol: str
    kind: str
    factor: Fraction | float
    system: str = ""
    offset: Fraction = Fraction(0)

    @property
    def dimension(self) -> Dimension:
        """The dimension of its kind."""
        return KINDS[self.kind]

    @property
    def is_affine(self) -> bool:
        """Whether the unit has a zero of its own (degrees Celsius and Fahrenheit)."""
        return self.offset != 0

    def to_si(self, number: Fraction) -> Fraction | float:
        """The SI value of that many of this unit."""
        return (number + self.offset) * self.factor

    def from_si(self, value: Fraction | float) -> Fraction | float:
        """How many of this unit an SI value is."""
        return value / self.factor - self.offset


_IN, _FT, _LB = Fraction(254, 10000), Fraction(3048, 10000), Fraction(45359237, 10**8)
_LBF = _LB * Fraction(980665, 10**5)
_GAL = 231 * _IN**3
_BTU = Fraction(105505585262, 10**8)
_HOUR = 3600

# kind | system | factor | symbols, the first is the one we print
_ROWS: tuple[tuple[str, str, Fraction | float | int, tuple[str, ...]], ...] = (
    ("length", "us", _IN, ("in", '"', "inch", "inches", "in.")),
    ("length", "us", _FT, ("ft", "'", "foot", "feet", "ft.")),
    ("length", "us", 3 * _FT, ("yd", "yard", "yards")),
    ("length", "us", _IN / 1000, ("mil", "mils", "thou")),
    ("length", "metric", 1, ("m", "metre", "metres", "meter", "meters")),
    ("length", "metric", Fraction(1, 100), ("cm",)),
    ("length", "metric", Fraction(1, 1000), ("mm",)),
    ("length", "metric", Fraction(1, 10**6), ("µm", "um", "micron", "microns")),
    ("area", "us", _FT**2, ("ft2", "sq ft", "sqft", "square feet")),
    ("area", "us", _IN**2, ("in2", "sq in", "square inches")),
    ("area", "metric", 1, ("m2", "sq m")),
    ("area", "metric", Fraction(1, 10**4), ("cm2", "sq cm")),
    ("volume", "us", _GAL, ("gal", "gallon", "gallons")),
    ("volume", "us", _FT**3, ("ft3", "cu ft")),
    ("volume", "metric", Fraction(1, 1000), ("L", "l", "litre", "litres", "liter", "liters")),
    ("volume", "metric", 1, ("m3",)),
    ("mass", "us", _LB, ("lb", "lbs", "pound", "pounds")),
    ("mass", "us", _LB / 16, ("oz", "ounce", "ounces")),
    ("mass", "metric", 1, ("kg",)),
    ("mass", "metric", Fraction(1, 1000), ("g",)),
    ("force", "us", _LBF, ("lbf",)),
    ("force", "metric", 1, ("N",)),
    ("force", "metric", 1000, ("kN",)),
    ("force_per_length", "us", _LBF / _FT, ("lb/ft", "plf", "lbf/ft")),
    ("force_per_length", "metric", 1, ("N/m",)),
    ("force_per_length", "metric", 1000, ("kN/m",)),
    ("pressure", "us", _LBF / _FT**2, ("psf", "lb/ft2", "lbf/ft2", "lb/sq ft")),
    ("pressure", "us", _LBF / _IN**2, ("psi", "lb/in2", "lbf/in2")),
    ("pressure", "metric", 1, ("Pa",)),
    ("pressure", "metric", 100, ("hPa", "mbar")),
    ("pressure", "metric", 1000, ("kPa", "kN/m2")),
    ("pressure", "metric", 10**6, ("MPa",)),
    ("pressure", "metric", 10**5, ("bar",)),
    ("speed", "us", 5280 * _FT / _HOUR, ("mph",)),
    ("speed", "us", _FT, ("ft/s",)),
    ("speed", "", Fraction(1852, _HOUR), ("kn", "kt", "knot", "knots")),
    ("speed", "metric", 1, ("m/s",)),
    ("speed", "metric", Fraction(1000, _HOUR), ("km/h", "kph", "kmh")),
    ("temperature", "metric", 1, ("K",)),
    ("duration", "", 1, ("s", "sec", "second", "seconds")),
    ("duration", "", 60, ("min", "minute", "minutes")),
    ("duration", "", _HOUR, ("h", "hr", "hour", "hours")),
    ("duration", "", 24 * _HOUR, ("day", "days")),
    ("angle", "", math.pi / 180, ("°", "deg", "degree", "degrees")),
    ("angle", "", 1, ("rad",)),
    ("ratio", "", Fraction(1, 100), ("%",)),
    ("energy", "us", _BTU, ("BTU", "Btu")),
    ("energy", "us", 1000 * _BTU, ("kBTU", "kBtu")),
    ("energy", "metric", 1, ("J",)),
    ("energy", "metric", 1000, ("kJ",)),
    ("energy", "metric", 10**6, ("MJ",)),
    ("energy", "metric", 3600000, ("kWh",)),
    ("power", "us", _BTU / _HOUR, ("BTU/h", "Btu/h", "BTU/hr")),
    ("power", "us", 1000 * _BTU / _HOUR, ("kBTU/h", "kBtu/h")),
    ("power", "metric", 1, ("W",)),
    ("power", "metric", 1000, ("kW",)),
    ("density", "us", _LB / _FT**3, ("lb/ft3", "pcf")),
    ("density", "metric", 1, ("kg/m3",)),
    ("density", "metric", 1000, ("g/cm3",)),
    ("mass_per_area", "us", _LB / 16 / (3 * _FT) ** 2, ("oz/yd2",)),
    ("mass_per_area", "metric", Fraction(1, 1000), ("g/m2",)),
    ("mass_per_area", "metric", 1, ("kg/m2",)),
    ("flow", "us", _FT**3 / 60, ("cfm", "ft3/min")),
    ("flow", "metric", 1, ("m3/s",)),
    ("flow", "metric", Fraction(1, 1000), ("L/s", "l/s")),
)


def _table() -> dict[str, Unit]:
    units: dict[str, Unit] = {}
    for kind, system, factor, symbols in _ROWS:
        exact = factor if isinstance(factor, float) else Fraction(factor)
        unit = Unit(symbols[0], kind, exact, system)
        for symbol in symbols:
            units[symbol] = unit
    celsius = Unit("°C", "temperature", Fraction(1), "metric", Fraction(27315, 100))
    fahrenheit = Unit("°F", "temperature", Fraction(5, 9), "us", Fraction(45967, 100))
    units |= {symbol: celsius for symbol in ("°C", "° C", "C", "deg C", "degC")}
    units |= {symbol: fahrenheit for symbol in ("°F", "° F", "F", "deg F", "degF")}
    return units


UNITS: Mapping[str, Unit] = _table()
SYMBOLS_LONGEST_FIRST: tuple[str, ...] = tuple(sorted(UNITS, key=len, reverse=True))

# The kinds in words, with their article; and what an expression may be besides a quantity of a kind.
KIND_PHRASES: Mapping[str, str] = {
    "length": "a length", "area": "an area", "volume": "a volume", "mass": "a mass", "force": "a force",
    "force_per_length": "a force per length", "pressure": "a pressure", "speed": "a speed", "temperature": "a temperature",
    "duration": "a duration", "angle": "an angle", "count": "a count", "ratio": "a ratio", "energy": "an energy",
    "power": "a power", "density": "a density", "mass_per_area": "a mass per area", "flow": "a flow",
    "choice": "a choice", "condition": "a condition", "plain number": "a plain number", "acceleration": "an acceleration",
}


def phrase_of(kind: str) -> str:
    """The kind in words, with its article: 'a force per length', 'an angle'. Raises KeyError for no kind."""
    return KIND_PHRASES[kind]


# What to offer when a unit is missing or wrong, the likeliest first.
LIKELY: Mapping[str, tuple[str, ...]] = {
    "length": ("in", "ft", "m"), "area": ("ft2", "in2", "m2"), "volume": ("gal", "L"), "mass": ("lb", "kg"),
    "force": ("lbf", "N", "kN"), "force_per_length": ("lb/ft", "N/m"), "pressure": ("psf", "psi", "kPa"),
    "speed": ("mph", "kn", "m/s"), "temperature": ("°F", "°C"), "duration": ("min", "h", "s"), "angle": ("deg",),
    "count": (), "ratio": ("%",), "energy": ("BTU", "MJ", "kWh"), "power": ("BTU/h", "kW"),
    "density": ("lb/ft3", "kg/m3"), "mass_per_area": ("g/m2",), "flow": ("cfm", "L/s"),
}


def _by_lower_case() -> dict[str, tuple[Unit, ...]]:
    found: dict[str, list[Unit]] = {}
    for symbol, unit in UNITS.items():
        same = found.setdefault(symbol.lower(), [])
        if unit not in same:
            same.append(unit)
    return {lower: tuple(units) for lower, units in found.items()}


_LOWER: Mapping[str, tuple[Unit, ...]] = _by_lower_case()


def units_meant(symbol: str) -> tuple[Unit, ...]:
    """Every unit a written symbol may mean: exactly one if the case is right, else those that differ only in case."""
    exact = UNITS.get(symbol)
    return (exact,) if exact else _LOWER.get(symbol.lower(), ())
