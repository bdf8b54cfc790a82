"""Straps: lengths of ridge, cross straps and perimeter band, their force under load, and how far they give.

Rules kept here:
 1. A strap under load takes an even load along the horizontal (parabola); good while the sag is under an eighth of
    the span. Halving the sag doubles the force.
 2. Stretch is working stretch only. The trade says that the cord gives 1 to 2 % just before it breaks; published
    polyester yarn breaks near 13 %. So no strength margin is ever derived from a stretch.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from coach.core.sizing.constants import FOOT, INCH, Number
from coach.core.sizing.girth import taut_girth
from coach.core.sizing.outline import parabola_arc
from coach.core.sizing.ranges import ALLOWANCE, BEAM, DISTANCE, HEIGHT, Range, contradiction, demand
from coach.core.sizing.rounding import ceil_of, hypotenuse

KNOT_AND_LOOP = 24 * INCH  # m of strap a joint: both loops at a buckle and the tails; common practice, no source
LOOP_SPACING = 8 * FOOT  # m between hanging loops of the perimeter band; common practice, no source
LOOP_LENGTH = 4 * FOOT  # m of strap a hanging loop; common practice, no source
BREAK_STRETCH_TRADE = (0.01, 0.02)  # said in the trade; credible as working stretch only
BREAK_STRETCH_YARN = 0.13  # polyester yarn at break, a fibre maker's comparative table
JOINT_EFFICIENCY = 0.7  # of a buckled joint; from memory, an input of the policy

PERIMETER = Range("perimeter", "m", 1, 200)
SPAN = Range("span", "m", 0.05, 30)
SAG = Range("sag", "m", 0.001, 5)
LINE_LOAD = Range("load along the strap", "N/m", 0, 50_000)
FORCE = Range("force", "N", 0, 200_000)
FRICTION = Range("friction", "", 0, 1.5)
WRAP = Range("wrap angle", "rad", 0, 12 * math.pi)
STIFFNESS = Range("stiffness", "N", 100, 100_000_000)
STRETCH = Range("stretch at break", "", 0.001, 1)
BREAK_FORCE = Range("breaking force", "N", 100, 200_000)
LOOP_SPACINGS = Range("loop spacing", "m", 0.25, 10)
EFFICIENCY = Range("joint efficiency", "", 0.1, 1)


def cross_strap(beam: Number, height: Number, allowance: Number) -> Number:
    """The length of one strap from side to side over an upright.

    Args:
        beam: at this upright, m, 0.5 to 12.
        height: top of the upright above the band, m, 0 to 8.
        allowance: for loops, knots and tails, m, 0 to 20.

    Returns:
        2 sqrt((beam/2)^2 + height^2) + allowance, m; exact where the root is rational.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Pythagoras, both sides alike.
    """
    demand((BEAM, beam), (HEIGHT, height), (ALLOWANCE, allowance))
    return 2 * hypotenuse(beam / 2, height) + allowance


def ridge_strap(length: Number, bow_rise: Number, stern_rise: Number, allowance: Number) -> Number:
    """The length of the ridge strap from the bow over the uprights to the stern.

    Args:
        length: level run from the bow fitting to the stern fitting, m, 0 to 60.
        bow_rise: ridge over the bow fitting, m, 0 to 8.
        stern_rise: ridge over the stern fitting, m, 0 to 8.
        allowance: for loops, knots and tails, m, 0 to 20.

    Returns:
        Two straight pieces to a high point at mid-run, plus the allowance, m. Exact where the roots are rational.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Pythagoras; for a ridge with several uprights use `ridge_strap_over`.
    """
    demand((DISTANCE, length), (HEIGHT, bow_rise), (HEIGHT, stern_rise), (ALLOWANCE, allowance))
    return hypotenuse(length / 2, bow_rise) + hypotenuse(length / 2, stern_rise) + allowance


def ridge_strap_over(points: Sequence[tuple[Number, Number]], allowance: Number) -> Number:
    """The length of a taut ridge strap over its supports.

    Args:
        points: (distance from the bow, height above the band) of fittings and upright tops, m, two or more.
        allowance: for loops, knots and tails, m, 0 to 20.

    Returns:
        The taut line over the supports plus the allowance, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U305: fewer than two points.

    Source: upper hull, as `girth.taut_line`.
    """
    demand((ALLOWANCE, allowance))
    return taut_girth(points) + allowance


def loop_count(perimeter: Number, spacing: Number = LOOP_SPACING) -> int:
    """How many loops hang the perimeter band level around the hull.

    Args:
        perimeter: way round the hull at the rail, m, 1 to 200.
        spacing: between loops, m, 0.25 to 10.

    Returns:
        At least four: both bows and both quarters.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((PERIMETER, perimeter), (LOOP_SPACINGS, spacing))
    return max(4, ceil_of(perimeter / spacing))


