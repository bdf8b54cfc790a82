"""Exact sizes of the units that the trade and the published tables use, in SI, as fractions.

Rules kept here: every factor is exact by definition, none is rounded. `Number` is what every sizing function takes:
a whole number, a float or a Fraction; a Fraction stays a Fraction as long as the arithmetic allows.
Source: NIST SP 811 appendix B; checked against scipy.constants and pint in tests/core/sizing/test_references.py.
"""

from __future__ import annotations

from fractions import Fraction

Number = int | float | Fraction

INCH = Fraction(127, 5000)  # m
FOOT = 12 * INCH  # m
MIL = INCH / 1000  # m, a thousandth of an inch: film thickness
SQUARE_FOOT = FOOT**2  # m2
SQUARE_INCH = INCH**2  # m2
CUBIC_FOOT = FOOT**3  # m3
POUND = Fraction(45359237, 100_000_000)  # kg
GRAVITY = Fraction(980665, 100_000)  # m/s2, standard
POUND_FORCE = POUND * GRAVITY  # N
PSF = POUND_FORCE / SQUARE_FOOT  # Pa, pounds a square foot
PSI = POUND_FORCE / SQUARE_INCH  # Pa, pounds a square inch
BTU = Fraction(105505585262, 100_000_000)  # J, International Table
BTU_PER_HOUR = BTU / 3600  # W
MILE_PER_HOUR = Fraction(44704, 100_000)  # m/s
KNOT = Fraction(1852, 3600)  # m/s
KILOMETRE_PER_HOUR = Fraction(1000, 3600)  # m/s
GALLON = Fraction(3785411784, 10**12)  # m3, US liquid
FREEZING = Fraction(27315, 100)  # K, 0 degrees Celsius
ATMOSPHERE = Fraction(101325)  # Pa
