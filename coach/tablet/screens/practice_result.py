"""The judgement of a drill: verdict, time line, what was not good and why, what was."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.language import _
from coach.practice.assessment import Assessment
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.text import Paragraph
from coach.view.practice_result import FindingLine, result_view, time_line

PICTURE = 34  # mm, the height of the time line


def open_result(shell: Shell, done: Assessment, name: str) -> None:
    """Show a judgement; the way on leads back to where it was opened."""
    shell.open(lambda shell: result_page(shell, done, name))


def result_page(shell: Shell, done: Assessment, name: str) -> Widget:
    """The page of a judgement."""
    view = result_view(done, name)
    words = _("%(verdict)s. %(score)d of 100.") % {"verdict": view.verdict, "score": view.score}
    line = PictureView(drawing=time_line(done), size_hint_y=None, height=PICTURE * theme.mm)
    body: list[Widget] = [
        Paragraph(words=view.title, size_name="lead", bold=True),
        CautionPanel(signal="SAFETY" if view.passed else "NOTICE", words=words, why=view.note),
        line,
    ]
    body += [_finding(line) for line in view.findings]
    if view.met:
        card = Card(title=_("What was good"))
        for at, says in view.met:
            card.add_widget(MarkedLine(icon="tick", mark_tone="good", words=says, note=at))
        body.append(card)
    foot = [button(_("Go on"), shell.back, "primary", icon="next")]
    return page(shell, _("PRACTICE"), f"{view.trainee} · {view.when}", body, foot)


def _finding(line: FindingLine) -> Card:
    """One thing that was not good, with the procedure's own reason."""
    card = Card(title=f"{line.at} · {line.word}")
    card.add_widget(Paragraph(words=line.what, bold=True, tone="bad" if line.tone == "danger" else "ink"))
    for words in (line.why, line.wrong):
        card.add_widget(Paragraph(words=words, size_name="note", tone="soft"))
    return card
