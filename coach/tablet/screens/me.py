"""The person at the tablet: practise, change the PIN, lock the tablet, let somebody else in."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.language import _
from coach.tablet.routes import to
from coach.tablet.screens.first_pin import change
from coach.tablet.screens.frame import page
from coach.tablet.screens.pin import leave, name_of
from coach.tablet.shell import Shell
from coach.tablet.widgets.rows import ListRow


def me_page(shell: Shell) -> Widget:
    """What one may do about oneself."""
    drills = (
        _("Practice"),
        _("Drills at an invented boat, and questions"),
        "flame",
        lambda: shell.open(to("practice_page")),
    )
    words = (
        _("Words of the trade"),
        _("What they mean, with a picture"),
        "question",
        lambda: shell.open(to("words_page")),
    )
    rows: list[tuple[str, str, str, object]] = [drills, words]
    if shell.presence.asks:
        rows += [
            (_("Change my PIN"), _("The old one is asked first"), "lock", lambda: change(shell, shell.person)),
            (_("Lock the tablet"), _("It locks itself five minutes after the last touch"), "lock", shell.lock),
        ]
    rows.append((_("Somebody else"), _("Back to the first page"), "person", lambda: leave(shell)))
    body: list[Widget] = []
    for words, note, icon, do in rows:
        row = ListRow(words=words, note=note, icon=icon)
        row.bind(on_act=lambda _row, do=do: do())
        body.append(row)
    return page(shell, name_of(shell, shell.person), _("At the tablet"), body)
