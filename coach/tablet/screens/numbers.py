"""All numbers of the job with their arithmetic, and the pictures of this boat."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.language import _
from coach.tablet.routes import route
from coach.tablet.screens.frame import page
from coach.tablet.screens.parts import number_tiles
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.text import Paragraph
from coach.view.advice import notes_for, slip_lines, tape_lines
from coach.view.boat import boat_picture
from coach.view.frame_check import frame_view
from coach.view.measures import number_lines


def _frame(shell: Shell) -> list[Widget]:
    """The verdict on the frame under the yard's snow, with its caution."""
    job = shell.job
    assert job is not None
    view = frame_view(job.rules, job.state.measures, shell.system)
    if view is None:
        return []
    card = Card(title=_("Frame under snow"))
    if view.word:
        card.add_widget(Paragraph(words=view.word, size_name="lead", bold=True, tone="good" if view.good else "bad"))
    for line in view.lines:
        card.add_widget(Paragraph(words=line))
    for name, value in view.numbers:
        card.add_widget(Paragraph(words=f"{name}: {value}", size_name="note"))
    card.add_widget(Paragraph(words=view.caution, size_name="note", tone="soft"))
    return [card]


def _tape(shell: Shell) -> list[Widget]:
    """What speaks against the half tape, before any number that rests on it."""
    job = shell.job
    assert job is not None
    lines = tape_lines(job.rules.procedure, job.state.measures, job.rules.functions, shell.system)
    return [CautionPanel(signal="CAUTION", words=line, why="") for line in lines]


def _beside(shell: Shell) -> list[Widget]:
    """What a slip of the tape does to each length, and the notes on what was worked out."""
    job = shell.job
    assert job is not None
    procedure, functions = job.rules.procedure, job.rules.functions
    slips = slip_lines(procedure, job.state.measures, functions, shell.system)
    found: list[Widget] = []
    for title, texts in ((_("If the tape slips"), [line.text for line in slips]), (_("Good to know"), notes_for(procedure, functions))):
        if texts:
            card = Card(title=title)
            for text in texts:
                card.add_widget(Paragraph(words=text, size_name="note"))
            found.append(card)
    return found


@route
def numbers_page(shell: Shell) -> Widget:
    """The numbers page; the sign at the right changes the picture."""
    job = shell.job
    assert job is not None
    name = shell.draft.get("_picture", "cross-section")
    lines = number_lines(job.rules.procedure, job.state.measures, job.rules.functions, shell.system)
    body: list[Widget] = [*_tape(shell), *_frame(shell), number_tiles(lines), *_beside(shell)]

    def turn(_key: str) -> None:
        names = ("cross-section", "plan", "profile")
        shell.draft["_picture"] = names[(names.index(name) + 1) % len(names)]
        shell.refresh()

    return page(shell, job.state.boat, _("Numbers"), body, drawing=boat_picture(job.rules, job.state.measures, name, shell.system),
                picks=[("turn", "again", _("Next picture"))], pick=turn)
