"""The app as a process of its own, brought to a moment by touch, for a test that kills it: python killed_app.py FOLDER MOMENT.

Moments: typed (a count that was not sent, while a fire watch runs), photo, lit, out. It says READY and what it has written,
and goes on until it is killed. MOMENT look: opens the app anew, goes into the job, and says what it shows.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.tablet.driver import Driver, children_say, png, words_of  # isort: skip  # first: it sets the toolkit up

from coach.core import actions as act
from coach.demo import NOTES
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.screens.photo import attach
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.rows import Counter
from coach.yard.clock import device_clock
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy

UNTIL = {"typed": "open-fuel-vents", "photo": "look-over", "lit": "weld-hem", "out": "weld-hem"}


def told(app: CoachApp, drive: Driver) -> str:
    """What the app shows and what the store has."""
    job = app.shell.job
    assert job is not None
    events = app.shell.desk.ledger.events(job.id)
    return json.dumps(
        {
            "texts": [words_of(each) for each in drive.widgets() if words_of(each) and not children_say(each)],  # below the fold too
            "kinds": [event.kind for event in events],
            "seq": len(events),
            "draft": app.shell.draft,
        }
    )


def worked(desk: Desk, step: str) -> Job:
    """A job worked on up to a step by a careful worker, on a clock that ends at the device's own time."""
    now = desk.now()
    clock = HandClock(
        now.wall - 40 * 3_600_000, now.steady - 40 * 3_600_000 if now.steady > 40 * 3_600_000 else 0, "before", "before"
    )
    at, desk.now = desk.now, clock
    started = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(started, Job)
    worker = Worker(started, clock, NOTES)
    for found in worker.steps():
        if found.id == step:
            break
    desk.now = at
    resumed = started.act(act.Resume("ana"), at())
    assert resumed is None, resumed
    return started


def main(folder: Path, moment: str) -> None:
    """Bring the app to the moment, and stay there."""
    desk = Desk.open(folder, device_clock(), lambda procedure: True, demo_policy())
    if moment != "look":
        job = worked(desk, UNTIL[moment])
        if moment in ("lit", "out"):

            class Now(HandClock):
                def __call__(self):  # type: ignore[no-untyped-def]
                    return desk.now()

                def pass_seconds(self, seconds: float) -> None:
                    pass

            Worker(job, Now(0), NOTES).prove_all()
    with Driver((1280, 800)) as drive:
        app = CoachApp(desk)
        drive.begin(app)
        drive.tap_text("Ana Ruiz")
        drive.tap_text("Dunlin")
        drive.settle()
        if moment == "look":
            drive.pass_time(2, 0.5)
            print(told(app, drive), flush=True)
            for button in drive.all(BigButton, lambda each: each.words == "Go on with this boat"):
                drive.tap(button)
                drive.settle()
                print(told(app, drive), flush=True)
            return
        if moment == "typed":
            for _time in range(2):
                drive.tap(next(w for w in drive.one(Counter).walk() if isinstance(w, IconButton) and w.icon == "plus"))
        if moment == "photo":
            picture = folder / "bow.png"
            picture.write_bytes(png(4, 4, [bytes(12)] * 4))
            step = app.shell.job.rules.steps["look-over"]  # type: ignore[union-attr]
            item = next(each.id for each in step.evidence if each.kind == "photo")
            attach(app.shell, item, app.shell.draft[step.id], picture)
        if moment in ("lit", "out"):
            drive.hold(drive.one(BigButton, lambda each: each.words == "Light the flame"), 3)
            drive.settle()
        if moment == "out":
            drive.tap_text("Something is lost")
            drive.tap_text("The fire watch left")
            drive.settle()
            drive.tap_text("The flame is out, the tool is closed")
            drive.settle()
        drive.pass_time(2, 0.5)
        print("READY " + told(app, drive), flush=True)
        while True:
            drive.frames()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
