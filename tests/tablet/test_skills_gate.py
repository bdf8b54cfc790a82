"""The gate of a real job reads the crew's record: on the tablet and at the terminal, refused before the drills, let by after."""

from __future__ import annotations

from pathlib import Path

from coach.core.checks import safeguard_status
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.widgets.people import PersonTile
from coach.terminal import Walk
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from coach.yard.skillbook import SkillBook
from tests.tablet.driver import Driver

ASKS = "roles:\n  technician: [gate, weld]\n"
NOT_YET = "yard does not let Ana Ruiz hold the tool today"


def at_the_gate(folder: Path) -> tuple[Desk, Job, HandClock]:
    """A yard that asks for skills, and a job of Ana's before the gate's first question. She has shown nothing yet."""
    clock = HandClock(START)
    (folder / "skills.yaml").write_text(ASKS, "utf-8")
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    for step in Worker(job, clock, NOTES).steps():
        if step.id == "gate-operator":
            break
    return desk, job, clock


def pass_drills(desk: Desk) -> None:
    """Two drills are passed today, which show both skills."""
    SkillBook(desk.folder / "practice.sqlite").add_run(
        "ana", "gust-at-the-sides", desk.today(), True, 96, ("gate", "weld"), {}
    )
    desk.forget_record()


def holds(desk: Desk, job: Job) -> bool:
    """Whether 'operator allowed' holds in the job as it stands in the ledger."""
    again = desk.job(job.id)
    return safeguard_status(again.rules, again.state, "operator", desk.now()).holds


def test_on_the_tablet(tmp_path: Path) -> None:
    desk, job, _clock = at_the_gate(tmp_path)
    with Driver((1280, 800)) as drive:
        drive.begin(CoachApp(desk))
        drive.tap_text("Ana Ruiz")
        drive.tap_text("Dunlin")
        drive.settle()
        assert drive.all(PersonTile) == []  # nobody whom the gate would take is offered, and the page says why
        assert any(NOT_YET in text for text in drive.texts()), drive.texts()
        drive.tap_text("This is what I see")
        drive.settle()
        assert not holds(desk, job)
        pass_drills(desk)
    with Driver((1280, 800)) as drive:
        drive.begin(CoachApp(desk))
        drive.tap_text("Ana Ruiz")
        drive.tap_text("Dunlin")
        drive.settle()
        assert [tile.words for tile in drive.all(PersonTile)] == ["Ana Ruiz"]  # Joel is a technician too, of another job
        drive.tap_text("Ana Ruiz")
        drive.tap_text("This is what I see")
        drive.settle()
        assert not any(NOT_YET in text for text in drive.texts())
    assert holds(desk, job)


def test_at_the_terminal(tmp_path: Path) -> None:
    desk, job, clock = at_the_gate(tmp_path)
    told = walked(desk, job, clock)
    assert any(NOT_YET in line for line in told), told
    assert not holds(desk, job)
    pass_drills(desk)
    assert not any(NOT_YET in line for line in walked(desk, job, clock))
    assert holds(desk, job)


def walked(desk: Desk, job: Job, clock: HandClock) -> list[str]:
    """What the walk says to somebody who names Ana as the one who holds the tool, and leaves at the next question."""
    said: list[str] = []
    named: list[str] = []

    def ask(question: str) -> str:
        clock.pass_seconds(20)
        if "Who holds the tool?" in question and not named:
            named.append(question)
            return "ana"
        return "quit"

    Walk(desk.job(job.id), clock, ask, said.append).run()
    assert named, said
    return said
