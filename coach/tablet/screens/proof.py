"""The questions of one safeguard, and its answer to the gate."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import button, page, safeguards_bar
from coach.tablet.screens.parts import beside, pick, picks, reasons_of, stage_line, title, under
from coach.tablet.screens.questions import BESIDE, question
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.text import Paragraph
from coach.view.gate import ProofForm, asked_now, proof_form, proof_values
from coach.view.walk import WalkView, walk_view


@route
def open_proof(shell: Shell, id: str) -> None:
    """Open the questions of a safeguard from anywhere."""
    to("note_calls")(shell, id)
    shell.open(lambda shell: proof_page(shell, id))


def proof_page(shell: Shell, id: str, view: WalkView | None = None) -> Widget:
    """The page of a safeguard. view: where it is the step the job is at."""
    job = shell.job
    assert job is not None
    now = shell.desk.now()
    seen = view or walk_view(job.rules, job.state, now, shell.system)
    form = proof_form(job.rules, job.state, id, now, shell.system)
    typed = shell.draft.setdefault(f"proof {id}", {})
    at_step = view is not None and view.step is not None
    body: list[Widget] = []
    if view is not None and view.step is not None:
        body += [Paragraph(words=view.step.do, size_name="lead", bold=True), *beside(view.step.do)]
    else:
        body += [Paragraph(words=form.ask, size_name="title", bold=True), *beside(form.ask)]
    if id in job.state.proofs and form.reasons:
        body += [CautionPanel(signal="CAUTION", words=reason.what, why=reason.mend, english=reason.english) for reason in form.reasons]
    for field in form.fields:
        if asked_now(field, typed):
            body += question(shell, field, typed, form.id)
    body += _limits(form)
    if view is not None and view.step is not None:
        body += [CautionPanel(signal=signal, words=text) for signal, text in view.step.cautions if signal in ("DANGER", "WARNING")]
    if view is not None and view.step is not None:
        body += reasons_of(view.step)
    bar = safeguards_bar(seen.gate) if seen.gate else None
    foot = [button(_("This is what I see"), lambda: _answer(shell, form, typed, at_step), "primary", icon="tick")]
    return page(shell, title(seen), under(seen) if at_step else form.name, body, foot, bar=bar,
                picks=picks() if at_step else (), pick=(lambda key: pick(shell, key)) if at_step else None, gate=True,
                line=stage_line(seen) if at_step else None)


def _limits(form: ProofForm) -> list[Widget]:
    if not form.limits:
        return []
    card = Card(title=_("Limits in force"))
    for line in form.limits:
        card.add_widget(Paragraph(words=line, size_name="note"))
    return [card]


def _answer(shell: Shell, form: ProofForm, typed: dict[str, Any], at_step: bool) -> None:
    job = shell.job
    assert job is not None
    values, problems = proof_values(job.rules, form.id, typed, shell.system)
    if problems:
        shell.trouble(*problems.values())
        return
    shown = "\n".join(field.ask for field in form.fields)
    if shell.send(act.Observe(shell.person, form.id, values, shown), stay=True, beside=typed.get(BESIDE, "")):
        status = next(tile for tile in walk_view(job.rules, job.state, shell.desk.now(), shell.system).gate.tiles if tile.id == form.id)  # type: ignore[union-attr]
        if status.kind == "proven":
            shell.draft.pop(f"proof {form.id}", None)
        if not at_step and status.kind == "proven" and not job.state.trip:
            shell.back()
            return
        shell.tick()
        shell.refresh()
