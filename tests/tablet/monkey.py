"""A monkey at the tablet: touches, holds, strokes and keys at random over the running app with a real ledger.

    python -m tests.tablet.monkey 10000 1

It begins on boats that stand shortly before, at and after a flame, so that there is something to break, and goes to
another one now and then. Left alone it wanders off and lights next to nothing; so at a boat that began at a flame a
careful hand looks after the safeguards every few touches, and then leaves the tablet to it again.
What it must not find: a crash, or a flame that the independent monitor rejects.
"""

from __future__ import annotations

import gc
import os
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.tablet.driver import Driver, EventLoop, Touch, Window  # isort: skip  first: it sets the toolkit up

from kivy.clock import Clock
from kivy.lang import Builder

from coach.core import actions as act
from coach.practice.clock import HandClock
from coach.practice.invented import NOTES, START
from coach.practice.worker import Stuck, Worker
from coach.tablet.app import CoachApp
from coach.tablet.focus import front, targets
from coach.tablet.routes import to
from coach.tablet.screens.who import who_page
from coach.tablet.shell import Shell
from coach.tablet.tongue import tongue
from coach.tablet.widgets.buttons import BigButton
from coach.view.walk import ENDED, LIT, RESUME, SIGN, STOP, TRIP, mode_of
from coach.yard.desk import Desk, objections
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.tablet import driver

PROCEDURE = "power-boat-trailer"
PLACES = (
    "weld-hem",
    "shrink-sides",
    "look-over",
    "weld-hem",
    "gate-wind",
    "shrink-sides",
    "close-cylinder",
    "weld-hem",
    "tape-over",
    "sign",
)
A_WHILE = 48  # touches on one boat
A_MOMENT = 8  # touches between two looks of the careful hand
KEYS = (9, 13, 27, 32, 273, 274, 275, 276, 280, 281)


@dataclass
class Told:
    """What came of it. kinds: how many events of each kind are in the ledger; objections: the monitor's, by job."""

    touches: int
    seconds: float
    jobs: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    objections: dict[str, list[str]] = field(default_factory=dict)


