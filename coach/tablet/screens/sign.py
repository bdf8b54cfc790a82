"""The technician signs the finished job by hand."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import pick, picks, title
from coach.tablet.screens.pin import confirm
from coach.tablet.shell import Shell
from coach.tablet.widgets.reasons import ReasonLine, ReasonList
from coach.tablet.widgets.signature import SignaturePad
from coach.tablet.widgets.text import Paragraph
from coach.view.signing import meaning_of
from coach.view.walk import WalkView


def sign_page(shell: Shell, view: WalkView) -> Widget:
    """Every step is settled."""
    if view.reasons:
        lines = [ReasonLine(str(n), reason.what, f"{reason.why} {reason.mend}", english=reason.english) for n, reason in enumerate(view.reasons)]
        body: list[Widget] = [Paragraph(words=_("Not ready to sign"), size_name="title", bold=True), ReasonList(reasons=lines)]
        foot: list[Widget] = []
    else:
        assert shell.job is not None
        body, foot = signing(shell, meaning_of(shell.job.rules.procedure))
        body = [Paragraph(words=_("Every step is done"), size_name="title", bold=True), *body]
    return page(shell, title(view), _("Sign"), body, foot, picks=picks(), pick=lambda key: pick(shell, key))


def signing(shell: Shell, meaning: str) -> tuple[list[Widget], list[Widget]]:
    """The signature pad with its meaning, and the button that seals it."""
    person = shell.desk.policy.people[shell.person]
    pad = SignaturePad(who=person.name, meaning=_(meaning))

    def seal() -> None:
        strokes = tuple(tuple((int(x), int(y)) for x, y in stroke) for stroke in pad.strokes)
        confirm(shell, shell.person, _(meaning), lambda: shell.send(act.Sign(shell.person, meaning, strokes, _(meaning))))

    return [pad], [button(_("Sign and seal"), seal, "primary", icon="pen", hold=1.0)]
