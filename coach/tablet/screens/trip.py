"""The trip: takes the whole screen, says what hands do first, then why."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import beside, title
from coach.tablet.shell import Shell
from coach.tablet.widgets.body import Column, Pair
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.order import OrderPanel
from coach.tablet.widgets.text import Paragraph
from coach.view.walk import WalkView


def trip_page(shell: Shell, view: WalkView) -> Widget:
    """A safeguard was lost while the flame was lit."""
    trip = view.trip
    assert trip is not None
    card = Card(title=_("What was lost"))
    card.add_widget(Paragraph(words=trip.first, size_name="lead", bold=True))
    card.add_widget(Paragraph(words=trip.english, size_name="note", tone="soft"))
    for line in trip.reasons:
        card.add_widget(Paragraph(words=line))
    if trip.out:
        words = _("Mend what was lost. Then reset, and show every safeguard again. A reset does not light anything.")
        body: list[Widget] = [CautionPanel(signal="SAFETY", words=_("The flame is out.")), Paragraph(words=words, size_name="lead"), *beside(words), card]
    else:
        after: list[Widget] = [card]
        for line in trip.hands[2:]:
            after += [Paragraph(words=line, bold=True, tone="danger_ink"), *beside(line, "danger_ink")]
        body = [_order(OrderPanel(words=trip.hands[0], then=trip.hands[1]), after)]
    if not trip.out:
        foot = [button(_("The flame is out, the tool is closed"), lambda: shell.send(act.FlameOut(shell.person)), "alarm", icon="flame-off", gate=True)]
    else:
        foot = [button(_("Reset"), lambda: shell.send(act.Reset(shell.person)), "primary", icon="again", gate=True, hold=1.0)]
    return page(shell, title(view), _("Trip"), body, foot, gate=True, back=False, alarm=not trip.out)


def _order(order: Widget, after: Sequence[Widget]) -> Widget:
    """The order, and what comes after it: beside it in landscape, so that the reason needs no scrolling."""
    pair, column = Pair(share=0.6, flows=True), Column()
    for widget in after:
        column.add_widget(widget)
    pair.add_widget(order)
    pair.add_widget(column)
    return pair
