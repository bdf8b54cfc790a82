"""The evidence of a step as widgets, and what was given as the kernel wants it."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.tablet.drafts import BESIDE
from coach.tablet.screens.entry import open_number
from coach.tablet.screens.frame import button
from coach.tablet.screens.photo import take_photo
from coach.tablet.screens.pin import confirm
from coach.tablet.shell import Shell
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.people import Person, PersonTiles
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.text import Paragraph
from coach.tablet.widgets.timer import TimerFace
from coach.view.texts import nobody_else
from coach.view.timers import OVER, TIMER, UNKNOWN, running
from coach.view.walk import EvidenceField, StepView

Draft = dict[str, Any]
__all__ = ["BESIDE", "collected", "only_tick", "widgets"]


def only_tick(step: StepView) -> bool:
    """Whether one tick is all that is asked: then the way on is the tick."""
    return len(step.evidence) == 1 and step.evidence[0].kind == "tick"


def widgets(shell: Shell, step: StepView, draft: Draft) -> list[Widget]:
    """One widget or two for each item."""
    if only_tick(step):
        return []
    found: list[Widget] = []
    for item in step.evidence:
        found += _KINDS[item.kind](shell, step, item, draft)
    return found


def collected(step: StepView, draft: Draft) -> dict[str, Any]:
    """What was given, item by item; the tick of a step that asks nothing else."""
    if only_tick(step):
        return {step.evidence[0].id: True, **({"kept": draft["kept"]} if draft.get("kept") else {})}
    return {key: value for key, value in draft.items() if not key.startswith("_") and value not in ("", None)}


def _tick(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    tiles = ChoiceTiles(many=True, options=[Choice(item.id, item.ask)], chosen=[item.id] if draft.get(item.id) else [], least=90)
    tiles.bind(on_choose=lambda _tiles, key: draft.__setitem__(key, not draft.get(key)))
    return [tiles]


def _number(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    typed = draft.get(f"_{item.id}", "")
    row = ListRow(key=item.id, words=item.ask, note=_("Right: %(range)s") % {"range": item.due} if item.due else "",
                  icon="tick" if typed else "tape", badge=typed)
    row.bind(on_act=lambda *_: open_number(shell, item, draft))
    return [row]


def _count(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    draft.setdefault(item.id, 0)
    label = f"{item.ask} ({item.due})" if item.due else item.ask
    counter = Counter(label=label, value=draft[item.id])
    counter.bind(on_counted=lambda _counter, value: draft.__setitem__(item.id, int(value)))
    return [counter]


def _choice(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    tiles = ChoiceTiles(options=[Choice(id, label) for id, label in item.options], chosen=[draft[item.id]] if item.id in draft else [])
    tiles.bind(on_choose=lambda _tiles, key: draft.__setitem__(item.id, key))
    return [Paragraph(words=item.ask, bold=True), tiles]


def _person(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    if not item.options:
        return [Paragraph(words=item.ask, bold=True), Paragraph(words=nobody_else())]
    people = [Person(id, name, item.role) for id, name in item.options]
    tiles = PersonTiles(people=people, chosen=draft.get(item.id, ""))

    def choose(_tiles: PersonTiles, key: str) -> None:
        tiles.chosen = draft.get(item.id, "")  # the tile is taken only once they have shown who they are
        confirm(shell, key, item.ask, lambda: _seen(shell, item, draft, key))

    tiles.bind(on_choose=choose)
    return [Paragraph(words=item.ask, bold=True), tiles]


def _seen(shell: Shell, item: EvidenceField, draft: Draft, person: str) -> None:
    draft[item.id] = draft[BESIDE] = person
    shell.refresh()


def _photo(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    hash_ = draft.get(item.id, "")
    words = item.ask + (f" ({_('if there is anything to show')})" if item.optional else "")
    tile = PhotoTile(words=words, source=str(shell.desk.photos.path(hash_)) if hash_ else "")
    tile.bind(on_take=lambda *_: take_photo(shell, item.id, draft))
    return [tile]


def _timer(shell: Shell, step: StepView, item: EvidenceField, draft: Draft) -> list[Widget]:
    job = shell.job
    running = job is not None and step.id in job.state.timers
    face = TimerFace(left=item.seconds, total=max(item.seconds, 1), label=item.ask, state="running" if running else "held")
    if running:
        shell.each_second(lambda: _run_down(shell, step.id, face))
        _run_down(shell, step.id, face)
        return [face]
    card = Card(title=item.ask)
    card.add_widget(Paragraph(words=_("The time runs from when you start it.")))
    return [card, button(_("Start the timer"), lambda: shell.send(act.StartTimer(shell.person, step.id)), icon="clock")]


def _run_down(shell: Shell, step: str, face: TimerFace) -> None:
    """Bring a timer's face up to now, from the log and the clock."""
    job = shell.job
    each = next((one for one in running(job.rules, job.state, shell.desk.now()) if (one.of, one.about) == (TIMER, step)), None) if job else None
    if each is None:
        return
    face.state = {OVER: "over", UNKNOWN: "held"}.get(each.kind, "running")
    face.left, face.total = max(0, each.left) / 1000, each.total / 1000
    face.note = _("The clocks cannot tell. Start it again.") if each.kind == UNKNOWN else ""


_KINDS = {
    "tick": _tick, "number": _number, "count": _count, "choice": _choice, "second_person": _person, "photo": _photo, "timer": _timer,
}
