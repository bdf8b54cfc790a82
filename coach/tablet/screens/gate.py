"""The safeguards one by one, where a touch on their bar leads; and the one touch that clears each reason against a flame."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.entry import open_measure
from coach.tablet.screens.frame import BAR_STATE, page
from coach.tablet.screens.proof import open_proof
from coach.tablet.shell import Shell
from coach.tablet.widgets.reasons import ReasonLine
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.safeguards import SHAPES, state_words
from coach.tablet.widgets.text import Paragraph
from coach.view.gate import Tile, gate_view
from coach.view.texts import ReasonText

LOOK = {"proven": "safe", "missing": "plain", "lapsed": "caution", "withdrawn": "danger", "unmet": "danger"}


@route
def gate_page(shell: Shell) -> Widget:
    """Every safeguard with how it stands; a touch opens its questions."""
    job = shell.job
    assert job is not None
    gate = gate_view(job.rules, job.state, shell.desk.now(), shell.system)
    words = _("%(held)d of %(needed)d safeguards hold") % {"held": gate.held, "needed": gate.needed}
    body: list[Widget] = [Paragraph(words=words, size_name="title", bold=True)]
    body += [_row(shell, tile) for tile in gate.tiles]
    return page(shell, job.state.boat, _("Safety gate"), body, gate=True, quiet=True)


def _row(shell: Shell, tile: Tile) -> Widget:
    state = BAR_STATE[tile.kind]
    note = _("It holds for %(minutes)d more minutes") % {"minutes": tile.minutes} if tile.minutes >= 0 else ""
    row = ListRow(
        key=tile.id,
        words=tile.name,
        note=note,
        badge=state_words(state),
        badge_icon=SHAPES[state],
        badge_role=LOOK[state],
    )
    row.bind(on_act=lambda touched, *_: open_proof(shell, touched.key))
    return row


def _back_to_walk(shell: Shell, _about: str) -> None:
    shell.back_to(shell.depth - 1)


# act of a reason -> the words of its key
KEY_WORDS = {
    "observe": "Show it", "measure": "Measure", "resume": "Go on with this boat", "hand_over": "Take the job over",
    "reset": "Reset", "stop": "Stop the job safely", "do": "Go there", "answer": "Answer",
}
# act of a reason -> what its key does with what the reason is about
CLEARS: Mapping[str, Callable[[Shell, str], object]] = {
    "observe": open_proof,
    "measure": open_measure,
    "resume": lambda shell, _about: shell.send(act.Resume(shell.person)),
    "hand_over": lambda shell, _about: shell.send(act.HandOver(shell.person)),
    "reset": lambda shell, _about: shell.send(act.Reset(shell.person)),
    "stop": lambda shell, _about: shell.open(to("stop_page")),
    "do": _back_to_walk,
    "answer": _back_to_walk,
}


def reason_line(place: int, reason: ReasonText, several: bool = False) -> ReasonLine:
    """A reason with the key that clears it. Its key is its place, since two may be about the same thing.

    several: there are more, and each must be in sight: what mends it stands there without why it matters.
    """
    words = _(KEY_WORDS[reason.act]) if reason.act in KEY_WORDS else ""
    return ReasonLine(str(place), reason.what, reason.mend if several and reason.mend else f"{reason.why} {reason.mend}", words, reason.english)


def clear(shell: Shell, reason: ReasonText) -> None:
    """Do the one act that clears a reason."""
    if reason.act in CLEARS:
        CLEARS[reason.act](shell, reason.about)
