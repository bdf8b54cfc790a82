"""The order of work: starting, measures, steps, excuses, corrections, evidence. No flame here."""

from __future__ import annotations

from typing import Any

import pytest

from coach.core import actions as act
from coach.core.formula import parse_formula
from coach.core.model import Check, Evidence, Option
from coach.core.numbers import compute
from coach.core.quantity import Quantity, as_text
from tests.helpers.bench import Bench
from tests.helpers.procedures import HERE, covering, evidence, feet, rules_for, step
from tests.helpers.small import one_step


def test_a_job_starts_with_a_boat_a_technician_and_a_proven_procedure() -> None:
    bench = Bench()
    assert bench.texts(act.Start("marta", "job-1",
        "Dunlin")) == ["only a technician of the crew may start a job - choose a technician"]
    assert bench.codes(act.Start("nobody", "job-1", "Dunlin")) == ["G031"]
    assert bench.texts(act.Start("ana", "job-1", "  ")) == ["the boat has no name - name the boat"]
    assert bench.codes(act.Start("ana", "", "Dunlin")) == ["G006"]
    (event,) = bench.must(act.Start("ana", "job-1", " Dunlin "))
    assert dict(event.data) == {
        "job": "job-1", "boat": "Dunlin", "procedure": "small", "version": 1, "procedure_hash": "h" * 64,
        "policy_hash": "p" * 64, "practice": False, "technician": "ana", "name": "Ana Ruiz",
    }
    assert bench.codes(act.Start("ana", "job-1", "Dunlin")) == ["G005"]


def test_an_unproven_procedure_is_for_practice_only() -> None:
    bench = Bench(rules_for(proven=False))
    assert bench.texts(act.Start("ana", "job-1", "Dunlin")) == [
        "this procedure has no proof - prove the procedure first, or practise with it"
    ]
    bench.must(act.Start("ana", "job-1", "Dunlin", practice=True))
    assert bench.state.practice


def test_nothing_is_done_before_the_job_is_started() -> None:
    bench = Bench()
    for action in (
        act.Measure("ana", "beam", "2 m", "2 m"), act.Do("ana", "look", {"tick": True}), act.Observe("ana", "wind", {}),
        act.Light("ana", "weld"), act.Pause("ana"), act.Resume("ana"), act.HandOver("ana"), act.AskStop("ana", "rain"),
        act.Withdraw("ana", "wind"), bench.sign(),
    ):
        assert "G017" in bench.codes(action), action
    assert bench.events == []


def test_only_the_technician_of_the_job_works_on_it() -> None:
    bench = Bench().ready()
    for action in (
        act.Measure("joel", "beam", "3 m", "3 m"), act.Do("joel", "look", {"tick": True}),
        act.Excuse("joel", "cut", "no film"),
        act.Observe("joel", "wind", {}), act.Light("joel", "weld"), act.Pause("joel"), bench.sign().__class__("joel"),
    ):
        assert "G018" in bench.codes(action), action


def test_steps_come_one_after_another() -> None:
    bench = Bench().start()
    assert bench.texts(act.Do("ana", "cut", {"tick": True})) == ["'Do look.' comes first - do that step first"]
    assert bench.codes(act.Do("ana", "look", {"tick": True})) == ["G055"] * 5  # what may still be asked is asked
    bench.measure()
    bench.do("look", "cut")
    assert bench.texts(act.Do("ana", "cut",
        {"tick": True})) == ["this step is settled already - go on to the next step"]
    assert bench.codes(act.Do("ana", "nonsense", {})) == ["G003"]


def test_a_refusal_gives_every_reason_in_order() -> None:
    bench = Bench().start()
    assert bench.texts(act.Do("ana", "shrink")) == [
        "'Do weld.' comes first - do that step first",
        "the flame was never lit for this step - light the flame, or excuse the step",
        "the step was not ticked - look, then tick it",
    ]
    assert bench.texts(act.Do("ana", "look", {"tick": False, "mood": "good"})) == [
        "not measured yet: How many fuel vents? - measure it",
        "not measured yet: Where does the boat stand? - measure it",
        "not measured yet: Widest beam - measure it",
        "not measured yet: Does the owner want a door? - measure it",
        "not measured yet: How high is the door? - measure it",
        "the step was not ticked - look, then tick it",
        "unknown evidence 'mood' - leave it out",
    ]


