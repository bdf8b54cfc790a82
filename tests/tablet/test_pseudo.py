"""The main pages in the language xx of the tests: nothing on them is English, and nothing is cut though longer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from coach import language, paths
from coach.core import actions as act
from coach.core.floors import LIMITS
from coach.demo import NOTES, START
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.tablet.app import CoachApp
from coach.tablet.tongue import tongue
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.rows import ListRow
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy
from tests.helpers.yard_jobs import Yard
from tests.language.pseudo import escaped, write_pseudo
from tests.tablet.driver import Driver
from tests.tablet.measure import cut_texts, faults, overlapping_texts
from tests.tablet.test_review import open_review, tablet

SIZES = ((1280, 800), (800, 1280))
# Words of their own: units as they are printed on tapes and labels, months as CLDR has them.
UNITS = ("mph", "LEL", "min", "BTU", "lbf", "psf", "Nov")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("locale")
    write_pseudo(made)
    return made


@pytest.fixture
def speaking(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The program speaks xx, as if it were reviewed, and English again afterwards."""
    monkeypatch.setitem(language.REVIEWED, language.PSEUDO, True)
    monkeypatch.setattr(paths, "locale", lambda: folder)
    language.catalogue.cache_clear()
    yield
    tongue.use("en")
    language.catalogue.cache_clear()


def allowed(desk: Desk) -> tuple[str, ...]:
    """Texts that no language translates: names, the names of languages, citations, units."""
    people = [person.name for person in desk.policy.people.values()]
    sources = [desk.policy.source(id) for id in LIMITS]
    return (*people, *sources, *language.LANGUAGES.values(), *UNITS, "Dunlin", "power-boat-trailer", desk.policy.yard, str(desk.folder))


def blocked(desk: Desk, job: Job, worker: Worker) -> None:
    """At the first heat step, with the wind reading too old."""
    _until(worker, "weld-hem")
    worker.clock.pass_minutes(20)


def ready(desk: Desk, job: Job, worker: Worker) -> None:
    _until(worker, "weld-hem")
    worker.prove_all()


def lit(desk: Desk, job: Job, worker: Worker) -> None:
    ready(desk, job, worker)
    worker.must(act.Light("ana", "weld-hem"), "light")


def tripped(desk: Desk, job: Job, worker: Worker) -> None:
    lit(desk, job, worker)
    worker.must(act.Observe("ana", "wind", {"how": "meter", "mean": 4_100, "gust": 8_600}), "observe")


def stopping(desk: Desk, job: Job, worker: Worker) -> None:
    ready(desk, job, worker)
    worker.must(act.AskStop("ana", "«áéí»"), "stop")


def ended(desk: Desk, job: Job, worker: Worker) -> None:
    tripped(desk, job, worker)
    worker.must(act.FlameOut("ana"), "out")
    worker.must(act.Reset("ana"), "reset")
    for _step in worker.steps():
        pass
    worker.sign("I did this work as recorded, and the boat is safe to leave.")


def at(step: str) -> Callable[[Desk, Job, Worker], None]:
    return lambda desk, job, worker: _until(worker, step)


def _until(worker: Worker, step: str) -> None:
    for found in worker.steps():
        if found.id == step:
            return


MOMENTS: dict[str, Callable[[Desk, Job, Worker], None]] = {
    "arrival": at("look-over"), "measure": at("tape-over"), "numbers": at("cut-film"), "operator": at("gate-operator"),
    "extinguisher": at("gate-extinguisher"), "wind": at("gate-wind"), "blocked": blocked, "ready": ready, "lit": lit,
    "tripped": tripped, "stopping": stopping, "ended": ended,
}


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("moment", MOMENTS)
def test_a_page_of_the_job_is_translated_whole_and_not_cut(
    moment: str, size: tuple[int, int], tmp_path: Path, speaking: None
) -> None:
    clock = HandClock(START)
    desk = Desk.open(tmp_path, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    MOMENTS[moment](desk, job, Worker(job, clock, NOTES))
    with Driver(size) as drive:
        drive.begin(CoachApp(desk, language.PSEUDO))
        found = _faults(drive, desk) if moment == "arrival" else []
        drive.tap_text("Ana Ruiz")
        found += _faults(drive, desk) if moment == "arrival" else []
        drive.tap_text("Dunlin")
        drive.settle()
        assert found + _faults(drive, desk) == []


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_the_supervisors_review_is_translated_whole_and_can_be_read_and_touched(
    season_jobs: tuple[Yard, dict[str, Worker]], size: tuple[int, int], tmp_path: Path, speaking: None
) -> None:
    desk = tablet(season_jobs, tmp_path)
    own = (*allowed(desk), "Jul", "Jun", *season_jobs[1], "bow rail", "no light left", "no doors in stock")
    found: list[str] = []
    with Driver(size) as drive:
        app = open_review(drive, desk, language.PSEUDO)

        def look(page: str) -> None:
            drive.settle()
            wrong = [f"{word!r} in {text!r}" for text in drive.texts() for word in escaped(text, own)]
            found.extend(f"{page}: {fault}" for fault in [*wrong, *faults(drive)])
            app.shell.back()
            drive.settle()

        for page, place in (("kind", 2), ("season", -1)):
            drive.tap(drive.all(BigButton)[place])
            look(page)
        for boat in ("Teal", "Scaup"):
            drive.tap(drive.one(ListRow, lambda each, boat=boat: each.words == boat))
            look(boat)
        look("review")
    assert found == []


def _faults(drive: Driver, desk: Desk) -> list[str]:
    own = allowed(desk)
    found = [f"{word!r} in {text!r}" for text in drive.texts() for word in escaped(text, own)]
    return [*found, *cut_texts(drive), *overlapping_texts(drive)]
