"""The flame: what lighting needs, how proofs lapse, how a trip comes, stays and ends."""

from __future__ import annotations

from typing import Any

import pytest

from coach.core import actions as act
from coach.core.checks import gate_status
from coach.core.events import Event
from coach.core.gate import SAFEGUARDS
from coach.core.model import FUEL_VENTS
from coach.core.session import Refusal, decide, refusal_note, watch
from tests.helpers.bench import Bench
from tests.helpers.gate_cases import CASES, FAILING, Case
from tests.helpers.people import MORNING, good, policy
from tests.helpers.procedures import covering, rules_for

ALL = tuple(SAFEGUARDS)
LIMITS_MIN = {  # how long each proof holds as shipped, in minutes (floors.py)
    "wind": 15, "gas": 30, "area": 60, "fire_watch": 60, "protection": 120, "operator": 240, "fuel_system": 240,
    "vents_taped": 240, "extinguisher": 240, "air": 240, "leak_test": 240,
}


def light(by: str = "ana", step: str = "weld") -> act.Light:
    return act.Light(by, step)


def about(answer: Any) -> list[tuple[str, str]]:
    """The codes of a refusal with what each is about."""
    assert isinstance(answer, Refusal)
    return [(reason.code, reason.about) for reason in answer.reasons]


# -- lighting ----------------------------------------------------------------------------------------------------


def test_a_flame_is_lit_when_all_is_proven_and_opens_its_debts() -> None:
    bench = Bench().ready()
    proofs = {id: bench.state.proofs[id].seq for id in ALL}
    made = bench.must(light())
    assert [(event.kind, event.data.get("debt")) for event in made] == [
        ("flame_lit", None), ("debt_opened", "open_cylinder"), ("debt_opened", "fire_watch"),
    ]
    assert dict(made[0].data) == {"step": "weld", "operator": "ana", "proofs": proofs}
    assert all(bench.events[seq - 1].data["safeguard"] == id for id, seq in proofs.items())
    assert bench.state.flame == "weld" and set(bench.state.debts) == {"prop", "taped_vents", "open_cylinder",
        "fire_watch"}


@pytest.mark.parametrize("missing", ALL)
def test_no_flame_without_any_one_safeguard(missing: str) -> None:
    bench = Bench().start().measure().do("look", "cut", "prop").prove(*(id for id in ALL if id != missing))
    assert about(bench.act(light())) == [("G102", missing)]
    assert bench.state.flame == "" and bench.kinds()[-1] == "heat_refused"


def test_a_refused_flame_names_every_safeguard_in_the_gates_order_and_is_kept() -> None:
    bench = Bench().start().measure().do("look", "cut", "prop")
    answer = bench.act(light())
    assert about(answer) == [("G102", id) for id in ALL]
    kept = bench.events[-1]
    assert kept.kind == "heat_refused" and kept.data["step"] == "weld"
    assert [reason["about"] for reason in kept.data["reasons"]] == list(ALL)
    assert kept.data["reasons"][0] == {
        "code": "G102", "about": "operator", "text": "Operator allowed: not shown yet at this boat",
        "what": "%(name)s: not shown yet at this boat", "slots": {"name": "Operator allowed"},
    }


@pytest.mark.parametrize("case", [case for case in CASES if case.codes and case.safeguard != "ladder"], ids=str)
def test_no_flame_on_a_statement_that_the_gate_refuses(case: Case) -> None:
    """Whatever the gate says of values, lighting says the same, and the statement is recorded as not met."""
    bench = Bench(rules_for(policy=case.policy), by="ana").start()
    if case.vents is not None:
        bench.must(act.Measure("ana", "fuel_vents", "n", str(case.vents)))
    if case.place in ("outdoors", "indoors"):
        bench.must(act.Measure("ana", "place", case.place, case.place))
    holder = case.holder
    if holder != "ana":
        bench.must(act.HandOver(holder))
    made = bench.must(act.Observe(holder, case.safeguard, case.values))
    assert made[0].kind == "observed" and made[0].data["met"] is False
    status = {s.safeguard: s for s in gate_status(bench.rules, bench.state, bench.clock())}[case.safeguard]
    assert tuple(reason.code for reason in status.reasons) == case.codes and not status.holds
    assert {(code, case.safeguard) for code in case.codes} <= set(about(bench.act(light(holder))))


