"""A new boat: its name, and the procedure for it."""

from __future__ import annotations

from collections import Counter

from kivy.uix.widget import Widget

from coach.core.problems import CoachError, Problem
from coach.core.session import Refusal
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.text import Paragraph
from coach.view.texts import problem_text, reason_text

# What most boats ask for, the most common first (common practice, no source).
COVERS = ("power-boat-trailer", "power-boat-stands", "pontoon-boat", "sailing-boat-mast-down", "sailing-boat-mast-up", "personal-watercraft")


@route
def new_page(shell: Shell) -> Widget:
    """Name and procedure, then begin."""
    draft = shell.draft
    name = Field(label=_("Name of the boat"), hint=_("As on the hull"), text=draft.get("boat", ""), longest=60)
    name.bind(text=lambda _field, text: draft.__setitem__("boat", text))
    found = shell.desk.procedures()
    options = [Choice(id, _(title)) for id, title in _usual_first(shell, found) if not isinstance(title, Problem)]
    kinds = ChoiceTiles(options=options, chosen=[draft["procedure"]] if "procedure" in draft else [], least=70)
    kinds.bind(on_choose=lambda _tiles, key: draft.__setitem__("procedure", key))
    body: list[Widget] = [name, Paragraph(words=_("What is to be done?"), bold=True), kinds]
    for id, title in found:
        if isinstance(title, Problem):
            what, _why, mend = problem_text(title)
            words = _("The procedure %(id)s cannot be used: %(what)s") % {"id": id, "what": what}
            body.append(CautionPanel(signal="NOTICE", words=words, why=f"{title.place or ''} {mend}".strip()))
    foot = [
        button(_("Practise"), lambda: _begin(shell, True)),
        button(_("Start the job"), lambda: _begin(shell, False), "primary"),
    ]
    return page(shell, _("New boat"), shell.desk.policy.people[shell.person].name, body, foot)


def nothing_chosen() -> Problem:
    """A job of no procedure."""
    return Problem("C120", "nothing is chosen", "the steps depend on it", "choose what is to be done")


def _usual_first(shell: Shell, found: list[tuple[str, str | Problem]]) -> list[tuple[str, str | Problem]]:
    """What this tablet has done most often comes first, then covers, then the rest."""
    done = Counter(row.procedure for row in shell.desk.board())
    place = {id: number for number, id in enumerate(COVERS)}
    return sorted(found, key=lambda each: (-done[each[0]], place.get(each[0], len(place))))


def _begin(shell: Shell, practice: bool) -> None:
    board_page = to("board_page")
    walk_page = to("walk_page")
    procedure = shell.draft.get("procedure", "")
    if not procedure:
        shell.trouble(nothing_chosen())
        return
    try:
        answer = shell.desk.start(shell.desk.load(procedure), shell.draft.get("boat", ""), shell.person, practice,
                                  shell.presence.identified(shell.person))
    except CoachError as error:
        shell.trouble(*error.problems)
        return
    if isinstance(answer, Refusal):
        shell.refused(tuple(reason_text(reason, shell.system) for reason in answer.reasons))
        return
    shell.home(board_page)
    shell.job = answer
    shell.draft = {}
    shell.open(walk_page)
