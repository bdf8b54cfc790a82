"""The walk: which page the job is at, by the view's mode alone."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.widget import Widget

from coach.language import _
from coach.tablet.routes import route
from coach.tablet.screens.ended import ended_page
from coach.tablet.screens.heat import heat_page, lit_page
from coach.tablet.screens.proof import proof_page
from coach.tablet.screens.question import question_page
from coach.tablet.screens.resume import resume_page
from coach.tablet.screens.sign import sign_page
from coach.tablet.screens.step import step_page
from coach.tablet.screens.stopping import stopping_page
from coach.tablet.screens.trip import trip_page
from coach.tablet.shell import Shell
from coach.tablet.widgets.text import Paragraph
from coach.view.walk import ENDED, HEAT, LIT, PROOF, QUESTION, RESUME, SIGN, STEP, STOP, TRIP, WalkView, walk_view

_PAGES: dict[str, Callable[[Shell, WalkView], Widget]] = {
    TRIP: trip_page, LIT: lit_page, RESUME: resume_page, STOP: stopping_page, ENDED: ended_page, SIGN: sign_page,
    PROOF: lambda shell, view: proof_page(shell, view.proof.id if view.proof else "", view), HEAT: heat_page, STEP: step_page,
    QUESTION: question_page,
}


@route
def walk_page(shell: Shell) -> Widget:
    """The page of the open job."""
    job = shell.job
    if job is None:
        return Paragraph(words=_("No job is open."))
    view = walk_view(job.rules, job.state, shell.desk.now(), shell.system)
    return _PAGES[view.mode](shell, view)