def test_an_own_safeguard_of_the_author_counts_like_the_kernels() -> None:
    bench = Bench(rules_for(covering(own_safeguard=True))).start().measure().do("look", "cut", "prop").prove(*ALL)
    assert about(bench.act(light())) == [("G102", "ladder")]
    bench.must(act.Observe("ana", "ladder", {"holds": False}))
    assert about(bench.act(light())) == [("G210", "ladder")]
    bench.prove("ladder").lit()


def test_a_flame_needs_its_order_its_answers_and_its_technician() -> None:
    bench = Bench().ready()
    assert bench.texts(light(step="shrink")) == ["'Do weld.' comes first - do that step first"]
    assert bench.texts(light(step="tidy"))[0] == "this step needs no flame - do it without"
    assert bench.codes(light(step="nothing")) == ["G003"]
    assert bench.codes(light(by="joel")) == ["G018"]
    bench.lit()
    assert bench.texts(light()) == ["the flame is lit - put the flame out first"]


def test_a_flame_waits_for_the_measures_its_step_asks_for() -> None:
    from tests.helpers.procedures import step
    from tests.helpers.small import one_step

    procedure = one_step(step("look", asks=("fuel_vents", "place")), step("weld", "look", heat=True, asks=("beam",)))
    bench = Bench(rules_for(procedure)).start()
    bench.must(act.Measure("ana", "fuel_vents", "2", "2"))
    bench.must(act.Measure("ana", "place", "outdoors", "outdoors"))
    bench.do("look").prove()
    assert bench.texts(light()) == ["not measured yet: Widest beam - measure it"]
    bench.must(act.Measure("ana", "beam", "2 m", "2 m"))
    bench.lit()


def test_a_record_that_cannot_be_read_lights_no_flame() -> None:
    bench = Bench().ready()
    bench.take([Event("moon_rose", bench.clock(), "ana", {})])
    assert bench.codes(light()) == ["G041"]
    bench.take([Event("observed", bench.clock(), "ana", {"safeguard": "wind"})])
    assert [event.kind for event in bench.events[22:]] == ["moon_rose", "heat_refused", "observed"]
    assert bench.state.faults == ("event 23: unknown kind 'moon_rose'",
        "event 25 (observed): cannot be read (KeyError)")


def test_a_fresh_look_during_the_flame_is_welcome() -> None:
    bench = Bench().ready().lit()
    bench.clock.pass_minutes(14)
    bench.prove("wind")
    bench.clock.pass_minutes(14)
    bench.prove("wind", "gas")
    bench.clock.pass_minutes(14)
    assert bench.kinds().count("tripped") == 0 and bench.state.flame == "weld"
    bench.out()


def test_a_longer_proof_is_never_put_back_by_the_one_before() -> None:
    bench = Bench().ready()
    bench.must(act.Observe("ana", "wind", good("wind", gust=9_000)))
    assert about(bench.act(light())) == [("G143", "wind")]


# -- lapse -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("id", "minutes"), LIMITS_MIN.items())
def test_a_proof_holds_to_the_last_moment_of_its_time_and_no_longer(id: str, minutes: int) -> None:
    bench = Bench().start().measure().do("look", "cut", "prop").prove(id)
    bench.clock.pass_minutes(minutes)
    bench.prove(*(other for other in ALL if other != id))
    assert bench.codes(light()) == []
    bench.out()
    bench.clock.pass_seconds(0.001)
    bench.prove(*(other for other in ALL if other != id))
    assert bench.texts(light())[0].startswith(f"{SAFEGUARDS[id].name}: shown {minutes} minutes ago, too long - ")
    assert about(bench.act(light())) == [("G104", id)]


@pytest.mark.parametrize(("own", "minutes"), [(1, 1), (15, 15), (600, 15), (15_000, 15)])
def test_a_yard_shortens_the_time_of_a_proof_and_never_stretches_it(own: int, minutes: int) -> None:
    bench = Bench(rules_for(policy=policy(wind_minutes=own))).ready()
    bench.clock.pass_minutes(minutes)
    assert bench.codes(light()) == []
    bench.out()
    bench.clock.pass_seconds(1)
    assert bench.codes(light()) == ["G104"]


def test_an_own_safeguard_holds_its_own_minutes_within_the_general_ones() -> None:
    bench = Bench(rules_for(covering(own_safeguard=True), policy(other_minutes=10))).ready()
    bench.clock.pass_minutes(10.1)
    assert ("G104", "ladder") in about(bench.act(light()))  # 20 of its own, 10 of the yard
    bench = Bench(rules_for(covering(own_safeguard=True))).ready()
    bench.clock.pass_minutes(20.1)
    assert about(bench.act(light())) == [("G104", "wind"), ("G104", "ladder")]


