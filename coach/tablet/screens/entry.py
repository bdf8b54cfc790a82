"""Entering one measure or one number: the keypad, the picture, and every number that follows, at each key."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kivy.clock import Clock
from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.gate import day_of
from coach.core.model import EXPIRY
from coach.core.numbers import Computed, Value
from coach.core.problems import Problem, QuantityError
from coach.core.quantity import as_text, parse_quantity
from coach.core.worksheet import Worksheet
from coach.formats import decimal_mark, quantity_text
from coach.language import _
from coach.tablet.screens.day import day_page
from coach.tablet.screens.frame import page
from coach.tablet.screens.parts import picture_of
from coach.tablet.shell import Shell
from coach.tablet.widgets.asking import Asking, Figure
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.text import Paragraph
from coach.view.boat import boat_picture
from coach.view.measures import default_unit, fields, number_lines, range_text, read_typed, shown_value
from coach.view.texts import problem_text
from coach.view.walk import EvidenceField

MOST = 6  # numbers beside a keypad; all of them stand on the numbers page


def open_measure(shell: Shell, id: str) -> None:
    """Open the page that asks one measure."""
    shell.open(lambda shell: measure_page(shell, id))


def measure_page(shell: Shell, id: str) -> Widget:
    """The page of one measure."""
    job = shell.job
    assert job is not None
    field = fields(job.rules.procedure, (id,), job.state.measures, job.state.typed, job.rules.functions, shell.system)
    measure = job.rules.procedure.measures[id]
    ask, how = (field[0].ask, field[0].how) if field else (_(measure.ask), _(measure.how))
    if measure.kind in ("choice", "yes_no"):
        return _choice_page(shell, id, ask, how)
    if measure.kind == EXPIRY:
        kept, today = job.state.measures.get(id), day_of(shell.desk.now().wall)
        return day_page(shell, ask, how, str(kept or ""), today, (), lambda text: _sent(shell, id, text, text))
    return _keypad_page(shell, id, ask, how)


def _choice_page(shell: Shell, id: str, ask: str, how: str) -> Widget:
    job = shell.job
    assert job is not None
    measure = job.rules.procedure.measures[id]
    pairs = [(option.id, _(option.label)) for option in measure.options] or [("yes", _("Yes")), ("no", _("No"))]
    now = job.state.measures.get(id)
    chosen = {True: "yes", False: "no"}.get(now, now) if now is not None else ""
    tiles = ChoiceTiles(options=[Choice(key, label) for key, label in pairs], chosen=[chosen] if chosen else [], gate=True)
    tiles.bind(on_choose=lambda _tiles, key: _sent(shell, id, key, key))
    body: list[Widget] = [Paragraph(words=ask, size_name="title", bold=True), Paragraph(words=how), tiles] if how else [
        Paragraph(words=ask, size_name="title", bold=True), tiles]
    return page(shell, job.state.boat, _("Measures"), body, drawing=picture_of(shell, measure.picture))


def _keypad_page(shell: Shell, id: str, ask: str, how: str) -> Widget:
    job = shell.job
    assert job is not None
    measure = job.rules.procedure.measures[id]
    pad = Keypad(kind=_pad_kind(measure.kind, shell.system), enter_words=_("Take it"),
                 unit=default_unit(measure.kind, shell.system) or "", separator=decimal_mark())
    live = _Live(shell, id, pad, Asking(pad, ask=ask, how=how))

    def other(_key: str) -> None:
        shell.system = "metric" if shell.system == "us" else "us"
        pad.text, pad.kind = "", _pad_kind(measure.kind, shell.system)
        pad.unit = default_unit(measure.kind, shell.system) or ""
        live.keyed("")

    pad.bind(on_keyed=lambda _pad, text: live.keyed(text), on_enter=lambda _pad, text: _take(shell, id, text))
    live.keyed("")
    live.draw()
    under = _("Plausible: %(range)s") % {"range": range_text(measure, shell.system)}
    return page(shell, job.state.boat, under, [], fills=live.asking,
                picks=[("system", "again", _("Feet and inches or metres"))] if measure.kind == "length" else [], pick=other)


def _pad_kind(kind: str, system: str) -> str:
    if kind == "length":
        return "feet" if system == "us" else "metres"
    return "count" if kind == "count" else "number"


class _Live:
    """The numbers that rest on a measure and the picture of it, as they would be with what stands on the keypad now.

    What cannot be taken leaves numbers and picture at the last value that could, and says so. The picture follows a
    frame after the numbers: what decides the roll comes first.
    """

    def __init__(self, shell: Shell, id: str, pad: Keypad, asking: Asking) -> None:
        job = shell.job
        assert job is not None
        self.shell, self.id, self.pad, self.asking, self.rules, self.state = shell, id, pad, asking, job.rules, job.state
        self.measure = job.rules.procedure.measures[id]
        self.rests = tuple(number for number in job.rules.procedure.numbers if id in job.rules.measures_of((number,)))
        self.good = job.state.measures.get(id)
        self.worksheet = Worksheet(job.rules.procedure, job.rules.functions)
        self.computed: Mapping[str, Computed] = {}
        self.later = Clock.create_trigger(lambda _passed: self.draw(), 0)

    @property
    def values(self) -> dict[str, Value]:
        """All measures, with the last good value of this one."""
        values = {id: value for id, value in self.state.measures.items() if id != self.id}
        return values if self.good is None else {**values, self.id: self.good}

    def keyed(self, text: str) -> None:
        """Follow the text."""
        pad, shell = self.pad, self.shell
        pad.trouble, pad.echo, pad.can_enter = "", "", False
        if text:
            try:
                self.good, _exact = read_typed(self.measure, text, shell.system)
                other = "metric" if shell.system == "us" else "us"
                pad.echo = f"= {shown_value(self.measure, self.good, other)}" if self.measure.kind == "length" else ""
                pad.can_enter = True
            except QuantityError as error:
                pad.trouble = _trouble(error.problems[0])
        else:
            self.good = self.state.measures.get(self.id)
        stale = bool(pad.trouble) and self.good is not None
        self.asking.trouble = pad.trouble
        self.asking.stale = _("The picture and the numbers are of %(value)s.") % {
            "value": shown_value(self.measure, self.good, shell.system)} if stale and self.good is not None else ""
        self.computed = self.worksheet.numbers(self.values)
        self.asking.show(self.figures())
        self.later()

    def figures(self) -> list[Figure]:
        """The numbers that are there, then those that still wait."""
        procedure, functions = self.rules.procedure, self.rules.functions
        lines = number_lines(procedure, self.values, functions, self.shell.system, self.rests, self.computed) if self.rests else ()
        ready = sorted(lines, key=lambda line: not line.shown)[:MOST]
        return [Figure(line.title, line.shown, line.problem) for line in ready]

    def draw(self) -> None:
        """The picture of the boat with this measure marked."""
        name = self.measure.picture or "cross-section"
        self.asking.picture.drawing = boat_picture(self.rules, self.values, name, self.shell.system, self.id, self.computed)


def _trouble(problem: Problem) -> str:
    """What is wrong with what stands typed; the question stands above it already, so its name is left out."""
    if problem.code == "U312":
        return _("%(value)s is outside the plausible range, %(range)s.") % {"value": problem.slots["value"], "range": problem.slots["range"]}
    return problem_text(problem)[0]


def _take(shell: Shell, id: str, text: str) -> None:
    job = shell.job
    assert job is not None
    try:
        _value, exact = read_typed(job.rules.procedure.measures[id], text, shell.system)
    except QuantityError as error:
        shell.trouble(*error.problems)
        return
    _sent(shell, id, text, exact)


def _sent(shell: Shell, id: str, typed: str, exact: str) -> None:
    if shell.send(act.Measure(shell.person, id, typed, exact), stay=True):
        shell.back()


def open_number(shell: Shell, item: EvidenceField, draft: dict[str, Any]) -> None:
    """Open the page that asks one number of evidence; what is entered stands in the draft."""
    shell.open(lambda shell: _number_page(shell, item, draft))


def _number_page(shell: Shell, item: EvidenceField, draft: dict[str, Any]) -> Widget:
    pad = Keypad(label=item.ask, kind=_pad_kind(item.quantity, shell.system), unit=item.unit, separator=decimal_mark(),
                 enter_words=_("Take it"))

    def take(_pad: Keypad, text: str) -> None:
        try:
            quantity = parse_quantity(text, item.quantity, default_unit=item.unit or None, decimal=decimal_mark())
        except QuantityError as error:
            shell.trouble(*error.problems)
            return
        draft[item.id] = as_text(quantity)
        draft[f"_{item.id}"] = quantity_text(quantity, item.quantity, shell.system)
        shell.back()

    pad.bind(on_enter=take)
    under = _("Right: %(range)s") % {"range": item.due} if item.due else ""
    return page(shell, shell.job.state.boat if shell.job else "", under, [pad])
