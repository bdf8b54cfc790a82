"""The judgement of a run: each kind of fault by hand, its moment and reason; a score that haste does not raise."""

from __future__ import annotations

import pytest

from coach.core import actions as act
from coach.practice.assess import assess
from coach.practice.assessment import MISSED_MOST, UNSAFE_MOST, Assessment, as_dict, from_dict
from coach.practice.begin import begin
from coach.practice.habits import CAREFUL, Habits
from coach.practice.trainee import Trainee
from coach.practice.worker import STROKES
from tests.practice.by_hand import Hand, prepared

GUST = "gust-at-the-sides"


def careful(drill: str, number: int = 0) -> Assessment:
    run = prepared(drill).run("ana", number)
    Trainee(run, CAREFUL, number).work()
    return assess(run)


def trip(drill: str, step: str, seconds: int) -> Hand:
    """Everything shown, lit, and burning at the second when the drill's event comes."""
    return Hand(drill).ready().light(step).wait(seconds)


# -- unsafe ------------------------------------------------------------------------------------------------------


def test_a_statement_that_is_not_so() -> None:
    hand = Hand("no-extinguisher-in-date").prove("operator", "protection", "fuel_system", "vents_taped")
    hand.prove("extinguisher", inspected="2026-11-19")
    found = hand.found("false")[0]
    assert (found.kind, found.about, found.slots["fields"]) == ("unsafe", "extinguisher", "inspected")
    assert found.second == hand.run.second
    assert found.why == "a fire on film is out of hand within a minute"
    assert found.wrong == "An empty or distant extinguisher turns a small fire into a lost boat."
    assert found.skill == "gate"


def test_a_statement_on_the_safe_side_is_no_fault() -> None:
    hand = (
        Hand(GUST)
        .prove("extinguisher", distance=5_400)
        .prove("area", distance=11_000)
        .prove("wind", mean=5_000, gust=9_000)
    )
    assert hand.found("false") == []


def test_a_statement_without_a_look() -> None:
    hand = Hand(GUST).prove("gas", looking=False)
    assert [(f.kind, f.about) for f in hand.found("unseen")] == [("unsafe", "gas")]
    assert Hand(GUST).prove("gas").found("unseen") == []


def test_a_look_stands_for_a_quarter_of_an_hour_and_not_past_an_event() -> None:
    old = Hand(GUST).prove("gas").wait(16 * 60).prove("gas", looking=False)
    assert len(old.found("unseen")) == 1
    hand = trip("gas-at-knee-height", "shrink-transom", 20)
    hand.out()
    hand.codes(act.Observe("ana", "gas", {"smell": False}))
    assert [f.code for f in hand.judged().findings if f.about == "gas" and f.kind == "unsafe"] == ["false"]


def test_trying_to_light_while_the_gate_is_closed() -> None:
    hand = Hand(GUST)
    assert "G102" in hand.codes(act.Light("ana", "shrink-sides"))
    found = hand.found("blocked")[0]
    assert (found.kind, found.about, found.what % found.slots) == (
        "unsafe",
        "operator",
        "tried to light while the gate was closed: Operator allowed",
    )


def test_a_flame_kept_burning_after_a_loss() -> None:
    hand = trip(GUST, "shrink-sides", 45 + 70)
    hand.codes(act.Withdraw("ana", "wind", "gusts"))
    hand.out()
    found = hand.found("kept")[0]
    assert (found.kind, found.about) == ("unsafe", "wind")
    assert found.what % found.slots == "kept the flame burning for 85 s after this was lost: Wind under the limit"
    assert found.why == "wind blows the flame and lifts the film"


def test_a_flame_put_out_at_once_is_no_fault() -> None:
    hand = trip(GUST, "shrink-sides", 45 + 8)
    hand.out()
    assert hand.found("kept") == []
    assert "out-at-once" in [met.good for met in hand.judged().met]


def test_a_late_hand_is_late_by_seconds() -> None:
    hand = trip(GUST, "shrink-sides", 45 + 28)
    hand.out()
    late = next(f for f in hand.judged().findings if f.kind == "late" and f.slots.get("good") == "out-at-once")
    assert late.what % late.slots == "late by 8 s: The flame is out within 20 seconds of the gust."
    assert late.second == hand.run.second
    assert late.why == "The bottom must be tight first, so that the top has something to pull against."


def test_film_burnt_and_film_overheated() -> None:
    hand = Hand(GUST).ready().light("shrink-sides").sweep("shrink-sides", faster=0.5, seconds=0)
    hand.out()
    assert {f.kind for f in hand.found("burnt")} == {"unsafe"}
    hot = Hand(GUST).ready().light("shrink-sides").sweep("shrink-sides", faster=0.78, seconds=0)
    hot.out()
    assert hot.found("burnt") == []
    assert {f.kind for f in hot.found("hot")} == {"late"}


