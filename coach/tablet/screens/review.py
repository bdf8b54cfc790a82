"""The supervisor's review: every boat by state with what needs a look first, by crew, week, kind and state; the season.

Rules kept here:
 1. A touch on a boat leads to its own review, where it is accepted or sent back; nothing is judged on this page.
 2. What the newest jobs are read for is kept by the desk's reviewer, so that a filter answers at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kivy.uix.widget import Widget

from coach.core.problems import CoachError
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.board import STATE_LOOK
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import story_picture
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.number import NumberTile
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.review import STATE_WORDS, FlagLine, JobLine, board_view, job_line
from coach.view.season import Figure, SeasonView, season_view
from coach.view.story import time_line
from coach.view.texts import problem_text
from coach.yard.review import BOARD_ORDER, Board, Filters, Line, people_of
from coach.yard.season import season
from coach.yard.shelf import Unread
from coach.yard.spans import season_span, week_of, week_span, zone_of

MOST, DEEP = 100, 60  # rows of the page, and how many of them are read whole
WEEKS = 12  # that can be chosen, the newest first
OVER = ("closed", "stopped", "accepted")
BAR, AROUND = 9.0, 16.0  # mm of a plot: for each bar, and around all of them


@route
def review_page(shell: Shell) -> Widget:
    """All boats."""
    return _page(shell, Filters())


def _page(shell: Shell, filters: Filters) -> Widget:
    """The boats that fit."""
    shell.job = None
    try:
        everything, zone = _board(shell, Filters()), zone_of(shell.desk.policy)
        found = _board(shell, filters)
    except CoachError as error:
        what, why, mend = problem_text(error.problems[0])
        return page(shell, _("Review"), "", [CautionPanel(signal="NOTICE", words=what, why=f"{why} {mend}")])
    choices = _choices(shell, everything)
    name = dict(choices["who"]).get(filters.who, "")
    view = board_view(found, filters, shell.desk.policy.yard, shell.system, zone, name)
    body: list[Widget] = [_chips(shell, filters, choices)]
    body += [
        CautionPanel(signal="NOTICE", words=_("The records of the tablets do not fit together"), why=text)
        for text in view.apart
    ]
    rows = {line.row.job: line for line in found.lines}
    for word, jobs in view.groups:
        body.append(Paragraph(words=f"{word} ({len(jobs)})", bold=True, size_name="lead"))
        body += [_row(shell, job, rows[job.job]) for job in jobs]
    if not view.groups:
        body.append(Paragraph(words=_("No boat fits."), size_name="lead"))
    if view.left_out:
        body.append(Paragraph(words=view.left_out, size_name="note", tone="soft"))
    foot = [button(_("The season"), lambda: shell.open(lambda s: season_page(s, filters)), icon="list")]
    return page(shell, _("Review"), view.told, body, foot)


def _board(shell: Shell, filters: Filters) -> Board:
    return shell.desk.reviewer.board(filters, zone_of(shell.desk.policy), MOST, DEEP)


def _row(shell: Shell, job: JobLine, line: Line) -> Widget:
    """One boat; its state stands over its group."""
    practice = f" · {_('PRACTICE')}" if job.practice else ""
    note = f"{job.who} · {job.updated}{practice}" + (f"\n{job.signs}" if job.flags else "")
    made = ListRow(key=job.job, words=job.boat, note=note, icon="alert" if line.asks else STATE_LOOK[job.state][0])
    made.bind(on_act=lambda *_: _touched(shell, line))
    return made


def _touched(shell: Shell, line: Line) -> None:
    """A boat that waits for review leads there; one that is worked on first shows why it stands out."""
    if line.row.state in OVER:
        to("open_job")(shell, line.row.job)
    else:
        shell.open(lambda s: look_page(s, line))


# -- filters -----------------------------------------------------------------------------------------------------------


def _choices(shell: Shell, board: Board) -> dict[str, list[tuple[str, str]]]:
    """What can be chosen for each filter, as pairs of key and words."""
    lines = board.lines
    weeks = sorted({week_of(wall) for line in lines for wall in (line.row.started, line.row.updated)}, reverse=True)
    kinds = {line.row.procedure: _(shell.desk.title(line.row.procedure)) for line in lines}
    states = {line.row.state for line in lines}
    return {
        "who": list(people_of([line.row for line in lines])),
        "week": [(week, week) for week in weeks[:WEEKS]],
        "kind": sorted(kinds.items(), key=lambda pair: pair[1]),
        "state": [(state, _(STATE_WORDS[state])) for state in BOARD_ORDER if state in states],
    }


def _chips(shell: Shell, filters: Filters, choices: dict[str, list[tuple[str, str]]]) -> Widget:
    """The four filters with what is chosen; a touch chooses."""
    tiles = Tiles(least=38, most=4)
    for key, words in (("who", _("Crew")), ("week", _("Week")), ("kind", _("Kind")), ("state", _("State"))):
        chosen = getattr(filters, key)
        note = dict(choices[key]).get(chosen, chosen) if chosen else _("All")
        tiles.add_widget(button(words, _opener(shell, filters, key, words, choices[key]), "primary" if chosen else "secondary",
                                note=note))  # fmt: skip
    return tiles


def _opener(
    shell: Shell, filters: Filters, key: str, title: str, choices: list[tuple[str, str]]
) -> Callable[[], object]:
    return lambda: shell.open(lambda s: _choose_page(s, filters, key, title, choices))


def _choose_page(shell: Shell, filters: Filters, key: str, title: str, choices: list[tuple[str, str]]) -> Widget:
    """One filter: all, or one of these."""

    def choose(value: str) -> None:
        shell.back_to(shell.depth - 1)
        shell.swap(lambda s: _page(s, replace(filters, **{key: value})))

    options = [Choice(value, words) for value, words in (("", _("All")), *choices)]
    tiles = ChoiceTiles(options=options, chosen=[getattr(filters, key)], least=84, most=2)
    tiles.bind(on_choose=lambda _tiles, value: choose(value))
    return page(shell, title, _("Review"), [tiles])


# -- one boat, and the season ------------------------------------------------------------------------------------------


def look_page(shell: Shell, line: Line) -> Widget:
    """Why a boat that is still worked on stands out, with its time line."""
    zone = zone_of(shell.desk.policy)
    job = job_line(line, shell.system, zone)
    body = [Paragraph(words=job.state_word, size_name="title", bold=True), *flag_cards(job.flags)]
    told = shell.desk.reviewer.shelf.read(line.row.job, lambda story: time_line(story.rules, story.events, zone))
    if not isinstance(told, Unread):
        body.append(story_picture(told))
    foot = [button(_("Open the job"), lambda: to("open_job")(shell, line.row.job), "primary", icon="boat")]
    return page(shell, job.boat, f"{job.who} · {job.updated}", body, foot)


def flag_cards(flags: tuple[FlagLine, ...]) -> list[Widget]:
    """Each flag with its reason and its moments."""
    found: list[Widget] = []
    for flag in flags:
        card = Card(title=flag.head)
        card.add_widget(Paragraph(words=flag.why, bold=True, tone="bad" if flag.tone == "danger" else "ink"))
        for moment in flag.moments:
            card.add_widget(MarkedLine(icon="clock", mark_tone="soft", words=moment.text, note=moment.at))
        if flag.more:
            card.add_widget(
                Paragraph(words=_("and %(count)d more") % {"count": flag.more}, size_name="note", tone="soft")
            )
        found.append(card)
    return found or [Paragraph(words=_("Nothing out of the ordinary."))]


@route
def job_flags(shell: Shell) -> list[Widget]:
    """The flags of the job that is open, for the page of its review; none for practice and what is only looked at."""
    job = shell.job
    if job is None or shell.is_practice:
        return []
    row = next((row for row in shell.desk.board() if row.job == job.id), None)
    if row is None:
        return []
    line = job_line(shell.desk.reviewer.line(row), shell.system, zone_of(shell.desk.policy))
    return flag_cards(line.flags) if line.flags else []


def season_page(shell: Shell, filters: Filters) -> Widget:
    """The season's figures, or the chosen week's."""
    zone = zone_of(shell.desk.policy)
    span = week_span(filters.week, zone) or season_span(shell.desk.now().wall, zone)
    view = season_view(season(shell.desk.reviewer.shelf, *span, filters), zone)
    body: list[Widget] = [_counts(view)]
    for figure in view.figures:
        if figure.plot is not None:
            body += _figure(figure)
    if view.back:
        card = Card(title=_("Who sent what back to whom"))
        for step, by, whose, count in view.back:
            card.add_widget(Paragraph(words=f"{count} × {step}: {by} > {whose}"))
        body.append(card)
    if view.unread:
        body.append(CautionPanel(signal="NOTICE", words=view.unread))
    return page(shell, _("The season"), view.span, body)


def _counts(view: SeasonView) -> Widget:
    """The season's three counts, large."""
    tiles = Tiles(least=40, most=3)
    for label, count in ((_("Boats"), view.boats), (_("Flame lit"), view.flames), (_("Flame refused"), view.refusals)):
        tiles.add_widget(NumberTile(label=label, value=str(count)))
    return tiles


def _figure(figure: Figure) -> list[Widget]:
    card = Card(title=figure.title)
    card.add_widget(PictureView(drawing=figure.plot, size_hint_y=None, height=(AROUND + BAR * figure.shown) * theme.mm))
    for place, (name, count) in enumerate(figure.rows, 1):
        card.add_widget(MarkedLine(mark=str(place), words=name, note=f"{count} ×"))
    return [card]
