"""The crew by skill: the table, who may hold the tool today, who goes with whom, what several get wrong, the plot.

A person leads to how they stand in each skill and to the drills of this season, each with the judgement that its
trainee read.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from kivy.uix.anchorlayout import AnchorLayout
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.core.policy import SUPERVISOR
from coach.language import _
from coach.practice.command import season_begins, season_questions
from coach.practice.keeping import judgement, judgements
from coach.tablet.screens.frame import page
from coach.tablet.screens.practice_result import result_page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.card import Card, Rule
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.rows import Badge, ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.practice_crew import MARKS, CrewView, PersonLine, crew_view, mark_words
from coach.view.practice_result import RunLine, run_lines
from coach.yard.skills import CURRENT, NAMES, NEVER, SKILLS

PLOT = 76  # mm, the height of the plot
COLUMN = 11  # mm, the width of a person's column; three letters fit
ABREAST = 6  # people of one table: beside them a skill's name has room on the narrowest tablet


def crew_page(shell: Shell) -> Widget:
    """The page of the crew today."""
    desk = shell.desk
    today = desk.today()
    begin = season_begins(desk.needs, today)
    done, asked = judgements(desk.book.runs(since=begin)), desk.book.missed(begin)
    view = crew_view(desk.policy, desk.record.shown(today), desk.needs, today, done, asked, season_questions())
    body: list[Widget] = [CautionPanel(signal="NOTICE", words=view.asks)] if view.asks else []
    body += [*_tables(view.heads, view.people), Paragraph(words=_("Who may hold the tool today"), bold=True)]
    body += [_person(shell, person) for person in view.people]
    body += _pairs(view) + _wrong(view)
    body += [
        Paragraph(words=view.plot.title, bold=True),
        PictureView(drawing=view.plot, size_hint_y=None, height=PLOT * theme.mm),
    ]
    return page(shell, _("Crew"), f"{view.yard} · {view.day}", body)


def _tables(heads: Sequence[str], people: Sequence[PersonLine]) -> list[Card]:
    """The crew in tables of equal width, as few as there is room for; what the marks mean stands under the last."""
    number = max(1, ceil(len(people) / ABREAST))
    size = ceil(len(people) / number)
    cards = [_table(heads, people[place * size : (place + 1) * size]) for place in range(number)]
    cards[-1].add_widget(Paragraph(words=mark_words(), size_name="note", tone="soft"))
    legend = BoxLayout(size_hint_y=None, height=8 * theme.mm, spacing=2 * theme.mm)
    legend.add_widget(_mark(NEVER, True))
    legend.add_widget(Paragraph(words=_("needed"), size_name="note", tone="soft", pos_hint={"center_y": 0.5}))
    cards[-1].add_widget(legend)
    return cards


def _table(heads: Sequence[str], people: Sequence[PersonLine]) -> Card:
    """A line a skill, a column a person; a mark stands in a field of its own where a role of theirs needs the skill."""
    card = Card(title=_("Skills"))
    card.add_widget(_line("", [Paragraph(words=person.initials, bold=True, halign="center") for person in people]))
    for place, head in enumerate(heads):
        cells = [person.cells[place] for person in people]
        card.add_widget(Rule())
        card.add_widget(_line(head, [_mark(cell.state, cell.needed) for cell in cells]))
    return card


def _mark(state: str, needed: bool) -> Widget:
    """A mark; needed ones stand in a field, green where the skill is current and yellow where it is not."""
    if needed:
        return Badge(words=MARKS[state], role="safe" if state == CURRENT else "caution")
    return Paragraph(words=MARKS[state], halign="center", tone="soft")


def _line(head: str, cells: Sequence[Widget]) -> BoxLayout:
    line = BoxLayout(size_hint_y=None, spacing=theme.gap)
    name = Paragraph(words=head, pos_hint={"center_y": 0.5})
    line.add_widget(name)
    for cell in cells:
        place = AnchorLayout(size_hint=(None, None), width=COLUMN * theme.mm, pos_hint={"center_y": 0.5})
        cell.bind(height=place.setter("height"))
        place.height = cell.height
        place.add_widget(cell)
        line.add_widget(place)
        place.bind(height=lambda *_args: _fit(line))
    name.bind(height=lambda *_args: _fit(line))
    _fit(line)
    return line


def _fit(line: BoxLayout) -> None:
    line.height = max(child.height for child in line.children)


def _person(shell: Shell, person: PersonLine) -> Widget:
    sign, role = ("flame", "safe") if person.holds else ("lock", "plain")
    note = f"{person.initials} · {person.roles}"
    row = ListRow(
        key=person.id, words=person.name, note=note, icon="person", badge=person.tool, badge_icon=sign, badge_role=role
    )
    row.bind(on_act=lambda *_args: shell.open(lambda shell: person_page(shell, person)))
    return row


def person_page(shell: Shell, person: PersonLine) -> Widget:
    """One person, skill by skill, and their drills of this season."""
    desk = shell.desk
    rows = {row.no: row for row in desk.book.runs(person.id, season_begins(desk.needs, desk.today()))}
    card = Card(title=_("Skills"))
    for skill, cell in zip(SKILLS, person.cells, strict=True):
        kept = _("%(kept)d %% left") % {"kept": cell.kept} if cell.detail else ""
        note = " · ".join(text for text in (cell.word, _("needed") if cell.needed else "", cell.detail, kept) if text)
        card.add_widget(MarkedLine(mark=MARKS[cell.state], words=_(NAMES[skill]), bold=True, note=note))
    body: list[Widget] = [card, Paragraph(words=_("Drills of this season"), bold=True)]
    lines = run_lines((row, judgement(row)) for row in rows.values())
    body += [_run(shell, line, person.name) for line in lines] or [Paragraph(words=_("No drill this season."))]
    return page(shell, person.name, person.tool, body)


def _run(shell: Shell, line: RunLine, name: str) -> Widget:
    """One drill; touched, its judgement as the trainee read it."""
    words = _("%(score)d of 100") % {"score": line.score}
    sign, role = ("tick", "safe") if line.passed else ("", "plain")
    row = ListRow(
        key=str(line.no), words=line.title, note=f"{line.day} · {words}", icon="flame",
        badge=line.verdict, badge_icon=sign, badge_role=role,
    )  # fmt: skip
    row.bind(on_act=lambda *_args: _open_run(shell, line.no, name))
    return row


def _open_run(shell: Shell, no: int, name: str) -> None:
    row = next((row for row in shell.desk.book.runs() if row.no == no), None)
    done = judgement(row) if row else None
    if done is not None:
        shell.open(lambda shell: result_page(shell, done, name))


def may_see_the_crew(shell: Shell) -> bool:
    """Whether the person at the tablet is one who leads."""
    return shell.desk.policy.has_role(shell.person, SUPERVISOR)


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
        card.add_widget(Paragraph(words=f"{line.people} / {line.of}  {line.what}", bold=True))
        card.add_widget(Paragraph(words=line.why, size_name="note", tone="soft"))
    return [card]