def test_a_pause_lapses_every_proof() -> None:
    bench = Bench().ready()
    bench.must(act.Pause("ana", "lunch"))
    assert bench.codes(light())[:1] == ["G014"]
    bench.must(act.Resume("ana"))
    assert about(bench.act(light())) == [("G102", id) for id in ALL]
    bench.prove().lit()


def test_a_hand_over_lapses_every_proof_and_the_other_needs_their_own() -> None:
    bench = Bench().ready()
    bench.must(act.HandOver("joel"))
    assert bench.codes(light())[0] == "G018"
    assert about(bench.act(light("joel"))) == [("G102", id) for id in ALL]
    bench.by = "joel"
    bench.prove(*(id for id in ALL if id != "fire_watch"))
    bench.must(act.Observe("joel", "fire_watch", good("fire_watch")))
    assert about(bench.act(light("joel"))) == [("G171", "fire_watch")]
    bench.must(act.Observe("joel", "fire_watch", good("fire_watch", person="pia")))
    bench.lit()


@pytest.mark.parametrize("boot", ["", "boot-2"])
def test_another_run_of_the_program_lapses_every_proof(boot: str) -> None:
    bench = Bench().ready()
    bench.clock.restart("run-2", boot)
    answer = about(decide(bench.rules, bench.state, light(), bench.clock()))
    assert answer == [("G010", "clock"), *(("G103", id) for id in ALL)]
    assert bench.codes(act.Observe("ana", "wind", good("wind"))) == ["G010"]
    bench.must(act.Resume("ana"))
    assert about(bench.act(light())) == [("G102", id) for id in ALL]
    bench.prove().lit()


@pytest.mark.parametrize("seconds", [-3_600, -60, -6, 6, 60, 3_600, 86_400])
def test_a_wall_clock_that_was_turned_lapses_every_proof(seconds: int) -> None:
    bench = Bench().ready()
    bench.clock.turn_wall(seconds)
    assert about(bench.act(light())) == [("G010", "clock"), *(("G103", id) for id in ALL)]


@pytest.mark.parametrize("seconds", [-5, 0, 5])
def test_a_clock_that_is_put_right_by_seconds_is_no_doubt(seconds: int) -> None:
    bench = Bench().ready()
    bench.clock.turn_wall(seconds)
    assert bench.codes(light()) == []


def test_the_day_of_the_inspection_is_asked_again_at_every_moment() -> None:
    bench = Bench()
    bench.clock.pass_minutes(15 * 60 + 55)  # 23:55
    bench.start().measure().do("look", "cut", "prop").prove()
    bench.must(act.Observe("ana", "extinguisher", good("extinguisher", inspected="2026-10-10")))
    bench.lit()
    bench.clock.pass_minutes(4.99)
    assert watch(bench.rules, bench.state, bench.clock()) == ()
    bench.clock.pass_minutes(0.02)
    (trip,) = watch(bench.rules, bench.state, bench.clock())
    assert trip.data["first"] == {
        "code": "G137", "about": "extinguisher", "text": "the extinguisher was inspected 31 days ago, the limit is 30",
        "what": "the extinguisher was inspected %(days)s days ago, the limit is %(limit)s",
        "slots": {"days": 31, "limit": 30},
    }


def test_a_correction_of_the_vents_or_the_place_takes_the_proof_at_once() -> None:
    bench = Bench().ready()
    bench.must(act.Measure("ana", FUEL_VENTS, "3", "3"))
    bench.must(act.Measure("ana", "place", "indoors", "indoors"))
    assert about(bench.act(light())) == [("G122", "vents_taped"), ("G201", "air"), ("G110", "air")]


def test_a_statement_that_did_not_hold_is_no_proof_after_a_correction_either() -> None:
    bench = Bench().ready()
    bench.must(act.Observe("ana", "vents_taped", good("vents_taped", taped=3, markers=3)))
    bench.must(act.Measure("ana", FUEL_VENTS, "3", "3"))
    bench.must(act.Observe("ana", "air", {}))
    bench.must(act.Observe("ana", "air", {"ventilated": True}))
    assert bench.texts(light())[0] == (
        "Fuel vents taped: it did not hold when it was stated - tape every fuel vent and set its marker"
    )
    bench.must(act.Observe("ana", "vents_taped", good("vents_taped", taped=3, markers=3)))
    assert about(bench.act(light())) == [("G110", "air")]