class Monkey:
    """One at one tablet, the same for the same seed."""

    def __init__(self, drive: Driver, folder: Path, seed: int) -> None:
        self.drive, self.chance = drive, random.Random(seed)
        self.clock = HandClock(START)
        self.desk = Desk.open(folder, self.clock, lambda procedure: True, demo_policy())
        app = drive.begin(CoachApp(self.desk))
        assert isinstance(app, CoachApp)
        self.shell: Shell = app.shell
        self._boat = ""

    def play(self, touches: int, notice: Callable[[int], None] = lambda number: None) -> None:
        """So many touches. notice: called after each with how many there were."""
        for number in range(touches):
            if number % A_WHILE == 0:
                self._go_to_a_boat(PLACES[number // A_WHILE % len(PLACES)])
            elif self._boat and number % A_MOMENT == 0:
                self._look_after_it()
            if number % 25 == 24:
                gc.collect()
            self._do_something()
            notice(number + 1)

    def _go_to_a_boat(self, step: str) -> None:
        """A new boat, worked up to a step by a careful worker, is on the tablet."""
        job = self.desk.start(self.desk.load(PROCEDURE), "Dunlin", "ana")
        assert isinstance(job, Job)
        worker = Worker(job, self.clock, NOTES)
        for found in worker.steps():
            if found.id == step:
                break
        heat = step in job.rules.steps and job.rules.steps[step].heat
        if heat:
            worker.prove_all()
        self._boat = job.id if heat else ""
        self._put_on_the_tablet(job)

    def _look_after_it(self) -> None:
        """The boat is brought to its next flame, if there is one, with every safeguard shown; a lit one is left alone."""
        open_job = self.shell.job
        job = open_job if open_job is not None and open_job.id == self._boat else self.desk.job(self._boat)
        worker, mode = Worker(job, self.clock, NOTES), mode_of(job.rules, job.state, self.clock())
        try:
            if mode == TRIP:
                if job.state.flame:
                    worker.out()
                worker.must(act.Reset(worker.by), "reset")
            elif mode == RESUME:
                worker.must(act.Resume(worker.by), "resume")
            if mode not in (LIT, STOP, ENDED, SIGN):
                for step in worker.steps():
                    if step.heat and step.id not in job.state.heated:
                        worker.prove_all()
                        break
        except Stuck:
            self._boat = ""  # what was typed at random may leave no honest way on: the next boat comes soon
        self._put_on_the_tablet(job)

    def _put_on_the_tablet(self, job: Job) -> None:
        self.shell._close_dialogs()
        self.shell.home(who_page)
        self.shell.presence.enter(job.state.technician, self.clock())
        self.shell.job = job
        self.shell.open(to("walk_page"))
        self._tick()

    def _do_something(self) -> None:
        acts: tuple[tuple[int, Callable[[], None]], ...] = (
            (50, self._tap_a_target),
            (6, self._tap_anywhere),
            (50, self._hold_something),
            (6, self._stroke),
            (6, self._key),
            (12, self._wait),
        )
        self.chance.choices([act for _weight, act in acts], [weight for weight, _act in acts])[0]()
        self.clock.pass_seconds(self.chance.choice((0.2, 1, 2, 5)))

    def _tap_a_target(self) -> None:
        every = targets(front())
        if every:
            target = self.chance.choice(every)
            self.drive_to(target)
            self._touch([target.to_window(*target.center)])

    def _tap_anywhere(self) -> None:
        self._touch([self._anywhere()])

    def _hold_something(self) -> None:
        held = [each for each in targets(front()) if isinstance(each, BigButton) and each.hold]
        if held:
            target = self.chance.choice(held)
            self._touch([target.to_window(*target.center)], self.chance.choice((0.5, 1.5, 2.5, 2.5)))
        else:
            self._tap_a_target()

    def _stroke(self) -> None:
        self._touch([self._anywhere() for _ in range(5)])

    def _key(self) -> None:
        code = self.chance.choice(KEYS)
        Window.dispatch("on_key_down", code, 0, "", self.chance.choice(([], [], ["shift"])))
        self._tick(self.chance.choice((0.02, 0.02, 2.5)))
        Window.dispatch("on_key_up", code, 0)
        self._tick()

    def _wait(self) -> None:
        self.clock.pass_seconds(self.chance.choice((30, 120, 600, 1200)))
        self._tick(1.1)

    def drive_to(self, target: object) -> None:
        """Scroll a target into sight."""
        for holder in driver._ancestors(target):  # type: ignore[arg-type]
            if isinstance(holder, driver.ScrollView):
                holder.scroll_to(target, animate=False)
        self._tick()

    def _anywhere(self) -> tuple[float, float]:
        return self.chance.uniform(0, Window.width - 1), self.chance.uniform(0, Window.height - 1)

    def _touch(self, points: list[tuple[float, float]], hold: float = 0.02) -> None:
        touch = Touch(*points[0])
        EventLoop.post_dispatch_input("begin", touch)
        self._tick(hold)
        for x, y in points[1:]:
            touch.move(Touch.share(x, y))
            EventLoop.post_dispatch_input("update", touch)
            self._tick()
        EventLoop.post_dispatch_input("end", touch)
        self._tick(0.1)

    def _tick(self, seconds: float = 0.02) -> None:
        """Let time pass without drawing: what is seen is measured elsewhere."""
        step = min(0.25, max(0.02, seconds))
        for _ in range(max(1, round(seconds / step))):
            driver._now[0] += step
            Clock.tick()
            Builder.sync()
            Clock.tick_draw()
            Builder.sync()

    def told(self, touches: int, seconds: float) -> Told:
        """Read the ledger, and ask the monitor about every job in it."""
        told = Told(touches, seconds)
        ledger = self.desk.ledger
        for row in ledger.jobs():
            events = ledger.events(row.job)
            told.jobs += 1
            told.kinds.update(event.kind for event in events)
            found = [str(each) for each in objections(ledger, events)]
            if found:
                told.objections[row.job] = found
        return told


def run(
    folder: Path, touches: int, seed: int, every: int = 0, notice: Callable[[Told], None] = lambda told: None
) -> Told:
    """Let a monkey play; the machine's own folder of pictures is out of its reach.

    every: after each so many touches what came of it so far is told to `notice`; 0 for never.
    """
    home, os.environ["HOME"] = os.environ.get("HOME", ""), str(folder)
    gc.collect()
    gc.freeze()  # what was there before is not looked through again and again
    try:
        with Driver() as drive:
            monkey = Monkey(drive, folder, seed)
            start = time.perf_counter()

            def told(number: int) -> Told:
                return monkey.told(number, time.perf_counter() - start)

            monkey.play(touches, lambda number: notice(told(number)) if every and number % every == 0 else None)
            return told(touches)
    finally:
        gc.unfreeze()
        tongue.use("en")
        os.environ["HOME"] = home


def main() -> None:
    """The command: how many touches, and the seed."""
    touches, seed = (int(each) for each in [*sys.argv[1:3], "10000", "1"][:2]) if len(sys.argv) > 2 else (10_000, 1)

    def notice(told: Told) -> None:
        lit, objected = told.kinds["flame_lit"], len(told.objections)
        print(f"{told.touches} touches, {told.jobs} jobs, {lit} flames lit, objections to {objected} jobs", flush=True)

    with tempfile.TemporaryDirectory() as folder:
        told = run(Path(folder), touches, seed, 500, notice)
    shown = ", ".join(f"{kind} {count}" for kind, count in told.kinds.most_common())
    print(f"{told.touches} touches (seed {seed}) in {told.seconds:.0f} s over {told.jobs} jobs: no crash")
    print(f"events: {shown}")
    print(f"flames lit: {told.kinds['flame_lit']}; the monitor objects to {len(told.objections)} jobs")
    for job, found in told.objections.items():
        print(f"  {job}: {found}")


if __name__ == "__main__":
    main()
