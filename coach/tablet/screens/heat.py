"""Before the flame, and the flame itself: blocked with every reason, ready, lit."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.checks import may_light
from coach.language import _, english_of
from coach.tablet.routes import route
from coach.tablet.screens.frame import button, page, safeguards_bar
from coach.tablet.screens.gate import clear, reason_line
from coach.tablet.screens.parts import pick, picks, picture_of, reasons_of, stage_line, title, told, under
from coach.tablet.screens.proof import open_proof
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.reasons import ReasonList
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.tablet.widgets.timer import figures
from coach.view.gate import proof_form
from coach.view.texts import ReasonText, reason_text
from coach.view.walk import WalkView, walk_view

HOLD_TO_LIGHT = 2.0
OUT_HIGH = 24.0  # mm, the control that puts the flame out


def open_heat(shell: Shell, id: str) -> None:
    """Open the heat page of a step whose flame was out already, to light it again."""
    def build(shell: Shell) -> Widget:
        job = shell.job
        assert job is not None
        return heat_page(shell, walk_view(job.rules, job.state, shell.desk.now(), shell.system, id))

    shell.open(build)


def heat_page(shell: Shell, view: WalkView) -> Widget:
    """A heat step before its flame."""
    step, gate = view.step, view.gate
    assert step is not None and gate is not None
    reasons_now = _light_reasons(shell, step.id)
    blocked = bool(reasons_now)
    lines = [reason_line(place, reason, several=len(reasons_now) > 1) for place, reason in enumerate(reasons_now)]
    body: list[Widget] = []
    words = ""
    if blocked:
        words = _("No flame yet. %(count)d to clear.") % {"count": len(lines)}
        reasons = ReasonList(reasons=lines, gate=True)
        reasons.bind(on_clear=lambda _list, key: clear(shell, reasons_now[int(key)]))
        body += [reasons, *told(step)]
    else:
        body += told(step)
        body.append(CautionPanel(signal="NOTICE", words=_("Every safeguard holds. Local fire codes and the tool's instructions come first.")))
    body += reasons_of(step)
    light = BigButton(words=_("Light the flame"), kind="danger", icon="flame", hold=HOLD_TO_LIGHT, gate=True, disabled=blocked,
                      note="" if blocked else _("Hold it down"))
    light.bind(on_act=lambda *_: shell.send(act.Light(shell.person, step.id)))
    return page(shell, title(view), under(view), body, [light], drawing=None if blocked else picture_of(shell, step.picture, step),
                bar=safeguards_bar(gate, words), picks=picks(), pick=lambda key: pick(shell, key), gate=True,
                line=stage_line(view))


def _light_reasons(shell: Shell, id: str) -> tuple[ReasonText, ...]:
    job = shell.job
    assert job is not None
    reasons = may_light(job.rules, job.state, job.rules.steps[id], shell.person, shell.desk.now())
    return tuple(reason_text(reason, shell.system) for reason in reasons)


def lit_page(shell: Shell, view: WalkView) -> Widget:
    """The flame is lit: what to watch, what may be lost, and one way to put it out."""
    step, gate = view.step, view.gate
    assert step is not None and gate is not None
    body: list[Widget] = [Paragraph(words=_("Flame lit"), size_name="order", bold=True, tone="bad"), *told(step)]
    soon = [tile for tile in gate.tiles if 0 <= tile.minutes <= 3]
    for tile in soon:
        row = ListRow(key=tile.id, words=_("%(name)s: look again soon") % {"name": tile.name},
                      note=_("It holds for %(minutes)d more minutes") % {"minutes": tile.minutes}, icon="clock")
        row.bind(on_act=lambda touched, *_: open_proof(shell, touched.key))
        body.append(row)
    body += reasons_of(step)
    lost = button(_("Something is lost"), lambda: shell.open(loss_page), "secondary", icon="alert", gate=not theme.portrait,
                  size_hint_x=1 if theme.portrait else 0.6)
    out = button(_("Flame out, tool closed"), lambda: shell.send(act.FlameOut(shell.person)), "primary", icon="flame-off", gate=True,
                 note=_lit_words(shell), note_size="title" if theme.portrait else "lead", at_least=OUT_HIGH * theme.mm)
    shell.each_second(lambda: setattr(out, "note", _lit_words(shell)))
    made = page(shell, title(view), under(view), body, [lost, out], drawing=picture_of(shell, step.picture, step), bar=safeguards_bar(gate),
                gate=True, back=False, piled=True, line=stage_line(view))
    made.on_tick = lambda: _tick(shell, view)
    return made


def _lit_words(shell: Shell) -> str:
    """For how long the flame has been lit, from the log."""
    job = shell.job
    lit = next((event.at for event in reversed(job.events) if event.kind == "flame_lit"), None) if job is not None else None
    age = lit.age_at(shell.desk.now()) if lit else None
    return "" if age is None else _("Lit for %(time)s") % {"time": figures(age // 1000)}


def _tick(shell: Shell, view: WalkView) -> None:
    """Build the page anew when a safeguard comes near its end."""
    job = shell.job
    if job is None or view.gate is None:
        return
    fresh = walk_view(job.rules, job.state, shell.desk.now(), shell.system)
    if fresh.gate is not None and [t.minutes <= 3 for t in fresh.gate.tiles] != [t.minutes <= 3 for t in view.gate.tiles]:
        shell.refresh()


@route
def loss_page(shell: Shell) -> Widget:
    """Say what was lost: one touch, and the flame must go out."""
    job = shell.job
    assert job is not None
    body: list[Widget] = [Paragraph(words=_("What was lost? The flame goes out at once."), size_name="title", bold=True)]
    tiles = Tiles(least=84, most=2)
    for id, row in job.rules.safeguards.items():
        form = proof_form(job.rules, job.state, id, shell.desk.now(), shell.system)
        for place, words in enumerate(form.losses):
            made = ListRow(key=f"{id}/{place}", words=words, note=" · ".join(filter(None, (_(row.name), english_of(words)))), icon="alert")
            made.bind(on_act=lambda _row, id=id, why=row.withdrawals[place]: _lose(shell, id, why))
            tiles.add_widget(made)
    body.append(tiles)
    return page(shell, job.state.boat, _("Flame lit"), body, gate=True)


def _lose(shell: Shell, id: str, why: str) -> None:
    shell.send(act.Withdraw(shell.person, id, why))
