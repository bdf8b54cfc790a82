"""Practice by touch: a drill under its banner, the finger as the flame, the judgement, the questions, the crew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil
from pathlib import Path

import pytest

from coach.core import actions as act
from coach.core.policy import Person
from coach.core.problems import StoreError
from coach.demo import START
from coach.practice.clock import HandClock
from coach.practice.film import COLD, COLUMNS, HOLED, OVERHEATED, SHRUNK
from coach.practice.film_work import PARTS
from coach.practice.run import Run
from coach.tablet.alarm import Alarm
from coach.tablet.app import CoachApp
from coach.tablet.flash import Flash
from coach.tablet.screens.practice import drill_page, practice_page, shipped_drills
from coach.tablet.screens.practice_flame import FAR, NEAR, FilmView
from coach.tablet.screens.practice_run import PracticeShell
from coach.tablet.theme import theme
from coach.tablet.widgets.banner import Banner
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.choices import ChoiceTiles
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.text import Paragraph
from coach.yard.desk import Desk
from coach.yard.policy_file import demo_policy
from tests.tablet.driver import Driver, EventLoop, Touch  # first: it sets the toolkit up
from tests.tablet.test_alarm import Ears

GUST = "A gust while the sides are shrunk"
SIDES = "shrink-sides"
PACE = 0.7  # s on each section, 0.24 m long: a slow, steady hand


class Yard:
    """A tablet without a boat on its board, somebody at it."""

    def __init__(self, drive: Driver, folder: Path, person: str = "Ana Ruiz", by_touch: bool = False) -> None:
        """by_touch: from the first page on by touch; else the list of drills is opened at once."""
        self.drive = drive
        self.desk = Desk.open(folder, HandClock(START), lambda procedure: True, demo_policy())
        self.app = drive.begin(CoachApp(self.desk))
        if by_touch:
            drive.tap_text(person)
            drive.tap(drive.one(IconButton, lambda each: each.words == person))
            drive.tap_text("Practice")
        else:
            self.app.shell.presence.enter(person.split()[0].lower(), self.desk.now())
            self.app.shell.open(practice_page)
        drive.settle()

    def begin(self, title: str, by_touch: bool = False) -> Run:
        """From the list of drills into one."""
        if by_touch:
            self.drive.tap_text(title)
        else:
            drill = next(drill for drill in shipped_drills() if drill.title == title)
            self.app.shell.open(lambda shell: drill_page(shell, drill))
            self.drive.frames(2)
        self.drive.tap_text("Begin the drill")
        self.drive.settle()
        return self.inner.run

    @property
    def inner(self) -> PracticeShell:
        """The shell of the drill."""
        shell = self.app.shell.page.shell
        assert isinstance(shell, PracticeShell)
        return shell

    def light(self) -> FilmView:
        """Show every safeguard as it is, light at the sides, and see the page of the flame."""
        run = self.inner.run
        for id in run.rules.safeguards:
            if id != "operator":
                run.look(id)
            run.pass_seconds(15)
            assert run.ask(act.Observe("ana", id, run.world.safeguard(id))) is None
        assert self.inner.send(act.Light("ana", SIDES))
        self.drive.settle()
        return self.drive.one(FilmView)

    def icon(self, words: str) -> IconButton:
        """The sign that is called so; the one in front."""
        return self.drive.all(IconButton, lambda each: each.words == words)[-1]


@pytest.fixture
def drive() -> Iterator[Driver]:
    with Driver((1280, 800)) as driver:
        yield driver


def banner(drive: Driver) -> str:
    """The banner's own line; the test fails without one."""
    return str(drive.one(Banner).title)


def rest_finger(drive: Driver, view: FilmView, section: int, seconds: float) -> None:
    """A finger that stays on a section for so long."""
    touch = Touch(*view.to_window(*view.pixel_of(view.shape.centre(section))))
    EventLoop.post_dispatch_input("begin", touch)
    drive.pass_time(seconds, 0.05)
    EventLoop.post_dispatch_input("end", touch)
    drive.frames(2)


