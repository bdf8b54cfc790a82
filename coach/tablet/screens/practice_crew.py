"""The crew by skill: who may hold the tool today, who goes with whom, what several get wrong, and the plot."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.language import _
from coach.practice.keeping import judgements
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.practice_crew import CrewView, PersonLine, crew_view
from coach.yard.skills import NAMES, SKILLS, Season

PLOT = 76  # mm, the height of the plot
MARKS = {"current": "✓", "lapsed": "!", "begun": "…", "never": "–"}


def crew_page(shell: Shell) -> Widget:
    """The page of the crew today."""
    desk = shell.desk
    today = desk.today()
    begin, _end = (desk.needs.season if desk.needs else Season()).around(today)
    view = crew_view(desk.policy, desk.record.shown(today), desk.needs, today, judgements(desk.book.runs(since=begin)))
    body: list[Widget] = [CautionPanel(signal="NOTICE", words=view.asks)] if view.asks else []
    body += [_person(shell, person) for person in view.people]
    body += _pairs(view) + _wrong(view)
    body += [
        Paragraph(words=view.plot.title, bold=True),
        PictureView(drawing=view.plot, size_hint_y=None, height=PLOT * theme.mm),
    ]
    return page(shell, _("Crew"), f"{view.yard} · {view.day}", body)


def _person(shell: Shell, person: PersonLine) -> Widget:
    cells = [
        f"{MARKS[cell.state]} {name}"
        for cell, name in zip(person.cells, _heads(), strict=True)
        if cell.needed or cell.detail
    ]
    sign, role = ("flame", "safe") if person.holds else ("lock", "plain")
    note = " · ".join([person.roles, *cells])
    row = ListRow(
        key=person.id, words=person.name, note=note, icon="person", badge=person.tool, badge_icon=sign, badge_role=role
    )
    row.bind(on_act=lambda *_args: shell.open(lambda shell: _one(shell, person)))
    return row


def _heads() -> list[str]:
    return [_(NAMES[skill]) for skill in SKILLS]


def _one(shell: Shell, person: PersonLine) -> Widget:
    """One person, skill by skill."""
    body: list[Widget] = []
    for cell, name in zip(person.cells, _heads(), strict=True):
        kept = _("%(kept)d %% left") % {"kept": cell.kept} if cell.detail else ""
        note = " · ".join(text for text in (cell.detail, kept, _("needed") if cell.needed else "") if text)
        body.append(ListRow(words=f"{MARKS[cell.state]} {name}", note=note, badge=cell.word))
    return page(shell, person.name, person.tool, body)


def _pairs(view: CrewView) -> list[Widget]:
    if not view.pairs:
        return []
    card = Card(title=_("Who goes with whom"))
    for pair in view.pairs:
        card.add_widget(Paragraph(words=f"{pair.learner} + {pair.mentor}: {pair.skills}"))
    return [card]


def _wrong(view: CrewView) -> list[Widget]:
    if not view.wrong:
        return []
    card = Card(title=_("What several people get wrong"))
    for line in view.wrong:
        card.add_widget(Paragraph(words=f"{line.people} / {line.of}  {line.what}"))
        card.add_widget(Paragraph(words=line.why, size_name="note", tone="soft"))
    return [card]
