"""The review in the language xx of the tests: nothing on it is English, and nothing is cut though longer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from coach import language
from coach.core.floors import LIMITS
from coach.practice.worker import Worker
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.rows import ListRow
from coach.yard.desk import Desk
from tests.helpers.yard_jobs import Yard
from tests.language.pseudo import escaped, write_pseudo
from tests.tablet.driver import Driver
from tests.tablet.measure import faults
from tests.tablet.screens import speaking_pseudo
from tests.tablet.test_review import open_review, tablet

SIZES = ((1280, 800), (800, 1280))
# Words of their own: units as they are printed on tapes and labels, months as CLDR has them.
UNITS = ("mph", "LEL", "min", "BTU", "lbf", "psf", "Nov")


@pytest.fixture(scope="module")
def speaking(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    folder = tmp_path_factory.mktemp("locale")
    write_pseudo(folder)
    with speaking_pseudo(folder):
        yield


def allowed(desk: Desk) -> tuple[str, ...]:
    """Texts that no language translates: names, the names of languages, citations, units."""
    people = [person.name for person in desk.policy.people.values()]
    sources = [desk.policy.source(id) for id in LIMITS]
    return (*people, *sources, *language.LANGUAGES.values(), *UNITS, "Dunlin", "power-boat-trailer", desk.policy.yard, str(desk.folder))


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
