"""Every number that people read has the decimal mark of their language: drills, load list, frame, refused values.

Source: CLDR through Babel's format_decimal, without marks between thousands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from babel.numbers import format_decimal

from coach import language
from coach.core.model import Measure
from coach.core.policy import FrameRules
from coach.core.problems import Place, PolicyError, QuantityError
from coach.core.quantity import Quantity
from coach.core.sizing.constants import PSF
from coach.core.sizing.frame import check_frame
from coach.core.sizing.ranges import BEAM
from coach.core.sizing.snow import SnowPolicy
from coach.formats import REGIONS, decimal_text, quantity_text
from coach.practice.looks import built_in
from coach.practice.trial import Row, table
from coach.view.frame_check import _told
from coach.view.load import load_lines, load_view
from coach.view.measures import read_typed
from coach.view.texts import rendered
from coach.yard.loadlist import load_list
from coach.yard.policy_file import read_policy
from tests.core.sizing.test_frame import DUNLIN
from tests.practice.by_hand import prepared
from tests.yard.test_loadlist import DUNLIN as DUNLINS_LOAD
from tests.yard.test_loadlist import PELL

NUMBER = re.compile(r"[0-9]+[.,][0-9]+")
LENGTH = Measure("beam", "Beam of the hull", "length", Place("x.yaml"))
LOOSE = b"yard: Pell Harbour Boatyard\nlimits:\n  wind_mean: {value: 20 mph, source: our habit}\n"


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    yield
    language.use("en")


def in_babels_way(code: str, text: str) -> list[str]:
    """The numbers with a mark in a text; the test fails if one is not written as Babel writes it."""
    found = NUMBER.findall(text)
    for each in found:
        places = len(re.split("[.,]", each)[1])
        due = format_decimal(Decimal(each.replace(",", ".")), "0." + "0" * places, REGIONS[code], group_separator=False)
        assert each == due, text
    return found


@pytest.mark.parametrize("code", language.LANGUAGES)
@pytest.mark.parametrize("value", ["4.7", "12.1", "0.05", "1234.5"])
def test_a_number_is_written_as_babel_writes_it(code: str, value: str) -> None:
    language.use(code)
    due = format_decimal(Decimal(value), locale=REGIONS[code], group_separator=False)
    assert quantity_text(Quantity(Fraction(value)), "count", "us") == due
    assert decimal_text(float(value), len(value.split(".")[1])) == due


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_the_wind_and_the_measures_of_a_drill(code: str, monkeypatch: pytest.MonkeyPatch) -> None:
    language.use(code)
    run = prepared("gust-at-the-sides").run("ana")
    assert len(in_babels_way(code, run.look("wind"))) >= 2  # the mean and the gusts, in mph
    monkeypatch.setattr(run.rules, "policy", replace(run.rules.policy, units="metric"))
    told = run.look("wind")
    assert "m/s" in told and "mph" not in told
    assert len(in_babels_way(code, told)) >= 2
    measured = [look.id for id in run.rules.procedure.measures if (look := built_in(run, f"measure {id}"))]
    assert sum(len(in_babels_way(code, run.look(id))) for id in measured) >= 1


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_the_load_list(code: str) -> None:
    language.use(code)
    for system in ("us", "metric"):
        text = "\n".join(load_lines(load_view(load_list([DUNLINS_LOAD], PELL), (), system)))
        assert in_babels_way(code, text)


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_the_frame_under_snow_in_the_readers_own_units(code: str) -> None:
    language.use(code)
    view = _told(check_frame(DUNLIN, SnowPolicy(), 60 * PSF), FrameRules(round(60 * PSF), "asce7-16"), "metric", "")
    assert len(in_babels_way(code, "\n".join([*view.lines, *(value for _name, value in view.numbers)]))) >= 10
    us = _told(check_frame(DUNLIN, SnowPolicy(), 60 * PSF), FrameRules(round(60 * PSF), "asce7-16"), "us", "")
    assert "532 lbf" in us.lines[0] and "7 ft" in us.lines[0]


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_a_value_that_is_refused(code: str) -> None:
    language.use(code)
    fault = BEAM.fault(12.345)
    assert fault is not None and in_babels_way(code, rendered(fault)) == [decimal_text(12.345, 3), *[decimal_text(0.5, 1)] * 2]
    with pytest.raises(QuantityError) as refused:
        read_typed(LENGTH, "", "metric")
    assert in_babels_way(code, rendered(refused.value.problems[0])) == [decimal_text(1.68, 2)]
    with pytest.raises(QuantityError) as cold:
        read_typed(replace(LENGTH, kind="temperature"), "-300 °C", "metric")
    assert in_babels_way(code, rendered(cold.value.problems[0])) == [decimal_text(273.15, 2)] * 2


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_a_limit_beyond_its_floor(code: str) -> None:
    language.use(code)
    with pytest.raises(PolicyError) as loose:
        read_policy(LOOSE, "policy.yaml")
    assert in_babels_way(code, rendered(loose.value.problems[0]))[:2] == [decimal_text(17.0, 1), decimal_text(7.6, 1)]


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_the_table_of_simulated_trainees(code: str) -> None:
    language.use(code)
    (_heads, line) = table([Row("slack-band", "hasty", 20, 15, 86.5, 0, 0, 0, 0)])
    assert in_babels_way(code, line) == [decimal_text(86.5, 1)]
