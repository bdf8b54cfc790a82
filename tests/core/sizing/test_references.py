"""Our numbers beside reference libraries: units (pint, scipy), propane (CoolProp), moist air (psychrolib), geometry
(scipy, shapely, numpy). Each sweep walks the whole range that the function's docstring promises."""

from __future__ import annotations

import math
from fractions import Fraction

import CoolProp.CoolProp as coolprop
import numpy
import pint
import psychrolib
import pytest
import scipy.constants
import scipy.integrate
import scipy.special
from shapely.geometry import LineString, MultiPoint, Polygon

from coach.core.floors import BEAUFORT_TOP_MM_S
from coach.core.sizing import air, constants, cylinder, girth, heat, outline, strap, wind
from coach.core.units import UNITS

PINT = pint.UnitRegistry()
psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize(
    ("ours", "name"),
    [
        (constants.INCH, "inch"),
        (constants.FOOT, "foot"),
        (constants.MIL, "thou"),
        (constants.POUND, "pound"),
        (constants.POUND_FORCE, "force_pound"),
        (constants.PSI, "psi"),
        (constants.PSF, "force_pound / foot ** 2"),
        (constants.BTU, "Btu_it"),
        (constants.BTU_PER_HOUR, "Btu_it / hour"),
        (constants.MILE_PER_HOUR, "mph"),
        (constants.KNOT, "knot"),
        (constants.KILOMETRE_PER_HOUR, "km / hour"),
        (constants.GALLON, "gallon"),
        (constants.SQUARE_FOOT, "foot ** 2"),
        (constants.CUBIC_FOOT, "foot ** 3"),
        (constants.ATMOSPHERE, "atm"),
        (constants.GRAVITY, "standard_gravity"),
    ],
)
def test_factors_agree_with_a_units_library(ours: Fraction, name: str) -> None:
    assert float(ours) == pytest.approx(PINT.Quantity(1, name).to_base_units().magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (constants.INCH, scipy.constants.inch),
        (constants.FOOT, scipy.constants.foot),
        (constants.MIL, scipy.constants.mil),
        (constants.POUND, scipy.constants.lb),
        (constants.POUND_FORCE, scipy.constants.lbf),
        (constants.PSI, scipy.constants.psi),
        (constants.BTU, scipy.constants.Btu),
        (constants.MILE_PER_HOUR, scipy.constants.mph),
        (constants.KNOT, scipy.constants.knot),
        (constants.GALLON, scipy.constants.gallon),
        (constants.FREEZING, scipy.constants.zero_Celsius),
        (heat.GAS_CONSTANT, scipy.constants.R),
    ],
)
def test_factors_agree_with_scipy(ours: Fraction, theirs: float) -> None:
    assert float(ours) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize(
    ("ours", "symbol"),
    [
        (constants.INCH, "in"),
        (constants.FOOT, "ft"),
        (constants.MIL, "mil"),
        (constants.POUND, "lb"),
        (constants.POUND_FORCE, "lbf"),
        (constants.PSF, "psf"),
        (constants.PSI, "psi"),
        (constants.BTU, "BTU"),
        (constants.BTU_PER_HOUR, "BTU/h"),
        (constants.MILE_PER_HOUR, "mph"),
        (constants.KNOT, "kn"),
        (constants.GALLON, "gal"),
        (constants.KILOMETRE_PER_HOUR, "km/h"),
    ],
)
def test_factors_are_exactly_those_of_the_quantities(ours: Fraction, symbol: str) -> None:
    assert ours == UNITS[symbol].factor


def test_propane_pressure_stays_within_its_stated_error_of_coolprop() -> None:
    worst = max(
        abs(heat.vapour_pressure(kelvin) / coolprop.PropsSI("P", "T", kelvin, "Q", 1, "Propane") - 1)
        for kelvin in numpy.arange(223.15, 338.16, 0.5)
    )
    assert worst < heat.VAPOUR_FIT_ERROR


