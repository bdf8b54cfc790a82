"""Brings any screen of the app about without a finger: a boat worked up to the moment, then the pages opened on it.

    room = Showroom(folder)
    shell = room.show(SCREENS[0], "fr", put_into_window)    # shell.root is the screen

Rules kept here:
 1. Every moment comes from the real kernel by a careful worker; no page is handed anything that could not have happened.
 2. What is done on a screen that is shown here stays in memory, and reaches no ledger.
Knows nothing of: windows, files of pictures, what is measured. The list of screens is `catalogue`.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from kivy.uix.widget import Widget

from coach import paths
from coach.core import actions as act
from coach.core.attention import CHOICE, question_due, right_answer
from coach.core.events import Event
from coach.core.moment import Moment
from coach.practice.clock import HandClock
from coach.practice.invented import BOAT, NOTES, START
from coach.practice.worker import STROKES, Worker
from coach.tablet.routes import to
from coach.tablet.screens import every  # noqa: F401  registers the pages
from coach.tablet.shell import Shell
from coach.yard.crew import CrewPins
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.memory import MemoryStore
from coach.yard.policy_file import demo_policy

PROCEDURE = "power-boat-trailer"
SIGNED = "I did this work as recorded, and the boat is safe to leave."
ACCEPTED = "I looked at the cover and read this record; the work is accepted."
PINS = {"ana": "4081", "joel": "5927", "marta": "7306"}
CHEAP = 2**4  # scrypt's cost for PINs that guard nothing


@dataclass(frozen=True)
class Screen:
    """One screen. moment: how far the boat is, '' where no job is open; by: who is at the tablet, '' for nobody.

    then: what is opened after the first page, on the shell; pins: people show who they are; gate: it asks for the
    larger targets; crew: the yard has a policy; twin: laid out as another one, with other texts.
    """

    name: str
    says: str
    moment: str = ""
    by: str = "ana"
    then: Callable[[Shell], object] | None = None
    pins: bool = False
    gate: bool = False
    crew: bool = True
    twin: bool = False


@dataclass(frozen=True)
class Point:
    """A moment of a job: its events so far, and the clocks."""

    events: tuple[Event, ...]
    now: Moment


class Showroom:
    """The moments of one invented boat, made once, and a shell for any screen."""

    def __init__(self, folder: Path) -> None:
        """folder: for the ledgers; made if it is not there."""
        self._folder = folder
        clock = HandClock(START)
        self.desk = Desk.open(folder / "yard", clock, lambda _procedure: True, demo_policy())
        shutil.copy(paths.procedures() / "yard" / "demo-stock.yaml", folder / "yard" / "stock.yaml")
        self.rules = self.desk.load(PROCEDURE)
        self._points: dict[str, Point] = {}
        self._walk(clock)
        self._board(clock)
        self.end = clock()

    def _walk(self, clock: HandClock) -> None:
        """One boat from arrival to the countersignature; each step's moment under its id, each kind of question's too."""
        job = self.desk.start(self.rules, BOAT, "ana")
        assert isinstance(job, Job)

        def asked(_word: str) -> None:
            question = question_due(job.rules, job.state)
            if question is not None:
                self._points.setdefault(f"asked-{question.kind}", Point(job.events, clock()))

        worker = Worker(job, clock, replace(NOTES, answers=self._photos()), asked)
        for step in worker.steps():
            self._points[step.id] = Point(job.events, clock())
        self._points["sign"] = Point(job.events, clock())
        worker.sign()
        self._points["closed"] = Point(job.events, clock())
        worker.must(act.Accept("marta", ACCEPTED, STROKES), "accept")
        self._points["accepted"] = Point(job.events, clock())

    def _photos(self) -> dict[tuple[str, str], str]:
        """Two of the pictures that the steps ask for; the program's own stand in."""
        kept = [self.desk.photos.keep((paths.assets() / "screens" / name).read_bytes()) for name in ("step.png", "lit.png")]
        asked = [(step.id, item.id) for step in self.rules.procedure.steps for item in step.evidence if item.kind == "photo"]
        return dict(zip(asked, kept, strict=False))

    def _board(self, clock: HandClock) -> None:
        """More boats on the board, in other states."""
        other = self.desk.start(self.rules, "Sanderling", "joel")
        paused = self.desk.start(self.rules, "Grey Plover", "ana")
        lit = self.desk.start(self.rules, "Whimbrel", "ana")
        assert isinstance(other, Job) and isinstance(paused, Job) and isinstance(lit, Job)
        for job, until in ((other, "cut-uprights"), (paused, "ridge-strap"), (lit, "weld-hem")):
            for step in Worker(job, clock, NOTES).steps():
                if step.id == until:
                    break
        paused.act(act.Pause("ana", ""), clock())
        Worker(lit, clock, NOTES).light(self.rules.steps["weld-hem"])

    def point(self, name: str) -> Point:
        """The moment of this name: a step's id, or one of BRANCHES. Raises KeyError."""
        if name not in self._points:
            before, branch = BRANCHES[name]
            start = self.point(before)
            clock = _clock_at(start.now)
            job = Job(self.rules, _kept(start.events), BOAT, start.events)
            branch(Worker(job, clock, NOTES), clock)
            self._points[name] = Point(job.events, clock())
        return self._points[name]

    def show(self, screen: Screen, language: str = "en", place: Callable[[Widget], object] = lambda _root: None) -> Shell:
        """A shell that shows a screen.

        Args:
            place: puts the shell's root into the window, before anything is opened on the first page: sheets lie above it.
        """
        point = self.point(screen.moment) if screen.moment else Point((), self.end)
        shell = Shell(self._desk(screen, point.now), language)
        shell.presence.enter(screen.by, point.now)
        names = [name for name, here in (("who_page", True), ("board_page", screen.by), ("walk_page", screen.moment)) if here]
        for name in names[:-1]:
            shell.lay_under(to(name))
        if screen.moment:
            shell.job = Job(self.rules, _kept(point.events), BOAT, point.events)
        place(shell.root)
        shell.open(to(names[-1]))
        if screen.then is not None:
            screen.then(shell)
        return shell

    def _desk(self, screen: Screen, now: Moment) -> Desk:
        if not screen.crew:
            return Desk.open(self._folder / "empty", lambda: now, lambda _procedure: True, signer=self.desk.signer, pins=False)
        own = self.desk
        pins = self._pins() if screen.pins else None
        return Desk(own.folder, lambda: now, own.policy, own.ledger, own.signer, lambda _procedure: True, pins)

    @cache  # noqa: B019  one room lives as long as the gallery or the test that made it
    def _pins(self) -> CrewPins:
        pins = CrewPins(self._folder / "crew.sqlite", CHEAP)
        for person in ("marta", "ana"):
            able = pins.vouchers(self.desk.policy, person)
            voucher = able[0].id if able else ""
            pins.begin(self.desk.policy, person, PINS[person], self.end, voucher, PINS.get(voucher, ""))
        return pins


