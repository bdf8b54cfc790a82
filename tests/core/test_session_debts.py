"""Debts: what opens them, what clears them, how a clearing step is armed again, and that none is ever lost."""

from __future__ import annotations

import pytest

from coach.core import actions as act
from coach.core.gate import SAFEGUARDS
from tests.helpers.bench import Bench
from tests.helpers.people import good, policy
from tests.helpers.procedures import rules_for

ALL = tuple(SAFEGUARDS)


def owed(bench: Bench) -> dict[str, int]:
    """The open debts with their amounts."""
    return {id: debt.amount for id, debt in bench.state.debts.items()}


def begun() -> Bench:
    return Bench().start().measure().do("look", "cut")


@pytest.mark.parametrize(("values", "amount"), [({}, 2), ({"taped": 1}, 1), ({"taped": 5, "markers": 0}, 5)])
def test_tape_is_owed_from_the_moment_it_is_on_whether_or_not_the_proof_holds(values: dict[str, int],
    amount: int) -> None:
    bench = begun()
    made = bench.must(act.Observe("ana", "vents_taped", good("vents_taped", **values)))
    assert (made[1].kind, dict(made[1].data)) == ("debt_opened", {"debt": "taped_vents", "amount": amount})
    assert owed(bench) == {"taped_vents": amount}


@pytest.mark.parametrize("taped", [0, None, -1, "2"])
def test_no_tape_on_owes_nothing(taped: object) -> None:
    bench = begun()
    bench.must(act.Observe("ana", "vents_taped", good("vents_taped", taped=taped)))
    assert owed(bench) == {}


def test_more_tape_owes_more_and_less_tape_owes_no_less() -> None:
    bench = begun()
    for taped, due in ((1, 1), (3, 3), (2, 3)):
        bench.must(act.Observe("ana", "vents_taped", good("vents_taped", taped=taped, markers=taped)))
        assert owed(bench) == {"taped_vents": due}


def test_a_cylinder_is_owed_from_the_leak_test_on() -> None:
    bench = begun()
    bench.must(act.Observe("ana", "leak_test", good("leak_test", soaped=False)))
    assert owed(bench) == {}
    bench.must(act.Observe("ana", "leak_test", good("leak_test", bubbles=True)))
    assert owed(bench) == {"open_cylinder": 1}


def test_a_withdrawal_a_pause_or_a_correction_leaves_every_debt() -> None:
    bench = Bench().ready()
    before = owed(bench)
    assert before == {"prop": 1, "taped_vents": 2, "open_cylinder": 1}
    bench.must(act.Withdraw("ana", "vents_taped", "a tape came off"))
    bench.must(act.Measure("ana", "fuel_vents", "1", "1"))
    bench.must(act.Pause("ana", "lunch"))
    bench.must(act.Resume("ana"))
    bench.must(act.HandOver("joel"))
    assert owed(bench) == before


@pytest.mark.parametrize(
    ("removed", "texts"),
    [
        (1, ["2 were put on, 1 came off - find every one and count again"]),
        (3, ["2 were put on, 3 came off - find every one and count again"]),
        (0, ["2 were put on, 0 came off - find every one and count again"]),
        (None, ["missing: Give the count. - give it", "2 were put on, 0 came off - find every one and count again"]),
        (True, ["no whole number: Give the count. - count, and give the number",
                "2 were put on, True came off - find every one and count again"]),
        ("2", ["no whole number: Give the count. - count, and give the number",
               "2 were put on, 2 came off - find every one and count again"]),
    ],
)
def test_as_much_tape_comes_off_as_went_on(removed: object, texts: list[str]) -> None:
    bench = Bench().heated().do("close", "unprop")
    given = {} if removed is None else {"removed": removed}
    assert bench.texts(act.Do("ana", "untape", given)) == texts
    assert "taped_vents" in bench.state.debts


