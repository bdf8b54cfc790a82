"""The judgement of a drill: verdict, time line, what was not good and why, what was."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.language import _
from coach.practice.assessment import Assessment
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.text import Paragraph
from coach.view.practice_result import FindingLine, result_view, time_line

SIGNALS = {"danger": "DANGER", "warn": "CAUTION", "plain": "NOTICE"}


def open_result(shell: Shell, done: Assessment, name: str) -> None:
    """Show a judgement; the way on leads back to the drills."""
    shell.open(lambda shell: result_page(shell, done, name))


def result_page(shell: Shell, done: Assessment, name: str) -> Widget:
    """The page of a judgement."""
    view = result_view(done, name)
    words = _("%(verdict)s. %(score)d of 100.") % {"verdict": view.verdict, "score": view.score}
    body: list[Widget] = [CautionPanel(signal="SAFETY" if view.passed else "NOTICE", words=words, why=view.note)]
    body += [_finding(line) for line in view.findings]
    if view.met:
        card = Card(title=_("What was good"))
        for at, says in view.met:
            card.add_widget(Paragraph(words=f"✓ {at}  {says}"))
        body.append(card)
    title = _("PRACTICE · %(title)s") % {"title": view.title}
    foot = [button(_("To the drills"), shell.back, "primary", icon="next")]
    return page(shell, title, f"{view.trainee} · {view.when}", body, foot, drawing=time_line(done), share=0.36)


def _finding(line: FindingLine) -> Widget:
    words = f"{line.at}  {line.word}: {line.what}"
    return CautionPanel(signal=SIGNALS[line.tone], words=words, why=f"{line.why} {line.wrong}".strip())
