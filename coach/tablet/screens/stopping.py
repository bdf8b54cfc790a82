"""Stopping safely: what is still open is undone or hung on a tag, then the stop is signed."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.checks import may_do
from coach.language import _
from coach.tablet.screens import evidence as given
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import title
from coach.tablet.screens.sign import signing
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.text import Paragraph
from coach.view.signing import STOP_MEANING
from coach.view.texts import reason_text
from coach.view.walk import DebtLine, WalkView, step_view


def stopping_page(shell: Shell, view: WalkView) -> Widget:
    """The page of a job that is being stopped."""
    open_ = [debt for debt in view.debts if not debt.tag]
    body: list[Widget] = [CautionPanel(signal="NOTICE", words=_("Stopping safely"), why=_("Undo what is open, or hang it on a tag at the boat."))]
    for debt in view.debts:
        body.append(_debt(shell, debt))
    foot: list[Widget] = []
    if not open_:
        widgets, foot = signing(shell, STOP_MEANING)
        body += widgets
    return page(shell, title(view), _("Stopping safely"), body, foot)


def _debt(shell: Shell, debt: DebtLine) -> Widget:
    card = Card(title=debt.name)
    if debt.tag:
        card.add_widget(Paragraph(words=_("On a tag: %(where)s") % {"where": debt.tag}))
        return card
    minutes = "" if debt.minutes <= 0 else " " + _("(%(minutes)d minutes to go)") % {"minutes": debt.minutes}
    card.add_widget(Paragraph(words=debt.undo + minutes))
    card.add_widget(button(_("Undo it now"), lambda: shell.open(lambda s: undo_page(s, debt)), icon="tick"))
    card.add_widget(button(_("Hang it on a tag"), lambda: shell.open(lambda s: tag_page(s, debt)), icon="pen"))
    return card


def undo_page(shell: Shell, debt: DebtLine) -> Widget:
    """The clearing step of a debt, with its evidence."""
    job = shell.job
    assert job is not None
    rules, state, now = job.rules, job.state, shell.desk.now()
    step = step_view(rules, state, rules.steps[debt.step], now, shell.system)
    draft = shell.draft.setdefault(step.id, {})
    reasons = may_do(rules, state, rules.steps[debt.step], shell.person, now)
    body: list[Widget] = [CautionPanel(signal="NOTICE", words=text.what, why=text.mend) for text in (reason_text(r, shell.system) for r in reasons)]
    body += [Paragraph(words=step.do, size_name="title", bold=True), *given.widgets(shell, step, draft)]
    return page(shell, state.boat, debt.name, body, [
        button(_("Done, and looked at"), lambda: _undone(shell, debt, draft), "primary", icon="tick")])


def _undone(shell: Shell, debt: DebtLine, draft: dict[str, object]) -> None:
    job = shell.job
    assert job is not None
    step = step_view(job.rules, job.state, job.rules.steps[debt.step], shell.desk.now(), shell.system)
    if shell.send(act.Do(shell.person, step.id, given.collected(step, draft), step.do), stay=True, beside=str(draft.get(given.BESIDE, ""))):
        shell.draft.pop(step.id, None)
        shell.back()


def tag_page(shell: Shell, debt: DebtLine) -> Widget:
    """Where the tag hangs, and why."""
    draft = shell.draft.setdefault(f"tag {debt.id}", {"where": "", "why": ""})
    where = Field(label=_("Where does the tag hang?"), text=draft["where"])
    why = Field(label=_("Why is it not undone?"), text=draft["why"])
    where.bind(text=lambda _field, text: draft.__setitem__("where", text))
    why.bind(text=lambda _field, text: draft.__setitem__("why", text))

    def hang() -> None:
        if shell.send(act.Tag(shell.person, debt.id, draft["where"], draft["why"]), stay=True):
            shell.back()

    return page(shell, debt.name, _("On a tag"), [where, why], [button(_("The tag hangs"), hang, "primary", icon="pen")])
