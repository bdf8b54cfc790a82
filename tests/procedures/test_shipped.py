"""What every shipped procedure must be: complete, in order, deferring to those who know better, and easy to read.

Published sources are named beside the checks that have one; the rest is common practice of the trade, no source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coach import paths
from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import Procedure, Step
from coach.reader.load import load_procedure
from coach.view.boat import PICTURES
from tests.procedures.readability import read, sentences, words

IDS = tuple(sorted(path.stem for path in Path(paths.procedures()).glob("*.yaml")))
SHIPPED = {id: load_procedure(id) for id in IDS}
HEATING = tuple(id for id, procedure in SHIPPED.items() if procedure.heats)
GATE = (
    "operator", "protection", "fuel_system", "vents_taped", "extinguisher", "area", "fire_watch", "air", "gas",
    "leak_test", "wind",
)

STAGES = {
    "cylinder-change": (
        "arrival", "new-cylinder", "test", "sign",
    ),
    "daily-tool-check": (
        "tool", "gas", "gear", "sign",
    ),
    "machine-or-pallet": (
        "arrival", "base", "padding", "heat-gate", "film", "drape", "weld", "shrink", "holes", "flame-out",
        "vent-reopened", "openings", "labels", "after-flame", "sign",
    ),
    "mid-season-heat-patch": (
        "arrival", "heat-gate", "patch", "flame-out", "vent-reopened", "seams", "after-flame", "sign",
    ),
    "mid-season-look": (
        "arrival", "snow", "outside", "inside", "tape", "result", "sign",
    ),
    "personal-watercraft": (
        "arrival", "watercraft", "vent-inside", "sizing", "frame", "band", "heat-gate", "film", "drape", "tuck",
        "weld", "belly-bands", "shrink", "holes", "flame-out", "vent-reopened", "vent-led-out", "vents",
        "seams", "after-flame", "sign",
    ),
    "pontoon-boat": (
        "arrival", "pontoon", "vent-inside", "sizing", "frame", "frame-finish", "band", "heat-gate", "film",
        "drape", "tuck", "weld", "belly-bands", "shrink", "holes", "flame-out", "vent-reopened", "vent-led-out",
        "vents", "door", "seams", "underside", "after-flame", "sign",
    ),
    "power-boat-stands": (
        "arrival", "stands", "hull", "sizing", "sizing-stands", "frame", "frame-top", "frame-finish", "band",
        "heat-gate", "film", "haul", "drape", "tuck", "film-drive", "weld", "weld-legs", "belly-bands",
        "belly-stands", "shrink", "shrink-fly", "shrink-top", "holes", "flame-out", "vent-reopened", "vents",
        "door", "seams", "legs-taped", "after-flame", "sign",
    ),
    "power-boat-trailer": (
        "arrival", "trailer", "sizing", "sizing-trailer", "frame", "frame-finish", "band", "heat-gate", "film",
        "drape", "tuck", "film-drive", "weld", "belly-bands", "shrink", "shrink-top", "holes", "flame-out",
        "vent-reopened", "vents", "door", "seams", "after-flame", "sign",
    ),
    "sailing-boat-mast-down": (
        "arrival", "stands", "sail-hull", "vent-inside", "mast", "sizing", "sizing-mast", "rail-caps", "frame",
        "frame-finish", "band", "heat-gate", "film", "drape", "mast-ends", "tuck", "weld", "weld-mast",
        "belly-bands", "belly-keel", "belly-stands", "shrink", "holes", "flame-out", "vent-reopened",
        "vent-led-out", "vents", "door", "seams", "mast-collars", "after-flame", "sign",
    ),
    "sailing-boat-mast-up": (
        "arrival", "stands", "sail-hull", "vent-inside", "rigging", "sizing", "sizing-two-films", "rail-caps",
        "frame", "frame-finish", "band", "heat-gate", "film", "tuck", "weld", "weld-rig", "belly-bands",
        "belly-keel", "belly-stands", "shrink", "holes", "flame-out", "vent-reopened", "vent-led-out", "vents",
        "door", "seams", "wire-collars", "after-flame", "sign",
    ),
    "spring-removal": (
        "arrival", "inside", "cut", "frame", "film", "sign",
    ),
}

# A limit belongs to the yard's policy: minutes, wind speeds and fire distances never stand in a procedure's text.
LIMIT_TEXT = re.compile(r"\b\d+ (?:min|minutes?|hours?|mph|m/s|kn|knots)\b|\b3[05] ft\b|\b60\b")


def steps() -> list[pytest.param]:
    return [pytest.param(step, id=f"{id}:{step.id}") for id in IDS for step in SHIPPED[id].steps]


def texts(procedure: Procedure) -> list[str]:
    """Every running text that a person reads while working; labels and titles are no sentences."""
    found = [procedure.purpose, *(caution.text for caution in procedure.cautions)]
    found += [check.says for check in procedure.checks] + [number.why for number in procedure.numbers.values()]
    found += [measure.how for measure in procedure.measures.values() if measure.how]
    for step in procedure.steps:
        found += [step.do, step.why, step.right, step.wrong, *(caution.text for caution in step.cautions)]
    return found


@pytest.mark.parametrize("id", STAGES)
def test_the_stages_come_in_the_order_of_the_work(id: str) -> None:
    assert tuple(stage.id for stage in SHIPPED[id].stages) == STAGES[id]


@pytest.mark.parametrize("id", IDS)
def test_no_procedure_is_shipped_without_its_stages_being_listed_here(id: str) -> None:
    assert id in STAGES


@pytest.mark.parametrize("step", steps())
def test_a_step_is_one_act_in_one_short_sentence(step: Step) -> None:
    assert len(sentences(step.do)) == 1
    assert step.do.endswith(".")
    assert len(words(step.do)) <= 18
    assert step.do.split()[0].isalpha() and step.do[0].isupper()


@pytest.mark.parametrize("step", steps())
def test_why_right_and_wrong_say_four_different_things(step: Step) -> None:
    said = (step.do, step.why, step.right, step.wrong)
    assert all(len(words(text)) >= 5 for text in said[1:])
    assert len(set(said)) == 4


@pytest.mark.parametrize("step", [param for param in steps() if param.values[0].heat])
def test_a_heat_step_defers_to_local_codes_the_tool_and_the_film(step: Step) -> None:
    said = " ".join(caution.text for caution in step.cautions)
    assert {caution.signal for caution in step.cautions} <= {"DANGER", "WARNING"}
    assert re.search(r"local fire codes", said, re.IGNORECASE)
    assert re.search(r"tool's (?:instructions|and (?:the )?film's)", said)
    assert re.search(r"film's (?:instructions|own)", said)


@pytest.mark.parametrize("step", steps())
def test_no_limit_of_the_policy_stands_in_a_text(step: Step) -> None:
    for text in (step.do, step.why, step.right, step.wrong, *(caution.text for caution in step.cautions)):
        assert not LIMIT_TEXT.search(text), text


@pytest.mark.parametrize("id", IDS)
def test_every_picture_is_one_that_the_screens_can_draw(id: str) -> None:
    named = {step.picture for step in SHIPPED[id].steps} | {one.picture for one in SHIPPED[id].measures.values()}
    assert named - {""} <= set(PICTURES)


@pytest.mark.parametrize("id", HEATING)
def test_the_gate_is_walked_in_the_order_of_a_person_and_before_the_first_flame(id: str) -> None:
    order = [step.id for step in SHIPPED[id].steps]
    proving = [step.proves for step in SHIPPED[id].steps if step.proves]
    assert proving == list(GATE)
    assert set(GATE) == set(SAFEGUARDS)
    last_proof = max(order.index(step.id) for step in SHIPPED[id].steps if step.proves)
    first_heat = min(order.index(step.id) for step in SHIPPED[id].steps if step.heat)
    assert last_proof < first_heat


@pytest.mark.parametrize("id", HEATING)
def test_what_was_done_for_safety_is_undone_after_the_last_flame(id: str) -> None:
    order = [step.id for step in SHIPPED[id].steps]
    clearing = {step.clears: order.index(step.id) for step in SHIPPED[id].steps if step.clears in DEBTS}
    last_heat = max(order.index(step.id) for step in SHIPPED[id].steps if step.heat)
    assert last_heat < clearing["open_cylinder"] < clearing["taped_vents"] < clearing["fire_watch"]


@pytest.mark.parametrize("id", HEATING)
def test_the_gate_opens_nothing_when_the_vents_are_few(id: str) -> None:
    asked = {measure for step in SHIPPED[id].steps for measure in step.asks}
    assert {"fuel_vents", "place"} <= asked
    fuel_vents = SHIPPED[id].measures["fuel_vents"]
    assert fuel_vents.low is not None and fuel_vents.low.value == 0
    assert fuel_vents.high is not None and fuel_vents.high.value == 8


@pytest.mark.parametrize("id", IDS)
def test_hold_points_are_rare(id: str) -> None:
    held = [step.id for step in SHIPPED[id].steps if step.hold]
    assert len(held) <= max(2, len(SHIPPED[id].steps) // 15)


@pytest.mark.parametrize("id", IDS)
def test_every_procedure_reads_at_grade_seven_or_below_in_short_sentences(id: str) -> None:
    reading = read(texts(SHIPPED[id]))
    assert reading.words_a_sentence <= 15
    assert reading.grade <= 7


@pytest.mark.parametrize("id", IDS)
def test_no_sentence_is_longer_than_a_breath(id: str) -> None:
    long = [s for text in texts(SHIPPED[id]) for s in sentences(text) if len(words(s)) > 25]
    assert long == []
