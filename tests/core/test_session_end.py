"""How a job ends: pause and resume, hand-over, signature, safe stop with tags, review, sending back, acceptance."""

from __future__ import annotations

import pytest

from coach.core import actions as act
from coach.core.state import ACCEPTED, CLOSED, PAUSED, STOPPED, STOPPING, WORKING
from tests.helpers.bench import Bench
from tests.helpers.people import STROKES, good

STOP = act.AskStop("ana", "rain is coming")


def tag(debt: str, by: str = "ana") -> act.Tag:
    return act.Tag(by, debt, "bow rail", "no light left")


def stopped() -> Bench:
    """Stopped in the middle: flame out, cylinder closed, tape and prop on tags, the fire watch held."""
    bench = Bench().ready().lit().out()
    bench.must(STOP)
    bench.do("close")
    bench.must(tag("taped_vents"))
    bench.must(tag("prop"))
    bench.wait(60)
    bench.do("hold").must(bench.sign())
    return bench


# -- pause, resume, hand over ------------------------------------------------------------------------------------


def test_a_pause_is_ended_by_a_resumption_only() -> None:
    bench = Bench().ready()
    bench.must(act.Pause("ana", " lunch "))
    assert bench.state.status == PAUSED and bench.events[-1].data["why"] == "lunch"
    for action in (act.Measure("ana", "beam", "3 m", "3 m"), act.Do("ana", "weld", {}), act.Pause("ana"), bench.sign()):
        assert "G014" in bench.codes(action)
    assert bench.codes(act.Resume("joel")) == ["G018"]
    bench.must(act.Resume("ana"))
    assert bench.state.status == WORKING
    assert bench.texts(act.Resume("ana")) == ["the job is not paused - go on"]


def test_a_job_left_overnight_is_taken_on_by_another() -> None:
    bench = Bench().ready()
    bench.must(act.Pause("ana", "night"))
    bench.clock.pass_minutes(14 * 60)
    bench.clock.restart("run-2", "boot-2")
    bench.must(act.HandOver("joel"))
    assert bench.state.technician == "joel" and bench.state.status == PAUSED
    bench.must(act.Resume("joel"))
    assert bench.state.status == WORKING and bench.state.proofs == {}
    assert bench.state.hands == {"ana", "joel"}


@pytest.mark.parametrize(("to", "code"), [("ana", "G024"), ("pia", "G031"), ("marta", "G031"), ("nobody", "G031")])
def test_a_job_passes_to_another_technician_only(to: str, code: str) -> None:
    assert Bench().ready().codes(act.HandOver(to)) == [code]


def test_a_technician_who_falls_ill_during_a_safe_stop_is_relieved() -> None:
    bench = Bench().heated()
    bench.must(STOP)
    bench.must(act.HandOver("ivo"))
    bench.by = "ivo"
    assert bench.state.status == STOPPING
    bench.do("close", "unprop", "untape")
    bench.wait(60)
    bench.do("hold").must(bench.sign())
    assert bench.state.status == STOPPED


# -- signing the whole job ---------------------------------------------------------------------------------------


def test_a_signature_closes_the_job_and_is_kept_with_its_meaning() -> None:
    bench = Bench().undone()
    made = bench.must(act.Sign("ana", " All done. ", STROKES, "the whole list"))
    assert [event.kind for event in made] == ["signed", "closed"]
    assert dict(made[0].data) == {
        "name": "Ana Ruiz", "role": "technician", "meaning": "All done.", "shown": "the whole list",
        "strokes": [[[1000, 2000], [3000, 4000], [5000, 2500]]],
    }
    assert bench.state.status == CLOSED and bench.state.signatures[0]["by"] == "ana"


def test_no_signature_with_anything_left() -> None:
    bench = Bench().heated()
    assert bench.texts(bench.sign()) == [
        "still to be undone: Prop under the film - take the prop out",
        "still to be undone: Taped fuel vents - take off every tape and count it",
        "still to be undone: Open cylinder - close the cylinder and bleed the hose",
        "still to be undone: Fire watch after the flame - hold the fire watch for the yard's minutes",
        "not done yet: Do close. - do it, or excuse it with a reason",
        "not done yet: Do unprop. - do it, or excuse it with a reason",
        "not done yet: Do untape. - do it, or excuse it with a reason",
        "not done yet: Do hold. - do it, or excuse it with a reason",
        "not done yet: Do tidy. - do it, or excuse it with a reason",
    ]


@pytest.mark.parametrize(
    ("action", "codes"),
    [
        (act.Sign("ana", "done"), ["G072"]), (act.Sign("ana", "done", (((1, 1),),)), ["G072"]),
        (act.Sign("ana", " ", STROKES), ["G073"]), (act.Sign("ana"), ["G072", "G073"]),
        (act.Sign("joel", "done", STROKES), ["G018"]), (act.Sign("marta", "done", STROKES), ["G018"]),
    ],
)
def test_a_signature_is_drawn_by_the_technician_and_says_what_it_means(action: act.Sign, codes: list[str]) -> None:
    assert Bench().undone().codes(action) == codes


