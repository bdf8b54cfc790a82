"""The frame under snow: flat spots, load and strength of each upright and each bay of ridge strap, a plain verdict.

Rules kept here:
 1. The verdict is one of holds, add_upright, steepen, stiffen; every finding behind it carries its two numbers.
 2. The film's own help is not counted, and stretch of the strap is never taken as strength.
 3. Every verdict carries the caution: a check for a temporary cover, not an engineer's design.
Knows nothing of: the codes' formulas (snow), the boat as measured (the caller gives stations).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from coach.core.amount import Figures
from coach.core.problems import Problem
from coach.core.sizing.constants import Number
from coach.core.sizing.outline import transom_half_breadth
from coach.core.sizing.ranges import (
    HEIGHT,
    LENGTH,
    RATIO,
    SLOPE,
    Range,
    contradiction,
    demand,
    force_shown,
    length_shown,
)
from coach.core.sizing.snow import SnowPolicy
from coach.core.sizing.strap import BREAK_FORCE, EFFICIENCY, JOINT_EFFICIENCY, parabola_tension
from coach.core.sizing.upright import POST_LENGTH, Column, Timber, ridge_height_at, timber_column

HOLDS, ADD_UPRIGHT, STEEPEN, STIFFEN = "holds", "add_upright", "steepen", "stiffen"
LEAST_SLOPE = math.radians(15)  # where ASCE 7 and NBC begin to credit sliding
PONDING_SLOPE = math.atan2(1, 48)  # 1/4 in a foot, IBC 1611.2: a floor, since film gives more than a roof
CAUTION_NOTE = "frame_check"  # of notes.NOTES
SAG_SHARE = 0.1  # of a bay, under snow; ours, no source
STRAP_SAFETY = 2.0  # breaking force over working force; ours, no source
MOST_ADDED = 12  # uprights added before the search for an arrangement that holds gives up

_HALF_BREADTH = Range("half breadth", "m", 0, 6)
_X = Range("station from the bow", "m", 0, 60)
_SLICES = 8  # of each half bay, for integrating the load


@dataclass(frozen=True)
class Station:
    """A section of the cover: distance from the bow, half breadth at the rail, ridge above the band, m."""

    x: Number
    half_breadth: Number
    ridge: Number


@dataclass(frozen=True)
class Frame:
    """The frame: stations bow to stern, uprights from the bow, what they stand on, timber, strap. SI."""

    length: Number
    stations: tuple[Station, ...]
    uprights: tuple[Number, ...]
    sole_below: Number
    strap_break: Number
    timber: Timber = field(default_factory=Timber)
    efficiency: Number = JOINT_EFFICIENCY
    sag_share: Number = SAG_SHARE


@dataclass(frozen=True)
class FlatSpot:
    """A run of cover that is too flat: first, last and worst place (m), slope there (rad), raise needed (m)."""

    first: float
    last: float
    worst: float
    slope: float
    raise_by: float
    ponds: bool


@dataclass(frozen=True)
class Post:
    """One upright: place, length, load (N), what it may carry (N), and the column behind it."""

    at: float
    length: float
    load: float
    allowed: float
    column: Column

    @property
    def use(self) -> float:
        """Load over allowed; over 1 fails."""
        return self.load / self.allowed


@dataclass(frozen=True)
class Bay:
    """One bay of ridge strap: ends, load along it (N/m), tension (N), what it may carry (N)."""

    first: float
    last: float
    load: float
    tension: float
    allowed: float

    @property
    def use(self) -> float:
        """Tension over allowed; over 1 fails."""
        return self.tension / self.allowed


@dataclass(frozen=True)
class Verdict:
    """The word, the findings behind it, all numbers, and uprights that would hold (empty if none were found)."""

    word: str
    findings: tuple[Problem, ...]
    flat: tuple[FlatSpot, ...]
    posts: tuple[Post, ...]
    bays: tuple[Bay, ...]
    uprights: tuple[float, ...]
    caution: str = CAUTION_NOTE

    @property
    def margin(self) -> float:
        """What is left of the weakest part's strength, as a share; below 0 it fails."""
        return 1 - _most_used(self.posts, self.bays)


def power_boat_stations(
    length: Number, beam: Number, ridge: Sequence[tuple[Number, Number]], count: int = 20
) -> tuple[Station, ...]:
    """Stations of a transom power boat under a ridge.

    Args:
        length: m, 2 to 60.
        beam: m, 0.5 to 12, not over the length.
        ridge: (distance from the bow, height above the band) of its supports, m, two or more, rising.
        count: bays between stations, 2 to 500.

    Returns:
        `count` + 1 stations, bow to stern.

    Raises:
        QuantityError U301 to U304: an argument outside its range.

    Source: the shipped outline, `outline.transom_half_breadth`.
    """
    demand((Range("station count", "", 2, 500), count), (LENGTH, length))
    places = [float(length) * i / count for i in range(count + 1)]
    return tuple(Station(x, transom_half_breadth(length, beam, x), ridge_height_at(x, ridge)) for x in places)


