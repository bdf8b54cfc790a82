"""At the boat in practice: what is to be seen, what may be looked at and done, and letting time pass."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.uix.widget import Widget

from coach.language import _, n_
from coach.practice.run import Run
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.practice import Choice, site_view

WAITS = (1, 5, 20)  # minutes
ROW = 90  # mm, the least width of a row


def site_page(shell: Shell, run: Run) -> Widget:
    """The site now."""
    view = site_view(run)
    body: list[Widget] = [Paragraph(words=view.wind, size_name="lead")]
    if view.notices:
        card = Card(title=_("What you noticed"))
        for line in view.notices:
            card.add_widget(Paragraph(words=line))
        body.append(card)
    body.append(Paragraph(words=_("Look"), size_name="lead", bold=True))
    body.append(_rows(view.looks, lambda id: tell_found(shell, run.look(id))))
    body.append(Paragraph(words=_("Do"), size_name="lead", bold=True))
    if not view.deeds:
        body.append(Paragraph(words=_("Nothing beside the steps of the procedure.")))
    body.append(_rows(view.deeds, lambda id: tell_found(shell, _(run.deed(id)))))
    foot = [_waiting(shell, run, minutes) for minutes in WAITS]
    return page(shell, _("At the boat"), view.clock, body, foot)


def _waiting(shell: Shell, run: Run, minutes: int) -> BigButton:
    words = n_("Wait %(count)d minute", "Wait %(count)d minutes", minutes) % {"count": minutes}
    return button(words, lambda: _wait(shell, run, minutes))


def _rows(choices: Sequence[Choice], act: Callable[[str], None]) -> Tiles:
    """A row for each choice, two beside one another where there is room."""
    tiles = Tiles(least=ROW, most=2)
    for choice in choices:
        row = ListRow(key=choice.id, words=choice.words, badge=choice.minutes, badge_icon="clock")
        row.bind(on_act=lambda touched, *_args: act(touched.key))
        tiles.add_widget(row)
    return tiles


def tell_found(shell: Shell, text: str) -> None:
    """Say what was found, over the page as it is then."""
    shell.refresh()
    found = Dialog(title=_("You find"))
    found.put(Paragraph(words=text, size_name="lead"))
    shell.ask(found, ("ok", _("Go on")))


def _wait(shell: Shell, run: Run, minutes: int) -> None:
    run.pass_seconds(60 * minutes)
    shell.refresh()
