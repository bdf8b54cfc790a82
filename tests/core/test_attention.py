"""Least times and questions: what holds a step up, what the record keeps of it, and that nothing is ever allowed by it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core import actions as act
from coach.core.attention import facts, question_due, right_answer
from coach.core.events import Event
from coach.core.model import Procedure
from coach.core.moment import Moment
from coach.core.rules import Rules
from coach.core.session import Refusal, decide, fold, offers, refusal_note
from coach.core.sizing.registry import FUNCTIONS
from coach.core.state import State
from tests.helpers.people import MORNING, POLICY, good
from tests.helpers.procedures import step
from tests.helpers.small import one_step

BEGIN = Moment(MORNING, 1_000_000, "boot-1", "run-1")


class Bench:
    """A small job of plain steps under attentive rules."""

    def __init__(self, procedure: Procedure, boat: str = "Dunlin", attentive: bool = True) -> None:
        self.rules = Rules(procedure, POLICY, FUNCTIONS, True, attentive)
        self.now = BEGIN
        self.events: list[Event] = []
        self.must(act.Start("ana", "job", boat))

    @property
    def state(self) -> State:
        return fold(self.rules, self.events)

    def wait(self, seconds: float) -> Bench:
        self.now = self.now.plus(int(seconds * 1000))
        return self

    def must(self, action: act.Action) -> None:
        answer = decide(self.rules, self.state, action, self.now)
        assert not isinstance(answer, Refusal), [reason.text() for reason in answer.reasons]
        self.events += answer

    def refused(self, action: act.Action) -> list[str]:
        """The codes of a refusal, and the note of it in the record."""
        answer = decide(self.rules, self.state, action, self.now)
        assert isinstance(answer, Refusal)
        self.events += refusal_note(self.state, action, answer, self.now)
        return [reason.code for reason in answer.reasons]


def slow(seconds: int = 20) -> Bench:
    return Bench(one_step(step("look", least_seconds=seconds), step("go", "look")), attentive=True)


DONE = act.Do("ana", "look", {"tick": True})


def test_a_step_is_not_believed_sooner_than_the_procedure_says_that_it_takes() -> None:
    bench = slow().wait(19.999)
    answer = decide(bench.rules, bench.state, DONE, bench.now)
    assert isinstance(answer, Refusal)
    assert [reason.text() for reason in answer.reasons] == [
        "19 s is too short for this step, it takes 20 s at least - look again, then say that it is done"
    ]
    bench.wait(0.001).must(DONE)
    assert bench.events[-1].kind == "step_done"


def test_being_hasty_is_recorded_once_a_step() -> None:
    bench = slow().wait(5)
    assert bench.refused(DONE) == ["G095"]
    assert bench.wait(1).refused(DONE) == ["G095"]
    assert [(event.kind, dict(event.data)) for event in bench.events[1:]] == [
        ("hurried", {"step": "look", "seconds": 5, "least": 20})
    ]
    bench.wait(14).must(DONE)  # the note does not start the time anew
    assert bench.events[-1].kind == "step_done"


def test_the_time_counts_from_the_step_before() -> None:
    bench = Bench(one_step(step("first"), step("look", "first", least_seconds=20)))
    bench.wait(600).must(act.Do("ana", "first", {"tick": True}))
    assert bench.wait(19).refused(DONE) == ["G095"]
    bench.wait(1).must(DONE)


def test_a_pause_starts_the_time_anew() -> None:
    bench = slow().wait(60)
    bench.must(act.Pause("ana"))
    bench.must(act.Resume("ana"))
    assert bench.refused(DONE) == ["G095"]


def test_rules_that_are_not_attentive_hold_nothing_up() -> None:
    bench = Bench(one_step(step("look", least_seconds=600)), attentive=False)
    bench.must(DONE)
    assert bench.state.asked == ""


def many(boat: str, count: int = 40) -> Bench:
    """A job of so many plain steps; the first asks for a count and a choice."""
    steps = [step("s0", asks=("fuel_vents", "place"))]
    steps += [step(f"s{place}", f"s{place - 1}") for place in range(1, count)]
    bench = Bench(one_step(*steps), boat)
    bench.must(act.Measure("ana", "fuel_vents", "2", "2"))
    bench.must(act.Measure("ana", "place", "outdoors", "outdoors"))
    return bench


def until_asked(boat: str = "Dunlin") -> Bench:
    """Step by step until the first question."""
    bench = many(boat, 100)
    for id in bench.rules.order:
        if question_due(bench.rules, bench.state) is not None:
            return bench
        bench.wait(30).must(act.Do("ana", id, {"tick": True}))
    raise AssertionError("a hundred steps without a question")


def next_step(bench: Bench) -> act.Do:
    return act.Do("ana", next(id for id in bench.rules.order if id not in bench.state.done), {"tick": True})


def test_a_question_waits_and_no_step_is_done_before_its_answer() -> None:
    bench = until_asked()
    question = question_due(bench.rules, bench.state)
    assert question is not None and question.about in ("fuel_vents", "place")
    assert bench.refused(next_step(bench)) == ["G096"]
    assert [
        offer.act for offer in offers(bench.rules, bench.state, bench.now) if offer.open and offer.act == "answer"
    ] == ["answer"]
    bench.must(act.Answer("ana", right_answer(bench.state, question)))
    assert dict(bench.events[-1].data) == {
        "question": question.about,
        "step": bench.events[-1].data["step"],
        "given": {"fuel_vents": "2", "place": "outdoors"}[question.about],
        "right": True,
    }
    bench.must(next_step(bench))


def test_a_wrong_answer_is_recorded_and_blocks_until_there_was_time_to_look_again() -> None:
    bench = until_asked()
    question = question_due(bench.rules, bench.state)
    assert question is not None
    bench.must(act.Answer("ana", "9"))
    assert bench.events[-1].data["right"] is False
    assert bench.refused(next_step(bench)) == ["G096"]
    right = act.Answer("ana", right_answer(bench.state, question))
    assert bench.wait(9.9).refused(right) == ["G098"]
    bench.wait(0.1).must(right)
    bench.must(next_step(bench))


def test_a_wrong_record_is_mended_by_measuring_again() -> None:
    """Where the person is right and the log is wrong, the log is corrected, and then the answer is right."""
    bench = next(
        made
        for made in map(until_asked, (f"Boat {n}" for n in range(40)))
        if question_due(made.rules, made.state).about == "fuel_vents"
    )  # type: ignore[union-attr]
    bench.must(act.Answer("ana", "3"))
    bench.wait(10).must(act.Measure("ana", "fuel_vents", "3", "3"))
    bench.must(act.Answer("ana", "3"))
    assert bench.events[-1].data["right"] is True


def test_a_question_stops_neither_a_pause_nor_a_safe_stop() -> None:
    for action in (act.Pause("ana"), act.AskStop("ana", "storm coming"), act.Withdraw("joel", "wind", "gusts")):
        bench = until_asked()
        bench.must(action)
    bench = until_asked()
    bench.must(act.AskStop("ana", "storm coming"))
    bench.must(act.Sign("ana", "stopped", (((1, 1), (2, 2)),)))
    assert bench.state.status == "stopped"


def test_nobody_but_the_technician_answers_and_nothing_is_answered_unasked() -> None:
    bench = many("Dunlin")
    assert bench.refused(act.Answer("ana", "2")) == ["G097"]
    bench = until_asked()
    assert bench.refused(act.Answer("joel", "2")) == ["G018"]


def test_the_same_job_asks_at_the_same_steps_on_every_device_and_another_boat_at_others() -> None:
    def asked(boat: str) -> list[str]:
        bench = many(boat)
        found = []
        for id in bench.rules.order:
            bench.wait(30).must(act.Do("ana", id, {"tick": True}))
            question = question_due(bench.rules, bench.state)
            if question is not None:
                found.append(id)
                bench.must(act.Answer("ana", right_answer(bench.state, question)))
        return found

    boats = [asked(f"Boat {number}") for number in range(30)]
    assert boats[0] == asked("Boat 0")
    assert len({tuple(found) for found in boats}) > 20
    mean = sum(map(len, boats)) / len(boats)
    assert 1.0 < mean < 3.5  # one in twenty of forty steps is two


def test_in_every_state_with_a_question_the_right_answer_is_taken_and_changes_nothing_else() -> None:
    """What lets the prover leave questions out: the answer is at hand, and only the question goes away by it."""
    for number in range(25):
        bench = until_asked(f"Boat {number}")
        before = bench.state
        question = question_due(bench.rules, before)
        assert question is not None and question in facts(bench.rules, before)
        bench.must(act.Answer("ana", right_answer(before, question)))
        after = bench.state
        assert replace(after, asked=before.asked, seq=before.seq, last=before.last) == before
        bench.must(next_step(bench))


@pytest.mark.parametrize("about", ["taped", "watch"])
def test_what_is_asked_at_the_gate_is_what_was_shown_there(about: str) -> None:
    bench = many("Dunlin")
    id = {"taped": "vents_taped", "watch": "fire_watch"}[about]
    bench.must(act.Observe("ana", id, good(id)))
    question = next(each for each in facts(bench.rules, bench.state) if each.about == about)
    assert right_answer(bench.state, question) == {"taped": "2", "watch": "joel"}[about]
    assert (question.act, question.where) == ("observe", id)


def test_an_answer_is_no_proof() -> None:
    """A flame needs its safeguards whatever was answered."""
    bench = until_asked()
    question = question_due(bench.rules, bench.state)
    assert question is not None
    proofs = bench.state.proofs
    bench.must(act.Answer("ana", right_answer(bench.state, question)))
    assert bench.state.proofs == proofs
