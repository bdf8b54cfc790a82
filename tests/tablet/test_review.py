"""The supervisor's review by touch: boats by state with what needs a look, filters, one boat's review, the season."""

from __future__ import annotations

import shutil
from pathlib import Path

from kivy.uix.image import Image

from coach.core import actions as act
from coach.core.events import Event
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.screens.ended import story_page
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import ChoiceTile
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.rows import ListRow
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy
from tests.helpers.yard_jobs import Yard
from tests.tablet.driver import Driver, png

Jobs = tuple[Yard, dict[str, Worker]]
LANDSCAPE = (1280, 800)


def tablet(jobs: Jobs, folder: Path) -> Desk:
    """A tablet with the two weeks of its own."""
    shutil.copytree(jobs[0].desk.folder, folder, dirs_exist_ok=True)
    return Desk.open(folder, jobs[0].clock, lambda procedure: True, demo_policy())


def open_review(drive: Driver, desk: Desk, code: str = "en") -> CoachApp:
    """From the crew page to the review, as the supervisor."""
    app = drive.begin(CoachApp(desk, code))
    assert isinstance(app, CoachApp)
    drive.tap_text("Marta Oduya")
    drive.settle()
    drive.tap(drive.all(BigButton)[-1])
    drive.settle()
    return app


def boats(drive: Driver) -> list[str]:
    return [row.words for row in drive.all(ListRow)]


def chip(drive: Driver, words: str) -> BigButton:
    return drive.one(BigButton, lambda each: each.words == words)


def test_the_supervisor_sees_what_needs_a_look_and_filters_by_touch(season_jobs: Jobs, tmp_path: Path) -> None:
    with Driver(LANDSCAPE) as drive:
        open_review(drive, tablet(season_jobs, tmp_path))
        assert "7 boats, 3 to look at first" in drive.texts()
        assert boats(drive) == ["Scaup", "Gadwall", "Teal", "Knot", "Wigeon", "Smew", "Dunlin"]
        teal = drive.one(ListRow, lambda each: each.words == "Teal")
        assert teal.note.splitlines()[1].startswith("Trip while the flame was lit (1) · Left out (1) · ")
        assert {row.words for row in drive.all(ListRow, lambda each: each.icon == "alert")} == {
            "Gadwall",
            "Teal",
            "Knot",
        }
        for words, choice, due in (
            ("Crew", "Joel Baptiste", ["Scaup", "Knot"]),
            ("Week", "2026-W46", ["Scaup"]),
            ("Crew", "All", ["Scaup", "Gadwall", "Smew"]),
        ):
            drive.tap(chip(drive, words))
            drive.settle()
            drive.tap(drive.one(ChoiceTile, lambda each, choice=choice: each.words == choice))
            drive.settle()
            assert boats(drive) == due
            assert chip(drive, words).note == choice
        drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
        assert "Boats" in drive.texts()


def test_a_touch_leads_to_the_review_of_a_job_and_back_with_the_filter(season_jobs: Jobs, tmp_path: Path) -> None:
    desk = tablet(season_jobs, tmp_path)
    with Driver(LANDSCAPE) as drive:
        app = open_review(drive, desk)
        drive.tap(chip(drive, "Crew"))
        drive.tap(drive.one(ChoiceTile, lambda each: each.words == "Joel Baptiste"))
        drive.settle()
        drive.tap(drive.one(ListRow, lambda each: each.words == "Knot"))
        drive.settle()
        assert any(text.startswith("Ticked sooner than it can be done (") for text in drive.texts())
        assert chip(drive, "Send back") and chip(drive, "Accept")  # test_app.py touches them
        app.shell.send(act.SendBack("marta", (("tape-seams", "Do it, do not tick it."),)))
        drive.settle()
        assert season_jobs[1]["Knot"].job.state.status == "closed"  # the yard's own copy is not touched
        knot = next(row for row in desk.board() if row.boat == "Knot")
        assert (knot.state, desk.ledger.events(knot.job)[-1].kind) == ("sent_back", "step_reopened")
        while not drive.all(BigButton, lambda each: each.words == "Crew"):
            drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
            drive.settle()
        assert boats(drive) == ["Scaup", "Knot"]
        assert "Sent back (1)" in drive.texts()
        assert app.shell.job is None


def test_a_boat_that_is_worked_on_shows_why_it_stands_out_first(season_jobs: Jobs, tmp_path: Path) -> None:
    with Driver(LANDSCAPE) as drive:
        app = open_review(drive, tablet(season_jobs, tmp_path))
        drive.tap(drive.one(ListRow, lambda each: each.words == "Smew"))
        drive.settle()
        assert "Nothing out of the ordinary." in drive.texts()
        drive.tap_text("Open the job")
        drive.settle()
        assert app.shell.job is not None and app.shell.job.state.boat == "Smew"


def test_a_technician_has_no_review(season_jobs: Jobs, tmp_path: Path) -> None:
    with Driver(LANDSCAPE) as drive:
        drive.begin(CoachApp(tablet(season_jobs, tmp_path)))
        drive.tap_text("Ana Ruiz")
        drive.settle()
        assert not drive.all(BigButton, lambda each: each.words == "Review")


def test_the_story_shows_the_photos_that_are_here_and_says_which_are_not(tmp_path: Path) -> None:
    yard = Yard(tmp_path)
    job = yard.begin("Eider").job
    first, second = [
        (step.id, item.id, item.ask)
        for step in job.rules.procedure.steps
        for item in step.evidence
        if item.kind == "photo"
    ][:2]
    kept = yard.desk.photos.keep(png(2, 2, [bytes(6), bytes(6)]))
    for (step, item, _ask), hash in ((first, kept), (second, "ab" * 32)):
        yard.desk.ledger.append(
            job.id, [Event("step_done", yard.clock(), "ana", {"step": step, "evidence": {item: hash}})]
        )
    with Driver(LANDSCAPE) as drive:
        app = open_review(drive, yard.desk)
        app.shell.job = yard.desk.job(job.id)
        app.shell.open(story_page)
        drive.settle()
        (tile,) = drive.all(PhotoTile)
        assert (tile.source, tile.words.startswith(first[2])) == (str(yard.desk.photos.path(kept)), True)
        (lost,) = drive.all(CautionPanel)
        assert (lost.words, lost.why.startswith(second[2])) == ("This picture is not on this device.", True)
        on_page = tile.height
        drive.tap(tile)
        drive.settle()
        (large,) = drive.all(Image)
        assert large.source == tile.source and large.height > on_page
        drive.tap(drive.one(IconButton, lambda each: each.icon == "back"))
        drive.settle()
        yard.desk.photos.path(kept).write_bytes(b"another picture")
        app.shell.refresh()
        assert not drive.all(PhotoTile)
        assert len(drive.all(CautionPanel)) == 2
