"""The frame under snow: statics by hand, flat spots, and a verdict that its own cure satisfies."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import scipy.integrate
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.sizing import frame as frames
from coach.core.sizing import upright
from coach.core.sizing.constants import FOOT, INCH, POUND_FORCE, PSF
from coach.core.sizing.frame import Frame, Station, check_frame, flat_spots, power_boat_stations
from coach.core.sizing.snow import SnowPolicy
from coach.core.sizing.strap import parabola_tension
from coach.core.sizing.upright import Timber

LENGTH, BEAM = 19 * FOOT, 8 * FOOT
RIDGE = ((0, 4 * INCH), (7 * FOOT, 34 * INCH), (13 * FOOT, 40 * INCH), (19 * FOOT, 26 * INCH))
DUNLIN = Frame(LENGTH, power_boat_stations(LENGTH, BEAM, RIDGE), (7 * FOOT, 13 * FOOT), 24 * INCH, 1500 * POUND_FORCE)
EVEN = SnowPolicy(importance=1.0)


def shed(half: float = 1.0, ridge: float = 1.0, length: float = 8.0) -> Frame:
    """A straight shed of a cover: constant half breadth and ridge, uprights at its quarters."""
    stations = tuple(Station(x, half, ridge) for x in (0.0, length / 2, length))
    return Frame(length, stations, (length / 4, length / 2, 3 * length / 4), 0.5, 20_000)


def test_a_straight_shed_by_hand() -> None:
    """45 degrees: pf = 0.7 x 1.2 x 1000 = 840 Pa, Cs = 25/55, ps = 381.82 Pa on 1 m of each side's inner half."""
    verdict = check_frame(shed(), EVEN, 1000)
    load = 840 * 25 / 55
    assert [post.load for post in verdict.posts] == pytest.approx([load * 2] * 3)
    assert [bay.load for bay in verdict.bays] == pytest.approx([load] * 4)
    assert [bay.tension for bay in verdict.bays] == pytest.approx([parabola_tension(load, 2, 0.2)] * 4)
    assert [bay.allowed for bay in verdict.bays] == pytest.approx([20_000 * 0.7 / 2] * 4)
    assert verdict.word == "holds" and verdict.findings == () and verdict.caution == frames.CAUTION_NOTE
    assert verdict.uprights == (2, 4, 6)
    assert verdict.margin == pytest.approx(1 - max(p.use for p in (*verdict.posts, *verdict.bays)))


def test_the_load_on_a_real_plan_is_its_own_integral() -> None:
    policy, ground = EVEN, float(30 * PSF)
    verdict = check_frame(DUNLIN, policy, ground)

    def line_load(x: float) -> float:
        half, ridge = frames._section(DUNLIN.stations, x)
        return policy.load(ground, math.atan2(ridge, half)) * half

    for post, (first, last) in zip(verdict.posts, ((3.5, 10), (10, 16)), strict=True):
        whole = scipy.integrate.quad(line_load, first * float(FOOT), last * float(FOOT), limit=400)[0]
        assert post.load == pytest.approx(whole, rel=0.01)


def test_dunlin_holds_under_little_snow_and_is_told_where_to_add_an_upright_under_much() -> None:
    assert check_frame(DUNLIN, SnowPolicy(), 20 * PSF).word == "holds"
    verdict = check_frame(DUNLIN, SnowPolicy(), 60 * PSF)
    assert verdict.word == "add_upright"
    first = verdict.findings[0]
    assert first.code == "U342"
    assert str(first) == (
        "U342 the ridge strap from 0 in to 7 ft takes 532 lbf and may take 525 lbf\n"
        "    why   it may break under snow\n"
        "    mend  add an upright at 3' 6\" from the bow"
    )
    cured = check_frame(replace(DUNLIN, uprights=verdict.uprights), SnowPolicy(), 60 * PSF)
    assert cured.word == "holds"


def test_a_flat_stern_is_found_and_the_raise_that_is_told_cures_it() -> None:
    ridge = ((0, 4 * INCH), (7 * FOOT, 30 * INCH), (19 * FOOT, 6 * INCH))
    stations = power_boat_stations(LENGTH, BEAM, ridge)
    spots = flat_spots(stations)
    assert len(spots) == 1
    assert spots[0].last == pytest.approx(float(LENGTH)) and spots[0].worst == pytest.approx(float(LENGTH))
    assert not spots[0].ponds
    # 48 in x tan 15 = 12.86 in; the ridge there is 6 in.
    assert spots[0].raise_by == pytest.approx(float((12.8616 - 6) * float(INCH)), abs=1e-4)
    raised = tuple(replace(s, ridge=s.ridge + spots[0].raise_by) for s in stations)
    assert flat_spots(raised) == ()
    verdict = check_frame(replace(DUNLIN, stations=stations), SnowPolicy(), 10 * PSF)
    assert verdict.word == "steepen"
    assert verdict.findings[0].mend % dict(verdict.findings[0].slots) == "raise the ridge there by 6 7/8 in"


def test_a_level_cover_ponds() -> None:
    level = tuple(Station(x, 1.2, 0.02) for x in (0.0, 2.0, 4.0))
    spot = flat_spots(level)[0]
    assert spot.ponds and spot.slope < frames.PONDING_SLOPE
    assert (spot.first, spot.last) == (0.0, 4.0)


def test_a_long_thin_upright_is_to_be_stiffened() -> None:
    tall = replace(shed(), sole_below=1.2)
    verdict = check_frame(tall, EVEN, 300)
    assert verdict.word == "stiffen"
    assert [finding.code for finding in verdict.findings] == ["U344"] * 3
    stout = replace(tall, timber=Timber(thin=Timber().wide))
    assert check_frame(stout, EVEN, 300).word == "holds"


@settings(max_examples=30, deadline=None)
@given(st.floats(0, 5000), st.floats(0, 5000))
def test_more_snow_never_betters_a_verdict(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert check_frame(DUNLIN, SnowPolicy(), more).margin <= check_frame(DUNLIN, SnowPolicy(), less).margin + 1e-9


@settings(max_examples=30, deadline=None)
@given(st.floats(100, 5000))
def test_the_uprights_that_are_told_hold(ground: float) -> None:
    verdict = check_frame(DUNLIN, SnowPolicy(), ground)
    if verdict.uprights:
        assert check_frame(replace(DUNLIN, uprights=verdict.uprights), SnowPolicy(), ground).margin >= 0


@pytest.mark.parametrize(
    "broken",
    [
        replace(DUNLIN, uprights=()),
        replace(DUNLIN, uprights=(13 * FOOT, 7 * FOOT)),
        replace(DUNLIN, uprights=(25 * FOOT,)),
        replace(DUNLIN, stations=DUNLIN.stations[:1]),
        replace(DUNLIN, strap_break=0),
        replace(DUNLIN, sag_share=0),
        replace(DUNLIN, sole_below=math.nan),
        replace(DUNLIN, stations=tuple(reversed(DUNLIN.stations))),
    ],
)
def test_a_frame_that_cannot_be_is_refused(broken: Frame) -> None:
    with pytest.raises(QuantityError):
        check_frame(broken, SnowPolicy(), 1000)


def test_each_upright_carries_half_of_both_its_bays() -> None:
    assert upright.tributary_runs(19 * FOOT, (7 * FOOT, 13 * FOOT)) == (13 * FOOT / 2, 6 * FOOT)
    assert upright.tributary_runs(8.0, (2.0, 4.0, 6.0)) == (2.0, 2.0, 2.0)
