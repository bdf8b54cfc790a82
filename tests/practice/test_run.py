"""A run: the time line, looks and deeds, the real kernel under it, and that nothing of it reaches a ledger."""

from __future__ import annotations

import pytest

from coach.core import actions as act
from coach.core.monitor import watch_log
from coach.core.policy import FIRE_WATCH, TECHNICIAN
from coach.core.session import fold
from coach.practice.crew import CREW, HAND, WATCH, practice_policy
from coach.practice.drill_file import load_drill
from coach.practice.trial import prepare
from coach.yard.policy_file import demo_policy, shipped_policy
from tests.practice.by_hand import Hand, prepared

GUST = "gust-at-the-sides"


def test_the_job_says_practice_from_its_first_event() -> None:
    for drill in (GUST, "third-vent"):
        run = prepared(drill).run("ana")
        start = run.job.events[0]
        assert (start.kind, start.data["practice"]) == ("job_started", True)
        assert start.data["job"] == run.job.id == f"practice-{drill}"
        assert run.job.state.practice


def test_what_came_before_was_done_by_somebody_else() -> None:
    run = prepared(GUST).run("ana")
    before = [event for event in run.job.events if run.second_of(event) < 0]
    assert {event.by for event in before} == {HAND}
    assert run.job.events[-1].kind == "handed_over"
    assert run.job.state.technician == "ana"
    assert run.job.state.proofs == {}


def test_the_events_are_the_kernels() -> None:
    """Folded anew by the kernel they give the same state, and the monitor has nothing against them."""
    hand = Hand(GUST).ready().light("shrink-sides").sweep("shrink-sides")
    hand.out()
    run = hand.run
    assert fold(run.rules, run.job.events) == run.job.state
    assert watch_log(run.job.events, run.rules.policy, run.rules.procedure.safeguards) == ()


def test_an_event_comes_at_its_second_after_its_moment() -> None:
    hand = Hand(GUST).ready()
    assert hand.run.notices == []
    hand.light("shrink-sides")
    lit = hand.run.second
    hand.wait(44)
    assert hand.run.notices == []
    hand.wait(1)
    assert [notice.event for notice in hand.run.notices] == ["gust"]
    assert hand.run.happened["gust"] == lit + 45
    assert hand.run.world.lost == {"wind": lit + 45}


def test_it_does_not_matter_how_time_is_cut() -> None:
    ends = set()
    for slices in ((600,), (1,) * 600, (7, 13, 580)):
        hand = Hand(GUST).ready().light("shrink-sides")
        for seconds in slices:
            hand.wait(seconds)
        run = hand.run
        ends.add(
            (
                run.happened["gust"],
                run.second,
                run.world.wind.speed_at(run.second),
                tuple(n.second for n in run.notices),
            )
        )
    assert len(ends) == 1


def test_the_kernel_ends_a_flame_whose_proof_lapses() -> None:
    """Nobody acts; the wind's proof is too old after 15 minutes, and the kernel's own trip ends the flame's leave."""
    hand = Hand(GUST).ready().light("shrink-sides").wait(16 * 60)
    trip = hand.run.job.state.trip
    assert trip is not None
    assert trip.first["about"] == "wind"
    assert hand.run.world.burning, "the flame burns until a hand puts it out"


def test_a_look_tells_the_truth_and_takes_its_time() -> None:
    hand = Hand("no-extinguisher-in-date")
    before = hand.run.second
    text = hand.run.look("extinguisher")
    assert text == (
        "Rating on its label 2-A:20-B:C. Where does its gauge stand? In the green. "
        "Distance to where the flame will be 16 ft. Last inspection on its tag 2026-10-08."
    )
    assert hand.run.second - before == 20
    assert hand.run.look("in-the-shed") == "All of them came from the same round. Their tags carry the same date."


def test_a_slip_is_read_once_and_then_the_truth() -> None:
    run = prepared("third-vent").run("ana")
    assert run.look("measure fuel_vents") == (
        "How many fuel vents does the hull have? 2. One on each side. You have not had a hand behind the swim ladder."
    )
    assert run.look("measure fuel_vents") == "How many fuel vents does the hull have? 3."


def test_deeds_change_the_truth_once() -> None:
    hand = Hand("watch-called-away").ready().light("shrink-top").wait(50)
    assert not hand.run.world.holds("fire_watch")
    assert [deed.id for deed in hand.run.deeds()] == ["call-back", "watch-yourself"]
    hand.out()
    assert hand.run.deed("call-back") == "Emil comes back and takes up the extinguisher. The hoist waits."
    assert hand.run.world.holds("fire_watch")
    assert hand.run.world.lost == {}
    with pytest.raises(KeyError):
        hand.run.deed("call-back")


def test_a_deed_is_not_offered_before_its_event() -> None:
    assert prepared("watch-called-away").run("ana").deeds() == ()
    with pytest.raises(KeyError):
        prepared("watch-called-away").run("ana").deed("call-back")


def test_the_same_number_is_the_same_run() -> None:
    def told(number: int) -> tuple[object, ...]:
        hand = Hand(GUST, number).ready().light("shrink-sides").sweep("shrink-sides")
        return (*hand.run.track, *hand.run.job.events, tuple(hand.run.world.film.hottest))

    assert told(3) == told(3)
    assert told(3) != told(4)


def test_without_a_flame_nothing_is_heated() -> None:
    hand = Hand(GUST)
    before = list(hand.run.world.film.hottest)
    hand.sweep("shrink-sides")
    hand.run.warm(40, 500_000, 2)
    assert hand.run.world.film.hottest == before


def test_a_cold_hem_opens_in_the_gust() -> None:
    """A hem that was only warmed does not stand the gust; one that was welded does."""
    hand = Hand("wind-that-stays").ready().light("shrink-sides")
    film = hand.run.world.film
    for column in range(4, 20):
        film.hottest[column] = film.heat[column] = 230_000.0  # just under melting
    hand.wait(60)
    assert [note.details for note in hand.run.track if note.kind == "opened"] == [{"count": 16}]
    whole = Hand("wind-that-stays").ready().light("shrink-sides").wait(60)
    assert [note for note in whole.run.track if note.kind == "opened"] == []


def test_a_frosted_cylinder_is_seen_once_and_feeds_less() -> None:
    hand = Hand(GUST).ready().light("shrink-sides")
    hand.run.world.gas = type(hand.run.world.gas)(liquid=6.0, kelvin=245.0)
    hand.wait(20)
    assert [notice.event for notice in hand.run.notices] == ["frost"]
    hand.out()
    assert [note.kind for note in hand.run.track if note.kind == "weak"] == ["weak"]


def test_in_practice_anybody_may_try_under_the_yards_limits() -> None:
    """Nia is not cleared for the tool by the yard; in practice she is. The limits are the yard's own."""
    yard = demo_policy()
    strict = practice_policy(yard, "nia", TECHNICIAN)
    assert strict.people["nia"].flame_until > "2900"
    assert strict.people["nia"].name == "Nia Falk"
    assert strict.limits == yard.limits
    assert {person.id for person in CREW} < strict.people.keys()
    assert strict.has_role(WATCH, FIRE_WATCH)
    assert "joel" not in strict.people
    assert yard.people["nia"].flame_until == ""
    assert practice_policy(shipped_policy(), "new", TECHNICIAN, "Somebody New").people["new"].name == "Somebody New"


def test_practice_needs_no_proof() -> None:
    ready = prepare(load_drill(GUST), demo_policy(), "ana", proven=False)
    run = ready.run("ana")
    assert run.job.act(act.Observe("ana", "gas", {"smell": False}), run.clock()) is None
