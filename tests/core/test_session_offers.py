"""Offers and decide ask the same; a refusal and an offer change nothing; replay gives the same state."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coach.core import actions as act
from coach.core.checks import settled
from coach.core.gate import SAFEGUARDS
from coach.core.session import Offer, Refusal, decide, fold, offers, refusal_note
from coach.core.state import State
from tests.helpers.bench import Bench
from tests.helpers.people import STROKES, good
from tests.helpers.procedures import covering, rules_for
from tests.helpers.stories import STORIES


def action_for(bench: Bench, offer: Offer) -> act.Action:
    """An action that takes an offer up, with all that it asks for in good order."""
    by = bench.state.technician or "ana"
    given: dict[str, dict[str, Any]] = {
        "untape": {"removed": owed(bench, "taped_vents")}, "hold": {"watcher": other(by)},
    }
    values = good(offer.about, **({"person": by} if offer.about == "operator" else {}))
    actions: dict[str, act.Action] = {
        "start": act.Start("ana", "job-1", "Dunlin"),
        "flame_out": act.FlameOut(by),
        "reset": act.Reset(by),
        "observe": act.Observe(by, offer.about, values),
        "light": act.Light(by, offer.about),
        "do": act.Do(by, offer.about, given.get(offer.about, {"tick": True})),
        "tag": act.Tag(by, offer.about, "bow rail", "no light left"),
        "pause": act.Pause(by, "lunch"),
        "resume": act.Resume(by),
        "stop": act.AskStop(by, "rain is coming"),
        "sign": act.Sign(by, "done", STROKES),
    }
    return actions[offer.act]


def owed(bench: Bench, debt: str) -> int:
    return bench.state.debts[debt].amount if debt in bench.state.debts else 0


def other(by: str) -> str:
    return "joel" if by != "joel" else "ana"


def agree(bench: Bench) -> int:
    """Every offer is answered by decide as the offer says. Answers how many were open."""
    found = offers(bench.rules, bench.state, bench.clock())
    assert len({(offer.act, offer.about) for offer in found}) == len(found)
    for offer in found:
        answer = decide(bench.rules, bench.state, action_for(bench, offer), bench.clock())
        if offer.open:
            assert not isinstance(answer, Refusal), (offer, answer)
        else:
            assert isinstance(answer, Refusal), offer
            assert answer.reasons == offer.reasons, offer
    return sum(offer.open for offer in found)


@pytest.mark.parametrize("name", STORIES)
def test_offers_and_decide_agree_at_the_end_of_every_story(name: str) -> None:
    bench = STORIES[name](Bench())
    before = bench.state
    agree(bench)
    assert bench.state == before == fold(bench.rules, bench.events)


DOUBTS: dict[str, Callable[[Bench], None]] = {
    "ten minutes later": lambda bench: bench.clock.pass_minutes(10),
    "an hour later": lambda bench: bench.clock.pass_minutes(60),
    "after a restart": lambda bench: bench.clock.restart("run-9", "boot-9"),
    "with the clock turned": lambda bench: bench.clock.turn_wall(-900),
}


@pytest.mark.parametrize("doubt", DOUBTS)
@pytest.mark.parametrize("name", STORIES)
def test_they_agree_too_when_time_has_done_something(name: str, doubt: str) -> None:
    bench = STORIES[name](Bench())
    DOUBTS[doubt](bench)
    agree(bench)


def test_they_agree_when_each_safeguard_has_its_step() -> None:
    bench = Bench(rules_for(covering(gate_steps=True, own_safeguard=True)))
    assert agree(bench) == 1
    bench.start().measure().do("look", "cut")
    for id in bench.rules.safeguards:
        agree(bench)
        bench.prove(id)
    bench.do("prop").lit()
    agree(bench)


def test_a_gate_step_is_passed_by_its_safeguard_in_its_turn() -> None:
    bench = Bench(rules_for(covering(gate_steps=True))).start().measure().do("look", "cut")
    assert bench.texts(act.Observe("ana", "wind", good("wind")))[0].endswith("comes first - do that step first")
    assert bench.texts(act.Do("ana", "gate-operator", {"tick": True})) == [
        "this step is shown by its safeguard - answer the safeguard's questions"
    ]
    bench.must(act.Observe("ana", "operator", {"person": "joel"}))
    assert "gate-operator" not in bench.state.done
    for id in SAFEGUARDS:
        bench.prove(id)
        assert f"gate-{id}" in bench.state.done
    bench.must(act.Observe("ana", "operator", {"person": "ana"}))  # and shown again at any time after


def test_there_is_always_a_way_on_or_out() -> None:
    """At the end of every story something is open: work, the flame's end, a resumption, a stop, or the review."""
    for name, story in STORIES.items():
        bench = story(Bench())
        if bench.state.status not in ("closed", "stopped", "accepted"):
            assert any(offer.open for offer in offers(bench.rules, bench.state, bench.clock())), name


def test_a_refusal_makes_no_event_but_the_note_of_a_refused_flame() -> None:
    bench = Bench().start()
    refusal = decide(bench.rules, bench.state, act.Light("ana", "weld"), bench.clock())
    assert isinstance(refusal, Refusal)
    (note,) = refusal_note(bench.state, act.Light("ana", "weld"), refusal, bench.clock())
    assert note.kind == "heat_refused"
    assert refusal_note(bench.state, act.Do("ana", "weld"), refusal, bench.clock()) == ()
    assert refusal_note(State(), act.Light("ana", "weld"), refusal, bench.clock()) == ()
    changed = fold(bench.rules, (note,), bench.state)
    assert changed == fold(bench.rules, [*bench.events, note])
    assert (changed.proofs, changed.debts, changed.done, changed.flame) == ({}, {}, {}, "")


def test_an_unknown_action_is_a_mistake_of_the_program() -> None:
    with pytest.raises(TypeError, match="no such action: Action"):
        decide(rules_for(), State(), act.Action("ana"), Bench().clock())


def test_what_is_asked_about_must_exist() -> None:
    bench = Bench().ready()
    for action in (act.Observe("ana", "moon", {}), act.Withdraw("ana", "moon"), act.Light("ana", "moon"),
        act.Do("ana", "moon"),
                   act.Excuse("ana", "moon", "no time left"), act.StartTimer("ana", "moon")):
        assert bench.codes(action) == ["G032" if isinstance(action, act.Observe | act.Withdraw) else "G003"]


def test_a_clearing_step_that_is_not_owed_holds_nobody_up() -> None:
    bench = Bench().start().measure()
    assert settled(bench.rules, bench.state, "close")
    bench.prove("leak_test")
    assert not settled(bench.rules, bench.state, "close")
