"""What practice shows: drills, the site, a judgement, the crew; and the two pages, read by a parser."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser

import pytest

from coach.practice.assess import assess
from coach.practice.assessment import Assessment
from coach.practice.drill_file import list_drills, load_drill
from coach.practice.habits import CAREFUL, HASTY
from coach.practice.questions import Question
from coach.practice.trainee import Trainee
from coach.sheet.crew import crew_page
from coach.sheet.practice import result_page
from coach.view.drawing import words_in
from coach.view.practice import briefing, drill_lines, lasts, minute_text, site_view, wind_words
from coach.view.practice_crew import WrongLine, crew_plot, crew_view, initials, missed_lines, pairs
from coach.view.practice_result import RunLine, result_view, run_lines, time_line
from coach.yard.policy_file import demo_policy
from coach.yard.skillbook import RunRow
from coach.yard.skills import SKILLS, USUAL_NEEDS, Needs, Shown
from tests.practice.by_hand import Hand, prepared

TODAY = date(2026, 11, 9)
GUST = "gust-at-the-sides"


class Page(HTMLParser):
    """A page as a parser sees it: open tags that fit, texts, and what would be loaded."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.texts: list[str] = []
        self.loads: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.loads += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag not in ("meta", "br", "polyline", "polygon", "rect"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("polyline", "polygon", "rect"):
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.texts.append(data.strip())


def judged(habits: object = HASTY) -> Assessment:
    run = prepared(GUST).run("ana")
    Trainee(run, habits).work()  # type: ignore[arg-type]
    return assess(run)


def test_the_drills_with_what_somebody_made_of_them() -> None:
    rows = [RunRow(n, "ana", GUST, TODAY, score > 80, score, ("gate",), {}) for n, score in enumerate((40, 92))]
    line = next(line for line in drill_lines(list_drills(), rows) if line.id == GUST)
    assert (line.title, line.kind, line.skills) == (
        "A gust while the sides are shrunk",
        "In the flame",
        "Shrink, Safety gate",
    )
    assert (line.best, line.passed, line.runs) == (92, True, 2)
    assert drill_lines(list_drills(), ())[0].best == -1


def test_the_briefing_says_when_a_procedure_has_no_proof() -> None:
    drill = load_drill(GUST)
    assert briefing(drill, True).unproven == ""
    assert briefing(drill, False).unproven == (
        "This procedure has no proof yet. It can be practised; no real job can start on it."
    )
    assert briefing(drill, True).when == "09:30"


def test_the_site_names_what_may_be_looked_at_and_not_what_it_will_show() -> None:
    hand = Hand("tape-under-a-pleat")
    view = site_view(hand.run)
    assert [look.words for look in view.looks][:2] == [
        "Look for the second marker from the stern",
        "Look: Tapes in your hand",
    ]
    assert view.deeds[0].words == "Feel under the pleat on the port quarter, and take off what you find"
    text = " ".join([*(look.words for look in view.looks), *(deed.words for deed in view.deeds)])
    assert "One marker hangs" not in text
    assert "That makes two" not in text


def test_the_site_has_clock_wind_and_notices() -> None:
    hand = Hand(GUST).ready().light("shrink-sides").wait(46)
    view = site_view(hand.run)
    assert view.burning
    assert view.fresh == 1
    assert view.notices[0].endswith(
        "The loose top of the film lifts with a crack, and the flame bends flat along the hull."
    )
    assert view.gas == 100
    assert site_view(hand.run, read=1).fresh == 0


def test_small_words() -> None:
    assert [minute_text(second) for second in (0, 59, 754, 3661)] == ["0:00", "0:59", "12:34", "1:01:01"]
    assert [lasts(seconds) for seconds in (20, 60, 125)] == ["20 s", "1 minute", "2 minutes"]
    assert wind_words(0.1) == "Smoke goes straight up."
    assert wind_words(4.0) == "Twigs move, a small flag opens."
    assert wind_words(50) == "Twigs snap."


def test_a_judgement_says_what_why_and_when() -> None:
    view = result_view(judged(), "Ana Ruiz")
    assert (view.verdict, view.passed, view.trainee) == ("Not passed yet", False, "Ana Ruiz")
    first = view.findings[0]
    assert (first.word, first.tone, first.at) == ("Unsafe", "danger", "0:00")
    assert first.what == "Tried to light while the gate was closed: Operator allowed."
    assert first.why == "A flame in untrained hands burns people and boats."
    assert "Time left over" in view.note
    assert result_view(judged(CAREFUL), "Ana Ruiz").verdict == "Passed"


def test_what_was_missed_is_called_so_once() -> None:
    missed = [line for line in result_view(judged(), "Ana Ruiz").findings if line.word == "Missed"]
    assert missed and not [line.what for line in missed if line.what.lower().startswith("missed")]


def test_the_time_line_has_a_mark_for_each() -> None:
    done = judged()
    drawing = time_line(done)
    assert len([part for part in drawing.parts if type(part).__name__ == "Circle"]) == len(done.findings)
    assert {"Done well", "Unsafe", "0:00"} <= set(words_in(drawing))


def test_the_page_of_a_judgement() -> None:
    done = judged()
    page = Page(result_page(replace(done, title="<b>Gust & co"), "Ana <Ruiz>"))
    assert page.open == []
    assert page.loads == []
    assert page.texts[:1] == ["<b>Gust & co"]
    assert "PRACTICE \u2013 this is not the record of a real job" in page.texts
    assert "Ana <Ruiz>" in page.texts
    in_the_legend = 1
    unsafe = [finding for finding in done.findings if finding.kind == "unsafe"]
    assert page.texts.count("Unsafe") == len(unsafe) + in_the_legend
    assert "svg" in result_page(done, "Ana")


# -- the crew ----------------------------------------------------------------------------------------------------


def shown(person: str, *skills: str, day: date = TODAY - timedelta(days=10)) -> list[Shown]:
    return [Shown(person, skill, "drill", day, True, f"d-{skill}") for skill in skills]


RECORD = [
    *shown("ana", "gate", "weld", "shrink"),
    *shown("joel", "gate"),
    *shown("joel", "fire_watch", day=date(2026, 2, 1)),
    *shown("marta", "reviewing", "fire_watch"),
    *shown("nia", "weld"),
]


def test_who_may_hold_the_tool_and_why_not() -> None:
    view = crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY)
    tools = {person.id: (person.holds, person.tool) for person in view.people}
    assert tools == {
        "ana": (True, "until May 16, 2027"),
        "joel": (False, "needs: Weld, Shrink"),
        "marta": (False, "no technician"),
        "nia": (False, "not cleared by the yard"),
    }
    assert view.holders == ("Ana Ruiz (until May 16, 2027)",)


