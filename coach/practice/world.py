"""The site of a drill: what is true at this second of weather, safeguards, evidence, film, gas.

Rules kept here:
 1. The truth changes only by time, by the drill's events, by deeds, and by what the flame does.
 2. A safeguard is lost from the second in which its truth stops holding, whether anybody has noticed or not.
Knows nothing of: what was stated, the trainee, the time line (run).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coach.core.gate import Facts, day_of
from coach.core.model import FUEL_VENTS, PLACE
from coach.core.rules import Rules
from coach.practice import band, hem
from coach.practice.crew import WATCH
from coach.practice.drill import Drill, Truth
from coach.practice.film import COLUMNS, HEM, Film, heat_at
from coach.practice.gas import Cylinder
from coach.practice.truth import all_well
from coach.practice.wind import Reading, Wind

ZERO_CELSIUS = 273.15
READ_EVERY = 60  # s
AROUND = 15.0  # m of band round a boat of 19 ft; invented
SIDE = 0.9  # m of loose film over the hem that a gust fills; invented


class World:
    """What is true now. `second` counts from the drill's beginning."""

    def __init__(self, drill: Drill, rules: Rules, technician: str, seed: int) -> None:
        self.second = self._read_at = 0
        self.rules = rules
        self.burning = False
        self.wind = Wind(seed, drill.wind)
        self.film = Film(drill.air)
        self.air = drill.air + ZERO_CELSIUS
        self.gas = Cylinder(kelvin=self.air)
        self.lost: dict[str, int] = {}
        self.band, self.buckled = drill.band, 0
        self.opened: set[int] = set()
        vents, outdoors = drill.measures.get(FUEL_VENTS, "0"), drill.measures.get(PLACE, "outdoors") == "outdoors"
        self._wall = drill.starts
        self._facts = Facts(int(vents), "outdoors" if outdoors else "indoors", technician)
        self._truth = all_well(int(vents), outdoors, technician, WATCH, day_of(drill.starts).isoformat())
        self._truth.update({own: {"holds": True} for own in rules.safeguards if own not in self._truth})
        self.answers: dict[str, dict[str, Any]] = {}
        self.change(drill.truth, drill.answers)

    def change(self, truth: Truth, answers: Mapping[str, Mapping[str, Any]]) -> None:
        """Something has changed: safeguards field by field, evidence item by item."""
        for id, values in truth.items():
            self._truth[id] = {**self._truth[id], **values}
            self._judge(id)
        for step, given in answers.items():
            self.answers[step] = {**self.answers.get(step, {}), **given}

    def reading(self) -> Reading:
        """What a wind meter shows that was held up for the last two minutes."""
        return self.wind.reading(self.second)

    def safeguard(self, id: str) -> dict[str, Any]:
        """What an honest eye would state of a safeguard now."""
        if id != "wind":
            return dict(self._truth[id])
        read = self.reading()
        return {"how": "meter", "mean": round(read.mean * 1000), "gust": round(max(read.gust, read.mean) * 1000)}

    def holds(self, id: str) -> bool:
        """Whether a safeguard's truth holds now, by the gate's own judgement."""
        values = self.safeguard(id)
        return not self.rules.safeguards[id].judge(values, self._facts, self.rules.policy, day_of(self._wall))

    def blow(self, mean: float | None, gust: float | None, is_loss: bool) -> None:
        """An event of the weather: the mean goes to `mean`, a single gust adds `gust`."""
        if mean is not None:
            self.wind.turn(self.second, mean)
        if gust is not None:
            self.wind.gust(self.second, gust)
        if is_loss:
            self.lost.setdefault("wind", self.second)

    def buckle(self, stretch: float) -> None:
        """Buckle the perimeter band anew, stretched so far (m)."""
        self.band, self.buckled = stretch, self.second

    def band_pull(self) -> float:
        """The tension of the perimeter band now, N."""
        return band.tension(self.band, AROUND, 0.0, (self.second - self.buckled) / 60)

    def tug(self, gust: float) -> tuple[int, ...]:
        """A gust tugs at the hem: the columns whose weld does not hold, newly open. Unheated, it is only tucked."""
        loose = []
        for column in range(COLUMNS):
            section = Film.number(HEM, column)
            if self.film.hottest[section] <= heat_at(self.air - ZERO_CELSIUS) or column in self.opened:
                continue
            if not hem.holds(hem.GOOD_WIDTH, self.film.fused(section), gust, SIDE):
                loose.append(column)
        self.opened.update(loose)
        return tuple(loose)

    def pass_seconds(self, seconds: int) -> None:
        """Let time pass: the film cools, the cylinder gives or takes warmth, the wind goes on."""
        if self.burning:
            self.gas = self.gas.burnt(seconds, self.air)
        else:
            self.gas = self.gas.rested(seconds, self.air)
        self.film.cool(seconds, self.wind.mean_at(self.second))
        self.second += seconds

    def calm_down(self) -> None:
        """The wind counts as lost until a reading, one a minute, is under the limits again."""
        if "wind" in self.lost and self.second >= self._read_at + READ_EVERY:
            self._read_at = self.second
            if self.holds("wind"):
                del self.lost["wind"]

    def _judge(self, id: str) -> None:
        if self.holds(id):
            self.lost.pop(id, None)
        else:
            self.lost.setdefault(id, self.second)