def test_every_page_of_a_drill_stands_under_the_banner(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    yard.begin(GUST)
    assert banner(drive) == "PRACTICE · 09:30 at the boat"
    for words in ("Numbers", "Menu", "Emergency"):
        drive.tap(yard.icon(words))
        drive.settle()
        assert banner(drive).startswith("PRACTICE")
        yard.inner.back()
    drive.tap_text("At the boat")
    assert banner(drive).startswith("PRACTICE")
    assert yard.desk.board() == []


def test_at_the_boat_one_looks_and_time_passes(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    drive.tap_text("At the boat")
    drive.tap_text("Look at: Wind under the limit")
    drive.settle()
    assert "PRACTICE · You find" in drive.texts()
    assert "wind" in run.seen
    drive.tap_text("Go on")
    before = run.second
    drive.tap_text("Wait 5 minutes")
    assert run.second == before + 300
    assert banner(drive).startswith("PRACTICE · 09:3")


def test_the_real_gate_answers_in_practice(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    assert "No flame yet. 11 to clear." in drive.texts()
    assert drive.one(BigButton, lambda each: each.words == "Light the flame").disabled
    assert not yard.inner.send(act.Light("ana", SIDES))
    drive.settle()
    assert "PRACTICE · Not yet" in drive.texts()
    assert [event.kind for event in run.job.events][-1] == "heat_refused"


def test_a_finger_shrinks_the_film_and_burns_a_hole_where_it_stays(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    view = yard.light()
    film, sections = run.world.film, PARTS[SIDES].sections
    one, other = sections[len(sections) // 2], sections[len(sections) // 2 + 6]
    assert (film.state(one), film.state(other)) == (COLD, COLD)
    cold = drive.pixels()
    rest_finger(drive, view, one, 0.8)
    assert film.state(one) == SHRUNK
    rest_finger(drive, view, other, 3.0)
    assert film.state(other) in (HOLED, "burning")
    assert drive.pixels() != cold


def test_a_finger_that_is_led_along_the_film_leaves_it_tight_behind_itself(drive: Driver, tmp_path: Path) -> None:
    """One stroke along the start of the lowest row at a good pace: what it passed is tight, none of it burnt."""
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    view = yard.light()
    film, row = (
        run.world.film,
        [s for s in PARTS[SIDES].sections if s // COLUMNS == PARTS[SIDES].sections[0] // COLUMNS],
    )
    places = [view.to_window(*view.pixel_of(view.shape.centre(section))) for section in row]
    touch = Touch(*places[0])
    EventLoop.post_dispatch_input("begin", touch)
    for place in places:
        touch.move(Touch.share(*place))
        EventLoop.post_dispatch_input("update", touch)
        drive.pass_time(PACE, 0.1)
    EventLoop.post_dispatch_input("end", touch)
    drive.pass_time(2, 0.5)
    states = [film.state(section) for section in row]
    assert states.count(SHRUNK) > 0.8 * len(row)
    assert HOLED not in states
    cold = sum(film.state(section) == COLD for section in PARTS[SIDES].sections)
    shown = next(text for text in drive.texts() if text.startswith("Cold places:"))
    assert shown == f"Cold places: {cold}. Overheated: {states.count(OVERHEATED)}. Holes: 0."


def test_the_film_is_drawn_so_high_that_a_finger_finds_its_row(drive: Driver, tmp_path: Path) -> None:
    """A row is at least 4 mm high, and a pixel and its place are the same way back."""
    yard = Yard(drive, tmp_path)
    yard.begin(GUST)
    view = yard.light()
    middle = COLUMNS // 2
    low, high = view.pixel_of(view.shape.at(middle, 0))[1], view.pixel_of(view.shape.at(middle, 1))[1]
    assert (high - low) / theme.mm > 4
    for section in (0, middle, 3 * COLUMNS + 5):
        place = view.shape.centre(section)
        assert view.place_of(view.pixel_of(place)) == pytest.approx(place)


def test_nothing_warms_beside_the_film_or_without_a_flame(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    view = yard.light()
    states = run.world.film.states()
    touch = Touch(*view.to_window(view.center_x, view.y + 4))
    EventLoop.post_dispatch_input("begin", touch)
    drive.pass_time(1.0, 0.05)
    EventLoop.post_dispatch_input("end", touch)
    assert run.world.film.states() == states
    run.ask(act.FlameOut("ana"))
    rest_finger(drive, view, PARTS[SIDES].sections[0], 2.0)
    assert run.world.film.states() == states


def test_the_flame_is_held_closer_and_further_within_reach(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    yard.begin(GUST)
    view = yard.light()
    for words, end in (("Closer", NEAR), ("Further", FAR)):
        for _time in range(12):
            drive.tap_text(words)
        assert view.distance == end
    assert any(text.startswith("Flame at 60 cm.") for text in drive.texts())


def test_a_gust_comes_into_the_banner_while_the_finger_stays(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    view = yard.light()
    place = view.to_window(*view.pixel_of(view.shape.centre(PARTS[SIDES].sections[3])))
    touch = Touch(*place)
    EventLoop.post_dispatch_input("begin", touch)
    drive.pass_time(50, 0.5)
    assert [notice.event for notice in run.notices][:1] == ["gust"]
    assert drive.one(Banner).words.startswith("The loose top of the film lifts")
    assert drive.one(FilmView) is view
    assert view.finger is not None
    EventLoop.post_dispatch_input("end", touch)
    assert view.finger is None


def test_something_is_lost_puts_the_flame_out_on_the_real_page(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    yard.light()
    drive.tap_text("Something is lost")
    drive.tap_text("The wind got up")
    drive.settle()
    assert run.job.state.trip is not None
    assert drive.all(FilmView) == []
    drive.tap_text("The flame is out, the tool is closed")
    drive.settle()
    assert not run.world.burning
    assert banner(drive).startswith("PRACTICE")


def test_a_trip_in_a_drill_sounds_flashes_and_speaks_as_in_real_work_and_says_practice_first(
    drive: Driver, tmp_path: Path
) -> None:
    yard = Yard(drive, tmp_path)
    outer = yard.app.shell
    ears, flash = Ears(), Flash(outer.root)
    outer.alarm = Alarm(ears, flash, ears, lambda: outer.wishes.voice)
    run = yard.begin(GUST)
    yard.light()
    drive.pass_time(2)
    assert not ears.on
    ears.said.clear()
    drive.tap_text("Something is lost")
    drive.tap_text("The wind got up")
    assert ears.on and flash.bright
    assert [words.split(".")[:2] for words in ears.said] == [
        ["Practice", " Take the flame off the film and let go of the trigger"]
    ]
    drive.pass_time(3)
    assert ears.on  # the app's own tick does not end what the drill began
    outer.open(practice_page)  # as a lock would lie over it
    drive.pass_time(2)
    assert not ears.on and not flash.bright  # a drill that is not on the screen is not heard
    outer.back()
    drive.pass_time(2)
    assert ears.on
    yard.inner.wishes.turn("voice")
    assert not outer.wishes.voice
    ears.said.clear()
    drive.pass_time(20)
    assert ears.on and ears.said == []  # the switch silences the voice and nothing else
    yard.inner.leave()
    drive.settle()
    assert not ears.on and not flash.bright
    assert run.over


def test_a_drill_that_is_left_is_judged_and_kept_in_its_own_book(drive: Driver, tmp_path: Path) -> None:
    """By touch from the first page of the tablet on."""
    yard = Yard(drive, tmp_path, by_touch=True)
    yard.begin(GUST, by_touch=True)
    yard.light()
    drive.tap(yard.icon("Leave the drill"))
    drive.tap_text("Leave")
    drive.settle()
    texts = drive.texts()
    assert "Not passed yet. 35 of 100." in texts
    assert {"PRACTICE", GUST} <= set(texts)
    assert drive.showing("Left with the flame lit.")
    assert drive.all(Banner) == []
    assert [(run.drill, run.passed) for run in yard.desk.book.runs("ana")] == [("gust-at-the-sides", False)]
    assert yard.desk.board() == []
    assert yard.desk.ledger.jobs() == []
    drive.tap_text("Go on")
    drive.settle()
    assert drive.showing("best 35")


def test_a_drill_is_left_only_after_asking(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    run = yard.begin(GUST)
    drive.tap(yard.icon("Leave the drill"))
    drive.tap_text("Go on")
    assert run.over == ""
    assert yard.desk.book.runs("ana") == ()


def test_practice_has_no_ledger(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    yard.begin(GUST)
    with pytest.raises(StoreError) as caught:
        yard.inner.desk.board()
    assert "D340" in str(caught.value)


def test_a_supervisor_reviews_on_the_real_pages(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path, "Marta Oduya")
    run = yard.begin("What the hem says")
    assert drive.showing("Signed. It waits for the supervisor's review.")
    assert drive.showing("Accept")
    drive.tap_text("At the boat")
    drive.tap_text("Walk round with a hand on the hem and pull where it looks narrow")
    drive.settle()
    assert any("hardly 1 in wide" in text for text in drive.texts())
    drive.tap_text("Go on")
    yard.inner.back()
    run.pass_seconds(20)
    assert yard.inner.send(act.SendBack("marta", (("weld-hem", "The hem opens at the starboard bow; weld it again."),)))
    drive.settle()
    kept = yard.desk.book.runs("marta")
    assert [(each.drill, each.passed) for each in kept] == [("thin-weld", True)]
    assert "Passed. 100 of 100." in drive.texts()


def test_a_question_is_answered_once_a_day_and_comes_back(drive: Driver, tmp_path: Path) -> None:
    yard = Yard(drive, tmp_path)
    drive.tap_text("Questions")
    drive.settle()
    tiles = drive.one(ChoiceTiles)
    tiles.dispatch("on_choose", "0")  # the right one; the tiles stand in another order
    drive.tap_text("I am sure")
    drive.settle()
    assert "Right." in drive.texts()
    cards = yard.desk.book.cards("ana")
    assert [(card.repetition, card.interval) for card in cards.values()] == [(1, 1)]
    drive.tap_text("Go on")
    drive.settle()
    drive.one(ChoiceTiles).dispatch("on_choose", "1")
    drive.tap_text("I think so")
    drive.settle()
    assert "Not so. This is right:" in drive.texts()
    assert sorted(card.repetition for card in yard.desk.book.cards("ana").values()) == [0, 1]


def test_the_crew_by_skill_is_the_supervisors(drive: Driver, tmp_path: Path) -> None:
    Yard(drive, tmp_path, "Marta Oduya")
    drive.tap_text("Crew")
    drive.settle()
    assert drive.showing(
        "The yard asks for no skills: the policy alone says who may hold the tool. Write skills.yaml to ask."
    )
    assert drive.showing("not cleared by the yard")
    drive.tap_text("Ana Ruiz")
    drive.settle()
    assert drive.one(MarkedLine, lambda each: each.words == "Weld").mark == "–"


def test_a_large_crew_stands_in_tables_that_have_room_for_the_skills(tmp_path: Path) -> None:
    with Driver((800, 1280)) as drive:
        yard = Yard(drive, tmp_path, "Marta Oduya")
        policy = yard.desk.policy
        more = {f"hand{place}": Person(f"hand{place}", f"Hand {chr(65 + place)}", frozenset({"technician"})) for place in range(10)}
        yard.desk.policy = replace(policy, people={**policy.people, **more})
        drive.tap_text("Crew")
        drive.settle()
        heads = drive.all(Paragraph, lambda each: each.words == "Perimeter band")
        assert len(heads) == ceil(len(yard.desk.policy.people) / 6) > 1
        assert all(head.width >= 40 * theme.mm for head in heads)
        for initials in ("MO", *(f"H{chr(65 + place)}" for place in range(10))):
            assert drive.all(Paragraph, lambda each, wanted=initials: each.words == wanted)


def test_a_technician_sees_no_crew(drive: Driver, tmp_path: Path) -> None:
    Yard(drive, tmp_path)
    assert drive.all(BigButton, lambda each: each.words == "Crew") == []


def test_in_portrait_nothing_is_squeezed(tmp_path: Path) -> None:
    with Driver((800, 1280)) as drive:
        yard = Yard(drive, tmp_path)
        yard.begin(GUST)
        view = yard.light()
        drive.pass_time(50, 0.5)
        shown = drive.one(Banner)
        words = shown.ids.words
        assert words.width > 700
        assert shown.ids.right.top <= words.y
        assert view.width > 700
        assert view.height > 200
