"""The hand moves as geometry: where the tool is at a share of its way, what stays inside the picture, what ends as it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import dist

import pytest

from coach.view.drawing import Group, Leaf, Polygon, Polyline, Sign, leaves
from coach.view.marks import Label
from coach.view.paper import lay, over
from coach.view.pictures import moves
from coach.view.pictures.motion import MOTIONS, along

PICTURES = {make().name: make for make in (moves.flame_level, moves.bottom_up, moves.u_door, moves.pleat, moves.swing)}
SHARES = [place / 20 for place in range(21)]


def points(part: Leaf) -> list[tuple[float, float]]:
    """Every point of a part."""
    return [part.at] if isinstance(part, Sign) else list(getattr(part, "points", None) or [part.centre])  # type: ignore[union-attr]


def flame_tip(share: float, name: str = "flame-level") -> tuple[float, float]:
    """The point of the flame."""
    flame = next(part for part in MOTIONS[name].at(share) if isinstance(part, Polygon) and part.style == "flame")
    return flame.points[0]


def test_every_move_of_the_trade_is_shown_moving() -> None:
    assert set(MOTIONS) == set(PICTURES)


@pytest.mark.parametrize("name", PICTURES)
def test_a_motion_stands_in_for_groups_that_its_picture_has(name: str) -> None:
    drawing = PICTURES[name]()
    groups = {part.name for part in drawing.parts if isinstance(part, Group)}
    assert MOTIONS[name].instead and MOTIONS[name].instead <= groups


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("size", [(60, 45), (110, 80)], ids=str)
def test_what_moves_stays_on_the_paper_at_every_place(name: str, size: tuple[int, int]) -> None:
    sheet = lay(PICTURES[name](), *size)
    for share in SHARES:
        for mark in over(MOTIONS[name].at(share), sheet):
            for x, y in getattr(mark, "points", ()):
                assert -1 <= x <= size[0] + 1 and -1 <= y <= size[1] + 1, (name, share, x, y)


def test_marks_over_a_sheet_lie_where_the_drawing_has_them() -> None:
    """A group drawn over its own sheet falls on its own marks."""
    drawing = moves.u_door()
    sheet = lay(drawing, 100, 80)
    door = next(part for part in drawing.parts if isinstance(part, Group) and part.name == "door")
    gone = [mark for mark in sheet.marks if mark not in sheet.without({"door"})]
    assert gone == list(over((door,), sheet)) != []


def test_without_no_group_nothing_is_gone() -> None:
    sheet = lay(moves.pleat(), 100, 80)
    assert sheet.without(()) == sheet.marks == sheet.without({"no such group"})


def test_the_flame_is_held_level_above_the_band_all_the_way() -> None:
    tips = [flame_tip(share) for share in SHARES]
    assert {round(y, 9) for _x, y in tips} == {0.24}  # the band lies at 0
    assert [x for x, _y in tips] == sorted(x for x, _y in tips)
    step = [b[0] - a[0] for a, b in pairwise(tips)]
    assert max(step) - min(step) < 1e-9  # at one pace


def test_sides_come_before_the_top_and_each_from_the_bottom_up() -> None:
    heights = [flame_tip(share, "bottom-up")[1] for share in [place / 200 for place in range(200)]]
    sides = len(moves.SIDES) / (len(moves.SIDES) + len(moves.TOPS))
    border = round(200 * sides)
    assert max(heights[:border]) < min(heights[border:])
    falls = sum(b < a for a, b in pairwise(heights))
    assert (
        falls == len(moves.SIDES) + len(moves.TOPS) - 2
    )  # it falls only to begin the next one, and rises to the top once


def test_the_pleat_goes_over_towards_the_stern_and_ends_as_the_picture_has_it() -> None:
    edges = [
        next(part for part in MOTIONS["pleat"].at(share) if isinstance(part, Polyline)).points[0][0] for share in SHARES
    ]
    assert edges == sorted(edges, reverse=True)  # the stern is at the left
    fold = next(part for part in leaves(moves.pleat().parts) if isinstance(part, Polygon) and len(part.points) == 3)
    last = next(part for part in MOTIONS["pleat"].at(1.0) if isinstance(part, Polygon))
    assert sorted(last.points) == sorted(fold.points)


def test_the_door_is_a_u_cut_down_round_and_up() -> None:
    last = next(part for part in MOTIONS["u-door"].at(1.0) if isinstance(part, Polyline))
    assert [pytest.approx(point) for point in last.points] == list(moves.DOOR_U)
    tips = [along(moves.DOOR_U, share)[-1] for share in SHARES]
    low = min(range(len(tips)), key=lambda place: tips[place][1])
    assert 5 < low < 16 and tips[0][1] == pytest.approx(tips[-1][1])


@pytest.mark.parametrize("share", [-1.0, 0.0, 0.25, 0.5, 1.0, 2.0])
def test_a_share_of_a_way_is_so_long(share: float) -> None:
    way = ((0.0, 0.0), (3.0, 4.0), (3.0, 9.0))
    found = along(way, share)
    length = sum(dist(a, b) for a, b in pairwise(found))
    assert length == pytest.approx(10 * min(1.0, max(0.0, share)))
    assert found[0] == way[0]


@pytest.mark.parametrize("name", MOTIONS)
def test_hands_move_slowly(name: str) -> None:
    assert 6 <= MOTIONS[name].seconds <= 10


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("size", [(79, 100), (112, 70)], ids=str)
def test_no_word_stands_where_a_hand_moves(name: str, size: tuple[int, int]) -> None:
    sheet = lay(PICTURES[name](), *size)
    words = [mark for mark in sheet.marks if isinstance(mark, Label)]
    for share in SHARES:
        for mark in over(MOTIONS[name].at(share), sheet):
            for x, y in getattr(mark, "points", ()):
                under = [
                    word.words
                    for word in words
                    if word.left < x < word.left + word.wide and word.low + 0.5 < y < word.low + word.high
                ]
                assert under == [], (name, share)


def test_the_tape_follows_the_cut_of_the_door() -> None:
    first, second = MOTIONS["u-door"].at(0.3), MOTIONS["u-door"].at(0.8)
    assert [part.style for part in first if isinstance(part, Polyline)] == ["ink-thin"]
    assert [part.style for part in second if isinstance(part, Polyline)] == ["tapeline", "ink-thin"]


def test_what_is_shrunk_is_filled_from_the_sides_to_the_top() -> None:
    done = [
        [part for part in MOTIONS["bottom-up"].at(share) if isinstance(part, Polygon) and part.style == "done"]
        for share in (0.0, 0.3, 0.99)
    ]
    assert [len(each) for each in done] == [0, 2, 7]
    assert all(max(y for _x, y in part.points) <= moves.SHOULDER for part in done[2][:5])
    assert all(min(y for _x, y in part.points) >= moves.SHOULDER for part in done[2][5:])


@pytest.mark.parametrize(("name", "gain"), [("flame-level", 1.5), ("bottom-up", 1.2), ("swing", 1.3)])
def test_on_wide_low_paper_the_words_stand_beside_and_the_picture_is_larger(name: str, gain: float) -> None:
    """113 x 31 mm: what a tall tablet leaves for it while the flame is lit."""
    drawing = PICTURES[name]()
    wide, narrow = lay(drawing, 113, 31), lay(replace(drawing, other=None), 113, 31)
    assert wide.scale >= gain * narrow.scale
    assert lay(drawing, 60, 60).scale == lay(replace(drawing, other=None), 60, 60).scale
    words = [mark for mark in wide.marks if isinstance(mark, Label)]
    assert all(each.left >= 0 and each.left + each.wide <= 113.3 for each in words)


def test_the_lines_of_a_text_beside_its_picture_begin_at_one_edge() -> None:
    sheet = lay(moves.flame_level(), 113, 31)
    beside = [mark for mark in sheet.marks if isinstance(mark, Label) and mark.bold]
    lefts: dict[float, set[float]] = {}
    for label in beside:
        lefts.setdefault(round(label.left, 3), set()).add(round(label.wide, 3))
    assert len(lefts) == 1 and len(beside) > len(lefts)
    assert len(next(iter(lefts.values()))) > 1  # each line is as wide as its own words