def perimeter_band(perimeter: Number, allowance: Number = KNOT_AND_LOOP) -> Number:
    """The strap cut for the perimeter band, with its buckle at the stern.

    Args:
        perimeter: way round the hull at the rail, m, 1 to 200.
        allowance: for the loops at the buckle and the tails, m, 0 to 20.

    Returns:
        perimeter + allowance, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition; allowance by common practice, no source.
    """
    demand((PERIMETER, perimeter), (ALLOWANCE, allowance))
    return perimeter + allowance


def parabola_pull(load: Number, span: Number, sag: Number) -> Number:
    """The level pull of a strap under an even load.

    Args:
        load: along the horizontal, N/m, 0 to 50 000.
        span: between level supports, m, 0.05 to 30.
        sag: at mid-span, m, 0.001 to 5, at most half the span.

    Returns:
        H = w L^2 / (8 s), N.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a sag over half the span.

    Source: Civil Engineering Formulas eq. 10.81-10.85; 20 lb/ft, 8 ft, 6 in gives 320 lb.
    """
    _check_sag(span, sag)
    demand((LINE_LOAD, load))
    return load * span * span / (8 * sag)


def parabola_tension(load: Number, span: Number, sag: Number) -> float:
    """The largest tension, at the supports, of a strap under an even load.

    Args:
        load: along the horizontal, N/m, 0 to 50 000.
        span: between level supports, m, 0.05 to 30.
        sag: at mid-span, m, 0.001 to 5, at most half the span.

    Returns:
        (w L/2) sqrt(1 + L^2 / (16 s^2)), N.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a sag over half the span.

    Source: Civil Engineering Formulas eq. 10.81-10.85; 20 lb/ft, 8 ft, 6 in gives 329.85 lb.
    """
    _check_sag(span, sag)
    demand((LINE_LOAD, load))
    return float(load) * float(span) / 2 * math.sqrt(1 + (float(span) / (4 * float(sag))) ** 2)


def sagging_length(span: Number, sag: Number) -> float:
    """The length of a strap that sags between level supports, exact.

    Args:
        span: m, 0.05 to 30.
        sag: m, 0.001 to 5, at most half the span.

    Returns:
        The parabola's arc, m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a sag over half the span.

    Source: calculus; 8 ft, 6 in gives 8.08257 ft.
    """
    _check_sag(span, sag)
    return parabola_arc(span, sag)


def sag_of(load: Number, span: Number, pull: Number) -> Number:
    """The sag at which a strap carries an even load with a given level pull.

    Args:
        load: along the horizontal, N/m, 0 to 50 000.
        span: m, 0.05 to 30.
        pull: N, 0 to 200 000, not 0.

    Returns:
        w L^2 / (8 H), m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: the parabola's pull, turned round.
    """
    demand((LINE_LOAD, load), (SPAN, span), (Range("pull", "N", 0.001, 200_000), pull))
    return load * span * span / (8 * pull)


