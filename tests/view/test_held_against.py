"""What is due beside what was given: on the page of a step, and on the sheet."""

from __future__ import annotations

from dataclasses import replace

from coach.core import actions as act
from coach.view.checklist import checklist
from coach.view.walk import evidence_fields
from tests.helpers.bench import Bench
from tests.helpers.procedures import covering, evidence, feet, rules_for, step

WIDE = evidence("number", id="cut", quantity="length", at_least="width", within=feet("1 ft"))
VENTS = evidence("count", id="vents", equals="fuel_vents")
WHO = evidence("second_person", id="who", role="fire_watch")


def at_step(hold: bool = False) -> Bench:
    base = covering()
    steps = (step("look", asks=tuple(base.measures)), step("only", "look", evidence=(WIDE, VENTS, WHO), hold=hold))
    return Bench(rules_for(replace(base, stages=(replace(base.stages[0], steps=steps),)))).start().measure().do("look")


def due(bench: Bench, system: str = "us") -> list[str]:
    only = bench.rules.steps["only"]
    return [field.due for field in evidence_fields(bench.rules, bench.state, only, bench.clock(), system)]


def test_what_is_due_is_said_before_it_is_entered_but_for_a_count_at_a_hold_point() -> None:
    assert due(at_step()) == ["18 ft to 19 ft", "2", ""]
    assert due(at_step(), "metric") == ["5.49 m to 5.79 m", "2", ""]
    assert due(at_step(hold=True)) == ["18 ft to 19 ft", "", ""]


def test_only_who_may_confirm_is_offered_with_the_role_in_words() -> None:
    bench = at_step()
    who = evidence_fields(bench.rules, bench.state, bench.rules.steps["only"], bench.clock(), "us")[2]
    assert (who.options, who.role) == ((("joel", "Joel Baptiste"), ("pia", "Pia Lindqvist")), "Fire watch")


def test_the_sheet_says_what_an_answer_was_held_against() -> None:
    bench = at_step()
    bench.must(act.Do("ana", "only", {"cut": "5.5 m", "vents": 2, "who": "pia"}))
    line = next(line for line in checklist(bench.rules, bench.events).lines if line.step == "only")
    assert line.evidence == (
        ("Give the number.", "18' 0 1/2\" (Film width: 18 ft to 19 ft)"),
        ("Give the count.", "2"),
        ("Give the second_person.", "Pia Lindqvist"),
    )
