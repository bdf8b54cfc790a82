"""The pictures of every worked boat: each kind has its own outline, what is asked is marked, things stand where they are worked out."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest

from coach.core.numbers import Value
from coach.core.quantity import Quantity, si_number
from coach.core.rules import Rules
from coach.core.sizing.air import vent_positions
from coach.core.sizing.registry import FUNCTIONS
from coach.core.sizing.upright import upright_positions
from coach.reader.load import load_procedure
from coach.view.boat import DOOR_WIDE, boat_picture, door_place, uprights_of, written
from coach.view.craft import Known, belly_of, craft_of
from coach.view.drawing import Arrow, Circle, Dimension, Drawing, Line, Polygon, Sign, Text, group, leaves, words_in
from coach.view.marks import Label
from coach.view.paper import lay
from coach.yard.policy_file import demo_policy
from tests.procedures.boat import Boat
from tests.procedures.boats import BOATS
from tests.procedures.test_worked_examples import given

NAMES = ("cross-section", "plan", "profile")
HULLS = tuple(boat for boat in BOATS if "beam" in load_procedure(boat.procedure).measures)
EACH = pytest.mark.parametrize("boat", [pytest.param(boat, id=boat.name) for boat in HULLS])
FIRST = {boat.procedure: boat for boat in reversed(HULLS)}


@cache
def rules_by(procedure: str) -> Rules:
    """The rules of a procedure."""
    return Rules(load_procedure(procedure), demo_policy(), FUNCTIONS, True)


def rules_of(boat: Boat) -> Rules:
    """The rules of a boat's procedure."""
    return rules_by(boat.procedure)


def values_of(boat: Boat) -> dict[str, Value]:
    """What the crew measured and answered."""
    return given(rules_of(boat).procedure, boat.answers)


def picture(boat: Boat, name: str, asked: str = "", **other: Value) -> Drawing:
    """One picture of a boat."""
    found = boat_picture(rules_of(boat), {**values_of(boat), **other}, name, "us", asked)
    assert found is not None
    return found


def marked(drawing: Drawing) -> list[str]:
    """The values that are drawn large."""
    return [
        part.words
        for part in leaves(drawing.parts)
        if (isinstance(part, Dimension) and part.asked) or (isinstance(part, Text) and part.plate == "primary")
    ]


@EACH
def test_every_length_that_is_asked_with_a_picture_is_marked_on_it_alone(boat: Boat) -> None:
    rules, values = rules_of(boat), values_of(boat)
    for measure in rules.procedure.measures.values():
        if measure.kind == "length" and measure.picture:
            value = values.get(measure.id)
            words = written("us")(si_number(value)) if isinstance(value, Quantity) else "?"
            drawing = picture(boat, measure.picture, measure.id)
            assert (measure.id, marked(drawing), words_in(drawing)) == (measure.id, [words], [words])
            assert inside(drawing, 70, 60)


def inside(drawing: Drawing, wide: float, high: float) -> bool:
    """Whether everything lies on paper of this size, no text on another."""
    sheet = lay(drawing, wide, high)
    labels = [mark for mark in sheet.marks if isinstance(mark, Label)]
    places = [point for mark in sheet.marks if not isinstance(mark, Label) for point in mark.points]
    places += [
        place
        for label in labels
        for place in ((label.left, label.low), (label.left + label.wide, label.low + label.high))
    ]
    apart = all(
        min(one.left + one.wide, two.left + two.wide) - max(one.left, two.left) <= 0.3
        or min(one.low + one.high, two.low + two.high) - max(one.low, two.low) <= 0.5
        for one, two in combinations(labels, 2)
    )
    return apart and all(-0.6 <= x <= wide + 0.6 and -0.6 <= y <= high + 0.6 for x, y in places)


@EACH
@pytest.mark.parametrize("name", NAMES)
def test_every_picture_of_every_boat_fits_measured_or_not(boat: Boat, name: str) -> None:
    for drawing in (picture(boat, name), boat_picture(rules_of(boat), {}, name)):
        assert drawing is not None
        for size in ((110, 70), (82, 100)):
            assert inside(drawing, *size), size


def test_each_kind_has_an_outline_of_its_own() -> None:
    kinds = {
        name: craft_of(Known(rules_of(boat), values_of(boat)), rules_of(boat)).kind for name, boat in FIRST.items()
    }
    assert kinds == {
        "power-boat-trailer": "power",
        "power-boat-stands": "power",
        "sailing-boat-mast-down": "sail",
        "sailing-boat-mast-up": "sail",
        "pontoon-boat": "pontoon",
        "personal-watercraft": "jet",
    }
    for name in NAMES:
        shapes = {group(picture(boat, name), "hull" if name != "plan" else "craft") for boat in FIRST.values()}
        assert len(shapes) == len(FIRST)