def capstan(slack_side: Number, friction: Number, wrap: Number) -> float:
    """The force on the tight side of a strap that just slips over a support.

    Args:
        slack_side: N, 0 to 200 000.
        friction: coefficient, 0 to 1.5 (polyester on timber 0.2 to 0.4, from memory).
        wrap: the angle through which the strap turns, rad, 0 to 12 pi.

    Returns:
        T1 exp(mu b), N. 90 degrees at 0.3 gives 1.602: tightened from one end, the far side may stay 40 % slacker.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Euler-Eytelwein; Beer and Johnston, Statics 10th ed., problem 8.104.
    """
    demand((FORCE, slack_side), (FRICTION, friction), (WRAP, wrap))
    return float(slack_side) * math.exp(float(friction) * float(wrap))


def capstan_friction(tight_side: Number, slack_side: Number, wrap: Number) -> float:
    """The friction that a pair of forces over a support shows.

    Args:
        tight_side, slack_side: N, 0.001 to 200 000, the tight side not less than the slack.
        wrap: rad, 0.001 to 12 pi.

    Returns:
        ln(T2/T1) / b.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or the sides the wrong way round.

    Source: Euler-Eytelwein; 5000 lb held by 80 lb with two turns gives 0.329.
    """
    pull = Range("force", "N", 0.001, 200_000)
    demand((pull, tight_side), (pull, slack_side), (Range("wrap angle", "rad", 0.001, 12 * math.pi), wrap))
    if tight_side < slack_side:
        raise contradiction("tight side", "slack side", "not less than the slack side")
    return math.log(float(tight_side) / float(slack_side)) / float(wrap)


def stiffness(break_force: Number, break_stretch: Number) -> Number:
    """The stiffness EA of a strap taken as straight from nothing to its break.

    Args:
        break_force: printed on the coil, N, 100 to 200 000.
        break_stretch: share of the length at break, 0.001 to 1 (published polyester yarn 0.13).

    Returns:
        EA, N.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: e = T/(EA); 1000 lb at 1, 2, 13 % gives 100 000, 50 000, 7692 lb.
    """
    demand((BREAK_FORCE, break_force), (STRETCH, break_stretch))
    return break_force / break_stretch


def working_stretch(length: Number, force: Number, stiff: Number) -> Number:
    """How much longer a strap gets under its working force.

    Args:
        length: m, 0 to 60.
        force: N, 0 to 200 000.
        stiff: EA, N, 100 to 1e8.

    Returns:
        The stretch, m. Not a sign of nearing the break.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: e = T/(EA).
    """
    demand((DISTANCE, length), (FORCE, force), (STIFFNESS, stiff))
    return length * force / stiff


def loop_strength(break_force: Number, efficiency: Number = JOINT_EFFICIENCY) -> Number:
    """What a closed, buckled loop of strap carries: two legs, each less the loss at its joint.

    Args:
        break_force: printed on the coil, N, 100 to 200 000.
        efficiency: of the joint, 0.1 to 1.

    Returns:
        2 x break x efficiency, N.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: general packaging practice; the efficiency is from memory.
    """
    demand((BREAK_FORCE, break_force), (EFFICIENCY, efficiency))
    return 2 * break_force * efficiency


@dataclass(frozen=True)
class StrapList:
    """What one boat takes from the strap coil and the hardware box."""

    ridge: Number
    cross: tuple[Number, ...]
    perimeter: Number
    loops: int
    belly: Number
    buckles: int
    staples: int

    @property
    def total(self) -> Number:
        """All strap, m."""
        return self.ridge + sum(self.cross) + self.perimeter + self.loops * LOOP_LENGTH + self.belly


def _check_sag(span: Number, sag: Number) -> None:
    demand((SPAN, span), (SAG, sag))
    if sag > span / 2:
        raise contradiction("sag", "span", "not more than half the span")
