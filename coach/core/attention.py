"""Against ticking by rote: a step is not believed sooner than it takes, and now and then the log asks what is so.

Rules kept here:
 1. The least time of a step is the procedure's (`least_seconds`); no front end and nothing here makes one up.
 2. A question asks for a fact of this boat that a person can see, and never tricks; its answer is held against the log.
    A wrong answer stops the work until the thing was looked at again and answered, or the record was corrected.
 3. Which steps are followed by a question is fixed by the job's beginning and the step, so that it is the same on every
    device and after a restart, and nobody can know it before.
 4. Nothing here ever allows anything: it only holds a step up for a time, or until an answer that the log itself gives.
    So it takes no proof away, and the prover, whose rules are not attentive, need not walk through it: the wait ends by
    itself, and the right answer is at hand in every state. Stopping safely and putting the flame out never wait.
Knows nothing of: screens, chance.
Called by: checks, session.  Proved by: tests/core/test_attention.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from coach.core.model import Option, Step
from coach.core.moment import Moment
from coach.core.problems import Reason
from coach.core.quantity import Quantity
from coach.core.rules import ONE_IN, Rules, draw
from coach.core.state import State

LOOK_AGAIN = 10  # s between a wrong answer and the next, so that nobody guesses on; a choice of ours, no source
COUNT, CHOICE, PERSON = "count", "choice", "person"
TAPED, WATCH = "taped", "watch"  # what a question is about, besides measures
QUESTIONS = {TAPED: "How many fuel vents are taped now?", WATCH: "Who is the fire watch now?"}


@dataclass(frozen=True)
class Question:
    """Something that is asked of this boat. about: `taped`, `watch` or a measure; kind: count, choice or person.

    act: what corrects the record if the record is wrong: measure or observe; where: of which measure or safeguard.
    """

    about: str
    ask: str
    kind: str
    act: str
    where: str
    options: tuple[Option, ...] = ()


def question_due(rules: Rules, state: State) -> Question | None:
    """The question that waits for an answer now, or None."""
    if not rules.attentive or not state.asked or state.began is None:
        return None
    known = facts(rules, state)
    if not known:
        return None
    known = tuple(each for each in known if each.about in QUESTIONS) or known  # what may kill comes first
    return known[draw(state.began.wall, state.boat, state.asked) // ONE_IN % len(known)]


def facts(rules: Rules, state: State) -> tuple[Question, ...]:
    """Everything that could be asked of this boat now."""
    found = []
    if "taped_vents" in state.debts:
        found.append(Question(TAPED, QUESTIONS[TAPED], COUNT, "observe", "vents_taped"))
    if "fire_watch" in state.proofs:
        found.append(Question(WATCH, QUESTIONS[WATCH], PERSON, "observe", "fire_watch"))
    for id in state.measures:
        measure = rules.procedure.measures[id]
        if measure.kind in (COUNT, CHOICE):
            found.append(Question(id, measure.ask, measure.kind, "measure", id, measure.options))
    return tuple(found)


def right_answer(state: State, question: Question) -> str:
    """What the log says: a whole number, the id of an option or of a person."""
    if question.about == TAPED:
        proof = state.proofs.get("vents_taped")
        return str(proof.values.get("taped") if proof else state.debts["taped_vents"].amount)
    if question.about == WATCH:
        return str(state.proofs["fire_watch"].values.get("person", ""))
    value = state.measures[question.about]
    return str(int(value.value)) if isinstance(value, Quantity) else str(value)


def question_reasons(rules: Rules, state: State) -> tuple[Reason, ...]:
    """A reason while a question waits: no step is done and no flame is lit before it is answered."""
    question = question_due(rules, state)
    if question is None:
        return ()
    return (
        Reason(
            "G096",
            question.about,
            "a question waits: %(ask)s",
            "hands that go on by rote miss what has changed",
            "look at it, then answer",
            {"ask": question.ask},
            act="answer",
        ),
    )


def answer_reasons(rules: Rules, state: State, now: Moment) -> tuple[Reason, ...]:
    """Reasons why no answer is taken now."""
    if question_due(rules, state) is None:
        return (Reason("G097", "question", "no question waits", "there is nothing to answer", "go on"),)
    age = state.wrong.age_at(now) if state.wrong else None
    if state.wrong is not None and (age is None or age < LOOK_AGAIN * 1000):
        return (
            Reason(
                "G098",
                "question",
                "answered again too soon to have looked",
                "a guess is no look",
                "go there, look again, then answer",
                act="answer",
            ),
        )
    return ()


def dwell(state: State, now: Moment) -> int | None:
    """Milliseconds since the walk came to where it is now; None if the clocks do not tell."""
    return state.stepped.age_at(now) if state.stepped else None


def haste_reasons(rules: Rules, state: State, step: Step, now: Moment) -> tuple[Reason, ...]:
    """A reason while less time has passed than the procedure says that this step takes."""
    age = dwell(state, now)
    if not rules.attentive or age is None or age >= step.least_seconds * 1000:
        return ()
    return (
        Reason(
            "G095",
            step.id,
            "%(seconds)s s is too short for this step, it takes %(least)s s at least",
            "a look that was not taken finds nothing",
            "look again, then say that it is done",
            {"seconds": age // 1000, "least": step.least_seconds},
            act="do",
        ),
    )
