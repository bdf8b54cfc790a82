"""A whole number in a small named unit, as limits and proofs record it, a number in a text, and how people read them.

Knows nothing of: limits, languages (the decimal mark is passed in).
"""

from __future__ import annotations

from dataclasses import dataclass

_METRES_PER_MILE_HOUR = 0.44704  # exact, NIST SP 811
_METRES_PER_FOOT = 0.3048  # exact, NIST SP 811
_METRES_PER_INCH = 0.0254  # exact, NIST SP 811
BY_TAPE = "mm by tape"  # what was measured on the boat: shown as finely as a tape is read


@dataclass(frozen=True)
class Amount:
    """value: whole number in `unit` (mm, mm by tape, mm/s, tenths of % LEL, min, days)."""

    value: int
    unit: str

    def text(self, system: str = "us", decimal: str = ".") -> str:
        """The amount as people read it, in 'us' or 'metric' units, with this decimal mark."""
        return self._plain(system).replace(".", decimal)

    def _plain(self, system: str) -> str:
        if self.unit == "mm/s":
            metric, us = f"{self.value / 1000:.1f} m/s", f"{self.value / 1000 / _METRES_PER_MILE_HOUR:.1f} mph"
            return us if system == "us" else metric
        if self.unit == "mm":
            metric, us = f"{self.value / 1000:.1f} m", f"{self.value / 1000 / _METRES_PER_FOOT:.0f} ft"
            return us if system == "us" else metric
        if self.unit == BY_TAPE:
            metric, us = f"{self.value / 1000:.3f} m", f"{self.value / 1000 / _METRES_PER_INCH:.1f} in"
            return us if system == "us" else metric
        if self.unit == "tenths of % LEL":
            return f"{self.value / 10:.1f} % LEL"
        return f"{self.value} {self.unit}"

    def __str__(self) -> str:
        return self.text()


@dataclass(frozen=True)
class Figures:
    """A number that is written out already, in a text: in English by itself, with the reader's mark in a front end.

    digits: with '.' as the decimal mark. unit: behind it, '' for none.
    """

    digits: str
    unit: str = ""

    def text(self, decimal: str = ".") -> str:
        """The number with its unit, with this decimal mark."""
        return f"{self.digits.replace('.', decimal)} {self.unit}".rstrip()

    def __str__(self) -> str:
        return self.text()
