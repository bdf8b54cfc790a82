"""The yard's stock file: what it reads, what it refuses with its place, and that nothing grows when written back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach import paths
from coach.core.problems import QuantityError
from coach.core.sizing.constants import FOOT, INCH, MIL, POUND, POUND_FORCE
from coach.yard.stock import (
    Cylinder,
    FilmRoll,
    Stock,
    StockError,
    StrapCoil,
    TapeRoll,
    Timber,
    load_stock,
    read_stock,
    stock_text,
)

PELL = b"""\
yard: Pell Harbour Boatyard
film:
  r07: {width: 20 ft, left: 96 ft, thickness: 7 mil, colour: white}
  r08: {width: 6 m, left: 29.5 m, thickness: 200 um}
straps:
  s2: {left: 1300 ft, strength: 1500 lbf}
  s3: {left: 40 ft}
cylinders:
  c1: {full: 20 lb, left: 18 lb}
tape:
  t1: {left: 180 ft}
timber:
  eight: {length: 8 ft, count: 14}
counts: {vents: 40, doors: 3, buckles: 120, staples: 900, extinguishers: 2}
"""


def test_a_stock_file_is_read_exactly() -> None:
    assert read_stock(PELL, "stock.yaml") == Stock(
        "Pell Harbour Boatyard",
        (
            FilmRoll("r07", 20 * FOOT, 96 * FOOT, 7 * MIL, "white"),
            FilmRoll("r08", 6, Fraction(59, 2), Fraction(1, 5000)),
        ),
        (StrapCoil("s2", 1300 * FOOT, 1500 * POUND_FORCE), StrapCoil("s3", 40 * FOOT)),
        (Cylinder("c1", 20 * POUND, 18 * POUND),),
        (TapeRoll("t1", 180 * FOOT),),
        (Timber("eight", 8 * FOOT, 14),),
        {"vents": 40, "doors": 3, "buckles": 120, "staples": 900, "extinguishers": 2},
    )


def test_a_file_on_disk_is_read(tmp_path: Path) -> None:
    path = tmp_path / "stock.yaml"
    path.write_bytes(PELL)
    assert load_stock(path) == read_stock(PELL, "stock.yaml")
    with pytest.raises(StockError) as caught:
        load_stock(tmp_path / "none.yaml")
    assert caught.value.problems[0].what == "there is no such file"


def test_an_empty_yard_has_nothing() -> None:
    assert read_stock(b"yard: Pell Harbour Boatyard\n", "stock.yaml") == Stock("Pell Harbour Boatyard")


def test_every_fault_is_told_at_once_with_its_place() -> None:
    text = PELL.replace(b"96 ft", b"96 kg").replace(b"left: 18 lb", b"left: 22 lb").replace(b"vents", b"vants")
    text = text.replace(b"7 mil", b"7 ft").replace(b"count: 14", b"count: -1")
    with pytest.raises(StockError) as caught:
        read_stock(text, "stock.yaml")
    assert [(str(p.place), p.code) for p in caught.value.problems] == [
        ("stock.yaml:3:29", "U104"),
        ("stock.yaml:3:47", "U303"),
        ("stock.yaml:9:27", "P601"),
        ("stock.yaml:13:32", "P204"),
        ("stock.yaml:14:10", "P201"),
    ]
    shown = str(caught.value)
    assert (
        "stock.yaml:9:27: P601 a cylinder has more left than it holds\n"
        "    at    cylinders > c1 > left\n"
        "    9 |   c1: {full: 20 lb, left: 22 lb}\n"
        "      |                           ^\n"
        "    why   one of the two weights is wrong\n"
        "    mend  weigh it again: gross weight less the tare stamped on its collar" in shown
    )


@pytest.mark.parametrize(
    "line",
    [
        b"film: {r1: {width: 20, left: 96 ft, thickness: 7 mil}}",
        b"film: {r1: {width: 20 ft, left: 96 ft}}",
        b"film: [r1, r2]",
        b"film: {r1: {width: 20 ft, left: nan ft, thickness: 7 mil}}",
        b"film: {r1: {width: 20 ft, left: -9 ft, thickness: 7 mil}}",
        b"film: {r1: {width: 20 ft, left: 1e309 ft, thickness: 7 mil}}",
        b"cylinders: {c1: {full: 0 lb, left: 0 lb}}",
        b"counts: {vents: 1.5}",
        b"counts: {vents: 999999999}",
        b"film: &all {}",
        b"tape: {t1: {left: }}",
        b"stuff: 3",
        b"film: {R 7: {width: 20 ft, left: 96 ft, thickness: 7 mil}}",
        b"straps: {s1: {left: 40 ft, strength: 1500 ft}}",
        b"",
        b"\xff\xfe",
        b"film: {r1: {width: 20 ft, left: 96 ft, thickness: 7 mil}, r1: {width: 20 ft, left: 96 ft, thickness: 7 mil}}",
    ],
)
def test_what_no_stock_file_may_say_is_refused(line: bytes) -> None:
    with pytest.raises(StockError) as caught:
        read_stock(line + b"\n", "stock.yaml")
    assert all(problem.place is not None for problem in caught.value.problems)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_what_is_written_is_read_back_and_never_more(system: str) -> None:
    stock = read_stock(PELL, "stock.yaml")
    again = read_stock(stock_text(stock, system).encode(), "again.yaml")
    assert [roll.width for roll in again.film] == [20 * FOOT, 6]
    assert all(new.left <= old.left for new, old in zip(again.film, stock.film, strict=True))
    assert all(new.left <= old.left for new, old in zip(again.cylinders, stock.cylinders, strict=True))
    assert again.counts == stock.counts and again.timber[0].count == 14
    assert read_stock(stock_text(again, system).encode(), "third.yaml") == again


def test_us_text_keeps_whole_feet_and_inches_exact() -> None:
    text = stock_text(
        replace(read_stock(PELL, "s"), film=(FilmRoll("r1", 17 * FOOT, 40 * FOOT + Fraction(27, 8) * INCH, 7 * MIL),))
    )
    assert "  r1: {width: 17 ft, left: 40 ft 3 3/8 in, thickness: 7 mil}\n" in text


def test_a_text_with_quotes_survives() -> None:
    stock = Stock("Pell's 'old' yard: no. 1", (FilmRoll("r1", 6, 20, Fraction(1, 5000), "blue: #2"),))
    again = read_stock(stock_text(stock, "metric").encode(), "s")
    assert (again.yard, again.film[0].colour) == (stock.yard, "blue: #2")


@pytest.mark.parametrize(
    "stock",
    [
        Stock(film=(FilmRoll("r1", 6, -1, Fraction(1, 5000)),)),
        Stock(cylinders=(Cylinder("c1", 9, 10),)),
        Stock(counts={"vents": -1}),
        Stock(straps=(StrapCoil("s1", float("nan")),)),
    ],
)
def test_a_stock_that_cannot_be_is_not_written(stock: Stock) -> None:
    with pytest.raises(QuantityError):
        stock_text(stock)


LENGTHS = st.fractions(min_value=0, max_value=500, max_denominator=10_000)


@given(
    st.fractions(min_value=1, max_value=12, max_denominator=1000),
    LENGTHS,
    st.floats(0, 20),
    st.sampled_from(["us", "metric"]),
)
def test_any_stock_survives_being_written(width: Fraction, left: Fraction, gas: float, system: str) -> None:
    stock = Stock("", (FilmRoll("r1", width, left, 7 * MIL),), (StrapCoil("s1", left),), (Cylinder("c1", 20, gas),))
    again = read_stock(stock_text(stock, system).encode(), "again.yaml")
    assert 0 <= left - again.film[0].left < INCH / 8
    assert -1e-7 <= stock.cylinders[0].left - again.cylinders[0].left < Fraction(5, 100)


def test_the_demonstration_stock_is_a_stock() -> None:
    stock = load_stock(paths.procedures() / "yard" / "demo-stock.yaml")
    assert len(stock.film) == 5 and stock.yard == "Pell Harbour Boatyard"
    assert read_stock(stock_text(stock).encode(), "again.yaml") == stock
