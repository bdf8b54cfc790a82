"""The day's load: cut by hand for a few boats, and its promises for any day."""

from __future__ import annotations

import itertools
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.sizing.constants import FOOT, INCH, MIL, POUND, Number
from coach.core.sizing.film import USUAL_WIDTHS
from coach.core.sizing.rolls import USEFUL, Roll, Sheet, _Bench, roll_plan
from coach.yard.loadlist import LoadList, Requirement, Shortage, load_list, requirement_of, stock_after
from coach.yard.loadtext import load_stages, load_text
from coach.yard.stock import Cylinder, FilmRoll, Stock, StrapCoil, TapeRoll, Timber, read_stock, stock_text

DUNLIN = Requirement(
    "Dunlin",
    12 * FOOT,
    27 * FOOT,
    strap=180 * FOOT,
    uprights=(57 * INCH, 38 * INCH),
    tape=50 * FOOT,
    propane=Fraction(1, 3),
    buckles=6,
    staples=8,
    vents=4,
)
GREBE = Requirement(
    "Grebe",
    18 * FOOT + 4 * INCH,
    44 * FOOT,
    strap=260 * FOOT,
    uprights=(80 * INCH,),
    tape=70 * FOOT,
    propane=Fraction(3, 5),
    buckles=9,
    vents=6,
)
TEAL = replace(DUNLIN, boat="Teal", film_length=30 * FOOT)
COOT = Requirement("Coot", 26 * FOOT, 33 * FOOT, strap=200 * FOOT, propane=Fraction(1, 2))
PELL = Stock(
    "Pell Harbour Boatyard",
    (
        FilmRoll("r1", 12 * FOOT, 60 * FOOT, 7 * MIL),
        FilmRoll("r2", 17 * FOOT, 40 * FOOT, 7 * MIL),
        FilmRoll("r3", 20 * FOOT, 96 * FOOT, 8 * MIL),
    ),
    (StrapCoil("s1", 300 * FOOT), StrapCoil("s2", 1200 * FOOT)),
    (
        Cylinder("c1", 20 * POUND, 18 * POUND),
        Cylinder("c2", 20 * POUND, 20 * POUND),
        Cylinder("c3", 20 * POUND, 3 * POUND),
    ),
    (TapeRoll("t1", 180 * FOOT), TapeRoll("t2", 40 * FOOT)),
    (Timber("eight", 8 * FOOT, 4), Timber("ten", 10 * FOOT, 4)),
    {"vents": 40, "doors": 5, "buckles": 40, "staples": 100, "extinguishers": 1},
)


def test_two_boats_from_one_roll_and_the_end_is_kept() -> None:
    """Dunlin 27 ft and Teal 30 ft take 57 ft of the 60 ft roll of just their width; 3 ft are too short to keep."""
    load = load_list([DUNLIN, TEAL], PELL)
    assert [(cut.boat, cut.roll) for cut in load.film] == [("Dunlin", "r1"), ("Teal", "r1")]
    assert [(end.id, end.left, end.is_useful) for end in load.offcuts if end.id == "r1"] == [("r1", 3 * FOOT, False)]
    # 3 ft x 12 ft of 7 mil at 920 kg/m3: 0.9144 x 3.6576 x 0.0001778 x 920 = 0.5471 kg.
    assert load.waste == pytest.approx(0.5471, abs=1e-4)
    assert load.is_proven and load.bound == load.waste <= load.first_fit
    assert load.shortages == ()


def test_a_long_end_is_kept() -> None:
    load = load_list([DUNLIN], PELL)
    assert [(end.id, end.left, end.is_useful) for end in load.offcuts if end.id == "r1"] == [("r1", 33 * FOOT, True)]
    assert load.waste == pytest.approx(0, abs=1e-12)


def test_a_boat_wider_than_every_roll_gets_two_films_with_a_lap() -> None:
    load = load_list([COOT], PELL)
    parts = [(cut.roll, cut.width, cut.part) for cut in load.film]
    assert sorted(parts) == [("r1", 10 * FOOT, 2), ("r2", 17 * FOOT, 1)]
    assert sum(cut.width for cut in load.film) - FOOT == COOT.film_width


