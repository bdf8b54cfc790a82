"""The board: every boat with its state, and a new one."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.policy import SUPERVISOR, TECHNICIAN
from coach.core.problems import CoachError
from coach.language import _, n_
from coach.record.store import JobRow
from coach.tablet import drafts
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.me import me_page
from coach.tablet.shell import Shell
from coach.tablet.widgets.long_list import LongList
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.review import STATE_WORDS

STATE_LOOK = {
    "open": ("boat", "plain"), "paused": ("pause", "notice"), "stopped": ("stop", "warning"), "closed": ("pen", "notice"),
    "sent_back": ("back", "caution"), "accepted": ("tick", "safe"), "tripped": ("stop", "danger"), "flame": ("flame", "danger"),
}


@route
def board_page(shell: Shell) -> Widget:
    """All jobs on this tablet, the last touched first."""
    shell.job = None
    rows = shell.desk.board()
    person = shell.desk.policy.people[shell.person]
    body: list[Widget] = [LongList(lambda: _row(shell), lambda made, row: _say(shell, made, row), rows)]
    if not rows:
        body.append(Paragraph(words=_("No boat yet."), size_name="lead"))
    foot = []
    if TECHNICIAN in person.roles:
        foot.append(button(_("New boat"), lambda: _new(shell), "primary", icon="plus"))
    if SUPERVISOR in person.roles:
        foot.append(button(_("Review"), lambda: shell.open(to("review_page")), icon="list"))
    picks = [("me", "person", person.name)]
    under = f"{person.name} · {n_('%(count)d boat', '%(count)d boats', len(rows)) % {'count': len(rows)}}"
    return page(shell, _("Boats"), under, body, foot, picks=picks, pick=lambda _key: shell.open(me_page))


def _row(shell: Shell) -> ListRow:
    made = ListRow()
    made.bind(on_act=lambda touched, *_: open_job(shell, touched.key))
    return made


def _say(shell: Shell, made: Widget, row: JobRow) -> None:
    """Let a row show a job."""
    made.key, made.words = row.job, row.boat
    made.note = f"{row.name} · {_(shell.desk.title(row.procedure))}" + (f" · {_('PRACTICE')}" if row.practice else "")
    made.badge_icon, made.badge_role = STATE_LOOK.get(row.state, ("boat", "plain"))
    made.badge = _(STATE_WORDS.get(row.state, row.state))


@route
def open_job(shell: Shell, id: str) -> None:
    """Open a job where it was left."""
    walk_page = to("walk_page")
    try:
        shell.job = shell.desk.job(id)
    except CoachError as error:
        shell.trouble(*error.problems)
        return
    shell.draft = drafts.load(shell.desk.folder, id)
    shell.open(walk_page)


def _new(shell: Shell) -> None:
    new_page = to("new_page")
    shell.draft = {}
    shell.open(new_page)
