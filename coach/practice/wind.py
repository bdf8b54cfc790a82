"""The wind at an invented boat: a mean that the drill sets, turbulence round it, and gusts that the drill sends.

Rules kept here:
 1. Speed = mean x (1 + intensity x X) + gusts, never below nothing. X is an Ornstein-Uhlenbeck process of variance 1.
 2. X is drawn second by second in blocks of ten minutes, each from the seed and its own number: any moment can be
    asked without those before it, and it does not matter how a trainee cuts the time.
 3. What a hand meter shows is what was: the mean of the last two minutes and the strongest three seconds in them.
Units: m/s, seconds from the drill's beginning.
Sources: exact update of the process for any step, Gillespie 1996, Phys. Rev. E 54, 2084. Intensity 1 / ln(z / z0),
EN 1991-1-4 4.4 with a turbulence factor of 1. Time scale = length scale / speed with the length scale of EN 1991-1-4
B.1 (from memory): 300 m (z / 200 m)^(0.67 + 0.05 ln z0). Gust over 3 s: WMO-No. 306. A gust's shape, one minus
cosine: 14 CFR 25.341(a) (from memory). Mean over two minutes: FMH-1 5.4.4, read second-hand.
Knows nothing of: limits, drills, the kernel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from coach.practice.chance import Chance

HEIGHT, ROUGHNESS = 2.0, 0.05  # m: a hand meter; low crops and single obstacles (EN 1991-1-4 table 4.1, category II)
USUAL_SPEED = 4.0  # m/s, at which the time scale is taken; invented
BLOCK = 600  # s
MEAN_OVER, GUST_OVER = 120, 3  # s
GUST_LASTS = 12.0  # s from calm to calm; invented


def intensity(height: float = HEIGHT, roughness: float = ROUGHNESS) -> float:
    """Standard deviation over mean. Source: EN 1991-1-4 (4.7); 10 m over z0 = 0.05 m gives 0.189."""
    return 1 / math.log(height / roughness)


def time_scale(height: float = HEIGHT, roughness: float = ROUGHNESS, speed: float = USUAL_SPEED) -> float:
    """Seconds over which turbulence forgets itself. Source: EN 1991-1-4 B.1; 10 m, z0 = 0.05 m, 10 m/s gives 6.3 s."""
    length = 300 * (height / 200) ** (0.67 + 0.05 * math.log(roughness))
    return float(length / speed)


@dataclass(frozen=True)
class Turn:
    """From `second` on the mean goes, over `over` seconds, to `mean`."""

    second: float
    mean: float
    over: float


@dataclass(frozen=True)
class Gust:
    """A single gust that adds up to `rise` m/s."""

    second: float
    rise: float
    lasts: float = GUST_LASTS


@dataclass(frozen=True)
class Reading:
    """What a hand meter shows after two minutes."""

    mean: float
    gust: float


class Wind:
    """The wind of one run. Only `turn` and `gust` change it, and only from their second on."""

    def __init__(self, seed: object, mean: float, height: float = HEIGHT, roughness: float = ROUGHNESS) -> None:
        self._seed = seed
        self._first = mean
        self._turns: list[Turn] = []
        self._gusts: list[Gust] = []
        self._blocks: dict[int, tuple[float, ...]] = {}
        self.intensity = intensity(height, roughness)
        self.time_scale = time_scale(height, roughness)

    def turn(self, second: float, mean: float, over: float = 60.0) -> None:
        """Let the mean change from this second on; turns come in the order of their seconds."""
        self._turns.append(Turn(second, mean, max(over, 1.0)))

    def gust(self, second: float, rise: float, lasts: float = GUST_LASTS) -> None:
        """Send one gust, beginning at this second."""
        self._gusts.append(Gust(second, rise, lasts))

    def mean_at(self, second: float) -> float:
        """The mean that the drill has set, without turbulence."""
        mean = self._first
        for turn in self._turns:
            if second <= turn.second:
                break
            part = min(1.0, (second - turn.second) / turn.over)
            mean += (turn.mean - mean) * part
        return mean

    def speed_at(self, second: int) -> float:
        """The speed in this second."""
        block, place = divmod(second, BLOCK)
        drawn = self._blocks.get(block)
        if drawn is None:
            drawn = self._blocks[block] = self._draw(block)
        speed = self.mean_at(second) * (1 + self.intensity * drawn[place])
        for gust in self._gusts:
            if 0 < second - gust.second < gust.lasts:
                speed += gust.rise / 2 * (1 - math.cos(2 * math.pi * (second - gust.second) / gust.lasts))
        return max(0.0, speed)

    def reading(self, second: int) -> Reading:
        """What a meter shows that was held up for the two minutes before this second."""
        speeds = [self.speed_at(each) for each in range(second - MEAN_OVER, second)]
        threes = [sum(speeds[i : i + GUST_OVER]) / GUST_OVER for i in range(MEAN_OVER - GUST_OVER + 1)]
        return Reading(sum(speeds) / MEAN_OVER, max(threes))

    def _draw(self, block: int) -> tuple[float, ...]:
        chance = Chance("wind", self._seed, block)
        stays = math.exp(-1 / self.time_scale)
        new = math.sqrt(1 - stays**2)
        values = [chance.normal()]
        for _ in range(BLOCK - 1):
            values.append(values[-1] * stays + new * chance.normal())
        return tuple(values)