def test_a_pontoon_boat_stands_on_tubes_below_its_deck_with_a_fence_above() -> None:
    hull = group(picture(FIRST["pontoon-boat"], "cross-section"), "hull")
    tubes = [part for part in hull if isinstance(part, Circle) and part.centre[1] < 0]
    deck = next(part for part in hull if isinstance(part, Polygon) and max(y for _x, y in part.points) == 0.0)
    assert [-tubes[0].centre[0], tubes[0].centre[1]] == list(tubes[1].centre)
    assert max(part.centre[1] + part.radius for part in tubes) < min(y for _x, y in deck.points)
    rail = max(part.centre[1] for part in hull if isinstance(part, Circle))
    assert rail == pytest.approx(si_number(values_of(FIRST["pontoon-boat"])["fence_height"]))  # type: ignore[arg-type]


def test_a_watercraft_has_a_handlebar_and_no_upright() -> None:
    boat = FIRST["personal-watercraft"]
    bar = si_number(values_of(boat)["bar_height"])  # type: ignore[arg-type]
    grips = [
        part
        for part in group(picture(boat, "cross-section"), "hull")
        if isinstance(part, Line) and part.style == "grip"
    ]
    assert len(grips) == 2 and all(0.9 * bar < part.start[1] <= bar for part in grips)
    for name in NAMES:
        assert not any(
            getattr(part, "style", "") == "timber"
            for part in group(picture(boat, name), "uprights" if name == "plan" else "frame")
        )


@EACH
def test_things_stand_at_their_computed_places(boat: Boat) -> None:
    rules, values = rules_of(boat), values_of(boat)
    known = Known(rules, values)
    length, beam, craft = known.metres("boat_length"), known.metres("beam"), craft_of(known, rules)
    assert length is not None and beam is not None
    drawing = picture(boat, "plan")
    posts = {round(length - part.centre[0], 6) for part in group(drawing, "uprights") if isinstance(part, Circle)}
    assert posts == (set() if craft.kind == "jet" else {round(x, 6) for x in uprights_of(known, length)})
    bands = [round(length - part.start[0], 6) for part in group(drawing, "belly") if isinstance(part, Line)]
    assert bands == [round(x, 6) for x in belly_of(known, craft, length)]
    assert len(bands) == known.whole("belly_bands")
    count = known.whole("vents")
    vents = [(part.at[0], part.at[1]) for part in group(drawing, "vents") if isinstance(part, Sign)]
    assert vents == [(length - x, y) for x, y in vent_positions(length, beam, count or 0)]
    assert len([part for part in group(drawing, "loops") if isinstance(part, Circle)]) == (
        known.whole("band_loops") or 0
    )
    side = picture(boat, "profile")
    assert [round(length - part.start[0], 6) for part in group(side, "belly") if isinstance(part, Line)] == bands
    assert [part.at[0] for part in group(side, "vents") if isinstance(part, Sign)] == pytest.approx(
        sorted({x for x, _y in vents}, reverse=True)
    )


def test_a_mast_that_lies_stands_out_as_far_as_it_was_taped() -> None:
    boat = FIRST["sailing-boat-mast-down"]
    values = values_of(boat)
    ahead, behind, length = (si_number(values[name]) for name in ("mast_ahead", "mast_behind", "boat_length"))  # type: ignore[arg-type]
    mast = next(
        part
        for part in group(picture(boat, "profile"), "frame")
        if isinstance(part, Polygon) and part.style == "engine"
    )
    assert (min(x for x, _y in mast.points), max(x for x, _y in mast.points)) == pytest.approx(
        (-behind, length + ahead)
    )


def test_no_belly_band_lies_across_a_fin_keel() -> None:
    boat = FIRST["sailing-boat-mast-down"]
    rules, known = rules_of(boat), Known(rules_of(boat), values_of(boat))
    length = known.metres("boat_length") or 0.0
    assert known.word("keel") == "fin"
    places = belly_of(known, craft_of(known, rules), length)
    assert all(not 0.41 <= x / length <= 0.6 for x in places)
    assert len(set(places)) == known.whole("belly_bands")


def test_the_tape_on_the_cross_section_goes_over_what_the_film_passes() -> None:
    """Over a fence the tape is longer than straight down the slope."""
    arrows = [
        part
        for part in leaves(picture(FIRST["pontoon-boat"], "cross-section", "ridge_to_edge").parts)
        if isinstance(part, Arrow)
    ]
    assert sum(len(part.points) for part in arrows) == 6  # middle twice, ridge, fence, rail, edge