def test_uprights_come_from_the_fewest_timbers() -> None:
    load = load_list([DUNLIN, TEAL, GREBE], PELL)
    assert sorted(tuple(length for _, length in cut.pieces) for cut in load.timber) == [
        (57 * INCH, 38 * INCH),
        (57 * INCH, 38 * INCH),
        (80 * INCH,),
    ]
    assert {cut.timber for cut in load.timber} == {"eight"}


def test_timber_that_runs_out_is_taken_longer_and_then_told() -> None:
    few = replace(PELL, timber=(Timber("eight", 8 * FOOT, 1), Timber("ten", 10 * FOOT, 1)))
    load = load_list([DUNLIN, TEAL, GREBE], few)
    assert [cut.timber for cut in load.timber] == ["eight", "ten"]
    cut = [piece for one in load.timber for piece in one.pieces]
    missing = [(s.boat, s.amount) for s in load.shortages if s.thing == "timber"]
    due = [(boat.boat, length) for boat in (DUNLIN, TEAL, GREBE) for length in boat.uprights]
    assert sorted(cut + missing) == sorted(due) and missing


def test_the_fullest_cylinders_go_and_one_spare() -> None:
    load = load_list([DUNLIN, GREBE], PELL)
    assert [cylinder.id for cylinder in load.cylinders] == ["c2", "c1"]
    lone = load_list([DUNLIN], replace(PELL, cylinders=PELL.cylinders[:1]))
    assert lone.shortages == (Shortage("spare", "", 1),)
    none = load_list([DUNLIN], replace(PELL, cylinders=()))
    assert none.shortages == (Shortage("propane", "", Fraction(1, 3)),)


def test_every_shortage_is_told() -> None:
    poor = Stock("", (), (), (), (), (), {"vents": 1, "doors": 0, "buckles": 2, "staples": 0, "extinguishers": 0})
    things = [(s.thing, s.boat, s.amount) for s in load_list([DUNLIN], poor).shortages]
    assert things == [
        ("film", "Dunlin", 27 * FOOT),
        ("strap", "Dunlin", 180 * FOOT),
        ("timber", "Dunlin", 57 * INCH),
        ("timber", "Dunlin", 38 * INCH),
        ("tape", "", 50 * FOOT),
        ("propane", "", Fraction(1, 3)),
        ("buckles", "", 4),
        ("staples", "", 8),
        ("vents", "", 3),
        ("doors", "", 1),
        ("extinguishers", "", 1),
    ]


def test_thin_film_is_never_taken_for_thick() -> None:
    load = load_list([replace(DUNLIN, thickness=8 * MIL)], PELL)
    assert [cut.roll for cut in load.film] == ["r3"]
    assert load_list([replace(DUNLIN, thickness=10 * MIL)], PELL).shortages[0].thing == "film"


def test_the_printed_list() -> None:
    assert (
        load_text(load_list([DUNLIN, TEAL], PELL))
        == """\
Load for Dunlin, Teal

Safety
  [ ] wind meter, gas detector if the policy asks for one
  [ ] extinguisher 2-A:20-B:C or better
  [ ] tags and bright tape for the fuel vents
  [ ] gloves and eye protection for each person

Frame
  [ ] timber eight: cut 4' 9" (Dunlin), 3' 2" (Dunlin)
  [ ] timber eight: cut 4' 9" (Teal), 3' 2" (Teal)
  [ ] strap s1: 180 ft for Dunlin
  [ ] strap s2: 180 ft for Teal
  [ ] buckles: 12
  [ ] staples: 16

Film
  [ ] roll r1: 27 ft for Dunlin, 12 ft wide
  [ ] roll r1: 30 ft for Teal, 12 ft wide
  [ ] recycle the end of r1, 3 ft
  [ ] film that covers no boat: 1.2 lb, and no cutting leaves less

Heat
  [ ] heat tool with hose and regulator
  [ ] soapy water for the leak test
  [ ] cylinder c2, 20 lb in it, upright and tied
  [ ] cylinder c1, 18 lb in it, upright and tied
  [ ] propane to expect: 1.5 lb, a rough figure

Finish
  [ ] vents: 8
  [ ] doors: 2
  [ ] tape t2: 40 ft
  [ ] tape t1: 60 ft
"""
    )


