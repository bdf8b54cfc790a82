"""Film over an invented boat, section by section: cold, shrunk, overheated, holed, from what the flame gives it.

Rules kept here:
 1. A section holds heat (J/kg over 0 C). A flame adds to it, the air takes from it; what it once reached, it was.
 2. A quick pass has a closed form (`sweep`); a finger that stays is added up in small steps (`warm`). They agree.
 3. Order matters: a row that shrinks while a row below it is loose pulls the hem up out of its tuck.
 4. What the film is goes by its hottest moment: nothing that burned comes back.
Units: m, m/s, s, W, J, C. Rows count from the hem (0) up to the ridge, columns from the bow (0) to the transom; a
section is about as large as the flame's spot, a hand or two each way.
Sources beside the constants; 'invented' where there is none. It teaches order, pace and distance; it sizes nothing.
Knows nothing of: the kernel, drills, who holds the flame.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from coach.core.sizing.heat import FILM_HEAT, FILM_MELTING, FLAME_SHARE, USUAL_FILM, USUAL_TOOL
from coach.core.sizing.thickness import grammage

ROWS, COLUMNS = 8, 24
HEM = 0
COLD, SHRUNK, OVERHEATED, HOLED, BURNING = "cold", "shrunk", "overheated", "holed", "burning"
FILM_STATES = (COLD, SHRUNK, OVERHEATED, HOLED, BURNING)

MELTS_FROM, MELTS_TO = 105.0, 130.0  # C, LDPE to LLDPE, from memory
SHRINKS_AT = 0.25  # of the crystals melted, so that the film can draw in; invented
TOO_HOT, HOLE_AT = 170.0, 230.0  # C: shiny and thin, then it parts; invented
IGNITES_AT = 341.0  # C, flash ignition of polyethylene: Hilado 1998
NOZZLE = 0.06  # m across; invented
SPREAD = 0.2  # radius gained a metre, a free turbulent jet (half angle 11.8 degrees, from memory)
JET = 12.0  # m/s, gas of the flame on its way to the film; invented
CALM_LOSS, WIND_LOSS = 5.7, 3.8  # W/m2K and the same a m/s of wind: McAdams 1954, from memory
PULL = 0.02  # m that the hem is drawn up for each loose row below one that shrinks; invented
TUCK = 0.076  # m, 3 in: the least tuck of common practice, no source

_SOLID = FILM_HEAT * MELTS_FROM
_LIQUID = FILM_HEAT * MELTS_TO + FILM_MELTING


def heat_at(celsius: float) -> float:
    """Heat of a kilogram of film at a temperature, over 0 C, J/kg. It melts evenly from 105 to 130 C.

    Source: specific heat and heat of melting as in coach.core.sizing.heat.
    """
    if celsius <= MELTS_FROM:
        return FILM_HEAT * celsius
    part = min(1.0, (celsius - MELTS_FROM) / (MELTS_TO - MELTS_FROM))
    return FILM_HEAT * celsius + FILM_MELTING * part


def temperature_of(heat: float) -> float:
    """The temperature of film that holds so much heat, C. The other way round of `heat_at`."""
    if heat <= _SOLID:
        return heat / FILM_HEAT
    if heat >= _LIQUID:
        return (heat - FILM_MELTING) / FILM_HEAT
    return MELTS_FROM + (heat - _SOLID) / (_LIQUID - _SOLID) * (MELTS_TO - MELTS_FROM)


def melted(heat: float) -> float:
    """The share of the crystals that is melted, 0 to 1."""
    return min(1.0, max(0.0, (heat - _SOLID) / (_LIQUID - _SOLID)))


_LEAST = (
    (heat_at(IGNITES_AT), BURNING),
    (heat_at(HOLE_AT), HOLED),
    (heat_at(TOO_HOT), OVERHEATED),
    (_SOLID + SHRINKS_AT * (_LIQUID - _SOLID), SHRUNK),
)


def state_of(hottest: float) -> str:
    """What film is that once held so much heat."""
    return next((state for least, state in _LEAST if hottest >= least), COLD)


@dataclass(frozen=True)
class Flame:
    """The flame at one moment. distance: nozzle to film, m, above 0; power: of the tool, W; wind: m/s."""

    distance: float
    power: float = float(USUAL_TOOL)
    wind: float = 0.0

    @property
    def radius(self) -> float:
        """Of the spot on the film, m."""
        return NOZZLE / 2 + SPREAD * self.distance

    @property
    def flux(self) -> float:
        """Heat into the film under the spot, W/m2: the film's share of the power, less what wind mixes away."""
        area = math.pi * self.radius**2
        return float(FLAME_SHARE) * self.power / area / (1 + self.wind / JET)

    @property
    def drift(self) -> float:
        """How far the wind carries the spot, m: its speed for the time that the gas is on its way."""
        return self.distance * self.wind / JET