def flat_spots(stations: Sequence[Station], least: Number = LEAST_SLOPE) -> tuple[FlatSpot, ...]:
    """The runs of cover that are flatter than a slope.

    Args:
        stations: two or more, rising from the bow; half breadth 0 to 6 m, ridge 0 to 8 m.
        least: slope, rad, 0 to pi/2.

    Returns:
        Each run, bow to stern. The slope is the steepest of the surface half way out: across and along together.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or stations that do not rise.

    Source: geometry of the ruled surface from ridge to level rail; 15 degrees is where both codes credit sliding.
    """
    _check_stations(stations)
    demand((SLOPE, least))
    slopes = [_slope_at(stations, i) for i in range(len(stations))]
    found, run = [], []
    for i, slope in enumerate([*slopes, math.inf]):
        if slope < least - 1e-9:
            run.append(i)
        elif run:
            found.append(_flat_spot(stations, slopes, run, float(least)))
            run = []
    return tuple(found)


def check_frame(frame: Frame, snow: SnowPolicy, ground: Number, least: Number = LEAST_SLOPE) -> Verdict:
    """The verdict on a frame under a ground snow.

    Args:
        frame: length 2 to 60 m, one upright or more, strap 100 to 200 000 N, sag share 0.01 to 0.5.
        snow: the code and factors of the yard's policy.
        ground: Pa, 0 to 30 000.
        least: the slope under which the cover counts as flat, rad.

    Returns:
        The verdict with its numbers; `uprights` is an arrangement that holds, found by halving the worst bay.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or uprights that do not rise inside the length.

    Source: tributary area and parabola (statics), NDS column factor, snow by the code; sag and safety are ours.
    """
    _check_frame(frame)
    demand((SLOPE, least))
    flat = flat_spots(frame.stations, least)
    posts, bays = _work(frame, snow, ground)
    findings = _findings(flat, posts, bays)
    word = HOLDS
    if any(post.column.is_slender for post in posts):
        word = STIFFEN
    if _most_used(posts, bays) > 1:
        word = ADD_UPRIGHT
    if flat:
        word = STEEPEN
    uprights = _holding(frame, snow, ground, posts, bays)
    return Verdict(word, findings, flat, posts, bays, uprights)


def _most_used(posts: Sequence[Post], bays: Sequence[Bay]) -> float:
    """The use of the weakest part; over 1 fails."""
    return max(max(post.use for post in posts), max(bay.use for bay in bays))


def _slope_at(stations: Sequence[Station], i: int) -> float:
    """The steepest slope of the cover at a station, half way out from the ridge, rad."""
    here = stations[i]
    half = float(here.half_breadth)
    if half < 0.15:
        return math.pi / 2
    before, after = stations[max(0, i - 1)], stations[min(len(stations) - 1, i + 1)]
    run = float(after.x) - float(before.x)
    across = float(here.ridge) / half
    ridge_along = (float(after.ridge) - float(before.ridge)) / run
    wider = (float(after.half_breadth) - float(before.half_breadth)) / run
    # z = ridge (1 - y/half); half way out dz/dx = ridge'/2 + ridge half' / (2 half).
    along = ridge_along / 2 + across * wider / 2
    return math.atan(math.hypot(across, along))


def _flat_spot(stations: Sequence[Station], slopes: Sequence[float], run: Sequence[int], least: float) -> FlatSpot:
    worst = min(run, key=lambda i: slopes[i])
    short = [float(stations[i].half_breadth) * math.tan(least) - float(stations[i].ridge) for i in run]
    first, last = float(stations[run[0]].x), float(stations[run[-1]].x)
    ponds = slopes[worst] < PONDING_SLOPE
    return FlatSpot(first, last, float(stations[worst].x), slopes[worst], max(0.0, *short), ponds)


def _work(frame: Frame, snow: SnowPolicy, ground: Number) -> tuple[tuple[Post, ...], tuple[Bay, ...]]:
    """Every upright and every bay of ridge strap."""
    edges = [0.0, *map(float, frame.uprights), float(frame.length)]
    halves: list[float] = []  # the load on each half bay, N, bow to stern
    bays = []
    allowed = float(frame.strap_break) * float(frame.efficiency) / STRAP_SAFETY
    for first, last in pairwise(edges):
        middle, span = (first + last) / 2, last - first
        halves += [_carried(frame, snow, ground, first, middle), _carried(frame, snow, ground, middle, last)]
        load = (halves[-2] + halves[-1]) / span
        tension = parabola_tension(load, span, float(frame.sag_share) * span)
        bays.append(Bay(first, last, load, tension, allowed))
    posts = []
    ridge = [(station.x, station.ridge) for station in frame.stations]
    for i, at in enumerate(edges[1:-1]):
        long = float(ridge_height_at(at, ridge)) + float(frame.sole_below)
        column = timber_column(long, frame.timber)
        posts.append(Post(at, long, halves[2 * i + 1] + halves[2 * i + 2], column.allowed, column))
    return tuple(posts), tuple(bays)