def test_propane_constants_are_coolprops() -> None:
    assert heat.CRITICAL_TEMPERATURE == pytest.approx(coolprop.PropsSI("Tcrit", "Propane"), rel=1e-5)
    assert heat.CRITICAL_PRESSURE == pytest.approx(coolprop.PropsSI("pcrit", "Propane"), rel=1e-4)
    assert heat.BOILING_POINT == pytest.approx(coolprop.PropsSI("T", "P", 101325, "Q", 1, "Propane"), abs=0.01)
    assert heat.MOLAR_MASS == pytest.approx(coolprop.PropsSI("M", "Propane"), rel=1e-5)
    latent = coolprop.PropsSI("H", "T", 273.15, "Q", 1, "Propane") - coolprop.PropsSI(
        "H", "T", 273.15, "Q", 0, "Propane"
    )
    assert heat.LATENT_AT_FREEZING == pytest.approx(latent, rel=1e-3)
    assert heat.LIQUID_HEAT == pytest.approx(coolprop.PropsSI("C", "T", 273.15, "Q", 0, "Propane"), rel=0.01)
    assert cylinder.LIQUID_DENSITY == pytest.approx(coolprop.PropsSI("D", "T", 273.15, "Q", 0, "Propane"), rel=1e-4)


def test_temperature_for_a_pressure_is_the_pressure_turned_round() -> None:
    for kelvin in numpy.arange(225.0, 338.0, 3.0):
        assert heat.temperature_for(heat.vapour_pressure(kelvin)) == pytest.approx(kelvin, abs=1e-6)


ABOVE_FREEZING = [
    (celsius, humidity)
    for celsius in range(1, 51, 7)
    for humidity in (0.2, 0.4, 0.6, 0.8, 0.95)
    if psychrolib.GetTDewPointFromRelHum(celsius, humidity) > 0.01
]


@pytest.mark.parametrize(("celsius", "humidity"), ABOVE_FREEZING)
def test_dew_point_agrees_with_psychrolib_above_freezing(celsius: int, humidity: float) -> None:
    theirs = psychrolib.GetTDewPointFromRelHum(celsius, humidity)
    assert air.dew_point(celsius + 273.15, humidity) - 273.15 == pytest.approx(theirs, abs=0.06)


@pytest.mark.parametrize(("celsius", "humidity"), [(0, 0.9), (-5, 0.9), (-10, 0.85)])
def test_below_freezing_the_frost_point_lies_a_little_above_our_dew_point(celsius: int, humidity: float) -> None:
    frost = psychrolib.GetTDewPointFromRelHum(celsius, humidity)
    dew = air.dew_point(celsius + 273.15, humidity) - 273.15
    assert 0 < frost - dew < 0.25


@pytest.mark.parametrize("celsius", range(1, 51, 5))
def test_saturation_pressure_agrees_with_psychrolib(celsius: int) -> None:
    theirs = psychrolib.GetSatVapPres(celsius)
    assert air.saturation_pressure(celsius + 273.15) == pytest.approx(theirs, rel=0.004)
    assert air.saturation_pressure(celsius + 273.15, air.MAGNUS_ALDUCHOV) == pytest.approx(theirs, rel=0.004)


@pytest.mark.parametrize(("length", "beam", "entry"), [(5.8, 2.4, 0.5), (12, 3.6, 0.35), (4, 1.6, 1.0), (20, 5, 0.05)])
def test_transom_outline_is_its_own_integral(length: float, beam: float, entry: float) -> None:
    bow = length * entry

    def half(x: float) -> float:
        return outline.transom_half_breadth(length, beam, x, entry)

    def slope(x: float) -> float:
        return beam / bow * (1 - x / bow)

    area = 2 * scipy.integrate.quad(half, 0, length, points=[bow])[0]
    sides = 2 * scipy.integrate.quad(lambda x: math.hypot(1, slope(x)), 0, bow)[0] + 2 * (length - bow)
    assert outline.transom_area(length, beam, entry) == pytest.approx(area, rel=1e-9)
    assert outline.transom_perimeter(length, beam, entry) == pytest.approx(sides + beam, rel=1e-9)


def test_transom_outline_is_the_polygon_of_its_half_breadths() -> None:
    xs = [i * 5.8 / 4000 for i in range(4001)]
    port = [(x, outline.transom_half_breadth(5.8, 2.4, x)) for x in xs]
    polygon = Polygon(port + [(x, -y) for x, y in reversed(port)])
    assert outline.outline_area(5.8, 2.4) == pytest.approx(polygon.area, rel=1e-6)
    assert outline.outline_perimeter(5.8, 2.4) == pytest.approx(polygon.length, rel=1e-6)


