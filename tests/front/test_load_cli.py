"""The day's load from open jobs and a stock file: as text, as HTML, and what is short; the frame under snow."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coach import paths
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.demo import NOTES, START
from coach.language import LANGUAGES, use
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.reader.load import load_procedure
from coach.sheet.load import load_page
from coach.view.frame_check import frame_view
from coach.view.load import day_load, load_lines
from coach.view.measures import read_typed
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from coach.yard.stock import StockError, load_stock


def yard(folder: Path, *until: str) -> Desk:
    """A yard with a boat for each step name, worked on up to there."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    for number, step in enumerate(until):
        job = desk.start(desk.load("power-boat-trailer"), f"Boat {number}", "ana")
        assert isinstance(job, Job)
        for found in Worker(job, clock, NOTES).steps():
            if found.id == step:
                break
    return desk


def test_two_boats_are_cut_from_stock_and_a_covered_one_is_left_out(tmp_path: Path) -> None:
    desk = yard(tmp_path, "load-cart", "cut-film", "shrink-bow", "count-vents")
    stock = load_stock(paths.procedures() / "yard" / "demo-stock.yaml")
    view = day_load(desk.under_way(), stock)
    assert view.boats == ("Boat 1", "Boat 0") or view.boats == ("Boat 0", "Boat 1")
    assert view.waiting == ("Boat 3",)
    text = "\n".join(load_lines(view))
    assert text.count("28 ft for Boat") == 2  # 22 ft along, 6 in, 4 ft 4 in over the drive, up to the next foot
    assert "Not measured far enough: Boat 3" in text
    html = load_page(view)
    assert "<h2>Film</h2>" in html and "<script" not in html


def test_no_stock_file_is_said_plainly(tmp_path: Path) -> None:
    with pytest.raises(StockError) as caught:
        yard(tmp_path).stock()
    [problem] = caught.value.problems
    assert str(problem) == (
        "P602 the yard has no stock file yet\n"
        "    why   what is cut today comes from what is there\n"
        f"    mend  write {tmp_path / 'stock.yaml'}; procedures/yard/demo-stock.yaml shows one"
    )


def test_the_frame_under_snow_has_a_plain_verdict_and_its_caution() -> None:
    procedure = load_procedure("power-boat-trailer")
    rules = Rules(procedure, demo_policy(), FUNCTIONS)
    nothing = frame_view(rules, {})
    assert nothing is not None and nothing.word == "" and "Waits for" in nothing.lines[0]
    values = {id: read_typed(procedure.measures[id], typed, "us")[0] for id, typed in NOTES.measures.items()}
    seen = frame_view(rules, values)
    assert seen is not None
    assert seen.word == "The frame holds" and seen.good
    assert "not an engineer's design" in seen.caution
    assert dict(seen.numbers)["Ground snow, ASCE 7-16"] == "25 psf"


@pytest.mark.parametrize("code", LANGUAGES)
def test_each_number_of_the_frame_stands_behind_its_own_name(code: str) -> None:
    procedure = load_procedure("power-boat-trailer")
    rules = Rules(procedure, demo_policy(), FUNCTIONS)
    values = {id: read_typed(procedure.measures[id], typed, "us")[0] for id, typed in NOTES.measures.items()}
    use(code)
    try:
        seen = frame_view(rules, values)
    finally:
        use("en")
    assert seen is not None
    pairs = [(name, value) for name, value in seen.numbers if "lbf" in value]
    assert len(pairs) >= 4
    for name, value in pairs:
        assert re.fullmatch(r"[^\d,]+ [\d.,\s]+ lbf, [^\d,]+ [\d.,\s]+ lbf", value), value
        assert name[-1].isdigit() and ":" not in name
    if code == "en":
        assert pairs[0][0] == "Upright 1" and pairs[0][1].startswith("load ") and ", may carry " in pairs[0][1]


def test_a_flat_ridge_is_told_to_be_steeper() -> None:
    """Under 15 degrees neither ASCE 7 nor the code of Canada credits any sliding (ASCE 7-16 fig. 7.4-1; NBC 4.1.6.2)."""
    procedure = load_procedure("power-boat-trailer")
    rules = Rules(procedure, demo_policy(), FUNCTIONS)
    typed = {**NOTES.measures, "ridge_height": "8 in", "bow_rise": "2 in", "stern_rise": "2 in", "edge_drop": "4 in"}
    values = {id: read_typed(procedure.measures[id], text, "us")[0] for id, text in typed.items()}
    seen = frame_view(rules, values)
    assert seen is not None and seen.word == "Make the ridge steeper" and not seen.good
