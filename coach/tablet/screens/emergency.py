"""The emergency cards: one touch from every page, one more to the card."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.problems import CoachError
from coach.language import _
from coach.reader.cards import EmergencyCard, emergency_cards
from coach.tablet.routes import route
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.texts import problem_text


@route
def emergency_page(shell: Shell) -> Widget:
    """Which emergency is it?"""
    try:
        cards = emergency_cards()
    except CoachError as error:
        return page(shell, _("Emergency"), "", [CautionPanel(signal="DANGER", words=_("Put the flame out. Call the emergency number."),
                                                             why=problem_text(error.problems[0])[0])])
    body: list[Widget] = []
    for card in cards:
        row = ListRow(key=card.id, words=_(card.title), icon="alert")
        row.bind(on_act=lambda _row, card=card: shell.open(lambda s: card_page(s, card), under_lock=True))
        body.append(row)
    return page(shell, _("Emergency"), _("Local emergency plans come first."), body, gate=True, emergency=False)


def card_page(shell: Shell, card: EmergencyCard) -> Widget:
    """One card, a line a step."""
    body: list[Widget] = [Paragraph(words=_(card.title), size_name="title", bold=True, tone="bad")]
    body += [Paragraph(words=f"{number}.  {_(line)}", size_name="lead", bold=True) for number, line in enumerate(card.lines, 1)]
    return page(shell, _(card.title), _("Emergency"), body, gate=True, emergency=False)
