"""Counts and measured lengths held against the job's own numbers, and who may confirm what.

Each case was a hole once: ten posts were computed and three passed; a trainee ended the fire watch.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from coach.core import actions as act
from coach.core.events import Event
from coach.core.evidence import attesters, due
from coach.core.formula import parse_formula
from coach.core.model import Evidence, Number, Procedure
from coach.core.monitor import watch_log
from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN
from tests.helpers.bench import Bench
from tests.helpers.people import POLICY
from tests.helpers.procedures import HERE, covering, evidence, feet, rules_for, step

POSTS = Number("posts", "Posts", parse_formula("ceil(beam / 25 cm)"), "count", HERE)  # 2.5 m: ten
HALF = Number("half", "Half", parse_formula("fuel_vents / 4"), "count", HERE)  # two vents: a half
NONE = Number("none", "None", parse_formula("fuel_vents - 3"), "count", HERE)  # two vents: one below none
ENDLESS = Number("endless", "Endless", parse_formula("beam / (fuel_vents - 2)"), "length", HERE)


def job(*items: Evidence, **more: Any) -> Procedure:
    """One step with this evidence, after the measures."""
    base = covering()
    steps = (step("look", asks=tuple(base.measures)), step("only", "look", evidence=items, **more))
    numbers = {**base.numbers, **{number.id: number for number in (POSTS, HALF, NONE, ENDLESS)}}
    return replace(base, stages=(replace(base.stages[0], steps=steps),), numbers=numbers)


def bench_with(*items: Evidence, **more: Any) -> Bench:
    return Bench(rules_for(job(*items, **more))).start().measure().do("look")


CASES: dict[str, tuple[Evidence, list[Any], list[tuple[Any, str]]]] = {
    "as many": (evidence("count", equals="posts"), [10], [
        (3, "counted 3, due are 10: Give the count. - mend the work, then count again"),
        (11, "counted 11, due are 10: Give the count. - mend the work, then count again")]),
    "no fewer": (evidence("count", at_least="posts"), [10, 14], [
        (3, "counted 3, due are at least 10: Give the count. - mend the work, then count again"),
        (9, "counted 9, due are at least 10: Give the count. - mend the work, then count again")]),
    "no more": (evidence("count", at_most="posts"), [0, 10], [
        (11, "counted 11, due are at most 10: Give the count. - mend the work, then count again")]),
    "half a post is a post": (evidence("count", at_least="half"), [1], [
        (0, "counted 0, due are at least 1: Give the count. - mend the work, then count again")]),
    "half a post too many is none": (evidence("count", at_most="half"), [0], [
        (1, "counted 1, due are at most 0: Give the count. - mend the work, then count again")]),
    "below none is none": (evidence("count", equals="none"), [0], [
        (1, "counted 1, due are 0: Give the count. - mend the work, then count again")]),
    "near a length": (evidence("number", quantity="length", equals="width", within=feet("3 in")), ["5.4864 m", "5.4102 m", "5.41 m", "5.56 m", "5.5626 m"], [
        ("5.41 ft", "no number with its unit: Give the number. - measure, and give the unit"),
        ("5.4 m", "measured 17' 8 5/8\", due is 17' 9\" to 18' 3\": Give the number. - mend the work, then measure again")]),
    "a length or more": (evidence("number", quantity="length", at_least="width"), ["5.4864 m", "20 m"], [
        ("5.48 m", "measured 17' 11 3/4\", due is at least 18 ft: Give the number. - mend the work, then measure again")]),
    "a measure of this boat": (evidence("number", quantity="length", at_most="beam"), ["2.5 m"], [
        ("2.6 m", "measured 8' 6 3/8\", due is at most 8' 2 3/8\": Give the number. - mend the work, then measure again")]),
    "what cannot be worked out": (evidence("number", quantity="length", at_least="endless"), [], [
        ("5 m", "what is due cannot be worked out: Give the number. - correct the measures that it rests on")]),
}


@pytest.mark.parametrize("case", CASES)
def test_what_is_entered_agrees_with_what_was_computed(case: str) -> None:
    item, right, wrong = CASES[case]
    for value, said in wrong:
        assert bench_with(item).texts(act.Do("ana", "only", {item.id: value})) == [said]
    for value in right:
        assert bench_with(item).texts(act.Do("ana", "only", {item.id: value})) == [], value


def test_three_posts_do_not_pass_for_ten() -> None:
    assert bench_with(evidence("count", at_least="posts")).codes(act.Do("ana", "only", {"count": 3})) == ["G088"]


@pytest.mark.parametrize("value", [True, "10", 10.0, -1, None])
def test_a_count_held_against_a_number_is_still_a_count(value: Any) -> None:
    assert bench_with(evidence("count", at_least="half")).codes(act.Do("ana", "only", {"count": value})) == ["G087"]


def test_a_corrected_measure_opens_the_step_and_the_old_count_does_no_longer() -> None:
    bench = bench_with(evidence("count", equals="posts"))
    bench.must(act.Do("ana", "only", {"count": 10}))
    made = bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    assert [event.data.get("step") for event in made if event.kind == "step_reopened"] == ["only"]
    assert bench.codes(act.Do("ana", "only", {"count": 10})) == ["G088"]
    bench.must(act.Do("ana", "only", {"count": 12}))


def test_nothing_agrees_while_the_measure_is_not_in() -> None:
    item = evidence("count", equals="posts")
    bench = Bench(rules_for(job(item))).start()
    assert due(bench.rules, bench.state, item) is None
    assert "G100" in bench.codes(act.Do("ana", "only", {"count": 10}))


# -- who may confirm ---------------------------------------------------------------------------------------------


def at_the_watch(by: str = "ana") -> Bench:
    """The small job at the end of its fire watch."""
    bench = Bench(by=by).heated().do("close", "unprop", "untape")
    bench.wait(60)
    return bench


@pytest.mark.parametrize(("person", "name"), [("sam", "Sam Okafor"), ("marta", "Marta Oduya"), ("ivo", "Ivo Brandt")])
def test_only_a_fire_watch_ends_the_fire_watch(person: str, name: str) -> None:
    assert at_the_watch().texts(act.Do("ana", "hold", {"watcher": person})) == [
        f"{name} may not confirm this: Give the second_person. - call one of these: Joel Baptiste, Pia Lindqvist"
    ]


def test_a_trainee_does_not_end_the_fire_watch() -> None:
    assert at_the_watch().codes(act.Do("ana", "hold", {"watcher": "sam"})) == ["G099"]


def test_the_technician_ends_their_own_watch_by_no_role() -> None:
    bench = at_the_watch()
    bench.must(act.HandOver("joel"))
    assert bench.codes(act.Do("joel", "hold", {"watcher": "joel"})) == ["G094"]
    bench.must(act.Do("joel", "hold", {"watcher": "pia"}))


def test_where_nobody_is_listed_the_office_is_asked() -> None:
    people = {id: replace(person, roles=person.roles - {FIRE_WATCH}) for id, person in POLICY.people.items()}
    item = evidence("second_person", role=FIRE_WATCH)
    bench = Bench(rules_for(job(item), policy=replace(POLICY, people=people))).start().measure().do("look")
    assert bench.texts(act.Do("ana", "only", {"second_person": "joel"})) == [
        "Joel Baptiste may not confirm this: Give the second_person. - ask the office whom the yard lists for it"
    ]


@pytest.mark.parametrize(
    ("role", "able"),
    [("", {"joel", "pia", "sam", "marta", "ivo"}), (FIRE_WATCH, {"joel", "pia"}), (SUPERVISOR, {"marta", "ivo"}), (TECHNICIAN, {"joel", "sam", "ivo"})],
)
def test_who_may_confirm_is_who_has_the_role_and_not_the_tool(role: str, able: set[str]) -> None:
    item = evidence("second_person", role=role)
    bench = bench_with(item)
    assert set(attesters(bench.rules, bench.state, bench.rules.steps["only"], item)) == able
    taken = {id for id in POLICY.people if not bench_with(item).codes(act.Do("ana", "only", {"second_person": id}))}
    assert taken == able


def test_a_procedure_cannot_give_the_end_of_the_watch_to_another_role() -> None:
    base = covering()
    steps = tuple(replace(one, evidence=(evidence("second_person", id="watcher", role=SUPERVISOR),)) if one.id == "hold" else one for one in base.steps)
    rules = rules_for(replace(base, stages=(replace(base.stages[0], steps=steps),)))
    assert attesters(rules, Bench(rules).start().state, rules.steps["hold"], rules.steps["hold"].evidence[0]) == ()


def test_the_monitor_reads_who_ended_the_watch() -> None:
    log = at_the_watch().do("hold").events
    assert watch_log(log, POLICY) == ()
    place = next(n for n, event in enumerate(log) if event.kind == "debt_cleared" and event.data["debt"] == "fire_watch")
    assert log[place].data.get("watched_by") == "joel"
    for person in ("sam", "marta", "ana", "nobody", None):
        bent = Event("debt_cleared", log[place].at, "ana", {**log[place].data, "watched_by": person})
        found = watch_log([*log[:place], bent, *log[place + 1:]], POLICY)
        assert [one.text() for one in found] == [
            f"event {place + 1}: the fire watch is ended by {person!r}, who is no fire watch - but what was done for safety counts as "
            "undone only when it is: flame out, tape counted, fire watch held"
        ]


@pytest.mark.parametrize("by", ["joel", "pia", "marta", "nobody"])
def test_nobody_but_the_technician_resets_a_trip(by: str) -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw("joel", "wind", "it got up"))
    bench.must(act.FlameOut("joel"))
    assert bench.codes(act.Reset(by)) == ["G018"]
    bench.must(act.Reset("ana"))
