"""The day's questions: one at a time, four answers, sure or not; weak ones come again until they are good.

Rules kept here:
 1. The first answer of the day sets the next day; what is asked again today changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from kivy.uix.widget import Widget

from coach.language import _, n_
from coach.practice.command import season_questions
from coach.practice.questions import Question, after, due, quality
from coach.practice.schedule import AGAIN
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.text import Paragraph
from coach.yard.skills import SKILLS


@dataclass
class Session:
    """One person's questions of one day. waiting: still to be asked; first: not yet answered today."""

    waiting: list[Question]
    first: set[str]
    chosen: str = ""
    right: int = 0
    shown: list[str] = field(default_factory=list)


def questions_page(shell: Shell) -> Widget:
    """Begin the session of today."""
    person = shell.desk.policy.people[shell.person]
    needs = shell.desk.needs
    skills = [skill for role in person.roles for skill in needs.roles.get(role, ())] if needs else list(SKILLS)
    todays = list(due(shell.desk.book.cards(shell.person), season_questions(), skills, shell.desk.today()))
    session = Session(todays, {question.id for question in todays})
    return _question(shell, session)


def questions_title() -> str:
    """The title of every page of questions."""
    return _("PRACTICE · %(title)s") % {"title": _("Questions")}


def _question(shell: Shell, session: Session) -> Widget:
    if not session.waiting:
        done = [Paragraph(words=_("Done for today."), size_name="title", bold=True)]
        return page(shell, questions_title(), "", done, [button(_("Go on"), shell.back, "primary", icon="next")])
    question = session.waiting[0]
    row = shell.desk.book.cards(shell.person).get(question.id)
    order = question.order(row.repetition if row else 0)
    tiles = ChoiceTiles(
        options=[Choice(str(place), _(question.choices[place])) for place in order], chosen=[], least=90
    )
    tiles.bind(on_choose=lambda _tiles, key: choose(key))
    body: list[Widget] = [Paragraph(words=_(question.ask) % {"do": _(question.do)}, size_name="lead", bold=True), tiles]
    count = len(session.waiting)
    under = n_("%(count)d question left", "%(count)d questions left", count) % {"count": count}
    foot = [
        button(_("I think so"), lambda: _answer(shell, session, question, False)),
        button(_("I am sure"), lambda: _answer(shell, session, question, True), "primary"),
    ]
    for each in foot:
        each.disabled = True

    def choose(key: str) -> None:
        session.chosen = key
        for each in foot:
            each.disabled = False

    return page(shell, questions_title(), under, body, foot)


def _answer(shell: Shell, session: Session, question: Question, is_sure: bool) -> None:
    if session.chosen == "":
        return
    is_right = session.chosen == "0"
    graded = quality(is_right, is_sure)
    session.waiting.pop(0)
    again = question.id not in session.first
    if not again:
        session.first.discard(question.id)
        book, today = shell.desk.book, shell.desk.today()
        book.answered(
            shell.person,
            after(book.cards(shell.person).get(question.id), question.id, graded, today),
            today,
            graded,
            question.skill,
        )
    if not is_right or (not again and graded < AGAIN):
        session.waiting.append(question)
    given, session.chosen = question.choices[int(session.chosen)], ""
    shell.swap(lambda shell: _told(shell, session, question, given))


def _told(shell: Shell, session: Session, question: Question, given: str) -> Widget:
    """Right or not: what was asked, what was answered, and the procedure's own text, the largest."""
    is_right = given == question.choices[0]
    body: list[Widget] = [Paragraph(words=_(question.ask) % {"do": _(question.do)}, bold=True)]
    if not is_right:
        body.append(MarkedLine(icon="cross", mark_tone="bad", words=_(given)))
    card = Card(title=_("Right.") if is_right else _("Not so. This is right:"))
    card.add_widget(Paragraph(words=_(question.choices[0]), size_name="lead", bold=True))
    body.append(card)
    on = button(_("Go on"), lambda: shell.swap(lambda shell: _question(shell, session)), "primary", icon="next")
    return page(shell, questions_title(), "", body, [on])
