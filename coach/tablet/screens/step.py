"""One step without a flame: its measures first, then what it asks as evidence, then the one way on."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.checks import may_do
from coach.core.model import MEASURE_KINDS_EXTRA
from coach.language import _
from coach.tablet.screens import evidence as given
from coach.tablet.screens.entry import open_measure
from coach.tablet.screens.frame import button, page, safeguards_bar
from coach.tablet.screens.heat import open_heat
from coach.tablet.screens.parts import debts_card, number_tiles, pick, picks, picture_of, reasons_of, stage_line, title, told, under
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.reasons import ReasonLine, ReasonList
from coach.tablet.widgets.rows import ListRow
from coach.view.measures import MeasureField
from coach.view.walk import StepView, WalkView


def step_page(shell: Shell, view: WalkView) -> Widget:
    """The page of a step."""
    step = view.step
    assert step is not None
    draft = shell.draft.setdefault(step.id, {})
    body = told(step)
    body += [_measure_row(shell, field) for field in step.measures]
    body += [number_tiles(step.numbers)] if step.numbers else []
    ready = not any(field.wanted for field in step.measures)
    foot: list[Widget] = []
    if ready:
        body += _disagreement(step, draft)
        body += given.widgets(shell, step, draft)
        words = _("Done, next step") if not given.only_tick(step) else _("Done, and looked at")
        foot = [button(words, lambda: _done(shell, step, draft), "primary", icon="tick")]
        if step.heat:
            foot.insert(0, button(_("Light it again"), lambda: open_heat(shell, step.id), icon="flame"))
    else:
        wanted = next(field for field in step.measures if field.wanted)
        foot = [button(_("Measure") if wanted.kind not in MEASURE_KINDS_EXTRA else _("Answer"),
                       lambda: open_measure(shell, wanted.id), "primary", icon="tape")]
    hard = [reason for reason in step.reasons if reason.code in ("G061", "G060", "G041")]
    if hard:
        lines = [ReasonLine(reason.code, reason.what, f"{reason.why} {reason.mend}", english=reason.english) for reason in hard]
        body.append(ReasonList(reasons=lines))
    body += reasons_of(step)
    body += debts_card(view.debts)
    bar = safeguards_bar(view.gate) if view.gate and _near_gate(shell) else None
    shell.each_second(lambda: _follow(shell, step))
    return page(shell, title(view), under(view), body, foot, drawing=picture_of(shell, step.picture, step), bar=bar, picks=picks(),
                pick=lambda key: pick(shell, key), line=stage_line(view))


def _follow(shell: Shell, step: StepView) -> None:
    """Build the page anew when time has changed what stands against the step (a fire watch that is over)."""
    job = shell.job
    if job is not None and step.id in job.rules.steps:
        reasons = may_do(job.rules, job.state, job.rules.steps[step.id], job.state.technician, shell.desk.now())
        if [reason.code for reason in reasons] != [reason.code for reason in step.reasons]:
            shell.refresh()


def _near_gate(shell: Shell) -> bool:
    """Whether the bar has anything to say yet: something was shown, withdrawn, or owed."""
    state = shell.job.state if shell.job else None
    return state is not None and bool(state.proofs or state.withdrawn or state.debts or state.heated)


def _measure_row(shell: Shell, field: MeasureField) -> Widget:
    row = ListRow(key=field.id, words=field.ask, note=field.value or field.range or field.how, icon="question" if field.wanted else "tick",
                  badge="" if field.wanted else field.value)
    row.note = (field.how or field.range) if field.wanted else _("Touch to correct it")
    row.bind(on_act=lambda *_: open_measure(shell, field.id))
    return row


def _disagreement(step: StepView, draft: dict[str, Any]) -> list[Widget]:
    """Measures that cannot all be true, and the field in which a person says why they keep them."""
    if not step.checks:
        return []
    found: list[Widget] = [CautionPanel(signal="CAUTION", words=reason.what, why=reason.why) for reason in step.checks]
    if any(reason.code != "G030" for reason in step.checks):
        return found  # nothing that is typed keeps these
    field = Field(label=_("Measure again, or say why you keep them"), text=draft.get("kept", ""))
    field.bind(text=lambda _field, text: draft.__setitem__("kept", text))
    return [*found, field]


def _done(shell: Shell, step: StepView, draft: dict[str, Any]) -> None:
    evidence = given.collected(step, draft)
    if shell.send(act.Do(shell.person, step.id, evidence, step.do), beside=draft.get(given.BESIDE, "")):
        shell.draft.pop(step.id, None)
        shell.refresh()
