"""A day: some for one touch, and counters for any other."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Callable, Sequence
from datetime import date

from kivy.uix.widget import Widget

from coach.formats import day_text
from coach.language import _
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.rows import Counter
from coach.tablet.widgets.text import Paragraph


def day_page(shell: Shell, ask: str, how: str, typed: str, today: date, near: Sequence[date], take: Callable[[str], None]) -> Widget:
    """The page that asks one day.

    Args:
        shell: the app's frame.
        ask: the question; how: where to read the answer, or ''.
        typed: the day chosen so far, as an ISO date, or ''.
        today: where the counters stand while none is chosen.
        near: the days that are one touch away.
        take: gets the chosen day, as an ISO date.
    """
    chosen = date.fromisoformat(typed) if typed else today
    body: list[Widget] = [Paragraph(words=how)] if how else []
    if near:
        tiles = ChoiceTiles(options=[Choice(day.isoformat(), day_text(day)) for day in near], chosen=[typed], least=44)
        tiles.bind(on_choose=lambda _tiles, key: take(key))
        body.append(tiles)
    counters = [
        Counter(label=_("Year"), value=chosen.year, least=2000, most=2100),
        Counter(label=_("Month"), value=chosen.month, least=1, most=12),
        Counter(label=_("Day"), value=chosen.day, least=1, most=31),
    ]
    for counter in counters[:2]:
        counter.bind(value=lambda *_: _bound(counters))
    _bound(counters)
    together = Tiles(least=86, most=2)  # all three in sight in landscape
    for counter in counters:
        together.add_widget(counter)
    body.append(together)
    return page(shell, ask, "", body, [button(_("Take this day"), lambda: take(_day(counters)), "primary")])


def _day(counters: Sequence[Counter]) -> str:
    return date(*(int(counter.value) for counter in counters)).isoformat()


def _bound(counters: Sequence[Counter]) -> None:
    """The day goes no further than its month does, and is seen to."""
    year, month, day = counters
    day.most = monthrange(int(year.value), int(month.value))[1]
    day.value = min(day.value, day.most)
