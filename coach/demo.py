"""The demonstration: one invented boat goes through the real kernel, with what goes wrong on a bad day.

Rules kept here:
 1. Every event comes from the kernel and stands in a real ledger, sealed and exported as any job's.
 2. Boat, people and yard are invented; the clock is moved by hand and the record says where it starts.
Knows nothing of: rules of the job.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from coach.core import actions as act
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import CoachError, Problem, StoreError
from coach.core.rules import Rules
from coach.core.session import Refusal
from coach.practice.clock import HandClock
from coach.practice.invented import BOAT, NOTES, START
from coach.practice.worker import STROKES, Worker
from coach.prover.cache import vouches
from coach.record.export import export, file_name
from coach.record.sealed import verify_file
from coach.sheet.page import page
from coach.view.boat import boat_picture
from coach.view.checklist import checklist
from coach.view.texts import reason_text
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy

REVIEW = "I looked at the cover and read this record; the work is accepted."


@dataclass(frozen=True)
class Scene:
    """One moment worth showing: how many events there were, what the clocks said, and which screen."""

    name: str
    events: tuple[Event, ...]
    now: Moment
    screen: str
    text: str


class Play:
    """The demonstration while it runs."""

    def __init__(self, desk: Desk, clock: HandClock, say: Callable[[str], None]) -> None:
        self.desk = desk
        self.clock = clock
        self._say = say
        self.scenes: list[Scene] = []
        rules = desk.load("power-boat-trailer")
        started = desk.start(rules, BOAT, "ana")
        if isinstance(started, Refusal):
            raise StoreError(Problem("C110", "the demonstration's job was refused", started.reasons[0].what, started.reasons[0].mend,
                                     slots=started.reasons[0].slots))
        self.job: Job = started
        self.worker = Worker(self.job, clock, NOTES)

    def tell(self, text: str) -> None:
        """One line of the story, with the time."""
        minutes = (self.clock().wall - START) // 60_000
        self._say(f"{7 + (30 + minutes) // 60:02d}:{(30 + minutes) % 60:02d}  {text}")

    def scene(self, name: str, screen: str, text: str) -> None:
        """Keep this moment for the pictures."""
        self.scenes.append(Scene(name, self.job.events, self.clock(), screen, text))

    def refused(self, action: act.Action, what: str) -> None:
        """Ask for something that the kernel must refuse, and print every reason."""
        refusal = self.job.act(action, self.clock())
        if refusal is None:
            raise AssertionError(f"the kernel allowed what it must refuse: {what}")
        self.tell(f"REFUSED: {what}")
        for reason in refusal.reasons:
            text = reason_text(reason)
            self._say(f"         - {text.what} {text.mend}")

    def until(self, step: str) -> None:
        """Work on until this step is next."""
        for found in self.worker.steps():
            if found.id == step:
                return

    def run(self) -> None:
        """The whole play."""
        self._arrival()
        self._gate()
        self._weld()
        self._shrink()
        self._after()
        self._review()

    def _arrival(self) -> None:
        self.tell(f"{BOAT} arrives: 19 ft, outboard, on her trailer, petrol aboard. Ana Ruiz takes the job.")
        self.scene("arrival", "walk", "Arrival")
        self.until("tape-over")
        self.scene("measures", "walk", "Measures with live numbers")
        self.worker.do(self.job.rules.steps["tape-over"])
        self.until("cut-uprights")
        self.tell("Measured and sized. The half tape was read as 64 in: film 12 ft wide.")
        self.scene("numbers", "numbers", "The job's numbers")
        self.until("gate-operator")
        self.tell("Frame and band stand.")

    def _gate(self) -> None:
        self.until("gate-extinguisher")
        self.tell("At the gate: two fuel vents taped and marked, counted by touch.")
        low = {"rating": "2-A:10-B:C", "charge": "low", "distance": 9_000, "inspected": "2026-09-20"}
        self.worker.must(act.Observe("ana", "extinguisher", low), "observe")
        self.tell("The extinguisher at hand: too small, gauge low, too far, inspected 43 days ago.")
        self.scene("proof", "walk", "A safeguard that does not hold")
        self.clock.pass_minutes(6)
        self.worker.prove("extinguisher")
        self.tell("Another one fetched: 4-A:60-B:C, in the green, 16 ft away, inspected today.")
        self.until("gate-wind")
        gusty = {"how": "by_eye", "mean_force": 3, "gust_force": 5}
        self.worker.must(act.Observe("ana", "wind", gusty), "observe")
        self.tell("Wind by eye, force 3 with gusts of 5: the upper end of a force counts, too much.")
        self.clock.pass_minutes(20)
        self.worker.prove("wind")
        self.tell("Wind by meter: 4.9 mph, gusts 8.1 mph. Under both limits.")

    def _weld(self) -> None:
        self.until("cut-film")
        self.worker.measure("ridge_to_edge", "66 in")
        self.tell("Before the cut the tape is read again: 66 in. Steps that relied on 64 in are open again.")
        self.scene("reopened", "walk", "A corrected measure opens steps again")
        self.until("weld-hem")
        self.refused(act.Light("ana", "weld-hem"), "lighting for the hem; the film took long, proofs have lapsed")
        self.scene("blocked", "walk", "Heat blocked, with every reason")
        self.worker.prove_all()
        self.scene("ready", "walk", "Ready to light")
        self.worker.light(self.job.rules.steps["weld-hem"])
        self.scene("lit", "walk", "Flame lit")
        self.clock.pass_minutes(6)
        self.worker.out()
        self.worker.do(self.job.rules.steps["weld-hem"])
        self.until("shrink-sides")
        self.tell("Hem, bow and pleats welded, belly bands set.")

    def _shrink(self) -> None:
        self.worker.light(self.job.rules.steps["shrink-sides"])
        self.tell("Flame lit for the sides.")
        self.clock.pass_minutes(3)
        self.worker.must(act.Observe("ana", "wind", {"how": "meter", "mean": 4_100, "gust": 8_600}), "observe")
        self.tell("The wind gets up: gust 19.2 mph. TRIP: the flame goes out, the loss is recorded.")
        self.scene("trip", "walk", "Trip")
        self.refused(act.Light("ana", "shrink-sides"), "lighting again at once")
        self.worker.must(act.FlameOut("joel"), "flame out")
        self.clock.pass_minutes(25)
        self.refused(act.Light("ana", "shrink-sides"), "lighting after the wind has dropped, without a reset")
        self.worker.must(act.Reset("ana"), "reset")
        self.tell("25 minutes later, reset by hand. Every safeguard is asked again.")
        self.scene("asked-again", "walk", "After the reset everything is asked again")
        self.worker.light(self.job.rules.steps["shrink-sides"])
        self.clock.pass_minutes(4)
        self.worker.out()
        self.worker.do(self.job.rules.steps["shrink-sides"])
        self.until("close-cylinder")
        self.tell("Sides, bow, transom and top shrunk, one hole patched.")

    def _after(self) -> None:
        self.refused(act.Sign("ana", "I did this work as recorded.", STROKES), "closing the job with tape on the vents")
        self.until("open-fuel-vents")
        self.refused(act.Do("ana", "open-fuel-vents", {**self.worker.evidence(self.job.rules.steps["open-fuel-vents"]), "removed": 1}),
                     "calling the vents open with one of two tapes off")
        self.scene("untape", "walk", "Two tapes on, two tapes off")
        self.until("hold-fire-watch")
        self.tell("Both tapes off and counted; vents, door and seams done.")
        self.refused(act.Do("ana", "hold-fire-watch", self.worker.evidence(self.job.rules.steps["hold-fire-watch"])),
                     "ending the fire watch early")
        self.scene("fire-watch", "walk", "The fire watch is not over")
        self.worker.work()
        self.tell("Fire watch held by Joel Baptiste, tools counted, last walk round.")
        self.scene("sign", "walk", "Sign")
        self.worker.sign()
        self.tell("Signed by Ana Ruiz.")

    def _review(self) -> None:
        self.refused(act.Accept("ana", REVIEW, STROKES), "Ana accepting her own work")
        self.scene("review", "review", "Review")
        self.clock.pass_minutes(30)
        self.worker.must(act.SendBack("marta", (("tape-seams", "Tape the seam at the starboard bow again."),)), "send back")
        self.tell("Marta Oduya, supervisor, sends it back: the starboard bow seam.")
        self.scene("sent-back", "walk", "Sent back, with the reason")
        self.clock.pass_minutes(15)
        self.worker.work()
        self.worker.sign()
        self.clock.pass_minutes(15)
        self.worker.must(act.Accept("marta", REVIEW, STROKES), "accept")
        self.tell("Mended, signed again, accepted and countersigned by Marta Oduya.")
        self.scene("finished", "review", "The finished checklist")
        self.scene("board", "board", "The supervisor's review of all boats")


def play(out: Path, say: Callable[[str], None], window: bool = True) -> int:
    """Play, write everything into `out`; returns the exit status."""
    out.mkdir(parents=True, exist_ok=True)
    data = out / "data"
    if data.exists():
        shutil.rmtree(data)
    clock = HandClock(START)
    desk = Desk.open(data, clock, vouches(data), demo_policy())
    show = Play(desk, clock, say)
    show.run()
    say("")
    record = _write_record(desk, show.job, out)
    problems = verify_file(record)
    say(f"sealed record   {record}   {'verified' if not problems else 'DOES NOT VERIFY'}")
    sheet = _write_sheet(show.job.rules, show.job, out, record.name)
    say(f"checklist       {sheet}")
    if window:
        _write_pictures(desk, show, out / "screens", say)
    return 1 if problems else 0


def _write_record(desk: Desk, job: Job, out: Path) -> Path:
    desk.ledger.seal(job.id)
    record = out / file_name(desk.ledger.parts(job.id))
    record.write_bytes(export(desk.ledger, job.id, desk.signer))
    return record


def _write_sheet(rules: Rules, job: Job, out: Path, record: str) -> Path:
    names = (("Cross-section", "cross-section"), ("Plan", "plan"), ("Profile", "profile"))
    pictures = [(title, drawing) for title, name in names if (drawing := boat_picture(rules, job.state.measures, name))]
    sheet = out / f"{job.id}.html"
    sheet.write_text(page(checklist(rules, job.events, rules.policy.units), pictures, f"Sealed record: {record}"), encoding="utf-8")
    return sheet


def _write_pictures(desk: Desk, show: Play, folder: Path, say: Callable[[str], None]) -> None:
    """Screenshots of the main screens, where a window can be had; else one plain line."""
    from coach.tablet.gallery import shoot

    try:
        written = shoot(desk, show.job.rules, show.scenes, folder)
    except CoachError as error:
        say(f"screenshots     left out: {error.problems[0].what}")
        return
    say(f"screenshots     {len(written)} in {folder}")
