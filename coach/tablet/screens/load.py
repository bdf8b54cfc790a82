"""The day's load list: what goes on the truck for all boats that are measured."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.problems import CoachError
from coach.language import _
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.text import Paragraph
from coach.view.load import LoadView, day_load
from coach.view.texts import problem_text


def load_page(shell: Shell) -> Widget:
    """The list, or what is wrong with the stock file."""
    try:
        view = day_load(shell.desk.under_way(), shell.desk.stock(), shell.system)
    except CoachError as error:
        what, why, mend = problem_text(error.problems[0])
        return page(shell, _("Load list"), "", [CautionPanel(signal="NOTICE", words=what, why=f"{why} {mend}")])
    return page(shell, _("Load list"), ", ".join(view.boats), _stages(view))


def _stages(view: LoadView) -> list[Widget]:
    found: list[Widget] = []
    for title, items in view.stages:
        card = Card(title=title)
        for item in items:
            card.add_widget(MarkedLine(mark="☐", words=item))
        found.append(card)
    if view.waiting:
        found.append(Paragraph(words=_("Not measured far enough: %(boats)s") % {"boats": ", ".join(view.waiting)}))
    return found or [Paragraph(words=_("Nothing to load"), size_name="lead")]