def test_an_empty_day_loads_nothing() -> None:
    load = load_list([], PELL)
    assert load_text(load) == "Nothing to load\n"
    assert load_stages(load) == ()
    assert stock_after(PELL, load) == PELL


def test_every_shortage_has_words_in_both_systems() -> None:
    poor = Stock("", (), (), (), (), (), {"vents": 1, "doors": 0, "buckles": 2, "staples": 0, "extinguishers": 0})
    for system in ("us", "metric"):
        short = load_stages(load_list([DUNLIN], poor), system)[0]
        assert short.title == "Short" and len(short.lines) == 11
        assert all("%" not in str(line) for line in short.lines)
    assert (
        str(short.lines[0])
        == "no roll for Dunlin, 3.66 m wide and 8.23 m long: order one, or move the boat to another day"
    )


def test_the_numbers_of_a_procedure_make_a_requirement() -> None:
    numbers: dict[str, Number] = {
        "film_width": 12 * FOOT,
        "film_length": 27 * FOOT,
        "strap_total": 180 * FOOT,
        "uprights": Fraction(2),
        "upright_height": 57 * INCH,
        "seam_tape": 50 * FOOT,
        "propane": 0.32,
        "buckles": Fraction(6),
        "staples": 8,
        "vents": 4,
    }
    boat = requirement_of("Dunlin", numbers)
    assert (boat.uprights, boat.buckles, boat.vents, boat.doors) == ((57 * INCH, 57 * INCH), 6, 4, 1)
    with pytest.raises(QuantityError) as caught:
        requirement_of("Dunlin", {"film_width": 12 * FOOT})
    assert str(caught.value).splitlines()[0] == "L600 Dunlin has no film_length yet"


def test_a_requirement_that_cannot_be_is_refused() -> None:
    for broken in (replace(DUNLIN, film_width=0), replace(DUNLIN, vents=-1), replace(DUNLIN, propane=float("nan"))):
        with pytest.raises(QuantityError):
            load_list([broken], PELL)


def day(count: int, seed: int) -> list[Requirement]:
    """A day of boats of all sizes, made by arithmetic from a seed."""
    boats = []
    for i in range(count):
        turn = (seed * 7919 + i * 104_729) % 9973
        width, length = (10 + turn % 16) * FOOT, (16 + turn // 16 % 34) * FOOT
        uprights = tuple((24 + (turn * k) % 50) * INCH for k in range(1, 1 + turn % 4))
        boats.append(
            Requirement(
                f"boat {i}",
                width,
                length,
                strap=(80 + turn % 200) * FOOT,
                uprights=uprights,
                tape=40 * FOOT,
                propane=0.3,
            )
        )
    return boats


def stand(count: int, seed: int) -> Stock:
    rolls = tuple(
        FilmRoll(f"r{i}", USUAL_WIDTHS[(seed + i * 5) % 8], (40 + (seed * 31 + i * 17) % 110) * FOOT, 7 * MIL)
        for i in range(count)
    )
    timber = (Timber("eight", 8 * FOOT, 500),)
    cylinders = tuple(Cylinder(f"c{i}", 20 * POUND, 20 * POUND) for i in range(40))
    return Stock(
        "",
        rolls,
        tuple(StrapCoil(f"s{i}", 1300 * FOOT) for i in range(20)),
        cylinders,
        (TapeRoll("t1", 4000 * FOOT),),
        timber,
    )


def holds_together(boats: list[Requirement], stock: Stock, load: LoadList) -> None:
    """Nothing is cut twice, from thin air, too narrow or too short, and nothing is left out in silence."""
    rolls = {roll.id: roll for roll in stock.film}
    for roll in stock.film:
        assert sum(cut.length for cut in load.film if cut.roll == roll.id) <= roll.left
    short = {s.boat for s in load.shortages if s.thing == "film"}
    for boat in boats:
        cuts = [cut for cut in load.film if cut.boat == boat.boat]
        assert all(cut.length == boat.film_length and rolls[cut.roll].width >= cut.width for cut in cuts)
        if boat.boat not in short:
            assert sum(cut.width for cut in cuts) - FOOT * (len(cuts) - 1) == boat.film_width
        for_boat = sum(cut.length for cut in load.strap if cut.boat == boat.boat)
        missing = sum(s.amount for s in load.shortages if (s.thing, s.boat) == ("strap", boat.boat))
        assert for_boat + missing == boat.strap
    assert load.bound <= load.waste + 1e-9
    after = stock_after(stock, load)
    assert read_stock(stock_text(after).encode(), "after.yaml").film[0].left <= stock.film[0].left


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 14), st.integers(1, 10), st.integers(0, 9000))
def test_any_day_holds_together_and_wastes_no_more_than_first_fit(boats: int, rolls: int, seed: int) -> None:
    requirements, stock = day(boats, seed), stand(rolls, seed)
    load = load_list(requirements, stock)
    holds_together(requirements, stock, load)
    if not any(shortage.thing == "film" for shortage in load.shortages):
        assert load.waste <= load.first_fit + 1e-9
    assert load_list(requirements, stock) == load


