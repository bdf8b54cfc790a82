"""The trip: takes the whole screen, says what hands do first, then why."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import title
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.text import Paragraph
from coach.view.walk import WalkView


def trip_page(shell: Shell, view: WalkView) -> Widget:
    """A safeguard was lost while the flame was lit."""
    trip = view.trip
    assert trip is not None
    card = Card(title=_("What was lost"))
    card.add_widget(Paragraph(words=trip.first, size_name="lead", bold=True))
    for line in trip.reasons:
        card.add_widget(Paragraph(words=line))
    for line in trip.english:
        card.add_widget(Paragraph(words=line, size_name="note", tone="soft"))
    if trip.out:
        words = _("Mend what was lost. Then reset, and show every safeguard again. A reset does not light anything.")
        body: list[Widget] = [CautionPanel(signal="SAFETY", words=_("The flame is out.")), Paragraph(words=words, size_name="lead"), card]
    else:
        body = [CautionPanel(signal="DANGER", words=trip.hands[0], why=trip.hands[1]), card]
        body += [Paragraph(words=line, size_name="lead", bold=True) for line in trip.hands[2:]]
    if not trip.out:
        foot = [button(_("The flame is out, the tool is closed"), lambda: shell.send(act.FlameOut(shell.person)), "danger", icon="flame-off", gate=True)]
    else:
        foot = [button(_("Reset"), lambda: shell.send(act.Reset(shell.person)), "primary", icon="again", gate=True, hold=1.0)]
    return page(shell, title(view), _("Trip"), body, foot, gate=True, back=False)