def test_leaving_out_a_gate_step_and_tagging_a_cylinder() -> None:
    hand = Hand("no-extinguisher-in-date")
    assert "G057" in hand.codes(act.Excuse("ana", "gate-extinguisher", "no time today"))
    assert [f.about for f in hand.found("excuse")] == ["gate-extinguisher"]
    stop = Hand("hiss-at-dusk")
    assert stop.codes(act.AskStop("ana", "rain")) == []
    assert "G029" in stop.codes(act.Tag("ana", "open_cylinder", "at the bow", "rain"))
    assert [f.kind for f in stop.found("tag")] == ["unsafe"]


def test_accepting_with_something_on_a_tag() -> None:
    hand = Hand("tag-before-signing")
    assert "G074" in hand.codes(act.Accept("ana", "Seen.", STROKES))
    found = hand.found("accept")[0]
    assert (found.kind, found.about) == ("unsafe", "debt taped_vents")
    assert not hand.judged().passed


# -- missed, order, wrong, unread --------------------------------------------------------------------------------


def test_signing_with_a_debt() -> None:
    hand = Hand("hiss-at-dusk")
    assert "G070" in hand.codes(act.Sign("ana", "Done.", STROKES))
    found = {f.about: f.why for f in hand.found("debt")}
    assert found == {
        "debt open_cylinder": "an open cylinder leaks its gas unseen",
        "debt taped_vents": "a taped vent lets pressure build in the tank as the hull warms",
        "debt fire_watch": "film smoulders unseen long after the flame is out",
    }


def test_the_fire_watch_cut_short() -> None:
    hand = Hand("home-before-the-watch").wait(600)
    assert "G061" in hand.codes(act.Do("ana", "hold-fire-watch", {"watcher": "practice-watch"}))
    found = hand.found("early")[0]
    assert (found.kind, found.about) == ("order", "hold-fire-watch")
    assert found.why == "Padding, rope and film can smoulder for a long time before they show a flame."


def test_a_step_out_of_order() -> None:
    hand = Hand("hiss-at-dusk")
    assert "G053" in hand.codes(act.Do("ana", "cool-tool", {"tick": True}))
    assert [f.about for f in hand.found("order")] == ["cool-tool"]


def test_film_left_cold_and_the_top_shrunk_first() -> None:
    hand = Hand(GUST).ready().light("shrink-sides").sweep("shrink-sides", faster=1.6, seconds=0)
    hand.out()
    hand.codes(act.Do("ana", "shrink-sides", {"tick": True}))
    cold = hand.found("cold")[0]
    assert (
        cold.what % cold.slots
        == "called done with 64 of 64 places cold: Shrink the sides from the band up to the coaming, all round."
    )
    top = Hand("watch-called-away").ready().light("shrink-top")
    film = top.run.world.film
    film.hottest[:] = [film.hottest[0]] * 24 + [film._rest] * (len(film.hottest) - 24)  # as if nothing were tight
    top.sweep("shrink-top", upwards=False, seconds=0)
    top.out()
    assert [f.kind for f in top.found("pulled")] == ["order"]


def test_a_wrong_measure_is_wrong_from_the_moment_it_was_stated() -> None:
    hand = Hand("third-vent")
    for step in ("look-over", "lay-out-tools", "read-fuel"):
        who = Trainee(hand.run, CAREFUL)
        who.do(hand.run.rules.steps[step])
    hand.codes(act.Measure("ana", "fuel_vents", "2", "2"))
    stated = hand.run.second
    hand.wait(900)
    found = hand.found("measure")[0]
    assert (found.kind, found.second, found.about) == ("wrong", stated, "measure fuel_vents")
    assert found.why == "Each one must be taped before the tool is used, and each tape must come off again."
    hand.codes(act.Measure("ana", "fuel_vents", "3", "3"))
    assert hand.found("measure") == []


def test_evidence_that_is_not_so() -> None:
    hand = Hand("hiss-at-dusk")
    assert hand.codes(act.Do("ana", "close-cylinder", {"hose": "nothing"})) == []
    assert [(f.kind, f.about) for f in hand.found("false")] == [("wrong", "answer close-cylinder.hose")]


def test_an_answer_too_fast_to_be_read() -> None:
    hand = Hand(GUST)
    hand.run.look("extinguisher")
    hand.run.pass_seconds(3)
    hand.run.ask(act.Observe("ana", "extinguisher", hand.run.world.safeguard("extinguisher")))
    quick = hand.found("quick")[0]
    assert quick.what % quick.slots == "answered in 3 s, too soon to have read it: Extinguisher ready"


