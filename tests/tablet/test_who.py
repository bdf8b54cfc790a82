"""Who is at the tablet, by touch: PINs chosen, asked and guessed at; the walk-away lock; the flame that it never hides."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tablet.driver import Driver  # isort: skip  first: it sets the toolkit up

from coach.core import actions as act
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import STROKES, Worker
from coach.tablet.app import CoachApp
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.field import Entry
from coach.tablet.widgets.pinpad import PinPad
from coach.tablet.widgets.signature import SigningField
from coach.yard.crew import CrewPins
from coach.yard.desk import Desk
from coach.yard.job import Job

POLICY = """yard: Pell Harbour Boatyard
people:
  ana: {name: Ana Ruiz, roles: [technician], flame_until: 2027-12-31}
  joel: {name: Joel Baptiste, roles: [technician, fire_watch], flame_until: 2027-12-31}
  marta: {name: Marta Oduya, roles: [supervisor, fire_watch]}
  ivo: {name: Ivo Brandt, roles: [supervisor]}
limits:
  wind_mean: {value: 10 mph, source: invented}
"""
PINS = {"ana": "4081", "joel": "5927", "marta": "7306", "ivo": "0824"}
NAMES = {"ana": "Ana Ruiz", "joel": "Joel Baptiste", "marta": "Marta Oduya", "ivo": "Ivo Brandt"}


class Tablet:
    """A real data folder whose policy names a crew; by default everyone has a PIN, hashed cheaply."""

    def __init__(self, drive: Driver, folder: Path, people: tuple[str, ...] = tuple(PINS), until: str = "") -> None:
        self.drive, self.folder, self.clock = drive, folder, HandClock(START)
        (folder / "policy.yaml").write_text(POLICY, encoding="utf-8")
        self.desk = self.open()
        assert self.desk.pins is not None
        for person in people:
            vouchers = self.desk.pins.vouchers(self.desk.policy, person)
            voucher = vouchers[0].id if vouchers else ""
            assert not self.desk.pins.begin(self.desk.policy, person, PINS[person], self.clock(), voucher, PINS.get(voucher, ""))
        self.job: Job | None = None
        if until:
            self.job = self.worked(until)
        self.app = drive.begin(CoachApp(self.desk))

    def open(self) -> Desk:
        desk = Desk.open(self.folder, self.clock, lambda procedure: True)
        desk.pins = CrewPins(self.folder / "crew.sqlite", 2**4)
        return desk

    def worked(self, until: str) -> Job:
        """A job of Ana's, up to a step; before a heat step everything is freshly shown."""
        job = self.desk.start(self.desk.load("power-boat-trailer"), "Dunlin", "ana")
        assert isinstance(job, Job)
        worker = Worker(job, self.clock, NOTES)
        for step in worker.steps():
            if step.id == until:
                break
        if job.rules.steps[until].heat:
            worker.prove_all()
        return job

    @property
    def shell(self):  # type: ignore[no-untyped-def]
        return self.app.shell  # type: ignore[attr-defined]

    def key(self, pin: str) -> None:
        """Key a PIN on the front-most pad and enter it."""
        pad = self.drive.all(PinPad)[-1]
        for digit in pin:
            self.drive.tap(next(key for key in pad.ids.pad.children if key.types == digit))
        self.drive.tap(pad.ids.enter)
        self.drive.settle()

    def trouble(self) -> str:
        return self.drive.all(PinPad)[-1].trouble

    def enter(self, person: str = "ana", boat: str = "") -> None:
        """From the first page to the board, or to a boat."""
        self.drive.tap_text(NAMES[person])
        self.key(PINS[person])
        if boat:
            self.drive.tap_text(boat)
            self.drive.settle()

    def seen(self, words: str) -> bool:
        return any(words in text for text in self.drive.texts())

    def events(self) -> list[tuple[str, object]]:
        """Kinds of event in the ledger, each with those who showed who they are."""
        assert self.job is not None
        return [(event.kind, event.data.get("identified")) for event in self.desk.ledger.events(self.job.id)]

    def big(self, words: str) -> BigButton:
        return self.drive.all(BigButton, lambda each: each.words == words)[-1]

    def leave(self, minutes: float) -> None:
        """Walk away; the app's own second hand goes on."""
        self.clock.pass_minutes(minutes)
        self.drive.pass_time(2)
        self.drive.settle()


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