@pytest.mark.parametrize(
    ("measure", "value", "code"),
    [
        ("fuel_vents", "2.5", "G008"), ("fuel_vents", "-1", "G008"), ("fuel_vents", "7", "G009"),
        ("fuel_vents", "2 m", "G008"),
        ("fuel_vents", "~2.0", "G008"), ("fuel_vents", "two", "G008"), ("fuel_vents", "", "G008"),
        ("beam", "2 kg", "G008"), ("beam", "2", "G008"), ("beam", "-2 m", "G008"), ("beam", "1.2191 m", "G009"),
        ("beam", "4.877 m", "G009"), ("beam", "8 ft", "G008"), ("place", "abroad", "G008"),
        ("place", "Outdoors", "G008"),
        ("door", "true", "G008"), ("door", "Yes", "G008"), ("length", "2 m", "G007"),
    ],
)
def test_a_measure_is_an_answer_of_its_kind_within_its_range(measure: str, value: str, code: str) -> None:
    bench = Bench().start()
    assert bench.codes(act.Measure("ana", measure, value, value)) == [code]
    assert bench.state.measures == {}


@pytest.mark.parametrize("value", ["1.2192 m", "4.8768 m"])
def test_the_ends_of_a_range_are_in_it(value: str) -> None:
    bench = Bench().start()
    bench.must(act.Measure("ana", "beam", "typed so", value))
    beam = bench.state.measures["beam"]
    assert isinstance(beam, Quantity) and as_text(beam) == value
    assert bench.state.typed["beam"] == "typed so"


def test_the_same_answer_again_is_no_event() -> None:
    bench = Bench().start().measure()
    before = len(bench.events)
    bench.must(act.Measure("ana", "beam", "2500 mm", "2.5 m"))
    assert len(bench.events) == before


def test_a_correction_opens_every_step_that_relied_on_the_old_value() -> None:
    bench = Bench().ready().lit().out().do("weld").lit("shrink").out().do("shrink")
    made = bench.must(act.Measure("ana", "beam", "9 ft", "2.7432 m"))
    assert [(event.kind, event.data.get("step")) for event in made] == [
        ("measured", None), ("step_reopened", "cut"), ("step_reopened", "shrink"),
    ]
    assert made[0].data["previous"] == "2.5 m"
    assert [event.data["text"] for event in made[1:]] == ["measured again: Widest beam"] * 2
    assert bench.state.reopened == {"cut": "measured again: Widest beam", "shrink": "measured again: Widest beam"}
    assert not {"cut", "shrink"} & set(bench.state.done) and {"look", "prop", "weld"} <= set(bench.state.done)
    width = compute(bench.rules.procedure, bench.state.measures, bench.rules.functions)["width"].value
    assert isinstance(width, Quantity) and as_text(width) == "5.7912 m"  # 2 x 9 ft + 12 in = 19 ft
    # shrinking again needs its flame again
    bench.do("cut")
    assert "G056" in bench.codes(act.Do("ana", "shrink", {"tick": True}))


def test_a_corrected_answer_asks_its_further_question() -> None:
    bench = Bench().start().measure().do("look", "cut")
    bench.must(act.Measure("ana", "door", "yes", "yes"))
    assert "look" in bench.state.reopened
    assert bench.codes(act.Do("ana", "look", {"tick": True})) == ["G055"]
    bench.must(act.Measure("ana", "door_height", "1.2 m", "1.2 m"))
    bench.do("look")
    assert "cut" in bench.state.done  # it never relied on the door


def test_an_excused_step_is_opened_again_by_a_correction() -> None:
    bench = Bench().start().measure().do("look")
    bench.must(act.Excuse("ana", "cut", "film came cut to size"))
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    assert bench.state.excused == {} and "cut" in bench.state.reopened


def test_a_step_applies_when_its_condition_holds() -> None:
    bench = Bench().heated().do("close", "unprop", "untape")
    assert bench.texts(act.Do("ana", "cut-door",
        {"tick": True}))[0] == "this step is not asked of this boat - go on to the next step"
    bench.wait(60)
    bench.do("hold")
    bench.must(act.Measure("ana", "door", "yes", "yes"))
    bench.must(act.Measure("ana", "door_height", "1.2 m", "1.2 m"))
    bench.do("look")
    assert "G053" in bench.codes(act.Do("ana", "tidy", {"tick": True}))
    bench.do("cut-door", "tidy")


