"""The job was left: go on, take it over, or look at it."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import debts_card, stages, title
from coach.tablet.shell import Shell
from coach.tablet.widgets.text import Paragraph
from coach.view.walk import WalkView


def resume_page(shell: Shell, view: WalkView) -> Widget:
    """Resume a job; every safeguard is asked again."""
    job = shell.job
    assert job is not None
    body: list[Widget] = [
        Paragraph(words=_("The job was left."), size_name="title", bold=True),
        Paragraph(words=_("When you go on, every safeguard is asked again: nothing at the boat is taken for granted."), size_name="lead"),
        stages(view), *debts_card(view.debts),
    ]
    mine = job.state.technician == shell.person
    if mine:
        foot = [button(_("Go on with this boat"), lambda: shell.send(act.Resume(shell.person)), "primary", icon="next")]
    else:
        foot = [button(_("Take the job over"), lambda: _take(shell), "primary", icon="person")]
    return page(shell, title(view), view.technician, body, foot)


def _take(shell: Shell) -> None:
    """Another technician takes a job that was left: the hand-over is recorded, then it is resumed."""
    if shell.send(act.HandOver(shell.person), stay=True):
        shell.send(act.Resume(shell.person))