def test_tape_is_counted_against_what_went_on_not_against_a_corrected_number_of_vents() -> None:
    bench = Bench().heated()
    bench.must(act.Measure("ana", "fuel_vents", "1", "1"))
    bench.do("close", "unprop")
    assert bench.codes(act.Do("ana", "untape", {"removed": 1})) == ["G083"]
    bench.must(act.Do("ana", "untape", {"removed": 2}))


def test_undoing_says_how_many_and_ends_the_proof() -> None:
    bench = Bench().heated().prove()
    made = bench.must(act.Do("ana", "close", {"tick": True}))
    assert [(event.kind, dict(event.data)) for event in made] == [
        ("step_done", {"step": "close", "evidence": {"tick": True}}),
        ("debt_cleared", {"debt": "open_cylinder", "amount": 1, "evidence": {"tick": True}}),
    ]
    assert "leak_test" not in bench.state.proofs
    bench.do("unprop")
    made = bench.must(act.Do("ana", "untape", {"removed": 2}))
    assert dict(made[1].data) == {"debt": "taped_vents", "amount": 2, "evidence": {"removed": 2}}
    assert "vents_taped" not in bench.state.proofs and owed(bench) == {"fire_watch": 1}
    bench.wait(60)
    bench.do("hold")
    assert owed(bench) == {} and "fire_watch" not in bench.state.proofs


def test_no_debt_is_undone_while_a_flame_burns_or_a_trip_stands() -> None:
    bench = Bench().heated().prove()
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))  # opens the shrinking again
    bench.do("cut").lit("shrink")
    assert "G013" in bench.codes(act.Do("ana", "close", {"tick": True}))
    bench.must(act.Withdraw("ana", "gas", "a smell"))
    assert "G011" in bench.codes(act.Do("ana", "close", {"tick": True}))
    bench.out()
    assert "G012" in bench.codes(act.Do("ana", "close", {"tick": True}))


def test_every_flame_arms_again_what_undoes_it() -> None:
    bench = Bench().heated().do("close", "unprop", "untape")
    assert {"close", "untape"} <= set(bench.state.done)
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    bench.do("cut")
    bench.prove(*(id for id in ALL if id != "vents_taped"))
    assert "close" not in bench.state.done  # the leak test opened the cylinder again
    assert bench.codes(act.Light("ana", "shrink")) == ["G102"]
    bench.prove("vents_taped")
    assert "untape" not in bench.state.done
    bench.lit("shrink").out().do("shrink")
    assert owed(bench) == {"taped_vents": 2, "open_cylinder": 1, "fire_watch": 1}
    assert {code for code in bench.codes(bench.sign())} == {"G070", "G071"}


def test_a_clearing_step_is_asked_exactly_while_its_debt_is_open() -> None:
    bench = Bench().start().measure().do("look")
    assert bench.texts(act.Do("ana", "close",
        {"tick": True}))[0] == "this step is not asked of this boat - go on to the next step"


# -- the fire watch ----------------------------------------------------------------------------------------------


def watched(minutes: float, **limits: int) -> Bench:
    """The last flame is out for so many minutes; the watch is the next to be done."""
    bench = Bench(rules_for(policy=policy(**limits))).heated().do("close", "unprop", "untape")  # type: ignore[arg-type]
    bench.clock.pass_minutes(minutes)
    return bench


HOLD = act.Do("ana", "hold", {"watcher": "joel"})


@pytest.mark.parametrize(
    ("own", "need"),
    [({}, 60), ({"fire_watch_minutes": 30}, 30), ({"fire_watch_minutes": 5}, 30), ({"fire_watch_minutes": 90}, 90)],
)
def test_the_watch_is_held_its_minutes_never_under_thirty(own: dict[str, int], need: int) -> None:
    # shipped 60 min: NFPA 51B-2019, read second-hand; floor 30 min: 29 CFR 1915.504(c), read
    bench = watched(need - 1, **own)
    bench.clock.pass_seconds(59)
    assert bench.texts(HOLD) == [f"the fire watch has 1 of {need} minutes to go - keep watching"]
    bench.clock.pass_seconds(1)
    bench.must(HOLD)