# -- trip --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("id", ALL)
def test_a_safeguard_withdrawn_in_the_flame_trips(id: str) -> None:
    bench = Bench().ready().lit()
    made = bench.must(act.Withdraw("pia", id, "a gust"))
    assert [event.kind for event in made] == ["withdrawn", "tripped"]
    name = SAFEGUARDS[id].name
    row = {
        "code": "G101", "about": id, "text": f"{name}: no longer so (a gust)",
        "what": "%(name)s: no longer so (%(said)s)",
        "slots": {"name": name, "said": "a gust"},
    }
    assert dict(made[1].data) == {"step": "weld", "first": row, "reasons": [row]}
    assert bench.state.flame == "" and bench.state.proofs == {} and bench.state.trip is not None
    assert not bench.state.trip.out


@pytest.mark.parametrize("case", FAILING, ids=str)
def test_a_statement_that_does_not_hold_trips_the_flame(case: Case) -> None:
    bench = Bench().ready().lit()
    made = bench.must(act.Observe("ana", case.safeguard, case.values))
    assert made[0].kind == "observed" and made[-1].kind == "tripped"
    assert [reason["code"] for reason in made[-1].data["reasons"]] == list(case.codes)
    assert made[-1].data["first"]["about"] == case.safeguard


@pytest.mark.parametrize(("id", "minutes"), [("wind", 15), ("gas", 30), ("area", 60)])
def test_time_alone_trips_when_the_clock_is_looked_at(id: str, minutes: int) -> None:
    bench = Bench().ready().lit()
    others = [other for other in ALL if LIMITS_MIN[other] < 61 and other != id]
    while minutes > 10:
        bench.clock.pass_minutes(10)
        minutes -= 10
        bench.prove(*others)
    bench.clock.pass_minutes(minutes)
    assert bench.must(act.Look("ana")) == ()
    bench.clock.pass_seconds(0.001)
    (trip,) = decide(bench.rules, bench.state, act.Look("ana"), bench.clock())  # type: ignore[misc]
    assert trip.kind == "tripped" and trip.data["first"]["code"] == "G104" and trip.data["first"]["about"] == id


@pytest.mark.parametrize(
    "fault", ["turned forward", "turned back", "another run", "another start", "steady backwards"],
)
def test_a_clock_in_doubt_trips(fault: str) -> None:
    bench = Bench().ready().lit()
    {
        "turned forward": lambda: bench.clock.turn_wall(600), "turned back": lambda: bench.clock.turn_wall(-600),
        "another run": lambda: bench.clock.restart("run-2"),
        "another start": lambda: bench.clock.restart("run-2", "boot-2"),
        "steady backwards": lambda: bench.clock.pass_seconds(-0.001),
    }[fault]()
    made = decide(bench.rules, bench.state, act.Look("ana"), bench.clock())
    assert not isinstance(made, Refusal)
    (trip,) = made
    assert trip.data["first"] == {
        "code": "G010", "about": "clock", "text": "the clock was changed, or the program was started anew",
        "what": "the clock was changed, or the program was started anew", "slots": {},
    }
    assert [reason["about"] for reason in trip.data["reasons"]] == ["clock", *ALL]


@pytest.mark.parametrize(
    "action",
    [
        act.Measure("ana", "beam", "3 m", "3 m"), act.Do("ana", "weld", {"tick": True}),
        act.Excuse("ana", "cut", "no time left"),
        act.Light("ana", "weld"), act.Pause("ana"), act.Observe("ana", "wind", good("wind")), act.HandOver("joel"),
        act.Sign("ana", "done", (((1, 1), (2, 2)),)), act.Reset("ana"), act.Accept("marta"), act.SendBack("marta"),
        act.StartTimer("ana", "weld"), act.Tag("ana", "prop", "rail", "no time"),
        act.ClearTag("marta", "prop", "nothing"),
    ],
    ids=lambda action: type(action).__name__,
)
def test_while_a_trip_is_due_nothing_else_is_taken(action: act.Action) -> None:
    bench = Bench().ready().lit()
    bench.clock.pass_minutes(15.1)
    answer = decide(bench.rules, bench.state, action, bench.clock())
    assert isinstance(answer, Refusal)
    assert [reason.text() for reason in answer.reasons] == [
        "a safeguard was lost: Wind under the limit: shown 15 minutes ago, too long - put the flame out"
    ]


def test_a_refused_flame_does_not_hide_a_clock_in_doubt() -> None:
    bench = Bench().ready().lit()
    bench.clock.turn_wall(-3_600)
    refused = decide(bench.rules, bench.state, light(), bench.clock())
    assert isinstance(refused, Refusal)
    assert refusal_note(bench.state, light(), refused, bench.clock()) == ()