# -- showing who one is ------------------------------------------------------------------------------------------------


def test_the_board_opens_only_with_the_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    tablet.key("5927")
    assert tablet.trouble() == "This is not the PIN. Try again, or ask a supervisor for a new PIN."
    assert tablet.shell.person == "" and not tablet.seen("Boats")
    tablet.key("4081")
    assert tablet.shell.person == "ana" and tablet.seen("No boat yet.")


def test_the_pin_is_never_shown(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    for digit in "4081":
        drive.tap(next(key for key in drive.one(PinPad).ids.pad.children if key.types == digit))
    assert "• • • • " in drive.texts()
    assert not tablet.seen("4081")


def test_wrong_pins_make_everyone_wait_and_a_restart_does_not_help(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    for _ in range(3):
        tablet.key("9999")
    assert tablet.trouble().startswith("Too many wrong PINs: wait 1 min.")
    tablet.clock.restart("run-2")
    tablet.clock.turn_wall(86_400)
    tablet.desk.pins = CrewPins(tmp_path / "crew.sqlite", 2**4)
    tablet.key("4081")
    assert tablet.trouble().startswith("Too many wrong PINs")
    tablet.clock.pass_seconds(30)
    tablet.key("4081")
    assert tablet.shell.person == "ana"


def test_the_first_person_chooses_a_pin_twice_and_is_in(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, ())
    drive.tap_text("Marta Oduya")
    tablet.key("1234")
    assert tablet.trouble() == "This PIN is easily guessed. Choose digits that follow no pattern."
    tablet.key("7306")
    tablet.key("7307")
    assert tablet.trouble() == "That was another PIN. Enter it again, or go back and choose anew."
    tablet.key("7306")
    assert tablet.shell.person == "marta" and tablet.seen("No boat yet.")
    assert tablet.desk.pins is not None and tablet.desk.pins.check("marta", "7306", tablet.clock()) == ()


def test_a_technicians_first_pin_is_confirmed_by_the_supervisor(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, ("marta",))
    drive.tap_text("Ana Ruiz")
    tablet.key("4081")
    tablet.key("4081")
    assert tablet.seen("Marta Oduya confirms that this is Ana Ruiz.")
    tablet.key("4081")
    assert tablet.trouble().startswith("This is not the PIN.")
    assert tablet.shell.person == ""
    tablet.key("7306")
    assert tablet.shell.person == "ana"


def test_who_forgot_a_pin_gets_a_new_one_from_a_supervisor(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    drive.tap_text("Ana Ruiz")
    drive.tap_text("PIN forgotten")
    tablet.key("6153")
    tablet.key("6153")
    drive.tap_text("Ivo Brandt")
    tablet.key("0824")
    assert tablet.shell.person == "ana" and tablet.seen("No boat yet.")
    assert tablet.desk.pins is not None and tablet.desk.pins.check("ana", "6153", tablet.clock()) == ()


def test_one_changes_ones_own_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    tablet.enter()
    drive.tap(next(w for w in drive.widgets() if getattr(w, "icon", "") == "person" and getattr(w, "words", "") == "Ana Ruiz"))
    drive.tap_text("Change my PIN")
    for pin in ("4080", "6153", "6153"):
        tablet.key(pin)
    assert tablet.trouble().startswith("This is not the PIN.")
    for pin in ("4081", "6153", "6153"):
        tablet.key(pin)
    assert tablet.seen("At the tablet")
    assert tablet.desk.pins is not None and tablet.desk.pins.check("ana", "6153", tablet.clock()) == ()


def test_the_invented_yard_is_tried_without_pins(drive: Driver, tmp_path: Path) -> None:
    from coach import paths

    text = (paths.procedures() / "yard" / "demo-policy.yaml").read_text(encoding="utf-8")
    (tmp_path / "policy.yaml").write_text(text, encoding="utf-8")
    app = drive.begin(CoachApp(Desk.open(tmp_path, HandClock(START), lambda procedure: True)))
    drive.tap_text("Ana Ruiz")
    assert app.shell.person == "ana" and "No boat yet." in drive.texts()  # type: ignore[attr-defined]


def test_a_folder_without_a_policy_says_what_to_write(drive: Driver, tmp_path: Path) -> None:
    desk = Desk.open(tmp_path, HandClock(START), lambda procedure: True)
    assert desk.pins is not None
    drive.begin(CoachApp(desk))
    assert "There is no crew yet" in drive.texts()


# -- what stands in the record -----------------------------------------------------------------------------------------


def test_every_act_of_a_new_job_names_who_showed_who_they_are(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    tablet.enter()
    drive.tap_text("New boat")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Sanderling")
    drive.tap_text("Cover a power boat on its trailer")
    drive.tap_text("Start the job")
    drive.settle()
    tablet.job = tablet.shell.job
    drive.tap_text("Done")
    drive.settle()
    assert tablet.events()[0] == ("job_started", {"ana": "pin"})
    assert {str(identified) for _kind, identified in tablet.events()} == {"{'ana': 'pin'}"}


def test_the_fire_watch_confirms_at_the_gate_with_their_own_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="gate-fire-watch")
    tablet.enter(boat="Dunlin")
    drive.tap_text("Go on with this boat") if tablet.seen("Go on with this boat") else None
    drive.tap_text("Joel Baptiste")
    drive.settle()
    assert tablet.seen("PIN of Joel Baptiste")
    tablet.key("4081")
    assert tablet.trouble().startswith("This is not the PIN.")
    tablet.key("5927")
    for tiles in [w for w in drive.widgets() if type(w).__name__ == "ChoiceTiles"]:
        drive.tap(tiles.children[-1])
    drive.tap_text("This is what I see")
    drive.settle()
    assert tablet.events()[-1] == ("observed", {"ana": "pin", "joel": "pin"})
    assert tablet.shell.job.events[-1].data["values"]["person"] == "joel"
    assert tablet.shell.job.events[-1].data["met"] is True


def test_nobody_is_chosen_as_fire_watch_without_their_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="gate-fire-watch")
    tablet.enter(boat="Dunlin")
    drive.tap_text("Joel Baptiste")
    drive.tap_text("Leave it")
    drive.settle()
    drive.tap_text("This is what I see")
    drive.settle()
    assert "person" not in tablet.shell.job.events[-1].data.get("values", {})


def test_the_second_person_of_a_step_confirms_with_their_own_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="hold-fire-watch")
    tablet.clock.pass_minutes(61)
    tablet.enter(boat="Dunlin")
    drive.tap_text("Joel Baptiste")
    tablet.key("5927")
    step = next(s for s in tablet.shell.job.rules.procedure.steps if s.id == "hold-fire-watch")
    for item in step.evidence:
        if item.kind in ("tick", "choice"):
            drive.tap_text(item.options[0].label if item.options else item.ask)
    drive.tap_text("Done, next step")
    drive.settle()
    kinds = tablet.events()
    assert ("step_done", {"ana": "pin", "joel": "pin"}) in kinds[-3:]
    assert ("debt_cleared", {"ana": "pin", "joel": "pin"}) in kinds[-3:]


def test_a_signature_asks_for_the_pin_again(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="tag-cover")
    assert tablet.job is not None
    Worker(tablet.job, tablet.clock, NOTES).work()
    tablet.enter(boat="Dunlin")
    drive.stroke(drive.one(SigningField), [(0.1, 0.5), (0.3, 0.8), (0.5, 0.3), (0.8, 0.6)])
    drive.hold(tablet.big("Sign and seal"), 2)
    drive.settle()
    tablet.key("5927")  # Joel's PIN does not sign for Ana
    assert tablet.trouble().startswith("This is not the PIN.")
    assert tablet.events()[-1][0] != "closed"
    tablet.key("4081")
    assert tablet.events()[-2:] == [("signed", {"ana": "pin"}), ("closed", {"ana": "pin"})]
    signed = tablet.desk.ledger.events(tablet.job.id)[-2]
    assert sum(len(stroke) for stroke in signed.data["strokes"]) >= 2  # what was drawn stood while the PIN was asked


def test_the_supervisor_countersigns_with_the_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="tag-cover")
    assert tablet.job is not None
    worker = Worker(tablet.job, tablet.clock, NOTES)
    worker.work()
    worker.sign()
    tablet.enter("marta", "Dunlin")
    drive.tap_text("Accept")
    drive.stroke(drive.one(SigningField), [(0.2, 0.4), (0.4, 0.7), (0.7, 0.4)])
    drive.hold(tablet.big("Accept and seal"), 2)
    drive.settle()
    tablet.key("7306")
    assert tablet.events()[-1] == ("accepted", {"marta": "pin"})