def test_the_minutes_left_are_rounded_up() -> None:
    assert watched(0.01).texts(HOLD) == ["the fire watch has 60 of 60 minutes to go - keep watching"]
    assert watched(59).texts(HOLD) == ["the fire watch has 1 of 60 minutes to go - keep watching"]


def test_the_watch_begins_anew_with_every_flame() -> None:
    bench = watched(50)
    bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
    bench.do("cut").prove().lit("shrink").out().do("shrink", "close", "untape")
    bench.clock.pass_minutes(59.9)
    assert bench.codes(HOLD) == ["G061"]
    bench.clock.pass_minutes(0.1)
    bench.must(HOLD)


def test_after_a_trip_the_watch_counts_from_the_flame_that_is_out() -> None:
    bench = Bench().ready().lit()
    bench.must(act.Withdraw("ana", "gas", "a smell"))
    bench.wait(20)
    bench.out()
    bench.must(act.Reset("ana"))
    bench.prove().lit("weld").out().do("weld").lit("shrink")
    bench.must(act.Withdraw("ana", "gas", "a smell"))
    bench.clock.pass_minutes(30)
    bench.out()
    bench.must(act.Reset("ana"))
    bench.do("shrink", "close", "unprop", "untape")
    bench.clock.pass_minutes(59)
    assert bench.codes(HOLD) == ["G061"]
    bench.clock.pass_minutes(1)
    bench.must(HOLD)


@pytest.mark.parametrize("seconds", [3_600, -3_600, 30])
def test_a_clock_that_is_turned_makes_no_watch_shorter(seconds: int) -> None:
    bench = watched(10)
    bench.clock.turn_wall(seconds)
    assert bench.codes(HOLD)[0] == "G010"
    bench.must(act.Resume("ana"))
    bench.clock.pass_minutes(49)
    assert bench.codes(HOLD) == ["G061"]  # more than 5 s and a hundredth of the age: the watch begins anew
    bench.clock.pass_minutes(11)
    bench.must(HOLD)


def test_after_a_restart_of_the_device_the_watch_begins_anew() -> None:
    bench = watched(59)
    bench.clock.restart("run-2", "boot-2")
    assert bench.codes(HOLD) == ["G010", "G060"]
    bench.must(act.Resume("ana"))
    assert bench.codes(HOLD) == ["G061"]
    bench.clock.pass_minutes(60)
    bench.must(HOLD)
    assert bench.findings() == ()


def test_a_watch_whose_beginning_is_lost_can_be_begun_anew_even_when_the_last_event_is_not_in_doubt() -> None:
    bench = watched(1)
    for _ in range(4):  # the clock is put right by seconds at a time, each step within what is let pass
        bench.clock.turn_wall(4)
        bench.clock.pass_seconds(1)
        bench.must(act.Withdraw("pia", "wind", "gusts"))
    assert bench.texts(HOLD) == [
        "it is not known how long the fire watch was held - resume the job: the fire watch starts anew"
    ]
    bench.must(act.Resume("ana"))
    bench.clock.pass_minutes(60)
    bench.must(HOLD)


def test_another_run_of_the_program_keeps_the_watch_that_the_clocks_still_tell() -> None:
    bench = watched(59)
    bench.clock.restart("run-2")
    bench.must(act.Resume("ana"))
    bench.clock.pass_minutes(1)
    bench.must(HOLD)


def test_a_hand_over_after_a_night_begins_the_watch_anew() -> None:
    bench = watched(5)
    bench.must(act.Pause("ana", "night"))
    bench.clock.restart("run-2", "boot-2")
    bench.must(act.HandOver("ivo"))
    bench.must(act.Resume("ivo"))
    bench.clock.pass_minutes(59)
    hold = act.Do("ivo", "hold", {"watcher": "joel"})
    assert bench.codes(hold) == ["G061"]
    bench.clock.pass_minutes(1)
    bench.must(hold)
