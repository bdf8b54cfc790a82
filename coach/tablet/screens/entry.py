"""Entering one measure or one number: the keypad, the picture, and every number that follows, at each key."""

from __future__ import annotations

from typing import Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.core.gate import day_of
from coach.core.model import EXPIRY
from coach.core.problems import QuantityError
from coach.core.quantity import as_text, parse_quantity
from coach.core.worksheet import Worksheet
from coach.formats import decimal_mark, quantity_text
from coach.language import _
from coach.tablet.screens.day import day_page
from coach.tablet.screens.frame import page
from coach.tablet.screens.parts import number_tiles, picture_of
from coach.tablet.shell import Shell
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.text import Paragraph
from coach.view.measures import default_unit, fields, number_lines, range_text, read_typed, shown_value
from coach.view.texts import problem_text
from coach.view.walk import EvidenceField


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
    body: list[Widget] = [Paragraph(words=ask, size_name="title", bold=True), tiles]
    body += [Paragraph(words=how)] if how else []
    return page(shell, job.state.boat, _("Measures"), body, drawing=picture_of(shell, measure.picture))


def _keypad_page(shell: Shell, id: str, ask: str, how: str) -> Widget:
    job = shell.job
    assert job is not None
    measure = job.rules.procedure.measures[id]
    live = BoxLayout(orientation="vertical", size_hint_y=None)
    live.bind(minimum_height=live.setter("height"))
    pad = Keypad(label=ask, kind=_pad_kind(measure.kind, shell.system), enter_words=_("Take it"),
                 unit=default_unit(measure.kind, shell.system) or "", separator=decimal_mark())

    worksheet = Worksheet(job.rules.procedure, job.rules.functions)
    rests = tuple(number for number in job.rules.procedure.numbers if id in job.rules.measures_of((number,)))

    def keyed(_pad: Keypad, text: str) -> None:
        _show_live(shell, id, pad, live, text, worksheet, rests)

    def other(_key: str) -> None:
        shell.system = "metric" if shell.system == "us" else "us"
        pad.text, pad.kind = "", _pad_kind(measure.kind, shell.system)
        keyed(pad, "")

    pad.bind(on_keyed=keyed, on_enter=lambda _pad, text: _take(shell, id, text))
    keyed(pad, "")
    body: list[Widget] = [pad, live]
    body += [Paragraph(words=how)] if how else []
    under = _("Plausible: %(range)s") % {"range": range_text(measure, shell.system)}
    return page(shell, job.state.boat, under, body, drawing=picture_of(shell, measure.picture or "cross-section"), share=0.36,
                picks=[("system", "again", _("Feet and inches or metres"))] if measure.kind == "length" else [], pick=other)


def _pad_kind(kind: str, system: str) -> str:
    if kind == "length":
        return "feet" if system == "us" else "metres"
    return "count" if kind == "count" else "number"


def _show_live(
    shell: Shell, id: str, pad: Keypad, live: BoxLayout, text: str, worksheet: Worksheet, rests: tuple[str, ...]
) -> None:
    """The numbers that rest on this measure, as they would be with what stands on the keypad now."""
    job = shell.job
    assert job is not None
    measure = job.rules.procedure.measures[id]
    values = dict(job.state.measures)
    pad.trouble, pad.echo, pad.can_enter = "", "", False
    if text:
        try:
            values[id], _exact = read_typed(measure, text, shell.system)
            other = "metric" if shell.system == "us" else "us"
            pad.echo = f"= {shown_value(measure, values[id], other)}" if measure.kind == "length" else ""
            pad.can_enter = True
        except QuantityError as error:
            pad.trouble = problem_text(error.problems[0])[0]
    computed = worksheet.numbers(values)
    lines = number_lines(job.rules.procedure, values, job.rules.functions, shell.system, rests, computed) if rests else ()
    live.clear_widgets()
    shown = [line for line in lines if line.shown][:6] or list(lines)[:2]
    if shown:
        live.add_widget(number_tiles(shown))


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