def test_a_condition_over_a_missing_answer_waits_for_it() -> None:
    bench = Bench(rules_for(one_step(step("only", when="door and beam > 2 m")))).start()
    assert bench.texts(act.Do("ana", "only", {"tick": True})) == [
        "it is not known yet whether this step applies: beam, door - measure or answer first"
    ]
    bench.must(act.Measure("ana", "door", "no", "no"))
    assert bench.codes(act.Do("ana", "only", {"tick": True})) == ["G051"]  # a no decides it without the beam


def test_a_condition_that_no_measure_decides_asks_to_measure_again() -> None:
    bench = Bench(rules_for(one_step(step("only", when="beam / (beam - beam) > 1")))).start()
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    assert bench.texts(act.Do("ana", "only", {"tick": True})) == [
        "whether this step applies cannot be worked out from the measures - measure again what does not look right"
    ]


@pytest.mark.parametrize(
    ("target", "codes"),
    [("cut", []), ("look", ["G058"]), ("gate-wind", ["G053", "G057"]), ("close", ["G051", "G053", "G057"]),
        ("nothing", ["G003"])],
)
def test_no_gate_step_no_debt_and_no_measure_is_left_out(target: str, codes: list[str]) -> None:
    bench = Bench(rules_for(covering(gate_steps=True))).start()
    if target != "look":
        bench.measure().do("look")
    assert bench.codes(act.Excuse("ana", target, "there was no time")) == codes


def test_a_measure_that_is_not_asked_of_this_boat_holds_no_step_back_from_being_left_out() -> None:
    def answer(door: str) -> list[str]:
        bench = Bench(rules_for(one_step(step("only", asks=("door", "door_height"))))).start()
        bench.must(act.Measure("ana", "door", door, door))
        return bench.codes(act.Excuse("ana", "only", "there was no time"))

    assert answer("no") == [] and answer("yes") == ["G058"]


def test_a_heat_step_may_be_left_out_with_a_reason_for_the_supervisor() -> None:
    bench = Bench().ready()
    assert bench.texts(act.Excuse("ana", "weld",
        " ")) == ["the reason for leaving it out is missing - say why in a few words"]
    bench.must(act.Excuse("ana", "weld", "owner's cover is stitched"))
    assert bench.state.excused == {"weld": "owner's cover is stitched"}


def test_a_clearing_step_is_never_left_out_even_while_its_debt_is_open() -> None:
    bench = Bench().heated()
    assert bench.codes(act.Excuse("ana", "close", "somebody else did it")) == ["G057"]


def test_what_the_fire_watch_must_confirm_is_never_left_out() -> None:
    def answer(**parts: Any) -> list[str]:
        bench = Bench(rules_for(one_step(step("only", evidence=(evidence("second_person", **parts),))))).start().measure()
        return bench.texts(act.Excuse("ana", "only", "nobody was there"))

    assert answer(role="fire_watch") == ["this step cannot be left out - do it, or stop the job safely"]
    assert answer(role="fire_watch", optional=True) == answer(role="supervisor") == answer() == []


ITEMS: dict[str, tuple[Evidence, list[Any], list[Any]]] = {
    "tick": (evidence("tick"), [True], [False, "yes", 1, None]),
    "count": (evidence("count", low=Quantity(1), high=Quantity(3)), [1, 3], [0, 4, -1, True, "2", 2.0]),
    "equals": (evidence("count", equals="fuel_vents"), [2], [1, 3, True, "2"]),
    "number": (
        evidence("number", quantity="length", low=feet("1 ft"), high=feet("2 ft")),
        ["0.3048 m", "0.6096 m"], ["0.3047 m", "0.6097 m", "abc", "1 ft", "2 kg", "1", 0.5],
    ),
    "open number": (evidence("number", quantity="length"), ["9 m"], ["9 kg", "9", "nine"]),
    "choice": (
        evidence("choice", options=(Option("cold", "Cold"), Option("warm", "Warm")), accept=("cold",)),
        ["cold"], ["warm", "hot", True, ["cold"]],
    ),
    "photo": (evidence("photo"), ["a" * 64], ["a" * 63, "A" * 64, 7, "photo.jpg"]),
    "second_person": (evidence("second_person"), ["joel", "marta"], ["ana", "nobody", 3, ["joel"]]),
}


