"""What runs at a job, from its log and a clock that is passed in: fire watch, timers, safeguards near their end."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.core import actions as act
from coach.core.model import Evidence, Step
from coach.core.rules import Rules
from coach.core.session import fold
from coach.core.sizing.registry import FUNCTIONS
from coach.core.state import State
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.view.timers import GONE, OVER, RUNS, SOON, UNKNOWN, Running, running
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.memory import MemoryStore
from coach.yard.policy_file import demo_policy
from tests.helpers.procedures import HERE
from tests.helpers.small import one_step

MINUTE = 60_000


class At:
    """A job worked on up to a step, all safeguards shown."""

    def __init__(self, folder: Path, step: str) -> None:
        self.clock = HandClock(START)
        desk = Desk.open(folder, self.clock, lambda procedure: True, demo_policy())
        job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
        assert isinstance(job, Job)
        self.job = job
        self.worker = Worker(job, self.clock, NOTES)
        for found in self.worker.steps():
            if found.id == step:
                break

    def now(self) -> dict[str, Running]:
        """What runs now, by what it is about."""
        return {each.about: each for each in running(self.job.rules, self.job.state, self.clock())}

    def anew(self) -> State:
        """The state as another program reads it from the log."""
        return fold(self.job.rules, self.job.events)


def test_the_wind_reading_runs_from_when_it_was_read_and_is_then_too_old(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove("wind")
    fresh = at.now()["wind"]
    assert (fresh.kind, fresh.left, fresh.total) == (RUNS, 15 * MINUTE, 15 * MINUTE)
    at.clock.pass_minutes(11)
    assert (at.now()["wind"].kind, at.now()["wind"].left) == (RUNS, 4 * MINUTE)
    at.clock.pass_minutes(1)
    assert (at.now()["wind"].kind, at.now()["wind"].left) == (SOON, 3 * MINUTE)
    at.clock.pass_minutes(3)
    assert at.now()["wind"].kind == SOON  # exactly fifteen minutes still hold
    at.clock.pass_seconds(0.001)
    assert (at.now()["wind"].kind, at.now()["wind"].left) == (GONE, 0)


def test_another_safeguard_is_told_of_only_near_its_end(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove("gas")
    assert "gas" not in at.now()
    at.clock.pass_minutes(27)
    assert at.now()["gas"].kind == SOON
    at.worker.prove("gas")
    assert "gas" not in at.now()


def test_a_new_reading_is_another_time(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.prove("wind")
    first = at.now()["wind"].key
    at.worker.prove("wind")
    assert at.now()["wind"].key != first


def watched(folder: Path) -> At:
    """A job whose last flame is out: the fire watch is owed."""
    at = At(folder, "hold-fire-watch")
    assert "fire_watch" in at.job.state.debts
    return at


def test_the_fire_watch_runs_from_the_last_flame_out_in_any_other_program_too(tmp_path: Path) -> None:
    at = watched(tmp_path)
    out = next(event.at for event in reversed(at.job.events) if event.kind == "flame_out")
    need = at.job.rules.policy.limit("fire_watch_minutes") * MINUTE
    assert at.now()["fire_watch"].left == need - (at.clock().steady - out.steady)
    at.clock.restart("run-2")
    again = {each.about: each for each in running(at.job.rules, at.anew(), at.clock())}
    assert again["fire_watch"] == at.now()["fire_watch"]
    at.clock.pass_minutes(60)
    assert (at.now()["fire_watch"].kind, at.now()["fire_watch"].left) == (OVER, 0)


def test_after_the_device_started_anew_the_watch_is_not_known(tmp_path: Path) -> None:
    at = watched(tmp_path)
    at.clock.restart("run-2", "boot-2")
    assert (at.now()["fire_watch"].kind, at.now()["fire_watch"].left) == (UNKNOWN, -1)


def test_while_the_flame_burns_no_watch_runs(tmp_path: Path) -> None:
    at = At(tmp_path, "weld-hem")
    at.worker.light(at.job.rules.steps["weld-hem"])
    assert "fire_watch" in at.job.state.debts
    assert "fire_watch" not in at.now()


def test_nothing_is_said_of_safeguards_after_the_last_flame(tmp_path: Path) -> None:
    at = watched(tmp_path)
    at.clock.pass_minutes(30)
    assert set(at.now()) == {"fire_watch"}


def test_a_turned_clock_makes_the_watch_unknown_and_nothing_guesses(tmp_path: Path) -> None:
    at = watched(tmp_path)
    at.clock.turn_wall(3600)
    assert at.now()["fire_watch"].kind == UNKNOWN


def test_an_ended_job_runs_nothing(tmp_path: Path) -> None:
    at = watched(tmp_path)
    at.worker.work()
    at.worker.sign()
    assert at.now() == {}


@pytest.mark.parametrize("minutes", [0, 1, 4, 5])
def test_the_timer_of_a_step_runs_and_ends(minutes: int) -> None:
    step = Step(
        "soak",
        "all",
        "Let it soak.",
        "",
        "",
        "",
        HERE,
        evidence=(Evidence("soaked", "timer", "Soaked", HERE, minutes=5),),
    )
    rules = Rules(one_step(step), demo_policy(), FUNCTIONS, proven=True)
    clock = HandClock(START)
    job = Job(rules, MemoryStore(), "j")
    assert job.act(act.Start("ana", "j", "Dunlin", True), clock()) is None
    assert running(rules, job.state, clock()) == ()
    assert job.act(act.StartTimer("ana", "soak"), clock()) is None
    clock.pass_minutes(minutes)
    (each,) = running(rules, job.state, clock())
    assert (each.name, each.kind, each.left) == ("Soaked", OVER if minutes == 5 else RUNS, (5 - minutes) * MINUTE)
    assert job.act(act.Do("ana", "soak", {}), clock()) is None if minutes == 5 else True
    assert (running(rules, job.state, clock()) == ()) is (minutes == 5)
