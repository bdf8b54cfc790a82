"""The terminal walk with scripted answers, on the real kernel and a real ledger."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coach.core.events import Event
from coach.practice.clock import HandClock
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