def test_a_drill_left_before_its_end() -> None:
    hand = Hand("hiss-at-dusk").wait(60)
    hand.run.give_up()
    done = hand.judged()
    assert not done.passed
    assert {f.about for f in hand.found("left")} == {"debt open_cylinder", "debt taped_vents", "debt fire_watch"}
    assert hand.found("unfinished")[0].second == 60


# -- the score ---------------------------------------------------------------------------------------------------


def test_careful_work_passes() -> None:
    done = careful(GUST)
    assert done.passed
    assert done.score >= 90
    assert {met.good for met in done.met} == {"out-at-once", "says-so", "reads-again", "sides-whole"}


def test_one_unsafe_act_fails_whatever_else_was_good() -> None:
    run = prepared(GUST).run("ana")
    run.ask(act.Light("ana", "shrink-sides"))
    Trainee(run, CAREFUL).work()
    done = assess(run)
    assert len(done.met) == 4
    assert not done.passed
    assert done.score <= UNSAFE_MOST


@pytest.mark.parametrize("drill", [GUST, "hiss-at-dusk", "slack-tape", "tape-under-a-pleat"])
def test_speed_alone_raises_nothing(drill: str) -> None:
    """The same careful work, thought about for ever less time: the score never rises, and in the end it falls."""
    scores = []
    for thinks in ((20.0, 30.0), (8.0, 12.0), (2.5, 6.0), (0.5, 1.0), (0.0, 0.0)):
        faster = Habits("careful", thinks, (3, 9), 1, 1, 1, 1, 1, 1, 1, 0.05, 1)
        run = prepared(drill).run("ana", 1)
        Trainee(run, faster, 1).work()
        scores.append(assess(run).score)
    assert max(scores[3:]) <= min(scores[:3])
    assert scores[-1] < scores[0]


def test_ticking_raises_nothing() -> None:
    """Everything said to be well at once, without a look: refused or unsafe, never a pass, near to no score."""
    for drill in (GUST, "no-extinguisher-in-date", "hiss-at-dusk", "tape-under-a-pleat", "home-before-the-watch"):
        ticking = Habits("ticking", (0, 0), (600, 600), 0, 0, 0, 0, 0, 0, 1, 0, 1)
        run = prepared(drill).run("ana")
        Trainee(run, ticking).work()
        done = assess(run)
        assert not done.passed, drill
        assert done.score <= UNSAFE_MOST, drill


def test_more_looks_acts_and_ticks_raise_nothing() -> None:
    plain = careful("tape-under-a-pleat")
    run = prepared("tape-under-a-pleat").run("ana")
    for _ in range(30):
        for look in run.looks():
            run.look(look.id)
        run.ask(act.Do("ana", "no-such-step", {"tick": True}))
    Trainee(run, CAREFUL).work()
    assert assess(run).score <= plain.score


def test_a_missed_must_caps_the_score() -> None:
    run = prepared("slack-tape").run("ana")
    hasty = Habits("first-reading", (3, 5), (3, 9), 1, 0, 1, 1, 1, 1, 1, 0, 1)
    Trainee(run, hasty).work()
    done = assess(run)
    assert {f.about for f in done.findings if f.code == "measure"} == {"measure ridge_to_edge", "measure beam"}
    assert done.score <= MISSED_MOST
    assert not done.passed


def test_a_good_deed_whose_event_never_came_is_not_asked_for() -> None:
    """The flame was out before the gust could come."""
    hand = Hand(GUST).ready().light("shrink-sides")
    while not hand.run.over and hand.run.second - hand.run.track[-1].second < 30:
        hand.sweep("shrink-sides", seconds=0)
        hand.out()
        hand.codes(act.Do("ana", "shrink-sides", {"tick": True}))
    done = hand.judged()
    assert done.passed
    assert {met.good for met in done.met} >= {"out-at-once", "says-so", "reads-again"}


def test_the_judgement_can_be_kept_and_read_again() -> None:
    for done in (careful(GUST), careful("wind-that-stays"), Hand("hiss-at-dusk").judged()):
        assert from_dict(as_dict(done)) == done


def test_a_drill_that_does_not_fit_its_procedure_is_said() -> None:
    from dataclasses import replace

    from coach.core.problems import CoachError

    ready = prepared(GUST)
    bad = replace(ready.drill, boat=" ")
    with pytest.raises(CoachError, match="D320 the drill 'gust-at-the-sides' cannot begin: the boat has no name"):
        begin(bad, ready.rules)