def test_a_picture_says_what_was_not_measured_yet_and_draws_the_rest() -> None:
    boat = FIRST["power-boat-trailer"]
    rules, values = rules_of(boat), values_of(boat)

    def without(name: str, *gone: str) -> Drawing:
        left = {id: value for id, value in values.items() if id not in gone}
        found = boat_picture(rules, left, name)
        assert found is not None
        return found

    assert [entry.words for entry in without("plan", "boat_length", "beam").legend if entry.keep] == [
        "Not measured yet: length, beam"
    ]
    assert [entry.words for entry in without("profile", "boat_length").legend if entry.keep] == [
        "Not measured yet: length"
    ]
    part = without("plan", "boat_length")
    assert [entry.words for entry in part.legend if entry.keep] == ["Not measured yet: length"]
    assert {dimension.known for dimension in leaves(part.parts) if isinstance(dimension, Dimension)} == {True, False}
    assert not any(entry.keep for entry in picture(boat, "plan").legend)
    section = without("cross-section", "ridge_height")
    assert section.other is not None and section.other.legend == section.legend
    for size in ((79, 105), (112, 60)):
        shown = " ".join(mark.words for mark in lay(section, *size).marks if isinstance(mark, Label))
        assert "Not measured yet: ridge height" in shown, size


def test_the_cross_section_is_laid_out_for_the_paper_that_it_gets() -> None:
    drawing = picture(FIRST["power-boat-trailer"], "cross-section")
    assert drawing.other is not None
    assert sorted(words_in(drawing)) == sorted(words_in(drawing.other))
    tall, flat = (79, 105), (112, 55)
    alone = replace(drawing, other=None)
    assert lay(drawing, *tall).scale == lay(drawing.other, *tall).scale > 1.2 * lay(alone, *tall).scale
    assert lay(drawing, *flat).scale == lay(alone, *flat).scale > lay(drawing.other, *flat).scale


def test_what_must_be_kept_of_a_legend_stays_where_the_rest_finds_no_room() -> None:
    drawing = boat_picture(rules_by("power-boat-trailer"), {}, "plan")
    assert drawing is not None
    words = " ".join(mark.words for mark in lay(drawing, 90, 34).marks if isinstance(mark, Label))
    assert "Not measured yet: length, beam" in words and "perimeter band" not in words


@pytest.mark.parametrize(("paper", "beside"), [((170, 52), True), ((112, 80), False)], ids=str)
def test_the_legend_stands_beside_the_picture_or_below_it_as_leaves_it_larger(
    paper: tuple[float, float], beside: bool
) -> None:
    sheet = lay(picture(FIRST["power-boat-trailer"], "plan"), *paper)
    bow, entry = (
        next(mark for mark in sheet.marks if isinstance(mark, Label) and mark.words == words)
        for words in ("bow", "perimeter band")
    )
    length = next(mark for mark in sheet.marks if isinstance(mark, Label) and mark.words.startswith("length"))
    assert (entry.left > bow.left + bow.wide) == beside
    assert (entry.low + entry.high < length.low) == (not beside)


@pytest.mark.parametrize("id", ["item_length", "item_width", "item_height"])
def test_a_pallet_has_no_boat_s_picture(id: str) -> None:
    goods = next(boat for boat in BOATS if boat.procedure == "machine-or-pallet")
    value = values_of(goods)[id]
    assert isinstance(value, Quantity)
    drawing = picture(goods, "cross-section", id)
    assert (drawing.name, marked(drawing)) == ("load", [written("us")(si_number(value))])
    assert inside(drawing, 70, 60)
    plain = picture(goods, "profile")
    assert inside(plain, 79, 100) and inside(plain, 112, 60)
    straps = Known(rules_of(goods), values_of(goods)).whole("over_straps")
    assert len(group(plain, "straps")) == straps


@pytest.mark.parametrize("length", [5.8, 7.3, 9.1, 12.2])
def test_a_door_stands_clear_of_straps_and_vents_where_there_is_room(length: float) -> None:
    straps = [float(x) for x in upright_positions(length)]
    vents = [float(x) for x, _y in vent_positions(length, length / 3, 4)]
    place = door_place(length, (*straps, *vents))
    assert all(abs(place - x) >= DOOR_WIDE / 2 + 0.15 for x in (*straps, *vents))
    assert length / 2 < place < length - DOOR_WIDE / 2


def test_a_door_with_no_room_takes_the_place_with_the_most() -> None:
    assert 0.4 <= door_place(1.0, (0.5,)) <= 0.72 and door_place(0.6, ()) == pytest.approx(0.432)
    assert door_place(4.0, tuple(x / 4 for x in range(4, 17) if x != 12)) == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize("id", ["fuel_vents", "wires"])
def test_a_count_is_asked_beside_a_plan_without_vents_of_the_cover(id: str) -> None:
    drawing = picture(FIRST["sailing-boat-mast-up"], "plan", id)
    assert not any(isinstance(part, Sign | Dimension) for part in leaves(drawing.parts))
    assert words_in(drawing) == ["bow"]