# -- the lock ----------------------------------------------------------------------------------------------------------


def test_after_five_minutes_the_tablet_is_locked_and_keeps_what_was_there(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    tablet.enter()
    drive.tap_text("New boat")
    drive.tap(drive.all(Entry)[0])
    drive.type_text("Sanderling")
    tablet.leave(4.9)
    assert not tablet.seen("Locked")
    tablet.leave(0.2)
    assert tablet.seen("The tablet was left and has locked itself.")
    assert not tablet.seen("Sanderling")
    tablet.key("5927")
    assert tablet.trouble().startswith("This is not the PIN.")
    tablet.key("4081")
    assert drive.all(Entry)[0].text == "Sanderling"


def test_a_touch_that_comes_too_late_locks_and_does_nothing_else(drive: Driver, tmp_path: Path) -> None:
    """The app looks once a second; a hand may be quicker."""
    tablet = Tablet(drive, tmp_path)
    tablet.enter()
    new = tablet.big("New boat")
    tablet.clock.pass_minutes(6)
    drive.tap_at(*new.to_window(*new.center))
    drive.settle()
    assert tablet.shell.presence.locked
    assert not tablet.seen("Name of the boat")


def test_another_person_comes_in_by_their_own_pin(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="tape-over")
    tablet.enter(boat="Dunlin")
    tablet.leave(6)
    drive.tap_text("Somebody else")
    tablet.enter("joel", "Dunlin")
    assert tablet.shell.person == "joel"


def test_the_emergency_cards_are_read_under_the_lock_too(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path)
    tablet.enter()
    tablet.leave(6)
    drive.tap(next(w for w in drive.widgets() if getattr(w, "icon", "") == "alert" and hasattr(w, "on_act")))
    drive.settle()
    assert tablet.seen("Local emergency plans come first.") and not tablet.seen("PIN of Ana Ruiz")
    drive.tap(next(w for w in drive.widgets() if getattr(w, "icon", "") == "back" and hasattr(w, "on_act")))
    drive.settle()
    assert tablet.seen("PIN of Ana Ruiz")


def test_a_sheet_that_was_open_is_gone_when_the_tablet_locks(drive: Driver, tmp_path: Path) -> None:
    tablet = Tablet(drive, tmp_path, until="gate-fire-watch")
    tablet.enter(boat="Dunlin")
    drive.tap_text("Joel Baptiste")
    tablet.leave(6)
    assert tablet.seen("PIN of Ana Ruiz") and not tablet.seen("PIN of Joel Baptiste")


def lit(drive: Driver, folder: Path) -> Tablet:
    tablet = Tablet(drive, folder, until="weld-hem")
    tablet.enter(boat="Dunlin")
    drive.hold(tablet.big("Light the flame"), 3)
    drive.settle()
    assert tablet.shell.job.state.flame == "weld-hem"
    return tablet


def test_a_lit_flame_stays_in_sight_under_the_lock_and_can_be_put_out(drive: Driver, tmp_path: Path) -> None:
    tablet = lit(drive, tmp_path)
    tablet.leave(6)
    assert tablet.shell.presence.locked
    assert tablet.seen("Flame lit") and not tablet.seen("Locked")
    drive.tap_text("Flame out, tool closed")
    drive.settle()
    assert tablet.events()[-1] == ("flame_out", None)  # done, and nobody is called identified
    assert tablet.seen("The tablet was left and has locked itself.")


def test_a_loss_can_be_said_under_the_lock(drive: Driver, tmp_path: Path) -> None:
    tablet = lit(drive, tmp_path)
    tablet.leave(6)
    drive.tap_text("Something is lost")
    drive.tap_text("The fire watch left")
    drive.settle()
    assert [kind for kind, _ in tablet.events()[-2:]] == ["withdrawn", "tripped"]
    drive.tap_text("The flame is out, the tool is closed")
    drive.settle()
    assert tablet.events()[-1] == ("flame_out", None)
    drive.hold(tablet.big("Reset"), 2)
    drive.settle()
    assert tablet.events()[-1] == ("flame_out", None)  # the reset waits for a PIN
    tablet.key("4081")
    drive.hold(tablet.big("Reset"), 2)
    drive.settle()
    assert tablet.events()[-1] == ("trip_reset", {"ana": "pin"})


def test_nothing_but_out_and_loss_is_taken_under_the_lock(drive: Driver, tmp_path: Path) -> None:
    tablet = lit(drive, tmp_path)
    tablet.leave(6)
    before = len(tablet.events())
    for action in (act.Observe("ana", "wind", {"how": "meter", "mean": 1, "gust": 1}), act.AskStop("ana", "rain"),
                   act.Sign("ana", "x", STROKES), act.Pause("ana", "")):
        assert tablet.shell.send(action) is False
        drive.settle()
        assert tablet.seen("The tablet is locked")
    assert len(tablet.events()) == before


def test_from_the_sheet_that_asks_for_the_pin_the_flame_is_put_out(drive: Driver, tmp_path: Path) -> None:
    tablet = lit(drive, tmp_path)
    tablet.leave(6)
    tablet.shell.send(act.AskStop("ana", "rain"))
    drive.settle()
    drive.tap(tablet.big("Flame out, tool closed"))
    drive.settle()
    assert tablet.events()[-1] == ("flame_out", None)


def test_a_flame_is_reached_without_a_pin_after_the_tablet_was_killed(tmp_path: Path) -> None:
    with Driver((1280, 800)) as drive:
        tablet = lit(drive, tmp_path)
    tablet.clock.restart("run-2")
    with Driver((800, 1280)) as drive:
        tablet.drive, tablet.desk = drive, tablet.open()
        tablet.app = drive.begin(CoachApp(tablet.desk))
        drive.tap_text("A flame may burn at Dunlin")
        drive.pass_time(2)
        drive.settle()
        assert tablet.seen("Take the flame off the film and let go of the trigger.")
        drive.tap_text("The flame is out, the tool is closed")
        drive.settle()
        assert tablet.events()[-2:] == [("tripped", None), ("flame_out", None)]
        drive.hold(tablet.big("Reset"), 2)
        drive.settle()
        assert tablet.seen("The tablet is locked")
        assert tablet.events()[-1] == ("flame_out", None)


def test_without_pins_nothing_locks(drive: Driver, tmp_path: Path) -> None:
    from coach.yard.policy_file import demo_policy

    clock = HandClock(START)
    app = drive.begin(CoachApp(Desk.open(tmp_path, clock, lambda procedure: True, demo_policy())))
    drive.tap_text("Ana Ruiz")
    clock.pass_minutes(90)
    drive.pass_time(2)
    assert "No boat yet." in drive.texts() and app.shell.person == "ana"  # type: ignore[attr-defined]
