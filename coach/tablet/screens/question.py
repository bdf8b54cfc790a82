"""A question of this boat in the middle of the walk: it is answered, or the thing is looked at again."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.attention import COUNT
from coach.language import _
from coach.tablet.routes import to
from coach.tablet.screens.entry import open_measure
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import pick, picks, title, under
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.walk import QuestionView, WalkView

DRAFT = "_question"


def question_page(shell: Shell, view: WalkView) -> Widget:
    """The question that waits. What was answered wrong can be looked at again, and the record corrected."""
    question = view.question
    assert question is not None
    draft = shell.draft.setdefault(DRAFT, {"value": 0 if question.kind == COUNT else ""})
    body: list[Widget] = [Paragraph(words=question.ask, size_name="title", bold=True)]
    if question.wrong:
        body.append(
            CautionPanel(
                signal="CAUTION",
                words=_("That is not what the record says."),
                why=_("Go there and look again. Then answer, or correct the record."),
            )
        )
    else:
        body.append(
            Paragraph(
                words=_("Look before you answer. The answer is held against the record."), size_name="note", tone="soft"
            )
        )
    body.append(_asked(question, draft))
    if question.wrong:
        row = ListRow(words=_("The record is wrong"), note=_("Correct it"), icon="pen")
        row.bind(on_act=lambda *_: _correct(shell, question))
        body.append(row)
    words = _("I have looked again") if question.wrong else _("This is so")
    return page(
        shell,
        title(view),
        under(view),
        body,
        [button(words, lambda: _answer(shell, draft), "primary", icon="tick")],
        picks=picks(),
        pick=lambda key: pick(shell, key),
    )


def _asked(question: QuestionView, draft: dict[str, object]) -> Widget:
    if question.kind == COUNT:
        counter = Counter(value=draft["value"])
        counter.bind(on_counted=lambda _counter, value: draft.__setitem__("value", int(value)))
        return counter
    tiles = ChoiceTiles(
        options=[Choice(id, label) for id, label in question.options], chosen=[draft["value"]] if draft["value"] else []
    )
    tiles.bind(on_choose=lambda _tiles, key: draft.__setitem__("value", key))
    return tiles


def _answer(shell: Shell, draft: dict[str, object]) -> None:
    if shell.send(act.Answer(shell.person, str(draft["value"])), stay=True):
        shell.draft.pop(DRAFT, None)
        shell.refresh()


def _correct(shell: Shell, question: QuestionView) -> None:
    if question.act == "measure":
        open_measure(shell, question.where)
    else:
        to("open_proof")(shell, question.where)
