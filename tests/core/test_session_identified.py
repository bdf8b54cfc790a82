"""How people showed who they are stands in the events that their act made, and changes nothing else."""

from __future__ import annotations

from dataclasses import replace

from coach.core import actions as act
from coach.core.state import fold
from tests.helpers.bench import Bench
from tests.helpers.people import STROKES, good

PIN = (("ana", "pin"),)


def test_every_event_of_a_confirmed_act_names_it() -> None:
    bench = Bench().ready()
    made = bench.must(act.Light("ana", "weld", identified=PIN))
    assert [(event.kind, event.data["identified"]) for event in made] == [
        ("flame_lit", {"ana": "pin"}), ("debt_opened", {"ana": "pin"}), ("debt_opened", {"ana": "pin"}),
    ]


def test_the_second_person_stands_beside_the_first() -> None:
    bench = Bench().ready()
    (seen,) = bench.must(act.Observe("ana", "fire_watch", good("fire_watch"), identified=(*PIN, ("joel", "pin"))))
    assert seen.data["identified"] == {"ana": "pin", "joel": "pin"}


def test_an_act_without_it_has_no_such_field() -> None:
    bench = Bench().ready()
    assert all("identified" not in event.data for event in bench.events)


def test_a_trip_is_nobodys_act() -> None:
    bench = Bench().ready().lit()
    made = bench.must(act.Withdraw("joel", "area", "a child at the bow", identified=(("joel", "pin"),)))
    assert [(event.kind, "identified" in event.data) for event in made] == [("withdrawn", True), ("tripped", False)]


def test_a_refused_flame_keeps_who_asked() -> None:
    bench = Bench().start().measure()
    assert bench.codes(act.Light("ana", "weld", identified=PIN))
    assert bench.events[-1].kind == "heat_refused"
    assert bench.events[-1].data["identified"] == {"ana": "pin"}


def test_the_state_and_the_monitor_are_the_same_with_it_and_without() -> None:
    bench = Bench().signed()
    bench.must(act.Accept("marta", "seen", STROKES, tuple(bench.state.excused)))
    confirmed = [replace(event, data={**event.data, "identified": {event.by: "pin"}}) for event in bench.events]
    with_it, without = fold(bench.rules, confirmed), bench.state
    assert (with_it.status, with_it.done, with_it.debts, with_it.faults) == (without.status, without.done, without.debts, ())
    bench.events = confirmed
    assert bench.findings() == ()
