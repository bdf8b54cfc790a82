"""The careful worker ends: where a proof is recorded but does not hold, or a step opens again for ever, it says so."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from coach.core.session import Refusal
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import MOST_TIMES, Notes, Stuck, Worker
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy


def worker(tmp_path: Path, notes: Notes) -> Worker:
    """A worker with a boat, in practice: nothing is kept."""
    clock = HandClock(START)
    desk = Desk.open(tmp_path, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana", practice=True)
    assert not isinstance(job, Refusal)
    return Worker(job, clock, notes)


def test_a_proof_that_never_holds_ends_the_work_and_says_why(tmp_path: Path) -> None:
    """Wind of 9 m/s is stated as often as it is asked, and is over the limit each time."""
    gale = {"how": "meter", "mean": 9_000, "gust": 12_000}
    stuck = worker(tmp_path, replace(NOTES, proofs={"wind": gale}))
    with pytest.raises(Stuck) as caught:
        stuck.work()
    assert str(caught.value) == (
        f"gate-wind was done {MOST_TIMES} times and comes again: "
        "mean wind 20.1 mph, it must be under 10.0 mph - wait for less wind, then read it again; "
        "gust 26.8 mph, it must be under 17.9 mph - wait for less wind, then read it again"
    )
    assert [reason.about for reason in caught.value.refusal.reasons] == ["wind", "wind"]
    assert sum(event.data.get("safeguard") == "wind" for event in stuck.job.events) == MOST_TIMES
    assert stuck.job.state.proofs["wind"].values == gale
    assert not stuck.job.state.heated


def test_a_step_that_opens_again_for_ever_ends_the_work(tmp_path: Path) -> None:
    """Whenever the film is cut, somebody reads the tape anew and finds something else."""
    readings = ["64 in", "66 in"]

    def measure_again(word: str) -> None:
        if word == "do cut-film":
            readings.reverse()
            stuck.measure("ridge_to_edge", readings[0])

    stuck = worker(tmp_path, NOTES)
    stuck._notice = measure_again
    with pytest.raises(Stuck) as caught:
        stuck.work()
    again = next(reason for reason in caught.value.refusal.reasons)
    step = stuck.job.rules.steps[again.about]
    assert str(caught.value) == (
        f"{step.id} was done {MOST_TIMES} times and comes again: "
        f"{step.do} is asked again each time it was done - see which steps and measures open it again"
    )


def test_good_proofs_end_the_work_signed(tmp_path: Path) -> None:
    good = worker(tmp_path, NOTES)
    good.work()
    good.sign()
    assert good.job.state.status == "closed"
    kinds = [event.kind for event in good.job.events]
    assert kinds.count("flame_lit") == kinds.count("flame_out") > 1