@pytest.mark.parametrize("by", ["ana", "pia", "marta", "a passer-by"])
def test_anybody_may_put_the_flame_out_and_say_what_is_lost(by: str) -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw(by, "area", "a child at the bow"))
    (out,) = bench.must(act.FlameOut(by))
    assert (out.kind, out.by, dict(out.data)) == ("flame_out", by, {"step": "weld", "confirmed": True})


def test_what_time_took_is_noted_before_what_a_person_does() -> None:
    for action, kinds in (
        (act.Withdraw("ana", "gas", "a smell"), ["tripped", "withdrawn"]),
        (act.FlameOut("ana"), ["tripped", "flame_out"]),
        (act.AskStop("ana", "rain is coming"), ["tripped", "stop_asked"]),
    ):
        bench = Bench().ready().lit()
        bench.clock.pass_minutes(15.1)
        made = decide(bench.rules, bench.state, action, bench.clock())
        assert not isinstance(made, Refusal)
        assert [event.kind for event in made] == kinds
        assert made[0].data["first"]["about"] == "wind"


def test_a_resumption_after_a_restart_in_the_flame_trips_first() -> None:
    bench = Bench().ready().lit()
    bench.clock.restart("run-2", "boot-2")
    made = decide(bench.rules, bench.state, act.Resume("ana"), bench.clock())
    assert not isinstance(made, Refusal)
    assert [event.kind for event in made] == ["tripped", "resumed"]


def test_a_trip_stays_whatever_comes_back_and_keeps_its_first_cause() -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw("ana", "fire_watch", "called away"))
    first = bench.state.trip
    assert bench.texts(act.Observe("ana", "fire_watch", good("fire_watch"))) == [
        "a safeguard was lost while the flame was lit - put the flame out, close the tool, then say so"
    ]
    bench.must(act.Withdraw("ana", "gas", "a smell"))
    assert bench.state.trip == first and bench.kinds().count("tripped") == 1
    assert bench.codes(act.Reset("ana")) == ["G011"]
    assert bench.codes(light())[0] == "G011"
    bench.out()
    assert bench.codes(act.Observe("ana", "fire_watch", good("fire_watch"))) == ["G012"]
    assert bench.texts(light())[0] == "the trip is not reset yet - reset, then show every safeguard again"
    assert bench.state.trip is not None and bench.state.trip.first["about"] == "fire_watch"


def test_a_reset_never_lights_and_asks_everything_again() -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw("ana", "gas", "a smell"))
    bench.out()
    assert bench.codes(act.Reset("joel")) == ["G018"]
    (event,) = bench.must(act.Reset("ana"))
    assert event.kind == "trip_reset" and bench.state.trip is None and bench.state.flame == ""
    answer = about(bench.act(light()))
    assert ("G101", "gas") in answer and {a for _, a in answer} == set(ALL)
    bench.prove().lit()


def test_there_is_nothing_to_reset_without_a_trip() -> None:
    bench = Bench().ready()
    assert bench.texts(act.Reset("ana")) == ["there is no trip to reset - go on"]
    assert bench.codes(act.FlameOut("ana")) == ["G021"]


def test_during_a_flame_hands_have_no_other_work() -> None:
    bench = Bench().ready().lit()
    for action in (
        act.Measure("ana", "beam", "3 m", "3 m"), act.Do("ana", "weld", {"tick": True}), act.Pause("ana"),
        act.HandOver("joel"), act.Excuse("ana", "shrink", "no time left"), bench.sign(),
    ):
        assert "G013" in bench.codes(action), action
    assert bench.state.flame == "weld"


def test_the_step_is_done_when_the_flame_is_out_and_only_if_it_was_lit() -> None:
    bench = Bench().ready()
    assert bench.codes(act.Do("ana", "weld", {"tick": True})) == ["G056"]
    bench.lit().out().do("weld")
    assert bench.codes(act.Do("ana", "shrink", {"tick": True})) == ["G056"]


def test_a_technician_hurt_at_a_trip_is_relieved_and_the_trip_stays() -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw("pia", "protection", "burnt a hand"))
    assert bench.codes(act.HandOver("joel")) == ["G011"]
    bench.must(act.FlameOut("pia"))
    bench.must(act.HandOver("joel"))
    assert bench.state.trip is not None
    bench.must(act.Reset("joel"))
    assert bench.state.technician == "joel"


def test_the_morning_is_that_of_the_tests() -> None:
    assert Bench().clock().wall == MORNING
