"""What a step is about, marked on its picture: the right part, alone, and never the cover's vents for fuel vents."""

from __future__ import annotations

import pytest

from coach.reader.load import load_procedure
from coach.reader.words import TradeWord, trade_words
from coach.view.boat import PICTURES, typical_picture
from coach.view.drawing import Dimension, Group, Line, Sign, Text, group, leaves
from coach.view.pictures.focus import BOAT, PLACES, about, focused, marked_word, name_of
from coach.view.pictures.moves import u_door
from tests.view.test_boat_pictures import FIRST, NAMES, inside, picture


def parts_of(procedure: str) -> dict[str, str]:
    """What each step with a picture of the boat is about, by its id; steps about nothing drawn are left out."""
    steps = [step for stage in load_procedure(procedure).stages for step in stage.steps]
    found = {step.id: about(step.id, step.shows) for step in steps if step.picture in NAMES}
    return {id: part for id, part in found.items() if part}


def test_the_steps_of_a_power_boat_are_about_what_they_say() -> None:
    found = parts_of("power-boat-trailer")
    for id, part in (
        ("set-belly-bands", "belly"),
        ("fit-vents", "vents"),
        ("place-door", "door"),
        ("stand-uprights", "uprights"),
        ("ridge-strap", "ridge"),
        ("cross-straps", "straps"),
        ("hang-loops", "band"),
        ("centre-film", "film"),
    ):
        assert found.get(id) == part, id


@pytest.mark.parametrize("procedure", FIRST)
def test_fuel_vents_are_never_marked_as_vents_of_the_cover(procedure: str) -> None:
    steps = [step for stage in load_procedure(procedure).stages for step in stage.steps]
    for step in steps:
        if about(step.id, step.shows) == "vents":
            assert "vents" in step.shows
    assert about("count-vents", ()) == about("open-fuel-vents", ()) == about("gate-vents", ()) == ""


@pytest.mark.parametrize("part", PLACES)
def test_the_part_is_bold_and_named_the_rest_is_quiet(part: str) -> None:
    shown = 0
    for name in NAMES:
        plain = picture(FIRST["power-boat-trailer"], name)
        drawing = focused(plain, part)
        if drawing is plain:
            continue
        shown += 1
        tags = [each.words for each in leaves(drawing.parts) if isinstance(each, Text) and each.plate == "primary"]
        assert tags == [name_of(part)]
        assert not any(isinstance(each, Dimension) for each in leaves(drawing.parts))
        assert all(inside(drawing, *size) for size in ((79, 90), (112, 60), (112, 34)))
        styles = {each.style for each in group(drawing, "focus") if isinstance(each, Line)}
        assert all(style.endswith("+") for style in styles)
        rest = [
            each for top in drawing.parts if isinstance(top, Group) and top.name == "vents" for each in leaves((top,))
        ]
        assert {each.role for each in rest if isinstance(each, Sign)} <= {"line"}
    assert shown


def test_a_step_about_nothing_drawn_has_the_plain_picture() -> None:
    plain = picture(FIRST["power-boat-trailer"], "plan")
    assert focused(plain, about("gate-area", ())) is plain


def test_a_hand_move_is_marked_already() -> None:
    move = u_door()
    assert focused(move, "door") is move


@pytest.mark.parametrize("word", trade_words(PICTURES), ids=lambda word: word.id)
def test_a_word_of_the_trade_is_marked_on_its_picture(word: TradeWord) -> None:
    plain = typical_picture(word.picture)
    if plain is None or plain.name not in BOAT:
        assert plain is None or marked_word(plain, word.id, word.name) is plain, "a hand move is marked already"
        return
    drawing = marked_word(plain, word.id, word.name)
    tags = [each for each in leaves(drawing.parts) if isinstance(each, Text) and each.plate == "primary"]
    assert [each.words for each in tags] == [word.name]
    assert group(drawing, "focus")
    assert all(inside(drawing, *size) for size in ((79, 90), (112, 60)))
    if word.id == "rub-rail":
        assert tags[0].at[0] == pytest.approx(1.22, abs=0.2), "over one of the two rails, 1.22 m from the middle"