def test_a_closed_job_takes_no_more_work() -> None:
    bench = Bench().signed()
    for action in (
        act.Measure("ana", "beam", "3 m", "3 m"), act.Do("ana", "tidy", {"tick": True}), act.Light("ana", "weld"),
        act.Observe("ana", "wind", good("wind")), act.Withdraw("ana", "wind"), act.Pause("ana"), act.Resume("ana"),
        act.HandOver("joel"), STOP, bench.sign(),
    ):
        assert "G016" in bench.codes(action), action
    assert bench.kinds()[-1] == "closed"


# -- safe stop ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by", ["ana", "pia", "marta", "a passer-by"])
def test_anybody_may_ask_to_stop_and_says_why(by: str) -> None:
    bench = Bench().ready()
    assert bench.texts(act.AskStop(by, " x ")) == ["the reason for stopping is missing - say why in a few words"]
    bench.must(act.AskStop(by, "rain is coming"))
    assert bench.state.status == STOPPING and bench.state.stop_reason == "rain is coming"
    assert bench.codes(STOP) == ["G015"]


def test_a_stop_may_be_asked_while_paused_or_burning() -> None:
    bench = Bench().ready()
    bench.must(act.Pause("ana"))
    bench.must(STOP)
    assert bench.state.status == STOPPING
    bench = Bench().ready().lit()
    bench.must(STOP)
    assert bench.state.flame == "weld"
    assert bench.codes(bench.sign())[:1] == ["G013"]
    bench.must(act.Withdraw("ana", "gas", "a smell"))  # the flame is still watched
    assert bench.state.trip is not None
    bench.out().must(act.Reset("ana"))


def test_while_stopping_only_what_makes_safe_is_done() -> None:
    bench = Bench().ready()
    bench.must(STOP)
    for action in (
        act.Measure("ana", "beam", "3 m", "3 m"), act.Do("ana", "weld", {"tick": True}), act.Light("ana", "weld"),
        act.Observe("ana", "wind", good("wind")), act.Pause("ana"), act.Excuse("ana", "weld", "no time left"),
    ):
        assert "G015" in bench.codes(action), action
    bench.do("untape", "unprop", "close")  # in any order
    assert bench.codes(act.Do("ana", "untape", {"removed": 2}))[0] == "G015"
    bench.must(bench.sign())
    assert bench.state.status == STOPPED


def test_a_safe_stop_leaves_no_debt_but_those_on_tags_and_never_an_open_cylinder() -> None:
    bench = Bench().ready().lit().out()
    bench.must(STOP)
    assert bench.codes(bench.sign()) == ["G070"] * 4
    assert bench.texts(tag("open_cylinder")) == [
        "this cannot be left on a tag: Open cylinder - close the cylinder and bleed the hose"
    ]
    bench.must(tag("taped_vents"))
    bench.must(tag("prop"))
    assert [event.data for event in bench.events[-1:]] == [{"debt": "prop", "where": "bow rail",
        "reason": "no light left"}]
    assert bench.codes(bench.sign()) == ["G070"] * 2
    bench.do("close")
    bench.wait(60)
    bench.do("hold").must(bench.sign())
    assert bench.state.status == STOPPED and set(bench.state.debts) == {"taped_vents", "prop"}


@pytest.mark.parametrize(
    ("action", "codes"),
    [
        (act.Tag("ana", "taped_vents", " ", "no light"), ["G004"]),
        (act.Tag("ana", "taped_vents", "rail", ""), ["G004"]),
        (act.Tag("ana", "fire_watch", "rail", "no light"), ["G026"]),
        (act.Tag("joel", "taped_vents", "rail", "no light"), ["G018"]),
        (act.Tag("ana", "nonsense", "", ""), ["G026", "G004", "G004"]),
    ],
)
def test_a_tag_hangs_on_an_open_debt_with_place_and_reason(action: act.Tag, codes: list[str]) -> None:
    bench = Bench().ready()
    assert bench.codes(tag("taped_vents")) == ["G025"]
    bench.must(STOP)
    assert bench.codes(action) == codes


def test_what_is_undone_after_all_takes_its_tag_along() -> None:
    bench = Bench().ready()
    bench.must(STOP)
    bench.must(tag("taped_vents"))
    bench.do("untape")
    assert set(bench.state.debts) == {"prop", "open_cylinder"}


# -- review ------------------------------------------------------------------------------------------------------


