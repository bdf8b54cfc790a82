"""Pieces that several pages of a job share: title, cautions, the sentence of a step, numbers, debts, the menu's signs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.uix.widget import Widget

from coach.language import _, english_of
from coach.tablet.routes import to
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.body import Tiles
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.marked import MarkedLine
from coach.tablet.widgets.number import NumberTile
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.progress import ProgressByStage, StageLine
from coach.tablet.widgets.progress import StageMark as Mark
from coach.tablet.widgets.text import Paragraph
from coach.view.drawing import Drawing
from coach.view.measures import NumberLine
from coach.view.pictures.focus import about, focused
from coach.view.story import height_of
from coach.view.walk import DebtLine, StepView, WalkView, progress

PICKS = (("numbers", "tape", "Numbers"), ("menu", "menu", "Menu"))


def picks() -> list[tuple[str, str, str]]:
    """The signs at the right of a job's title bar."""
    return [(key, icon, _(words)) for key, icon, words in PICKS]


def pick(shell: Shell, key: str) -> None:
    """Follow one of them."""
    menu_page = to("menu_page")
    numbers_page = to("numbers_page")
    shell.open(numbers_page if key == "numbers" else menu_page)


def title(view: WalkView) -> str:
    """The boat; that it is practice stands in the banner over every page."""
    return view.boat


def under(view: WalkView) -> str:
    """Stage and place in the walk."""
    done, of = progress(view.stages)
    stage = view.step.stage if view.step else ""
    return _("%(stage)s · %(done)d of %(of)d steps") % {"stage": stage, "done": done, "of": of}


def picture_of(shell: Shell, name: str, step: StepView | None = None) -> Drawing | None:
    """A picture of this boat; with a step, what the step is about is marked on it."""
    from coach.view.boat import boat_picture

    job = shell.job
    drawing = boat_picture(job.rules, job.state.measures, name, shell.system) if job and name else None
    if drawing is None or step is None:
        return drawing
    return focused(drawing, about(step.id, [line.id for line in step.numbers]))


def beside(words: str, tone: str = "soft") -> list[Widget]:
    """The English of a safety text, small, where the language in use is not reviewed; nothing elsewhere."""
    english = english_of(words)
    return [Paragraph(words=english, size_name="note", tone=tone)] if english else []


def told(step: StepView) -> list[Widget]:
    """The sentence, what stands open again, and the cautions that may hurt."""
    found: list[Widget] = [Paragraph(words=step.do, size_name="lead" if step.picture else "title", bold=True)]
    found += beside(step.do) if step.heat else []
    if step.sent_back:
        found.append(CautionPanel(signal="NOTICE", words=_("Sent back by the supervisor"), why=step.sent_back))
    elif step.reopened:
        found.append(CautionPanel(signal="NOTICE", words=_("This step is open again"), why=step.reopened))
    found += [CautionPanel(signal=signal, words=text) for signal, text in step.cautions if signal in ("DANGER", "WARNING")]
    return found


def reasons_of(step: StepView) -> list[Widget]:
    """Why, how to tell that it is right, what goes wrong, and the lesser cautions."""
    found: list[Widget] = []
    for heading, text in ((_("Right when"), step.right), (_("Why"), step.why), (_("What goes wrong"), step.wrong)):
        if text:
            card = Card(title=heading)
            card.add_widget(Paragraph(words=text))
            found.append(card)
    found += [CautionPanel(signal=signal, words=text) for signal, text in step.cautions if signal not in ("DANGER", "WARNING")]
    return found


def story_picture(drawing: Drawing) -> Widget:
    """A job's time line, as high as its days ask for."""
    return PictureView(drawing=drawing, size_hint_y=None, height=height_of(drawing) * theme.mm)


def number_tiles(lines: Sequence[NumberLine], most: int = 2) -> Widget:
    """Numbers in large, each with its arithmetic."""
    tiles = Tiles(least=54, most=most)
    for line in lines:
        waits = [text.rstrip("?") for text in line.waits]
        tiles.add_widget(NumberTile(label=line.title, value=line.shown, why=line.explanation or line.problem, waits=waits if not line.shown else []))
    return tiles


def debts_card(debts: Sequence[DebtLine]) -> list[Widget]:
    """What must still be undone; nothing if nothing is open."""
    if not debts:
        return []
    card = Card(title=_("Still to be undone"))
    for debt in debts:
        minutes = "" if debt.minutes < 0 else " " + _("(%(minutes)d minutes to go)") % {"minutes": debt.minutes}
        amount = f"{debt.amount} × " if debt.amount > 1 else ""
        card.add_widget(Paragraph(words=f"{amount}{debt.name}{minutes}", bold=True))
        card.add_widget(MarkedLine(icon="next", words=debt.undo))
    return [card]


def stages(view: WalkView) -> Widget:
    """The tape of stages, with its words."""
    return ProgressByStage(**_tape(view))


def stage_line(view: WalkView) -> Widget:
    """The tape of stages as a line over a step, whose title bar has the words."""
    return StageLine(**_tape(view))


def _tape(view: WalkView) -> dict[str, Any]:
    marks = [Mark(mark.title, mark.done, mark.of) for mark in view.stages]
    now = next((place for place, mark in enumerate(view.stages) if mark.kind == "now"), len(marks) - 1)
    return {"stages": marks, "current": now}
