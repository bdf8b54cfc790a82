"""A job that has ended: its checklist, and the supervisor's review."""

from __future__ import annotations

import re

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _, n_
from coach.tablet.routes import to
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import debts_card, story_picture, title
from coach.tablet.screens.pictures import photos
from coach.tablet.screens.pin import confirm
from coach.tablet.screens.who import is_supervisor
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.signature import SignaturePad
from coach.tablet.widgets.text import Paragraph
from coach.view.checklist import Checklist, checklist
from coach.view.signing import acceptance_of
from coach.view.story import time_line
from coach.view.walk import WalkView

STATE_LINES = {
    "closed": "Signed. It waits for the supervisor's review.", "stopped": "Stopped safely. It waits for the supervisor's review.",
    "accepted": "Accepted and countersigned.",
}
PICTURE = re.compile(r"^[0-9a-f]{12}…$")  # a picture's name in the record tells a reader nothing; it is shown above
CLOCK = 18.5  # mm, the column of the times
FIRST = ("tripped", "heat_refused", "step_excused", "debt_tagged", "stop_asked", "sent_back", "step_reopened")


def ended_page(shell: Shell, view: WalkView) -> Widget:
    """The finished checklist; for a supervisor with the ways to answer it."""
    job = shell.job
    assert job is not None
    list_ = checklist(job.rules, job.events, shell.system)
    body: list[Widget] = [Paragraph(words=_(STATE_LINES[view.status]), size_name="title", bold=True)]
    if is_supervisor(shell):
        body += to("job_flags")(shell)
    body += _news(list_) + debts_card(view.debts) + _signatures(list_)
    if shown := photos(shell, job):
        body += [Paragraph(words=_("Photos"), size_name="lead", bold=True), *shown]
    body.append(Paragraph(words=_("Checklist"), size_name="lead", bold=True))
    body += _lines(list_)
    foot: list[Widget] = []
    if is_supervisor(shell) and view.status in ("closed", "stopped"):
        foot = [
            button(_("Send back"), lambda: shell.open(send_back_page), icon="back"),
            button(_("Accept"), lambda: shell.open(accept_page), "primary", icon="pen"),
        ]
    return page(shell, title(view), view.technician, body, foot, picks=[("story", "list", _("Moments"))], pick=lambda _key: shell.open(story_page))


def _news(list_: Checklist) -> list[Widget]:
    lines = [line for line in list_.story if line.kind in FIRST]
    if not lines:
        return [CautionPanel(signal="SAFETY", words=_("Nothing out of the ordinary."))]
    card = Card(title=_("Look at this first"))
    for line in lines:
        card.add_widget(MarkedLine(mark=line.clock[:5], words=line.text, wide=CLOCK))
    return [card]


def _signatures(list_: Checklist) -> list[Widget]:
    card = Card(title=_("Signatures"))
    for each in list_.signatures:
        card.add_widget(MarkedLine(icon="pen", words=each.meaning, note=f"{each.name}, {each.role}, {each.at}"))
    return [card] if list_.signatures else []


def _lines(list_: Checklist) -> list[Widget]:
    found: list[Widget] = []
    stage = ""
    for line in list_.lines:
        if line.mark == "not_asked":
            continue
        if line.stage != stage:
            stage = line.stage
            card = Card(title=stage)
            found.append(card)
        icon, tone = {"done": ("tick", "good"), "excused": ("minus", "ink"), "open": ("hollow", "ink")}[line.mark]
        evidence = "; ".join(f"{ask} {PICTURE.sub('✓', answer)}" for ask, answer in line.evidence)
        card.add_widget(MarkedLine(icon=icon, mark_tone=tone, words=line.text, note=evidence or line.note))
    return found


