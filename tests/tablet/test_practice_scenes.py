"""Every page of practice, in the longer language of the tests and both ways round: marked, whole, apart, large, legible.

One test a page: it is shown in landscape, then the tablet is turned and the page built anew.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from coach import language
from coach.demo import START
from coach.practice.clock import HandClock
from coach.practice.crew import CREW
from coach.tablet.practice_scenes import PRACTICE_SCENES, PracticeScene
from coach.tablet.routes import to
from coach.tablet.screens import every  # noqa: F401  registers the pages
from coach.tablet.shell import Shell
from coach.tablet.widgets.body import ScrollBody
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy
from tests.language.pseudo import escaped, pseudo, write_pseudo
from tests.tablet.driver import Driver, Window
from tests.tablet.measure import cut_texts, overlapping_texts, picture_faults, small_targets, weak_texts
from tests.tablet.screens import speaking_pseudo

MARK = pseudo("PRACTICE").strip("«»").split()[0]
# Texts of their own: names, units as they stand on tools, days and times as CLDR has them.
OWN = ("Dunlin", "Teal", "Pell Harbour Boatyard", "mph", "LEL", "minutes", "min", "Jan", "Apr", "Jun", "Sep", "Oct", "Nov", "Dec")


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return Desk.open(tmp_path_factory.mktemp("yard"), HandClock(START), lambda procedure: True, demo_policy())


@pytest.fixture(scope="module")
def speaking(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    folder = tmp_path_factory.mktemp("locale")
    write_pseudo(folder)
    with speaking_pseudo(folder):
        yield


@pytest.mark.parametrize("scene", PRACTICE_SCENES, ids=lambda scene: scene.name)
def test_a_page_of_practice_is_marked_translated_and_not_cut(scene: PracticeScene, desk: Desk, speaking: None) -> None:
    with Driver((1280, 800)) as drive:
        shell = Shell(desk, language.PSEUDO)
        shell.presence.enter(scene.by, desk.now())
        shell.open(to("board_page"))
        drive.show(shell.root)
        scene.open(shell)
        drive.settle()
        found = faults(drive, desk, scene.marked)
        Window.size = (800, 1280)
        drive.settle()
        assert found + faults(drive, desk, scene.marked) == []


def faults(drive: Driver, desk: Desk, marked: bool) -> list[str]:
    own = (*OWN, *(person.name for person in (*desk.policy.people.values(), *CREW)))
    texts = drive.texts()
    found = [f"{word!r} in {text!r}" for text in texts for word in escaped(text, own)]
    if marked and not any(MARK in text for text in texts):
        found.append(f"nothing says practice: {texts}")
    if any("25 cm" in text for text in texts):  # at the flame: gas and wind are read, never scrolled to
        found += [f"{body} scrolls" for body in drive.all(ScrollBody) if body.more]
    return [
        *found, *cut_texts(drive), *overlapping_texts(drive), *small_targets(drive), *weak_texts(drive),
        *picture_faults(drive),
    ]  # fmt: skip


def test_no_page_of_practice_writes_into_the_ledger(desk: Desk) -> None:
    """All of them were shown at this desk; its ledger has no job, and its book of practice has the runs."""
    for scene in PRACTICE_SCENES[:2]:
        shell = Shell(desk)
        shell.presence.enter(scene.by, desk.now())
        shell.open(to("board_page"))
        scene.open(shell)
    assert desk.ledger.jobs() == []
    assert len(desk.book.runs()) >= 10