def test_a_supervisor_accepts_a_closed_job() -> None:
    bench = Bench().signed()
    (event,) = bench.must(bench.accept())
    assert dict(event.data) == {
        "name": "Marta Oduya", "role": "supervisor", "meaning": "Seen and accepted.", "excused": [],
        "strokes": [[[1000, 2000], [3000, 4000], [5000, 2500]]],
    }
    assert bench.state.status == ACCEPTED
    for action in (bench.accept(), act.SendBack("marta", (("tidy", "not tidy"),)),
        act.ClearTag("marta", "prop", "gone")):
        assert "G027" in bench.codes(action)


@pytest.mark.parametrize(("by", "code"),
    [("ana", "G019"), ("joel", "G019"), ("pia", "G019"), ("nobody", "G019"), ("ivo", "")])
def test_only_a_supervisor_reviews(by: str, code: str) -> None:
    bench = Bench().signed()
    assert bench.codes(act.SendBack(by, (("tidy", "not tidy"),))) == ([code] if code else [])


def test_nobody_reviews_their_own_work_not_even_a_part_of_it() -> None:
    bench = Bench(by="ivo").signed()
    for action in (bench.accept("ivo"), act.SendBack("ivo", (("tidy", "not tidy"),))):
        assert bench.texts(action) == ["nobody reviews their own work - call another supervisor"]
    bench = Bench(by="ivo").start().measure().do("look")
    bench.must(act.HandOver("ana"))
    bench.by = "ana"
    bench.must(act.AskStop("ana", "rain is coming"))
    bench.must(bench.sign())
    assert bench.codes(bench.accept("ivo")) == ["G020"]
    bench.must(bench.accept("marta"))


def test_nothing_is_reviewed_before_it_is_signed() -> None:
    bench = Bench().undone()
    for action in (bench.accept(), act.SendBack("marta", (("tidy", "not tidy"),))):
        assert bench.texts(action) == ["the job is not up for review - wait until the technician has signed"]


def test_excused_steps_are_each_seen_by_the_supervisor() -> None:
    bench = Bench().ready()
    bench.must(act.Excuse("ana", "weld", "the hem was sewn"))
    bench.lit("shrink").out().do("shrink", "close", "unprop", "untape")
    bench.wait(60)
    bench.do("hold", "tidy").must(bench.sign())
    for seen in ((), ("tidy",), ("weld", "tidy")):
        assert bench.texts(bench.accept(excused=seen)) == [
            "the steps left out were not all judged - look at each of them"
        ]
    (event,) = bench.must(bench.accept(excused=("weld",)))
    assert event.data["excused"] == ["weld"]


def test_a_stopped_job_is_accepted_when_every_tag_is_cleared() -> None:
    bench = stopped()
    assert bench.texts(bench.accept()) == [
        "still on a tag: Prop under the film - undo it at the boat, then clear the tag",
        "still on a tag: Taped fuel vents - undo it at the boat, then clear the tag",
    ]
    assert bench.codes(act.ClearTag("ana", "prop", "prop taken out")) == ["G019"]
    assert bench.codes(act.ClearTag("marta", "prop", " ")) == ["G004"]
    assert bench.codes(act.ClearTag("marta", "fire_watch", "nothing warm")) == ["G026"]
    bench.must(act.ClearTag("marta", "prop", "prop taken out"))
    bench.must(act.ClearTag("marta", "taped_vents", "2 tapes off"))
    bench.must(bench.accept())
    assert bench.state.status == ACCEPTED and bench.findings() == ()


def test_sending_back_names_steps_and_opens_them_again() -> None:
    bench = Bench().signed()
    assert bench.texts(act.SendBack("marta")) == ["no step is named - name a step and the reason"]
    assert bench.codes(act.SendBack("marta", (("nonsense", ""),))) == ["G003", "G004"]
    made = bench.must(act.SendBack("marta", (("tidy", " rags lie about "), ("cut-door", "forgotten"))))
    assert [(event.kind, dict(event.data)) for event in made] == [
        ("sent_back", {"name": "Marta Oduya", "steps": [
            {"step": "tidy", "reason": "rags lie about"}, {"step": "cut-door", "reason": "forgotten"}]}),
        ("step_reopened", {"step": "tidy", "why": "sent back", "text": "rags lie about"}),
    ]
    assert bench.state.status == WORKING and bench.state.proofs == {}
    assert bench.codes(bench.sign()) == ["G071"]
    bench.do("tidy").must(bench.sign())
    bench.must(bench.accept())
    assert bench.findings() == ()


def test_a_tag_of_one_stop_does_not_cover_the_next() -> None:
    bench = stopped()
    bench.must(act.SendBack("marta", (("weld", "hem is open"),)))
    bench.prove().lit("weld").out()
    bench.must(act.AskStop("ana", "rain again"))
    assert bench.codes(bench.sign()) == ["G070"] * 4
    assert bench.findings() == ()


def test_a_stop_with_nothing_begun_is_signed_at_once() -> None:
    bench = Bench().start()
    bench.must(STOP)
    bench.must(bench.sign())
    assert bench.state.status == STOPPED and bench.findings() == ()