def story_page(shell: Shell) -> Widget:
    """Moment by moment."""
    job = shell.job
    assert job is not None
    list_ = checklist(job.rules, job.events, shell.system)
    body: list[Widget] = [story_picture(time_line(job.rules, job.events)), *photos(shell, job)]
    who = ""
    for line in list_.story:
        if line.by != who:
            who = line.by
            body.append(Paragraph(words=who, bold=True))
        tone = "bad" if line.tone == "danger" else "ink"
        body.append(MarkedLine(mark=line.clock[:5], words=line.text, tone=tone, mark_tone=tone, wide=CLOCK))
    return page(shell, list_.boat, _("Moments"), body)


def accept_page(shell: Shell) -> Widget:
    """Countersign: left-out steps are judged one by one, then the hand."""
    job = shell.job
    assert job is not None
    person = shell.desk.policy.people[shell.person]
    meaning = acceptance_of(job.rules.procedure)
    body: list[Widget] = []
    for id, why in job.state.excused.items():
        body.append(CautionPanel(signal="NOTICE", words=_("Left out: %(step)s") % {"step": _(job.rules.steps[id].do)}, why=why))
    pad = SignaturePad(who=person.name, meaning=_(meaning))
    body.append(pad)

    def accept() -> None:
        strokes = tuple(tuple((int(x), int(y)) for x, y in stroke) for stroke in pad.strokes)
        given = act.Accept(shell.person, meaning, strokes, tuple(job.state.excused), _(meaning))
        confirm(shell, shell.person, _(meaning), lambda: shell.send(given) and shell.back())

    return page(shell, job.state.boat, _("Accept"), body, [button(_("Accept and seal"), accept, "primary", icon="pen", hold=1.0)])


def send_back_page(shell: Shell) -> Widget:
    """Choose the steps, say why at each."""
    job = shell.job
    assert job is not None
    given = dict(_reasons(shell))
    body: list[Widget] = [Paragraph(words=_("Which step is to be mended?"), size_name="title", bold=True)]
    stage = ""
    for step in job.rules.procedure.steps:
        if step.id in job.state.done or step.id in job.state.excused:
            if step.stage != stage:
                stage = step.stage
                heading = next(each.title for each in job.rules.procedure.stages if each.id == stage)
                body.append(Paragraph(words=_(heading), size_name="lead", bold=True))
            row = ListRow(key=step.id, words=_(step.do), note=given.get(step.id, ""), icon="tick" if step.id in given else "")
            row.bind(on_act=lambda touched, *_: shell.open(lambda s, id=touched.key: reason_page(s, id)))
            body.append(row)
    words = n_("Send %(count)d step back", "Send %(count)d steps back", len(given)) % {"count": len(given)}
    foot = [button(words, lambda: _send_back(shell, ""), "primary", icon="back")] if given else []
    return page(shell, job.state.boat, _("Send back"), body, foot)


def _reasons(shell: Shell) -> tuple[tuple[str, str], ...]:
    """The steps for which a reason was written, in the order of the work."""
    job = shell.job
    assert job is not None
    drafts = {step.id: shell.draft.get(f"back {step.id}", {"why": ""})["why"] for step in job.rules.procedure.steps}
    return tuple((id, why) for id, why in drafts.items() if why.strip())


def _send_back(shell: Shell, id: str) -> None:
    """Send back every step with a reason, and this one even without, so that the kernel can say what is missing."""
    reasons = _reasons(shell)
    if id and id not in dict(reasons):
        reasons = (*reasons, (id, ""))
    if shell.send(act.SendBack(shell.person, reasons)):
        shell.draft = {}
        shell.home(to("board_page"))


def reason_page(shell: Shell, id: str) -> Widget:
    """The reason at a step."""
    job = shell.job
    assert job is not None
    draft = shell.draft.setdefault(f"back {id}", {"why": ""})
    field = Field(label=_("What is to be mended?"), text=draft["why"], lines=3)
    field.bind(text=lambda _field, text: draft.__setitem__("why", text))
    body = [Paragraph(words=_(job.rules.steps[id].do), size_name="title", bold=True), field]
    foot = [
        button(_("One more step"), shell.back, icon="list"),
        button(_("Send it back"), lambda: _send_back(shell, id), "primary", icon="back"),
    ]
    return page(shell, job.state.boat, _("Send back"), body, foot)
