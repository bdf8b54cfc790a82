"""Every unit against two outside references: pint (all of them) and scipy.constants (those it has).

Sources: pint 0.25 (its table follows NIST SP 811), scipy.constants (CODATA and NIST SP 811). Values agree to one part
in 10^12, which is what a float holds; our own factors are exact fractions.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from scipy import constants

from coach.core.units import KINDS, LIKELY, NUMBER, UNITS, Dimension, units_meant

PINT = pint.UnitRegistry()
# Where pint writes a unit in another way. 'Btu' is the ISO one in pint, so the International Table one is named.
IN_PINT = {
    '"': "in", "'": "ft", "in.": "in", "ft.": "ft", "mil": "thou", "mils": "thou", "µm": "um", "sq ft": "ft**2",
    "sqft": "ft**2", "square feet": "ft**2", "sq in": "in**2", "square inches": "in**2", "sq m": "m**2",
    "sq cm": "cm**2", "cu ft": "ft**3", "plf": "lbf/ft", "lb/ft": "lbf/ft", "psf": "lbf/ft**2", "lb/ft2": "lbf/ft**2",
    "lb/sq ft": "lbf/ft**2", "lb/in2": "lbf/in**2", "kn": "knot", "kt": "knot", "kmh": "km/h", "pcf": "lb/ft**3",
    "cfm": "ft**3/min", "°": "degree", "%": "percent", "BTU": "Btu_it", "Btu": "Btu_it", "kBTU": "kBtu_it",
    "kBtu": "kBtu_it", "BTU/h": "Btu_it/h", "Btu/h": "Btu_it/h", "BTU/hr": "Btu_it/h", "kBTU/h": "kBtu_it/h",
    "kBtu/h": "kBtu_it/h", "sec": "s", "°C": "degC", "° C": "degC", "C": "degC", "deg C": "degC", "°F": "degF",
    "° F": "degF", "F": "degF",
    "deg F": "degF", "lbs": "lb", "oz/yd2": "oz/yd**2",
}


def pint_text(symbol: str) -> str:
    if symbol in IN_PINT:
        return IN_PINT[symbol]
    return "".join(f"**{char}" if char in "23" else char for char in symbol)


@pytest.mark.parametrize("symbol", UNITS)
def test_factor_and_dimension_agree_with_pint(symbol: str) -> None:
    unit = UNITS[symbol]
    if unit.is_affine:
        measured = PINT.Quantity(10.0, pint_text(symbol)).to_base_units()
        assert float(unit.to_si(Fraction(10))) == pytest.approx(measured.magnitude, rel=1e-12)
    else:
        measured = PINT.Quantity(1, pint_text(symbol)).to_base_units()
        assert float(unit.factor) == pytest.approx(measured.magnitude, rel=1e-12)
    found = {name: int(power) for name, power in measured.dimensionality.items()}
    names = ("[length]", "[mass]", "[time]", "[temperature]")
    assert found == {name: power for name, power in zip(names, unit.dimension.exponents) if power}


@pytest.mark.parametrize(
    ("symbol", "value"),
    [("in", constants.inch), ("ft", constants.foot), ("yd", constants.yard), ("mil", constants.mil),
     ("lb", constants.lb), ("oz", constants.oz), ("lbf", constants.lbf), ("psi", constants.psi), ("mph", constants.mph),
     ("kn", constants.knot), ("bar", constants.bar), ("gal", constants.gallon_US), ("L", constants.liter),
     ("BTU", constants.Btu_IT), ("deg", constants.degree), ("h", constants.hour), ("day", constants.day),
     ("km/h", constants.kmh), ("kWh", constants.kilo * constants.hour)],
)
def test_factor_agrees_with_scipy(symbol: str, value: float) -> None:
    assert float(UNITS[symbol].factor) == pytest.approx(value, rel=1e-12)


def test_factors_that_are_exact_by_definition() -> None:
    # NIST SP 811: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 4.4482216152605 N, 1 BTU(IT) = 1055.05585262 J
    assert UNITS["in"].factor == Fraction("0.0254")
    assert UNITS["lb"].factor == Fraction("0.45359237")
    assert UNITS["lbf"].factor == Fraction("4.4482216152605")
    assert UNITS["BTU"].factor == Fraction("1055.05585262")
    assert UNITS["mph"].factor == Fraction("0.44704")
    assert UNITS["kn"].factor == Fraction(1852, 3600)
    assert all(isinstance(unit.factor, Fraction) for symbol, unit in UNITS.items() if unit.symbol != "°")


def test_every_kind_offers_units_of_its_own_kind() -> None:
    assert set(LIKELY) == set(KINDS)
    for kind, symbols in LIKELY.items():
        assert all(UNITS[symbol].kind == kind for symbol in symbols)


def test_a_symbol_in_another_case_means_what_it_can_mean() -> None:
    assert units_meant("KN") == (UNITS["kN"], UNITS["kn"])
    assert units_meant("kn") == (UNITS["kn"],)
    assert units_meant("FT") == (UNITS["ft"],)
    assert units_meant("xyz") == ()


def test_dimensions_have_readable_names() -> None:
    assert KINDS["force_per_length"].name == "force per length"
    assert (KINDS["length"] ** 4).name == "length^4"
    assert (KINDS["length"] * KINDS["mass"]).phrase == "a length x mass"
    assert KINDS["area"].phrase == "an area"
    assert NUMBER.name == "plain number"
    assert (KINDS["length"] ** 2).root() == KINDS["length"]
    assert KINDS["volume"].root() is None
    assert Dimension(1, 1, -2) == KINDS["force"] == KINDS["pressure"] * KINDS["area"]