def _carried(frame: Frame, snow: SnowPolicy, ground: Number, first: float, last: float) -> float:
    """The snow on the ridge between two places, N: the inner half of both sides, by Simpson's rule."""
    step = (last - first) / _SLICES
    total = 0.0
    for i in range(_SLICES + 1):
        weight = 1 if i in (0, _SLICES) else 4 if i % 2 else 2
        half, ridge = _section(frame.stations, first + i * step)
        slope = math.atan2(ridge, half) if half > 0 else math.pi / 2
        total += weight * snow.load(ground, slope) * half
    return total * step / 3


def _section(stations: Sequence[Station], x: float) -> tuple[float, float]:
    """Half breadth and ridge at a place, straight between stations."""
    for a, b in pairwise(stations):
        if x <= b.x:
            share = (x - float(a.x)) / (float(b.x) - float(a.x))
            half = float(a.half_breadth) + (float(b.half_breadth) - float(a.half_breadth)) * share
            return half, float(a.ridge) + (float(b.ridge) - float(a.ridge)) * share
    return float(stations[-1].half_breadth), float(stations[-1].ridge)


def _findings(flat: Sequence[FlatSpot], posts: Sequence[Post], bays: Sequence[Bay]) -> tuple[Problem, ...]:
    """What is wrong, in the order in which a person would mend it."""
    found = []
    for spot in flat:
        slots: dict[str, object] = {
            "first": length_shown(spot.first),
            "last": length_shown(spot.last),
            "worst": length_shown(spot.worst),
            "slope": Figures(f"{math.degrees(spot.slope):.1f}"),
            "raise": length_shown(spot.raise_by),
        }
        what = "the cover is too flat from %(first)s to %(last)s from the bow: %(slope)s degrees at %(worst)s"
        why = "water stands there" if spot.ponds else "snow does not slide off there"
        found.append(Problem("U341", what, why, "raise the ridge there by %(raise)s", None, slots))
    for bay in bays:
        if bay.use > 1:
            slots = {
                "first": length_shown(bay.first),
                "last": length_shown(bay.last),
                "at": length_shown((bay.first + bay.last) / 2),
                "tension": force_shown(bay.tension),
                "allowed": force_shown(bay.allowed),
            }
            what = "the ridge strap from %(first)s to %(last)s takes %(tension)s and may take %(allowed)s"
            found.append(
                Problem("U342", what, "it may break under snow", "add an upright at %(at)s from the bow", None, slots)
            )
    for post in posts:
        slots = {
            "at": length_shown(post.at),
            "load": force_shown(post.load),
            "allowed": force_shown(post.allowed),
            "length": length_shown(post.length),
            "slender": f"{post.column.slenderness:.0f}",
        }
        if post.use > 1:
            what = "the upright at %(at)s takes %(load)s and may take %(allowed)s"
            mend = "add an upright beside it, or take stouter timber"
            found.append(Problem("U343", what, "it may buckle under snow", mend, None, slots))
        if post.column.is_slender:
            what = "the upright at %(at)s is %(length)s long and too slender: %(slender)s times its thin side"
            mend = "brace it at half height, or take stouter timber"
            found.append(Problem("U344", what, "a timber over 50 times its side is not a column", mend, None, slots))
    return tuple(found)


def _holding(
    frame: Frame, snow: SnowPolicy, ground: Number, posts: tuple[Post, ...], bays: tuple[Bay, ...]
) -> tuple[float, ...]:
    """Uprights that hold: the worst bay is halved until all parts do; empty if that is not reached."""
    for _ in range(MOST_ADDED):
        if _most_used(posts, bays) <= 1:
            return tuple(post.at for post in posts)
        weight = {bay: bay.use for bay in bays}
        for i, post in enumerate(posts):
            longer = max(bays[i], bays[i + 1], key=lambda bay: bay.last - bay.first)
            weight[longer] = max(weight[longer], post.use)
        worst = max(bays, key=lambda bay: weight[bay])
        places = sorted([*map(float, frame.uprights), (worst.first + worst.last) / 2])
        frame = replace(frame, uprights=tuple(places))
        posts, bays = _work(frame, snow, ground)
    return ()


def _check_stations(stations: Sequence[Station]) -> None:
    for station in stations:
        demand((_X, station.x), (_HALF_BREADTH, station.half_breadth), (HEIGHT, station.ridge))
    rising = all(a.x < b.x for a, b in pairwise(stations))
    if len(stations) < 2 or not rising:
        raise contradiction("station", "next station", "nearer to the bow than the next, and two or more")


def _check_frame(frame: Frame) -> None:
    _check_stations(frame.stations)
    demand((LENGTH, frame.length), (Range("sole below the band", "m", 0, 8), frame.sole_below))
    demand((BREAK_FORCE, frame.strap_break), (EFFICIENCY, frame.efficiency), (RATIO, frame.sag_share))
    demand((Range("sag share", "", 0.01, 0.5), frame.sag_share), *((_X, at) for at in frame.uprights))
    edges = (0, *frame.uprights, frame.length)
    if not frame.uprights or any(a >= b for a, b in pairwise(edges)):
        raise contradiction("upright", "next upright", "nearer to the bow than the next, and inside the length")
    ridge = [(station.x, station.ridge) for station in frame.stations]
    demand(*((POST_LENGTH, ridge_height_at(at, ridge) + frame.sole_below) for at in frame.uprights))