def test_sixty_boats_hold_together() -> None:
    requirements, stock = day(60, 3), stand(60, 5)
    load = load_list(requirements, stock)
    holds_together(requirements, stock, load)
    assert load.waste <= load.first_fit


def least_waste_by_hand(sheets: list[Sheet], rolls: list[Roll]) -> tuple[int, float]:
    """Every assignment tried: the fewest sheets left out, then the least film on no boat, m3."""
    best = (len(sheets) + 1, 0.0)
    for homes in itertools.product([None, *range(len(rolls))], repeat=len(sheets)):
        left, waste, out = [roll.left for roll in rolls], Fraction(0), 0
        for sheet, home in zip(sheets, homes, strict=True):
            if home is None:
                out += 1
                continue
            roll = rolls[home]
            left[home] -= sheet.length
            if roll.width < sheet.width or roll.thickness < sheet.thickness:
                break
            waste += (roll.width * roll.thickness - sheet.width * sheet.thickness) * sheet.length
        else:
            if min(left) >= 0:
                for roll, rest in zip(rolls, left, strict=True):
                    if 0 < rest < USEFUL and rest < roll.left:
                        waste += rest * roll.width * roll.thickness
                best = min(best, (out, float(waste)))
    return best


SHEETS = st.builds(
    Sheet,
    st.integers(10, 24).map(lambda n: n * FOOT),
    st.integers(15, 45).map(lambda n: n * FOOT),
    st.sampled_from([6 * MIL, 7 * MIL]),
)
ROLLS = st.builds(
    Roll,
    st.sampled_from(USUAL_WIDTHS[:8]),
    st.integers(30, 150).map(lambda n: n * FOOT),
    st.sampled_from([6 * MIL, 7 * MIL, 8 * MIL]),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(SHEETS, min_size=1, max_size=5), st.lists(ROLLS, min_size=1, max_size=3))
def test_a_small_day_is_cut_with_the_least_waste_there_is(sheets: list[Sheet], rolls: list[Roll]) -> None:
    plan = roll_plan(sheets, rolls)
    assert plan.is_proven
    out, waste = least_waste_by_hand(sheets, rolls)
    assert plan.homes.count(None) == out
    assert plan.waste == pytest.approx(waste, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.lists(SHEETS, min_size=1, max_size=14), st.lists(ROLLS, min_size=1, max_size=8))
def test_moves_and_swaps_never_make_a_plan_dearer(sheets: list[Sheet], rolls: list[Roll]) -> None:
    bench = _Bench(sheets, rolls, USEFUL)
    start = bench.greedy(bench.by_length, bench.first_fit)
    better = bench.bettered(start)
    assert bench.cost(better) <= bench.cost(start) + 1e-9
    assert min(bench.left_of(better)) >= 0
