"""Questions for the season, built from the procedures' own why, right and wrong texts.

Rules kept here:
 1. The right answer is the procedure's own text; the other choices are texts of the same kind from steps of other
    skills, so that no two choices can both be right.
 2. Nothing is a trap: each question asks for what the person works by.
 3. The same question has the same choices always; only their order changes with the repetition.
Knows nothing of: when a question comes (schedule), where answers are kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coach.core.model import Procedure, Step
from coach.practice.chance import Chance
from coach.practice.reasons import skill_of_step
from coach.practice.schedule import BEGINS, Memory, reviewed
from coach.yard.skillbook import CardRow

WHY, RIGHT, WRONG = "why", "right", "wrong"
ASKS = {
    WHY: "Why is this done? %(do)s",
    RIGHT: "How do you tell that this is right? %(do)s",
    WRONG: "What goes wrong where this is not done, or done badly? %(do)s",
}
CHOICES = 4
A_DAY = 6  # questions a day; ours
NEW_A_DAY = 3
RIGHT_SURE, RIGHT_UNSURE, WRONG_UNSURE, WRONG_SURE = 5, 3, 2, 1  # qualities; ours, speed is not among them


@dataclass(frozen=True)
class Question:
    """One question. choices: the right one first; ask: a template over `do`; about: the step."""

    id: str
    skill: str
    kind: str
    about: str
    do: str
    choices: tuple[str, ...]

    @property
    def ask(self) -> str:
        """The question as a template over `do`."""
        return ASKS[self.kind]

    def order(self, repetition: int) -> tuple[int, ...]:
        """The places of the choices as they are shown this time; 0 is the right one."""
        chance = Chance("choices", self.id, repetition)
        left, shown = list(range(len(self.choices))), []
        while left:
            shown.append(left.pop(int(chance.share() * len(left))))
        return tuple(shown)


def questions(procedures: Iterable[Procedure]) -> tuple[Question, ...]:
    """The questions of these procedures, each text once, in the order of the files."""
    made: dict[tuple[str, str], Question] = {}
    for procedure in procedures:
        steps = [step for step in procedure.steps if skill_of_step(step)]
        for step in steps:
            for kind in ASKS:
                own = getattr(step, kind)
                others = _others(procedure.id, step, kind, steps)
                if own and len(others) == CHOICES - 1 and (kind, own) not in made:
                    id = f"{step.id}.{kind}"
                    made[(kind, own)] = Question(id, skill_of_step(step), kind, step.id, step.do, (own, *others))
    return tuple({question.id: question for question in made.values()}.values())


def _others(procedure: str, step: Step, kind: str, steps: Sequence[Step]) -> tuple[str, ...]:
    """Texts of the same kind from steps of other skills."""
    skill = skill_of_step(step)
    near = {getattr(each, kind) for each in steps if skill_of_step(each) == skill}  # a text may stand in two skills
    texts = sorted({getattr(each, kind) for each in steps} - near - {""})
    chance, picked = Chance("others", procedure, step.id, kind), list[str]()
    while texts and len(picked) < CHOICES - 1:
        picked.append(texts.pop(int(chance.share() * len(texts))))
    return tuple(picked)


def due(
    known: Mapping[str, CardRow], all_: Sequence[Question], skills: Sequence[str], today: date, most: int = A_DAY
) -> tuple[Question, ...]:
    """The questions of today: those whose day has come, the longest due first, then a few new ones of these skills."""
    by_id = {question.id: question for question in all_}
    waiting = sorted((row.due, row.card) for row in known.values() if row.due <= today and row.card in by_id)
    chosen = [by_id[card] for _day, card in waiting[:most]]
    new = [question for question in all_ if question.id not in known and question.skill in skills]
    return (*chosen, *_mixed(new, min(NEW_A_DAY, most - len(chosen))))


def _mixed(new: Sequence[Question], count: int) -> tuple[Question, ...]:
    """The first new questions, one of each skill in turn."""
    lanes: dict[str, list[Question]] = {}
    for question in new:
        lanes.setdefault(question.skill, []).append(question)
    picked: list[Question] = []
    while len(picked) < count and any(lanes.values()):
        for lane in lanes.values():
            if lane and len(picked) < count:
                picked.append(lane.pop(0))
    return tuple(picked)


def quality(is_right: bool, is_sure: bool) -> int:
    """The quality of an answer, 1 to 5: right or wrong, sure or not."""
    if is_right:
        return RIGHT_SURE if is_sure else RIGHT_UNSURE
    return WRONG_SURE if is_sure else WRONG_UNSURE


def after(row: CardRow | None, card: str, graded: int, today: date) -> CardRow:
    """How a question stands after its first answer of the day."""
    before = Memory(row.repetition, row.easiness, row.interval) if row else Memory(0, BEGINS, 0)
    now = reviewed(before, graded)
    return CardRow(card, now.repetition, now.easiness, now.interval, today + timedelta(days=now.interval))
