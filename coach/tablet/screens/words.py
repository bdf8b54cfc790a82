"""The words of the trade with their pictures: from the menu of a job and from the page of the person at the tablet."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.problems import CoachError
from coach.language import _
from coach.reader.words import TradeWord, trade_words
from coach.tablet.routes import route
from coach.tablet.screens.frame import page
from coach.tablet.screens.parts import beside
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.boat import PICTURES, typical_picture
from coach.view.pictures.focus import marked_word
from coach.view.texts import problem_text


@route
def words_page(shell: Shell) -> Widget:
    """Every word, in the order of the work."""
    try:
        words = trade_words(PICTURES)
    except CoachError as error:
        what, why, _mend = problem_text(error.problems[0])
        return page(shell, _("Words of the trade"), "", [CautionPanel(signal="NOTICE", words=what, why=why)])
    body: list[Widget] = []
    for word in words:
        row = ListRow(key=word.id, words=_(word.name), note=_first(_(word.means)))
        row.bind(on_act=lambda _row, word=word: shell.open(lambda s: word_page(s, word)))
        body.append(row)
    return page(shell, _("Words of the trade"), "", body)


def _first(means: str) -> str:
    """The first sentence: enough to know whether this is the word that is looked for."""
    return means.partition(". ")[0].rstrip(".") + "."


def word_page(shell: Shell, word: TradeWord) -> Widget:
    """One word: what it means, and a typical boat that shows it."""
    name, means = _(word.name), _(word.means)
    body: list[Widget] = [Paragraph(words=name, size_name="title", bold=True), Paragraph(words=means, size_name="lead")]
    body += beside(word.means)
    drawing = typical_picture(word.picture)
    if drawing is not None:
        drawing = marked_word(drawing, word.id, name)
    return page(shell, name, _("Words of the trade"), body, drawing=drawing)