def speed_for(
    distance: float, celsius: float, air: float, power: float = float(USUAL_TOOL), wind: float = 0.0
) -> float:
    """The speed at which one pass brings cold film to a temperature, m/s. Above it the film stays colder."""
    flame = Flame(distance, power, wind)
    wanted = (heat_at(celsius) - heat_at(air)) * mass()
    return flame.flux * 2 * flame.radius / wanted


def mass() -> float:
    """Of a square metre of the usual film, kg."""
    return float(grammage(USUAL_FILM))


class Film:
    """The film of one boat: ROWS x COLUMNS sections, numbered row by row from the hem at the bow."""

    def __init__(self, air: float = 5.0) -> None:
        self.air = air
        self.mass = mass()
        self._rest = heat_at(air)
        self.heat = [self._rest] * (ROWS * COLUMNS)
        self.hottest = list(self.heat)
        self.pulled = [0.0] * COLUMNS
        self._is_warm = False

    @staticmethod
    def number(row: int, column: int) -> int:
        """The number of a section."""
        return row * COLUMNS + column

    def state(self, section: int) -> str:
        """What a section is."""
        return state_of(self.hottest[section])

    def states(self) -> tuple[str, ...]:
        """What every section is."""
        return tuple(state_of(each) for each in self.hottest)

    def fused(self, section: int) -> float:
        """The share of crystals that had melted at its hottest, 0 to 1: what a weld there is worth.

        Source: bond strength goes with the melted share, J. Adhesion Sci. Technol. 28 (2014) 1592, abstract.
        """
        return melted(self.hottest[section])

    def sweep(self, section: int, flame: Flame, speed: float) -> str:
        """Lead the flame once over a section at a speed (m/s, above 0); returns what the section is then."""
        return self._take(section, flame.flux * 2 * flame.radius / speed)

    def warm(self, section: int, flux: float, seconds: float) -> str:
        """Hold a flux (W/m2) on a section for a short time; returns what the section is then."""
        return self._take(section, flux * seconds)

    def cool(self, seconds: float, wind: float = 0.0) -> None:
        """Let all sections lose heat to the air: towards its temperature, faster in wind."""
        if not self._is_warm:
            return
        loss = (CALM_LOSS + WIND_LOSS * wind) / (self.mass * FILM_HEAT)
        stays = math.exp(-loss * seconds)
        rest = self._rest
        self.heat = [rest + (each - rest) * stays for each in self.heat]
        self._is_warm = max(self.heat) - rest > FILM_HEAT  # a kelvin over the air counts as cold

    def make(self, section: int, celsius: float) -> None:
        """Have a section as if it had once reached a temperature: work that was done before."""
        self._reached(section, heat_at(celsius))

    def is_pulled_out(self, column: int) -> bool:
        """Whether the hem was drawn out of its tuck in this column."""
        return self.pulled[column] > TUCK

    def _take(self, section: int, energy: float) -> str:
        self.heat[section] += energy / self.mass
        self._is_warm = True
        if self.heat[section] > self.hottest[section]:
            self._reached(section, self.heat[section])
        return state_of(self.hottest[section])

    def _reached(self, section: int, heat: float) -> None:
        was = state_of(self.hottest[section])
        self.hottest[section] = max(self.hottest[section], heat)
        row, column = divmod(section, COLUMNS)
        if was == COLD and row > 1 and state_of(self.hottest[section]) != COLD:
            loose = sum(self.state(self.number(below, column)) == COLD for below in range(1, row))
            self.pulled[column] += PULL * loose
