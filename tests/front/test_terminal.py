"""The terminal walk with scripted answers, on the real kernel and a real ledger."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coach import language
from coach.core.events import Event
from coach.demo import NOTES
from coach.practice.clock import HandClock
from coach.practice.worker import Worker
from coach.terminal import Walk
from coach.yard.desk import Desk
from coach.yard.job import Job
from coach.yard.policy_file import demo_policy

START = 1_793_604_600_000


class Table:
    """A person at the terminal: answers by what is asked, with time passing at every question."""

    def __init__(self, clock: HandClock, answers: Callable[[str], str]) -> None:
        self.clock, self.answers, self.said = clock, answers, []
        self.asked = 0

    def ask(self, question: str) -> str:
        self.asked += 1
        if self.asked > 1_000:
            raise AssertionError(f"no way on: {question}\n" + "\n".join(self.said[-12:]))
        self.clock.pass_seconds(20)
        return self.answers(question)

    def say(self, line: str) -> None:
        self.said.append(line)


def begin(folder: Path) -> tuple[Job, HandClock]:
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    return job, clock


def worked_to(folder: Path, procedure: str, step: str, proven: bool = False) -> tuple[Job, HandClock, Worker]:
    """A job that a careful worker brought to this step."""
    clock = HandClock(START)
    desk = Desk.open(folder, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load(procedure), "Dunlin", "ana")
    assert isinstance(job, Job)
    worker = Worker(job, clock, NOTES)
    for each in worker.steps():
        if each.id == step:
            break
    if proven:
        worker.prove_all()
    return job, clock, worker


def test_quit_leaves_the_job_as_it_is(tmp_path: Path) -> None:
    job, clock = begin(tmp_path)
    table = Table(clock, lambda question: "quit")
    Walk(job, clock, table.ask, table.say).run()
    assert job.state.status == "working"
    assert "The job stays as it is" in table.said[-1]


def test_bad_answers_are_explained_and_change_nothing(tmp_path: Path) -> None:
    job, clock = begin(tmp_path)
    table = Table(clock, _plain)

    def answer(question: str) -> str:
        if any("twelve tools" in line for line in table.said):
            return "quit"
        return "twelve tools" if "tools lie" in question else _plain(question)

    table.answers = answer
    Walk(job, clock, table.ask, table.say).run()
    assert "tools_out" not in job.state.measures
    assert any("'twelve tools'" in line for line in table.said)


ANSWERS = {
    "How many tools": "12", "What fuel": "petrol", "fuel vents does": "1", "Where does the boat stand": "outdoors", "Which drive": "outboard",
    "guide posts": "no", "Length of the hull": "19 ft", "Widest beam": "8 ft", "Drop from": "7 in", "Height of the ridge": "30 in",
    "windshield stand": "no", "Half the tape": "66 in", "Tape from the film": "22 ft", "bow fitting": "10 in", "stern fitting": "12 in",
    "down to the sole": "14 in", "down to the keel": "30 in", "farthest point": "24 in", "lower unit": "28 in",
}


def test_a_safe_stop_from_the_terminal(tmp_path: Path) -> None:
    """The person answers the first questions, then types 'stop': no debt is open, the stop is signed."""
    job, clock = begin(tmp_path)

    def answer(question: str) -> str:
        if "Why do you stop" in question:
            return "a storm is coming"
        if "Type your name" in question:
            return "Ana Ruiz"
        if len(job.events) > 12:
            return "stop"
        for words, text in ANSWERS.items():
            if words in question:
                return text
        return _plain(question)

    table = Table(clock, answer)
    Walk(job, clock, table.ask, table.say).run()
    assert job.state.status == "stopped"
    assert [event.kind for event in job.events][-2:] == ["signed", "stopped_safely"]


def _plain(question: str) -> str:
    if "photo" in question:
        return ""
    hint = question[question.rfind("[") + 1: question.rfind("]")] if "[" in question else "yes"
    return hint.split(" / ")[0].split(" – ")[0] or "yes"


def test_the_wrong_name_signs_nothing(tmp_path: Path) -> None:
    job, clock = begin(tmp_path)
    answers = iter(["stop", "tired of it", "Joel Baptiste", "quit", "quit"])
    table = Table(clock, lambda question: next(answers))
    Walk(job, clock, table.ask, table.say).run()
    assert "That is not the technician's name; nothing was signed." in table.said
    assert not any(isinstance(event, Event) and event.kind == "signed" for event in job.events)


@pytest.mark.parametrize("word", ["stop", "quit"])
def test_every_question_takes_the_words_that_end_it(word: str, tmp_path: Path) -> None:
    job, clock = begin(tmp_path)
    table = Table(clock, lambda question: word if "Why" not in question and "name" not in question else "Ana Ruiz")
    Walk(job, clock, table.ask, table.say).run()
    assert job.state.status in ("working", "stopped")


def test_the_cautions_of_the_whole_job_stand_at_its_first_step_and_nowhere_else(tmp_path: Path) -> None:
    job, clock = begin(tmp_path)
    table = Table(clock, lambda question: "quit" if "tools lie" in question else _plain(question))
    Walk(job, clock, table.ask, table.say).run()
    cautions = [f"  {each.signal}: {each.text}" for each in job.rules.procedure.cautions]
    assert cautions
    assert [line for line in table.said if line in cautions] == cautions


def test_a_measure_that_the_answer_before_it_makes_needless_is_not_asked(tmp_path: Path) -> None:
    """A canopy that folds has no height; the number that waited is shown once its measures are in."""
    job, clock, _boat = worked_to(tmp_path, "pontoon-boat", "note-canopy")
    table = Table(clock, lambda question: "quit" if "canopy" not in question else "folding")
    Walk(job, clock, table.ask, table.say).run()
    assert table.asked == 2


def test_a_number_that_waited_is_shown_as_soon_as_its_measures_are_in(tmp_path: Path) -> None:
    job, clock, _boat = worked_to(tmp_path, "cylinder-change", "weigh-new")
    answers = iter(["37 lb", "17 lb", "quit"])
    table = Table(clock, lambda question: next(answers))
    Walk(job, clock, table.ask, table.say).run()
    assert "  Propane in the new cylinder: 20 lb   (37 lb - 17 lb = 20 lb)" in table.said


def test_the_words_for_the_safeguards_are_shown_and_a_word_that_is_none_is_said(tmp_path: Path) -> None:
    job, clock, _boat = worked_to(tmp_path, "power-boat-trailer", "weld-hem", proven=True)
    answers = iter(["vind", "light", "vind", "", "wind", "out", "quit"])
    table = Table(clock, lambda question: next(answers))
    Walk(job, clock, table.ask, table.say).run()
    assert table.said.count("  'vind' means nothing here.") == 2
    names = [line for line in table.said if "wind (Wind under the limit)" in line]
    assert len(names) == 5  # twice before the flame, three times while it burns
    assert job.state.trip is not None


def test_a_trip_says_what_the_hands_do_before_it_says_why(tmp_path: Path) -> None:
    job, clock, _boat = worked_to(tmp_path, "power-boat-trailer", "weld-hem", proven=True)
    answers = iter(["light", "wind", "out", "quit"])
    table = Table(clock, lambda question: next(answers))
    Walk(job, clock, table.ask, table.say).run()
    lit, out = (place for place, line in enumerate(table.said) if line.startswith("TRIP. "))
    assert table.said[lit:lit + 6] == [
        "TRIP. Take the flame off the film and let go of the trigger.",
        "  - Close the tool and the cylinder valve.",
        "  - Step back and call the crew together.",
        "  - If anything burns: leave, call the fire service, then use the extinguisher only with a way out behind you.",
        "  What was lost:",
        "  - Wind under the limit: no longer so (said at the terminal)",
    ]
    assert table.said[out].startswith("TRIP. Mend what was lost. Then reset")
    assert table.said[out + 1:out + 3] == ["  What was lost:", "  - Wind under the limit: no longer so (said at the terminal)"]


def test_what_is_asked_at_the_terminal_is_asked_in_the_language_in_use(tmp_path: Path) -> None:
    language.use("ht")
    try:
        job, clock, _boat = worked_to(tmp_path, "power-boat-trailer", "weld-hem", proven=True)
        asked: list[str] = []
        table = Table(clock, lambda question: asked.append(question) or "quit")  # type: ignore[func-returns-value]
        Walk(job, clock, table.ask, table.say).run()
    finally:
        language.use("en")
    assert asked == ["  'light' pou limen flanm nan, oswa non yon pwoteksyon pou montre l ankò: "]


def test_a_hose_past_its_day_is_asked_again_and_no_reason_is_taken(tmp_path: Path) -> None:
    job, clock, _worker = worked_to(tmp_path, "daily-tool-check", "bend-hose")
    days = iter(["2026-09-30", "2028-09-30"])
    asked: list[str] = []

    def answers(question: str) -> str:
        asked.append(question)
        if "Until which day" in question:
            return next(days, "quit")
        return "good" if "How is the hose" in question else "quit"

    table = Table(clock, answers)
    Walk(job, clock, table.ask, table.say).run()
    assert "[YYYY-MM-DD]" in next(question for question in asked if "Until which day" in question)
    assert any("Its last good day was Sep 30, 2026" in line for line in table.said)
    assert not any("say why you keep them" in question for question in asked)
    assert job.state.typed["hose_until"] == "2028-09-30" and "bend-hose" in job.state.done