def test_wigley_hull_outline_area_volume_and_girth() -> None:
    """Source: Wigley's parabolic hull, L 10, B 1, T 0.625: 2LB/3, 4LBT/9, 2BT/3, half girth 0.8335659."""
    length, beam, draught = Fraction(10), Fraction(1), Fraction(5, 8)
    xs = [Fraction(i) for i in range(11)]
    breadths = [2 * outline.wigley_half_breadth(length, beam, draught, x, Fraction(0)) for x in xs]
    assert outline.simpson(breadths, Fraction(1)) == Fraction(20, 3) == outline.pointed_area(length, beam)

    def section(x: Fraction) -> Fraction:
        depths = [draught * i / 4 for i in range(5)]
        return outline.simpson(
            [2 * outline.wigley_half_breadth(length, beam, draught, x, z) for z in depths], draught / 4
        )

    assert section(Fraction(5)) == Fraction(5, 12) == 2 * beam * draught / 3
    assert outline.simpson([section(x) for x in xs], Fraction(1)) == 4 * length * beam * draught / 9
    points = [
        (outline.wigley_half_breadth(10.0, 1.0, 0.625, 5.0, 0.625 * i / 1000), -0.625 * i / 1000) for i in range(1001)
    ]
    assert girth.drape(points) == pytest.approx(0.8335659, abs=1e-6)


def test_simpson_agrees_with_scipy() -> None:
    ordinates = [0.2, 4, 5, 5.2, 5, 4, 0.2]
    assert outline.simpson(ordinates, 80 / 6) == pytest.approx(scipy.integrate.simpson(ordinates, dx=80 / 6), rel=1e-12)


@pytest.mark.parametrize(("a", "b"), [(3, 2), (5, 3), (10, 2), (1, 1), (100, 0.01), (2, 7)])
def test_ellipse_perimeter_agrees_with_the_elliptic_integral(a: float, b: float) -> None:
    big, small = max(a, b), min(a, b)
    theirs = 4 * big * scipy.special.ellipe(1 - (small / big) ** 2)
    assert outline.ellipse_perimeter(a, b) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("exponent", [1, 1.5, 2, 2.5, 4, 10])
def test_superellipse_agrees_with_scipy(exponent: float) -> None:
    gamma = scipy.special.gamma
    area = 4 * 3 * 1.25 * gamma(1 + 1 / exponent) ** 2 / gamma(1 + 2 / exponent)
    assert outline.superellipse_area(3, 1.25, exponent) == pytest.approx(area, rel=1e-12)
    angles = numpy.linspace(0, math.pi / 2, 200_001)
    size = (numpy.cos(angles) ** exponent + numpy.sin(angles) ** exponent) ** (-1 / exponent)
    xs, ys = 3 * size * numpy.cos(angles), 1.25 * size * numpy.sin(angles)
    chords = 4 * float(numpy.hypot(numpy.diff(xs), numpy.diff(ys)).sum())
    assert outline.superellipse_perimeter(3, 1.25, exponent) == pytest.approx(chords, rel=1e-6)


@pytest.mark.parametrize(("span", "sag"), [(30, 0.5), (8, 0.5), (10, 5), (2.4384, 0.1524), (30, 0.001)])
def test_parabola_arc_is_its_own_integral(span: float, sag: float) -> None:
    arc = scipy.integrate.quad(lambda x: math.hypot(1, 8 * sag * x / span**2), -span / 2, span / 2)[0]
    assert outline.parabola_arc(span, sag) == pytest.approx(arc, rel=1e-10)
    assert strap.sagging_length(span, sag) == pytest.approx(arc, rel=1e-10)


POINTS = [(51, 0), (30, 22), (12, 40), (0, 44)]


def test_drape_is_the_length_of_the_line() -> None:
    assert girth.drape(POINTS) == pytest.approx(LineString(POINTS).length, rel=1e-12)


def test_taut_girth_is_the_convex_hull_above_the_chord() -> None:
    hollow = [(51, 0), (48, 2), (30, 30), (12, 31), (3, 20), (0, 44)]
    hull = MultiPoint([*hollow, (0, -1), (51, -1)]).convex_hull
    upper = hull.length - 51 - 1 - 45  # without the base and the two posts that close it below
    assert girth.taut_girth(hollow) == pytest.approx(upper, rel=1e-12)


def test_beaufort_agrees_with_its_formula_at_half_forces() -> None:
    """Source: 0.836 B^1.5 at half forces gives every edge of the WMO table (facts on wind, computed)."""
    for force in range(12):
        edge = wind.beaufort_speed(force + 0.5)
        assert wind.beaufort_top(force) - 0.1 < edge < wind.BEAUFORT[force + 1].first + 0.1


def test_beaufort_tops_are_those_of_the_gate() -> None:
    assert [round(wind.beaufort_top(force) * 1000) for force in range(12)] == list(BEAUFORT_TOP_MM_S)
