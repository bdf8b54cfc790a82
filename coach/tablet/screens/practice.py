"""The drills: choose one, read what it is about, begin. Also the way to the day's questions and the crew by skill."""

from __future__ import annotations

from functools import cache

from kivy.uix.widget import Widget

from coach.core.problems import CoachError
from coach.language import _
from coach.practice.assess import assess
from coach.practice.drill import TRIP, Drill
from coach.practice.drill_file import list_drills
from coach.practice.keeping import keep
from coach.practice.trial import Prepared, prepare
from coach.tablet.routes import route
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.practice_crew import crew_page, may_see_the_crew
from coach.tablet.screens.practice_questions import questions_page
from coach.tablet.screens.practice_result import open_result
from coach.tablet.screens.practice_run import PracticeShell
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.practice import DrillLine, briefing, drill_lines, practice_mark


@cache
def shipped_drills() -> tuple[Drill, ...]:
    """The drills, read once: files that come with the program do not change while it runs."""
    return tuple(list_drills())


@route
def practice_page(shell: Shell) -> Widget:
    """The list of drills, with what this person made of them."""
    shell.job = None
    drills = {drill.id: drill for drill in shipped_drills()}
    lines = drill_lines(list(drills.values()), shell.desk.book.runs(shell.person))
    body: list[Widget] = [_row(shell, line, drills[line.id]) for line in lines]
    foot = [button(_("Questions"), lambda: shell.open(questions_page), icon="question")]
    if may_see_the_crew(shell):
        foot.append(button(_("Crew"), lambda: shell.open(crew_page), icon="person"))
    return page(shell, _("Drills"), practice_mark(), body, foot)


def _row(shell: Shell, line: DrillLine, drill: Drill) -> ListRow:
    badge = _("passed") if line.passed else _("best %(score)d") % {"score": line.best} if line.best >= 0 else ""
    note, sign = f"{line.kind} · {line.skills}", "flame" if drill.turns_on == TRIP else "boat"
    seal, role = ("tick", "safe") if line.passed else ("", "plain")
    row = ListRow(key=line.id, words=line.title, note=note, icon=sign, badge=badge, badge_icon=seal, badge_role=role)
    row.bind(on_act=lambda *_args: shell.open(lambda shell: drill_page(shell, drill)))
    return row


def drill_page(shell: Shell, drill: Drill) -> Widget:
    """What is told before a drill."""
    ready = prepare(drill, shell.desk.policy, shell.person)
    told = briefing(drill, shell.desk.rules(ready.rules.procedure).proven)
    card = Card(title=f"{told.boat} · {told.when} · {told.role}")
    card.add_widget(Paragraph(words=told.about, size_name="lead"))
    body: list[Widget] = [Paragraph(words=told.title, size_name="title", bold=True), card]
    hints = Card(title=_("How it goes"))
    for line in (
        _("Look before you state anything: the button 'At the boat' shows what may be looked at and done."),
        _("What you notice stands in the banner. Time passes as on a real day, and each step takes its minutes."),
        _("The rules are those of real work. The boat, the people and the weather are not."),
    ):
        hints.add_widget(Paragraph(words=line))
    body.append(hints)
    if told.unproven:
        body.append(CautionPanel(signal="NOTICE", words=told.unproven))
    begin = button(_("Begin the drill"), lambda: begin_drill(shell, ready), "primary", icon="next")
    return page(shell, _("PRACTICE"), _("It shows: %(skills)s") % {"skills": told.skills}, body, [begin])


def begin_drill(shell: Shell, ready: Prepared) -> None:
    """Take a drill's boat over, on top of the page that is shown."""
    number = len(shell.desk.book.runs(shell.person))
    run = ready.run(shell.person, number)

    def finish() -> None:
        done = assess(run)
        try:
            keep(shell.desk.book, run, done, shell.desk.today())
            shell.desk.forget_record()
        except CoachError as error:
            shell.trouble(*error.problems)
        shell.back_to(shell.depth - 2)
        open_result(shell, done, ready.rules.policy.people[run.trainee].name)

    inner = PracticeShell(shell, run, finish)
    shell.open(lambda _shell: inner.root)