@pytest.mark.parametrize("kind", ITEMS)
def test_evidence_is_what_the_step_asks_for(kind: str) -> None:
    item, right, wrong = ITEMS[kind]
    for value in wrong:
        bench = Bench(rules_for(one_step(step("only", evidence=(item,))))).start().measure()
        assert bench.codes(act.Do("ana", "only", {item.id: value})), value
    for value in right:
        bench = Bench(rules_for(one_step(step("only", evidence=(item,))))).start().measure()
        assert bench.codes(act.Do("ana", "only", {item.id: value})) == [], value
    bench = Bench(rules_for(one_step(step("only", evidence=(item,))))).start().measure()
    assert bench.texts(act.Do("ana", "only", {})) == [f"missing: Give the {item.kind}. - give it"]


def test_one_photo_shows_one_thing() -> None:
    first, second = step("first", evidence=(evidence("photo"),)), step("second", "first", evidence=(evidence("photo"),))
    bench = Bench(rules_for(one_step(first, second))).start().measure()
    bench.must(act.Do("ana", "first", {"photo": "a" * 64}))
    assert bench.texts(act.Do("ana", "second",
        {"photo": "a" * 64})) == ["this photo was used before: Give the photo. - take a new photo"]
    bench.must(act.Do("ana", "second", {"photo": "b" * 64}))


def test_a_timer_runs_its_minutes_by_both_clocks() -> None:
    timed = step("only", evidence=(evidence("timer", minutes=10),))
    bench = Bench(rules_for(one_step(timed))).start().measure()
    assert bench.texts(act.Do("ana", "only")) == ["the timer of 10 minutes has not run out - start it, and wait"]
    (event,) = bench.must(act.StartTimer("ana", "only"))
    assert dict(event.data) == {"step": "only", "seconds": 600}
    bench.clock.pass_minutes(9.99)
    assert bench.codes(act.Do("ana", "only")) == ["G093"]
    bench.clock.turn_wall(7200)
    assert bench.codes(act.Do("ana", "only")) == ["G010", "G093"]
    bench.must(act.Resume("ana"))
    bench.must(act.StartTimer("ana", "only"))
    bench.clock.pass_minutes(10)
    bench.must(act.Do("ana", "only"))


def test_a_step_without_a_timer_starts_none() -> None:
    bench = Bench().start().measure()
    assert bench.codes(act.StartTimer("ana", "look")) == ["G059"]
    assert bench.codes(act.StartTimer("ana", "nothing")) == ["G003"]


DEEP = Check(
    "deep", parse_formula("beam > door_height"), "the door is higher than the boat is wide", ("beam", "door_height"), HERE
)


def test_a_check_holds_a_step_back_until_measured_again_or_kept_with_a_reason() -> None:
    bench = Bench(rules_for(one_step(step("look", asks=("beam", "door_height")), checks=(DEEP,)))).start()
    bench.must(act.Measure("ana", "door", "yes", "yes"))
    bench.must(act.Measure("ana", "beam", "2 m", "2 m"))
    bench.must(act.Measure("ana", "door_height", "2.5 m", "2.5 m"))
    assert bench.texts(act.Do("ana", "look", {"tick": True})) == [
        "the door is higher than the boat is wide - measure again, or keep them and say why"
    ]
    bench.must(act.Do("ana", "look", {"tick": True, "kept": "a flybridge boat"}))


def test_a_correction_that_breaks_a_check_opens_the_step_that_asked() -> None:
    bench = Bench(rules_for(one_step(step("look", asks=("beam", "door_height")), checks=(DEEP,)))).start()
    bench.must(act.Measure("ana", "door", "yes", "yes"))
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    bench.must(act.Measure("ana", "door_height", "2.5 m", "2.5 m"))
    bench.do("look")
    bench.must(act.Measure("ana", "beam", "2.8 m", "2.8 m"))
    assert "look" in bench.state.done
    made = bench.must(act.Measure("ana", "beam", "2 m", "2 m"))
    assert [(event.kind, event.data.get("step")) for event in made] == [("measured", None), ("step_reopened", "look")]
    assert bench.codes(act.Do("ana", "look", {"tick": True})) == ["G030"]