def _kept(events: tuple[Event, ...]) -> MemoryStore:
    store = MemoryStore()
    store.start_job("", events, ())
    return store


def _clock_at(now: Moment) -> HandClock:
    return HandClock(now.wall, now.steady, now.boot, now.run)


Branch = Callable[[Worker, HandClock], object]


def _blocked(worker: Worker, clock: HandClock) -> None:
    clock.pass_minutes(20)


def _ready(worker: Worker, clock: HandClock) -> None:
    worker.prove_all()


def _lit(worker: Worker, clock: HandClock) -> None:
    worker.light(worker.job.rules.steps["weld-hem"])


def _soon(worker: Worker, clock: HandClock) -> None:
    """The wind reading holds for two more minutes."""
    clock.pass_minutes(13)


def _trip(worker: Worker, clock: HandClock) -> None:
    worker.must(act.Observe("ana", "wind", {"how": "meter", "mean": 4_100, "gust": 8_600}), "observe")


def _tripped_out(worker: Worker, clock: HandClock) -> None:
    worker.out()


def _heated(worker: Worker, clock: HandClock) -> None:
    clock.pass_minutes(4)
    worker.out()


def _low(worker: Worker, clock: HandClock) -> None:
    low = {"rating": "2-A:10-B:C", "charge": "low", "distance": 9_000, "inspected": "2026-09-20"}
    worker.must(act.Observe("ana", "extinguisher", low), "observe")


def _paused(worker: Worker, clock: HandClock) -> None:
    worker.must(act.Pause("ana", ""), "pause")


def _remeasured(worker: Worker, clock: HandClock) -> None:
    worker.measure("ridge_to_edge", "66 in")


def _disagreeing(worker: Worker, clock: HandClock) -> None:
    worker.measure("bow_to_stern", "40 ft")


def _asked_stop(worker: Worker, clock: HandClock) -> None:
    worker.must(act.AskStop("ana", "Storm coming"), "stop")


def _tagged(worker: Worker, clock: HandClock) -> None:
    worker.do(worker.job.rules.steps["close-cylinder"])
    for debt in tuple(worker.job.state.debts):
        worker.must(act.Tag("ana", debt, "On the tow ball", "The storm comes first"), "tag")


def _stopped(worker: Worker, clock: HandClock) -> None:
    worker.sign("I stopped this job; the flame is out, and what is still open hangs on a tag.")


def _wrongly_answered(worker: Worker, clock: HandClock) -> None:
    question = question_due(worker.job.rules, worker.job.state)
    assert question is not None and question.kind == CHOICE
    right = right_answer(worker.job.state, question)
    worker.must(act.Answer("ana", next(option.id for option in question.options if option.id != right)), "answer")


def _sent_back(worker: Worker, clock: HandClock) -> None:
    worker.must(act.SendBack("marta", (("tape-seams", "Tape the seam at the starboard bow again."),)), "send back")


def _with_excuse(worker: Worker, clock: HandClock) -> None:
    worker.must(act.Excuse("ana", "tape-slots", "No slots were cut: the film came slotted."), "excuse")
    worker.work()
    worker.sign(SIGNED)


# By name: the moment that it follows, and what happens then.
BRANCHES: dict[str, tuple[str, Branch]] = {
    "blocked": ("weld-hem", _blocked), "ready": ("weld-hem", _ready), "lit": ("ready", _lit), "soon": ("lit", _soon),
    "trip": ("lit", _trip), "trip-out": ("trip", _tripped_out), "heated": ("lit", _heated), "low": ("gate-extinguisher", _low),
    "paused": ("weld-hem", _paused), "reopened": ("cut-film", _remeasured), "disagree": ("tape-along", _disagreeing),
    "stopping": ("shrink-sides", _asked_stop), "tagged": ("stopping", _tagged), "stopped": ("tagged", _stopped),
    "asked-wrong": ("asked-choice", _wrongly_answered), "sent-back": ("closed", _sent_back), "excused": ("tape-slots", _with_excuse),
}
