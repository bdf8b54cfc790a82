"""Each flag on a job of the bare kernel: at its edge, beside it, and never on careful work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core import actions as act
from coach.core.events import Event
from coach.core.rules import Rules
from coach.yard.flags import KINDS, Flag, flags_of
from tests.helpers.bench import Bench
from tests.helpers.people import STROKES, good
from tests.helpers.procedures import covering, rules_for


def calm_bench(rules: Rules | None = None) -> Bench:
    """A bench whose every act comes a minute after the one before."""
    bench = Bench(rules)
    act_now = bench.act

    def later(action: act.Action):  # type: ignore[no-untyped-def]
        bench.clock.pass_seconds(60)
        return act_now(action)

    bench.act = later  # type: ignore[method-assign]
    return bench


def flags(bench: Bench) -> dict[str, Flag]:
    found = flags_of(bench.rules, bench.events)
    assert len({flag.kind for flag in found}) == len(found)
    return {flag.kind: flag for flag in found}


def test_careful_work_has_no_flag() -> None:
    bench = calm_bench().signed()
    bench.must(act.Accept("marta", "seen", STROKES))
    assert flags(bench) == {}


def test_flags_come_gravest_first() -> None:
    bench = Bench().start().measure().do("look", "cut", "prop")
    for _ in range(3):
        bench.codes(act.Light("ana", "weld"))
    bench.prove().lit().must(act.Withdraw("pia", "area", "a child at the bow"))
    kinds = [flag.kind for flag in flags_of(bench.rules, bench.events)]
    assert kinds == sorted(kinds, key=KINDS.index)
    assert kinds == ["trip", "quick", "batch", "heat_refused"]


# -- quick ticks and batches -------------------------------------------------------------------------------------------


def ticked(*gaps: float, least: int = 0) -> Bench:
    """look, cut, prop ... each done so many seconds after the one before."""
    procedure = covering()
    steps = tuple(replace(step, least_seconds=least if step.id == "cut" else 0) for step in procedure.steps)
    stage = replace(procedure.stages[0], steps=steps)
    bench = Bench(rules_for(replace(procedure, stages=(stage,)))).start().measure()
    for step, gap in zip(("look", "cut", "prop"), gaps, strict=False):
        bench.clock.pass_seconds(gap)
        bench.do(step)
    return bench


@pytest.mark.parametrize(("seconds", "quick"), [(0, True), (1.999, True), (2, False), (60, False)])
def test_two_seconds_is_the_least(seconds: float, quick: bool) -> None:
    found = flags(ticked(30, seconds)).get("quick")
    assert (found is not None) is quick
    if found:
        assert (found.count, found.about) == (1, ("cut",))


@pytest.mark.parametrize(("seconds", "quick"), [(44.9, True), (45, False)])
def test_what_the_procedure_says_it_takes_counts_where_it_is_more(seconds: float, quick: bool) -> None:
    assert ("quick" in flags(ticked(30, seconds, least=45))) is quick


def test_a_clock_that_was_set_calls_nothing_quick() -> None:
    bench = ticked(30)
    bench.clock.turn_wall(-600)
    bench.must(act.Resume("ana"))
    bench.clock.pass_seconds(30)
    bench.do("cut")
    assert "quick" not in flags(bench)


def test_after_a_pause_time_counts_from_the_return() -> None:
    bench = ticked(30)
    bench.clock.pass_seconds(60)
    bench.must(act.Pause("ana", "lunch"))
    bench.clock.pass_seconds(3_600)
    bench.must(act.Resume("ana"))
    bench.clock.pass_seconds(1)
    bench.do("cut")
    assert flags(bench)["quick"].about == ("cut",)


def safeguards_shown(seconds: float) -> Bench:
    bench = ticked(30, 30, 30)
    bench.clock.pass_seconds(60)
    for safeguard in ("operator", "protection", "fuel_system", "extinguisher"):
        bench.clock.pass_seconds(seconds)
        bench.must(act.Observe("ana", safeguard, good(safeguard)))
    return bench


@pytest.mark.parametrize(("seconds", "batch"), [(6.6, True), (6.8, False)])
def test_four_in_twenty_seconds_are_a_batch(seconds: float, batch: bool) -> None:
    """Four ticks have three gaps: 3 x 6.6 s = 19.8 s, 3 x 6.8 s = 20.4 s."""
    found = flags(safeguards_shown(seconds)).get("batch")
    assert (found is not None) is batch
    if found:
        assert (found.count, len(found.events)) == (1, 4)


def test_a_safeguard_that_does_not_hold_is_no_tick() -> None:
    bench = ticked(30, 30, 30)
    for _ in range(6):
        bench.must(act.Observe("ana", "wind", good("wind", gust=9_999)))
    assert "batch" not in flags(bench) and "quick" not in flags(bench)


def test_one_long_run_is_one_batch() -> None:
    bench = ticked(30, 30, 30)
    bench.clock.pass_seconds(60)
    for safeguard in bench.rules.safeguards:
        bench.clock.pass_seconds(3)
        bench.must(act.Observe("ana", safeguard, good(safeguard)))
    found = flags(bench)["batch"]
    assert (found.count, len(found.events)) == (1, len(bench.rules.safeguards))


# -- trouble at the gate -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("times", "often"), [(2, False), (3, True)])
def test_heat_refused_often(times: int, often: bool) -> None:
    bench = calm_bench().start().measure().do("look", "cut", "prop")
    for _ in range(times):
        bench.codes(act.Light("ana", "weld"))
    found = flags(bench).get("heat_refused")
    assert (found is not None) is often
    if found:
        assert (found.count, found.about) == (3, ("weld",))


def test_a_trip_names_its_first_cause() -> None:
    bench = calm_bench().ready().lit()
    bench.must(act.Withdraw("pia", "area", "a child at the bow"))
    found = flags(bench)["trip"]
    assert (found.count, found.about) == (1, ("area",))
    assert bench.events[found.events[0] - 1].kind == "tripped"


def test_lapsed_safeguards_at_a_refusal_and_in_the_flame() -> None:
    bench = calm_bench().ready()
    bench.clock.pass_minutes(16)  # the wind reading lapses at 15 minutes (floors.LIMITS)
    assert bench.codes(act.Light("ana", "weld")) == ["G104"]
    assert flags(bench)["lapsed"].about == ("wind",)
    bench.prove().lit()
    bench.clock.pass_minutes(16)
    bench.codes(act.Look("ana"))
    assert (flags(bench)["lapsed"].count, flags(bench)["trip"].about) == (2, ("wind",))


# -- what is left, mended, or said at one's word -----------------------------------------------------------------------


def test_a_step_left_out_is_flagged_until_it_is_done_after_all() -> None:
    bench = calm_bench().start().measure()
    bench.must(act.Do("ana", "look", {"tick": True}))
    bench.must(act.Excuse("ana", "cut", "no film today"))
    assert flags(bench)["excused"].about == ("cut",)
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))  # the correction opens it again
    assert "excused" not in flags(bench)


def test_a_debt_on_a_tag_is_flagged_until_the_supervisor_clears_it() -> None:
    bench = calm_bench().heated()
    bench.must(act.AskStop("ana", "rain is coming"))
    bench.do("close")
    bench.must(act.Tag("ana", "taped_vents", "bow rail", "no light left"))
    bench.must(act.Tag("ana", "prop", "bow rail", "no light left"))
    bench.wait(60)
    bench.do("hold").must(bench.sign())
    assert flags(bench)["tag"].about == ("taped_vents", "prop")
    bench.must(act.ClearTag("marta", "prop", "taken out"))
    assert flags(bench)["tag"].about == ("taped_vents",)
    bench.must(act.SendBack("marta", (("untape", "open the vents"),)))
    assert "tag" not in flags(bench)


def test_a_correction_counts_only_after_something_relied_on_it() -> None:
    bench = calm_bench().start().measure()
    bench.must(act.Measure("ana", "beam", "2.6 m", "2.6 m"))
    assert "late_correction" not in flags(bench)
    bench.do("look", "cut")
    bench.must(act.Measure("ana", "beam", "2.7 m", "2.7 m"))
    assert (flags(bench)["late_correction"].count, flags(bench)["late_correction"].about) == (1, ("beam",))


def test_what_the_second_reading_finds_is_the_gravest_flag() -> None:
    bench = calm_bench().ready()
    forged = Event("flame_lit", bench.clock(), "ana", {"step": "weld", "operator": "joel", "proofs": {}})
    bench.events.append(forged)
    first = flags_of(bench.rules, bench.events)[0]
    assert first.kind == "finding"
    assert any("lit by ana for joel" in str(text) for text in first.texts)
    assert len(bench.events) in first.events


def identified(bench: Bench, person: str = "") -> list[Event]:
    """The log as if everyone had shown who they are, but `person` as a second person."""
    made = []
    for event in bench.events:
        who = {event.by: "pin"}
        seconds = [event.data.get("values", {}).get("person"), event.data.get("evidence", {}).get("watcher")]
        who |= {each: "pin" for each in seconds if each and each != person}
        made.append(replace(event, data={**event.data, "identified": who}))
    return made


def test_a_second_person_at_their_word_is_flagged_where_others_show_who_they_are() -> None:
    bench = calm_bench().undone()
    assert "unidentified" not in flags(bench)  # a yard without PINs
    bench.events = identified(bench)
    assert "unidentified" not in flags(bench)
    bench.events = identified(bench, "joel")
    found = flags(bench)["unidentified"]
    assert found.about == ("joel",)
    assert {bench.events[number - 1].kind for number in found.events} == {"observed", "step_done"}


def test_nobody_has_to_leave_the_post_under_a_flame() -> None:
    bench = calm_bench().ready().lit()
    bench.events = identified(bench)
    (seen,) = bench.must(act.Observe("ana", "fire_watch", good("fire_watch"), identified=(("ana", "pin"),)))
    assert "unidentified" not in flags(bench) and seen.data["identified"] == {"ana": "pin"}


def test_an_act_under_a_locked_tablet_is_flagged_but_the_flame_out_is_not() -> None:
    bench = calm_bench().ready().lit()
    bench.events = identified(bench)
    bench.out()
    assert "unidentified" not in flags(bench)
    bench.do("weld")
    assert flags(bench)["unidentified"].about == ("ana",)


# -- against ticking by rote -------------------------------------------------------------------------------------------


def attentive(least: int = 0) -> Bench:
    """A bench under rules that hold a hurried step up and ask what is so."""
    procedure = covering()
    steps = tuple(replace(step, least_seconds=least if step.id == "cut" else 0) for step in procedure.steps)
    stage = replace(procedure.stages[0], steps=steps)
    plain = rules_for(replace(procedure, stages=(stage,)))
    rules = Rules(plain.procedure, plain.policy, plain.functions, True, True)
    bench = Bench(rules).start().measure()
    bench.clock.pass_seconds(60)
    bench.do("look")
    return bench


def test_a_tick_that_was_not_believed_is_quick_too() -> None:
    bench = attentive(least=45)
    bench.clock.pass_seconds(40)
    assert "G095" in bench.codes(act.Do("ana", "cut", {"tick": True}))
    assert bench.events[-1].kind == "hurried"
    found = flags(bench)["quick"]
    assert (found.count, found.about, found.events) == (1, ("cut",), (len(bench.events),))


@pytest.mark.parametrize("right", [True, False])
def test_a_question_answered_wrong_is_flagged(right: bool) -> None:
    bench = attentive()
    data = {"question": "taped", "step": "look", "given": "1", "right": right}
    bench.events.append(Event("answered", bench.clock(), "ana", data))
    found = flags(bench).get("wrong_answer")
    assert (found is None) is right
    if found:
        assert (found.count, found.about) == (1, ("taped",))
