"""Gas and fuel: what a cylinder gives in the cold, and what a taped tank holds back.

Rules kept here:
 1. What boils off takes its latent heat from liquid and steel; the air gives some back. Pressure follows temperature.
 2. Below the regulator's need the flame gets weaker in proportion.
Units: kg, K, Pa, W, s. Sources beside the constants; 'invented' where there is none.
Knows nothing of: drills, the kernel.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from coach.core.sizing.constants import POUND
from coach.core.sizing.heat import LATENT_AT_FREEZING, LIQUID_HEAT, STEEL_HEAT, USUAL_TOOL, burn_rate, vapour_pressure

FULL, STEEL = float(20 * POUND), 8.0  # kg; the empty 20 lb cylinder's mass from memory
NEEDS = 240_000.0  # Pa absolute that the regulator needs for the full flame; invented
FROM_AIR = 4.0  # W/K that the wall takes from the air; invented
SEA_LEVEL = 101_325.0
COLDEST = 223.15  # K, the end of the pressure's formula


@dataclass(frozen=True)
class Cylinder:
    """A propane cylinder. liquid: kg left; kelvin: its temperature; from_air: W/K."""

    liquid: float = FULL
    kelvin: float = 278.15
    from_air: float = FROM_AIR

    @property
    def pressure(self) -> float:
        """Absolute, Pa; nothing but air pressure when it is empty."""
        return vapour_pressure(self.kelvin) if self.liquid > 0 else SEA_LEVEL

    @property
    def flame_share(self) -> float:
        """The share of the tool's full flame that it can feed, 0 to 1."""
        over = (self.pressure - SEA_LEVEL) / (NEEDS - SEA_LEVEL)
        return min(1.0, max(0.0, over))

    def burnt(self, seconds: float, air: float, power: float = float(USUAL_TOOL)) -> Cylinder:
        """The cylinder after feeding a flame of this power for a time, in air of so many kelvin."""
        used = min(self.liquid, float(burn_rate(power)) * self.flame_share * seconds)
        taken = used * LATENT_AT_FREEZING
        return self._after(seconds, air, used, taken)

    def rested(self, seconds: float, air: float) -> Cylinder:
        """The cylinder after standing for a time."""
        return self._after(seconds, air, 0.0, 0.0)

    def _after(self, seconds: float, air: float, used: float, taken: float) -> Cylinder:
        store = self.liquid * LIQUID_HEAT + STEEL * STEEL_HEAT
        given = min(self.from_air * seconds / store, 1.0) * (air - self.kelvin) * store
        kelvin = max(COLDEST, self.kelvin + (given - taken) / store)
        return replace(self, liquid=self.liquid - used, kelvin=kelvin)


def sealed_rise(cold: float, warm: float) -> float:
    """The pressure that the air in a taped tank gains from one temperature (K) to another, Pa.

    Source: ideal gas at a fixed volume, fuel vapour left out; 0 to 30 C gives 11.13 kPa.
    """
    return SEA_LEVEL * (warm / cold - 1)
