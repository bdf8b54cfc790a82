"""The schedule of questions against its author's text and a published package; the questions against the procedures."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coach.practice.questions import ASKS, after, due, quality, questions
from coach.practice.schedule import BEGINS, LEAST, Memory, day_of_questions, eased, reviewed
from coach.reader.load import load_procedure
from coach.yard.skillbook import CardRow

TODAY = date(2026, 10, 5)


def test_the_author_says_that_quality_4_changes_nothing() -> None:
    """Wozniak 1990: 'for q = 4 the E-Factor does not change'; and his reduced form EF - 0.8 + 0.28 q - 0.02 q q."""
    for grade in range(6):
        reduced = BEGINS - 800 + 280 * grade - 20 * grade * grade
        assert eased(BEGINS, grade) == max(LEAST, reduced)
    assert eased(BEGINS, 4) == BEGINS
    assert [eased(2500, q) - 2500 for q in (5, 4, 3)] == [100, 0, -140]


def test_the_author_says_that_it_is_never_under_1_3() -> None:
    easiness = BEGINS
    for _ in range(20):
        easiness = eased(easiness, 3)
    assert easiness == LEAST == 1300


def test_a_published_package_gives_the_same_for_5_4_3() -> None:
    """Its own test (supermemo, github.com/VienDinhCom/supermemo, src/main_test.ts): 1 d 2.6, 6 d 2.6, 16 d 2.46."""
    memory = Memory()
    found = []
    for grade in (5, 4, 3):
        memory = reviewed(memory, grade)
        found.append((memory.interval, memory.repetition, memory.easiness))
    assert found == [(1, 1, 2600), (6, 2, 2600), (16, 3, 2460)]


def test_a_failure_begins_anew_and_keeps_the_easiness() -> None:
    """Wozniak 1990, step 6: under 3, from the beginning, E-Factor unchanged. (The package changes it.)"""
    memory = Memory(3, 2460, 16)
    assert [reviewed(memory, q) for q in (2, 1, 0)] == [Memory(0, 2460, 1)] * 3


def test_fractions_are_rounded_up() -> None:
    """Wozniak 1990, step 3: a fraction is rounded up. 6 x 1.3 = 7.8, 8 x 1.3 = 10.4, 11 x 1.3 = 14.3."""
    memory = Memory(2, 1300, 6)
    intervals = []
    for _ in range(3):
        memory = reviewed(memory, 4)
        intervals.append(memory.interval)
    assert intervals == [8, 11, 15]


def test_all_right_over_a_season() -> None:
    """1, 6, then times 2.5: 15, 38, 95 days; a question answered well is asked five times in 155 days."""
    memory, intervals = Memory(), []
    for _ in range(5):
        memory = reviewed(memory, 4)
        intervals.append(memory.interval)
    assert intervals == [1, 6, 15, 38, 95]


@pytest.mark.parametrize("grade", [-1, 6])
def test_no_other_grade(grade: int) -> None:
    with pytest.raises(ValueError, match=str(grade)):
        reviewed(Memory(), grade)


def test_weak_answers_come_again_the_same_day_until_they_score_4() -> None:
    """Wozniak 1990, step 7. The first answer is the one that counts."""
    left = {"a": [5], "b": [1, 3, 4], "c": [3, 4]}
    asked: list[tuple[str, bool]] = []

    def answer(card: str, again: bool) -> int:
        asked.append((card, again))
        return left[card].pop(0)

    assert day_of_questions("abc", answer) == {"a": 5, "b": 1, "c": 3}
    assert asked == [("a", False), ("b", False), ("c", False), ("b", True), ("c", True), ("b", True)]


def test_questions_are_the_procedures_own_texts() -> None:
    procedure = load_procedure("power-boat-trailer")
    made = questions([procedure])
    steps = {step.id: step for step in procedure.steps}
    assert len(made) > 100
    for question in made:
        step = steps[question.about]
        assert question.choices[0] == getattr(step, question.kind)
        assert len(set(question.choices)) == 4
        assert "%(do)s" in ASKS[question.kind]
        assert sorted(question.order(0)) == [0, 1, 2, 3]


def test_no_other_choice_is_a_text_of_the_same_skill() -> None:
    procedure = load_procedure("power-boat-trailer")
    made = questions([procedure])
    by_text = {question.choices[0]: question.skill for question in made}
    for question in made:
        for other in question.choices[1:]:
            assert by_text.get(other, "") != question.skill


def test_the_order_of_choices_changes_with_the_repetition() -> None:
    question = questions([load_procedure("power-boat-trailer")])[0]
    assert len({question.order(repetition) for repetition in range(12)}) > 4
    assert question.order(3) == question.order(3)


def test_what_is_due_comes_before_what_is_new() -> None:
    made = questions([load_procedure("power-boat-trailer")])
    late, soon = made[5].id, made[9].id
    known = {
        late: CardRow(late, 1, 2500, 1, TODAY - timedelta(days=9)),
        soon: CardRow(soon, 2, 2500, 6, TODAY + timedelta(days=2)),
        "gone.why": CardRow("gone.why", 1, 2500, 1, TODAY),
    }
    chosen = due(known, made, ("gate", "weld"), TODAY)
    assert chosen[0].id == late
    assert len(chosen) == 4
    assert [question.skill for question in chosen[1:]] == ["gate", "weld", "gate"]
    assert soon not in [question.id for question in chosen]


def test_an_answer_sets_the_next_day() -> None:
    first = after(None, "x.why", quality(True, True), TODAY)
    assert first == CardRow("x.why", 1, 2600, 1, TODAY + timedelta(days=1))
    second = after(first, "x.why", quality(True, False), TODAY + timedelta(days=1))
    assert (second.interval, second.easiness, second.due) == (6, 2460, TODAY + timedelta(days=7))
    wrong = after(second, "x.why", quality(False, True), second.due)
    assert (wrong.repetition, wrong.interval) == (0, 1)


def test_a_whole_season_of_one_person() -> None:
    """Every day six questions at most, all answered well: after 200 days most of the gate's questions have come round."""
    made = [question for question in questions([load_procedure("power-boat-trailer")]) if question.skill == "gate"]
    known: dict[str, CardRow] = {}
    most = 0
    for day in range(200):
        today = TODAY + timedelta(days=day)
        chosen = due(known, made, ("gate",), today)
        most = max(most, len(chosen))
        for question in chosen:
            known[question.id] = after(known.get(question.id), question.id, 4, today)
    assert most <= 6
    assert len(known) == len(made)
    assert min(row.repetition for row in known.values()) >= 4