def test_without_needs_the_policy_says_who() -> None:
    view = crew_view(demo_policy(), [], None, TODAY)
    assert [person.holds for person in view.people] == [True, True, False, False]
    assert view.asks.startswith("The yard asks for no skills")


def test_the_cells() -> None:
    view = crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY)
    joel = {cell.skill: cell for cell in next(person for person in view.people if person.id == "joel").cells}
    assert (joel["gate"].state, joel["gate"].kept, joel["gate"].needed) == ("current", 97, True)
    assert (joel["fire_watch"].word, joel["fire_watch"].kept) == ("overdue", 37)
    assert (joel["frame"].state, joel["frame"].needed) == ("never", False)
    assert joel["gate"].detail == "Oct 30, 2026, drills 1, jobs 0"


def test_pairs_teach_what_is_lacking() -> None:
    """Joel lacks weld, shrink and the fire watch; Ana has two of them, Marta one. Nia lacks gate and shrink."""
    found = [(pair.learner, pair.mentor, pair.skills) for pair in pairs(demo_policy(), RECORD, USUAL_NEEDS, TODAY)]
    assert found == [("Joel Baptiste", "Ana Ruiz", "Weld, Shrink")]
    assert pairs(demo_policy(), [], USUAL_NEEDS, TODAY) == ()
    assert pairs(demo_policy(), RECORD, Needs(), TODAY) == ()


def test_what_several_get_wrong_is_counted_by_people() -> None:
    done = judged()
    others = [replace(done, trainee="joel"), replace(done, trainee="joel"), replace(judged(CAREFUL), trainee="marta")]
    view = crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY, [done, *others])
    assert view.wrong
    assert {(line.people, line.of) for line in view.wrong} == {(2, 3)}
    assert crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY, [done]).wrong == ()


def test_the_plot_counts_who_is_current_week_by_week() -> None:
    drawing = crew_plot(demo_policy(), RECORD, USUAL_NEEDS, TODAY)
    lines = [part for part in drawing.parts if type(part).__name__ == "Polyline"]
    assert len(lines) == len(SKILLS)
    gate = lines[SKILLS.index("gate")]
    assert abs(gate.points[0][1]) < 4.5 / 4 / 4
    assert gate.points[-1][1] == pytest.approx(4.5 * 2 / 4 + gate.points[0][1])
    assert drawing.title == "How many of 4 are current in each skill"


def test_the_page_of_the_crew() -> None:
    view = crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY, [judged(), replace(judged(), trainee="joel")])
    page = Page(crew_page(view))
    assert page.open == []
    assert page.loads == []
    assert "Ana Ruiz (until May 16, 2027)" in page.texts
    assert "Joel Baptiste + Ana Ruiz: Weld, Shrink" in page.texts
    assert "2 / 2" in page.texts


def test_questions_that_several_answer_wrongly() -> None:
    """Counted by people, the most first; one person alone is nobody to speak of."""
    made = (
        Question("a.why", "gate", "why", "a", "Do a.", ("Because a.", "x", "y", "z")),
        Question("b.wrong", "gate", "wrong", "b", "Do b.", ("It burns.", "x", "y", "z")),
        Question("c.why", "weld", "why", "c", "Do c.", ("Because c.", "x", "y", "z")),
    )
    found = missed_lines({"a.why": (4, 2), "b.wrong": (4, 3), "c.why": (4, 1), "gone.why": (4, 4)}, made)
    assert found == (
        WrongLine("What goes wrong where this is not done, or done badly? Do b.", 3, 4, "It burns."),
        WrongLine("Why is this done? Do a.", 2, 4, "Because a."),
    )
    view = crew_view(demo_policy(), RECORD, USUAL_NEEDS, TODAY, (), {"a.why": (4, 2)}, made)
    assert [line.what for line in view.wrong] == ["Why is this done? Do a."]


def test_a_column_has_the_initials() -> None:
    assert [initials(name) for name in ("Ana Ruiz", "Joel Baptiste", "anna maria de la cruz", "Bo")] == [
        "AR",
        "JB",
        "AMD",
        "B",
    ]


def test_runs_are_listed_with_the_latest_first() -> None:
    done = judged()
    rows = [
        (RunRow(1, "ana", "gust-at-the-sides", TODAY, True, 96, ("gate",), {}), done),
        (RunRow(2, "ana", "gone", TODAY, False, 0, ("gate",), {}), None),
    ]
    assert run_lines(rows) == (
        RunLine(2, "Nov 9, 2026", "gone", "Not passed yet", False, 0, False),
        RunLine(1, "Nov 9, 2026", done.title, "Passed", True, 96, True),
    )
