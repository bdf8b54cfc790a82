"""The menu of a job: steps, leave out, pause, hand over, stop safely, units."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.checks import may_excuse
from coach.core.model import Step
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.gate import clear, reason_line
from coach.tablet.screens.parts import debts_card, stages
from coach.tablet.shell import Shell
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.reasons import ReasonList
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.texts import ReasonText, reason_text
from coach.view.walk import first_step, walk_view


@route
def menu_page(shell: Shell) -> Widget:
    """What else may be done."""
    job = shell.job
    assert job is not None
    view = walk_view(job.rules, job.state, shell.desk.now(), shell.system)
    step = first_step(job.rules, job.state)
    kept = _not_left_out(shell, step) if step else ()
    rows: list[tuple[str, str, str, object]] = [
        (_("Pause"), _("Every safeguard is asked again when you go on"), "pause", lambda: _pause(shell)),
        (_("Leave this step out"), kept[0].what if kept else _("The supervisor decides at the review"), "minus", lambda: shell.open(excuse_page)),
        (_("Stop the job safely"), _("Flame out, cylinder closed, nothing forgotten"), "stop", lambda: shell.open(stop_page)),
        (_("Measures"), _("Look at them, correct them"), "tape", lambda: shell.open(measures_page)),
        (_("Voice"), _voice_words(shell), "voice", lambda: _turn(shell, "voice")),
        (_("Moving pictures"), _("On: hand moves are shown moving") if shell.wishes.motion else _("Off: pictures stand still"), "play", lambda: _turn(shell, "motion")),
        (_("Words of the trade"), _("What they mean, with a picture"), "question", lambda: shell.open(to("words_page"))),
        (_("Feet and inches or metres"), _("Now: %(units)s") % {"units": shell.system}, "again", lambda: _units(shell)),
    ]
    body: list[Widget] = [stages(view), *debts_card(view.debts)]
    for words, note, icon, do in rows:
        row = ListRow(words=words, note=note, icon=icon)
        row.bind(on_act=lambda _row, do=do: do())
        body.append(row)
    return page(shell, view.boat, _("Menu"), body)


def _pause(shell: Shell) -> None:
    if shell.send(act.Pause(shell.person, "")):
        shell.back()


def _voice_words(shell: Shell) -> str:
    """What the switch for the voice says."""
    voice = shell.alarm.speaker.name if shell.alarm is not None else ""
    if not voice:
        return _("This device has no voice. Trips still sound and flash.")
    return _("On: %(voice)s") % {"voice": voice} if shell.wishes.voice else _("Off. A trip still sounds and flashes.")


def _turn(shell: Shell, name: str) -> None:
    shell.wishes.turn(name)
    if name == "voice" and not shell.wishes.voice and shell.alarm is not None:
        shell.alarm.speaker.hush()
    shell.refresh()


def _units(shell: Shell) -> None:
    shell.system = "metric" if shell.system == "us" else "us"
    shell.refresh()


def _not_left_out(shell: Shell, step: Step) -> tuple[ReasonText, ...]:
    """What stands against leaving a step out, whatever reason is typed."""
    job = shell.job
    assert job is not None
    return tuple(reason_text(r, shell.system) for r in may_excuse(job.rules, job.state, step, shell.person, shell.desk.now()))


def excuse_page(shell: Shell) -> Widget:
    """Leave the step out that the job is at, with a reason; or why it cannot be left out."""
    job = shell.job
    assert job is not None
    step = first_step(job.rules, job.state)
    if step is None:
        return page(shell, job.state.boat, _("Leave out"), [Paragraph(words=_("Every step is done"))])
    told = Paragraph(words=_(step.do), size_name="title", bold=True)
    if kept := _not_left_out(shell, step):
        reasons = ReasonList(reasons=[reason_line(place, reason) for place, reason in enumerate(kept)])
        reasons.bind(on_clear=lambda _list, key: clear(shell, kept[int(key)]))
        return page(shell, job.state.boat, _("Leave out"), [told, reasons])
    draft = shell.draft.setdefault(f"excuse {step.id}", {"why": ""})
    field = Field(label=_("Why is it left out?"), text=draft["why"], lines=2)
    field.bind(text=lambda _field, text: draft.__setitem__("why", text))
    return page(shell, job.state.boat, _("Leave out"), [told, field],
                [button(_("Leave it out"), lambda: shell.send(act.Excuse(shell.person, step.id, draft["why"])), "primary", icon="minus")])


@route
def stop_page(shell: Shell) -> Widget:
    """Ask for the safe stop, with a reason."""
    job = shell.job
    assert job is not None
    draft = shell.draft.setdefault("stop", {"why": ""})
    field = Field(label=_("Why do you stop?"), text=draft["why"], lines=2)
    field.bind(text=lambda _field, text: draft.__setitem__("why", text))
    body = [Paragraph(words=_("Stop the job safely"), size_name="title", bold=True), field]
    return page(shell, job.state.boat, _("Stopping safely"), body,
                [button(_("Stop"), lambda: shell.send(act.AskStop(shell.person, draft["why"])), "primary", icon="stop", hold=1.0)])


def measures_page(shell: Shell) -> Widget:
    """All measures that are in; one touch corrects one."""
    from coach.tablet.screens.entry import open_measure
    from coach.view.measures import shown_value

    job = shell.job
    assert job is not None
    body: list[Widget] = []
    for id, value in job.state.measures.items():
        measure = job.rules.procedure.measures[id]
        row = ListRow(key=id, words=_(measure.ask), icon="tape", badge=shown_value(measure, value, shell.system))
        row.bind(on_act=lambda touched, *_: open_measure(shell, touched.key))
        body.append(row)
    return page(shell, job.state.boat, _("Measures"), body)
