"""One question of a proof as a widget. What is answered stands as text in `typed`, as the gate's view reads it."""

from __future__ import annotations

from datetime import date, timedelta

from kivy.uix.widget import Widget

from coach.core.gate import day_of
from coach.formats import day_text, decimal_mark
from coach.language import _
from coach.tablet.screens.day import day_page
from coach.tablet.screens.frame import button, page
from coach.tablet.screens.parts import beside
from coach.tablet.screens.pin import confirm
from coach.tablet.shell import Shell
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.people import Person, PersonTiles
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.text import Paragraph
from coach.view.gate import FormField

Typed = dict[str, str]
BESIDE = "_beside"  # in what is typed: the second person who has just shown who they are
# Ratings often met on labels, for one touch; any other is typed. Common practice, no source.
RATINGS = ("1-A:10-B:C", "2-A:10-B:C", "2-A:20-B:C", "3-A:40-B:C", "4-A:60-B:C", "4-A:80-B:C", "10-A:80-B:C", "20-A:120-B:C")


def question(shell: Shell, field: FormField, typed: Typed, form: str) -> list[Widget]:
    """The widgets of a question, with its English where the language in use is not reviewed."""
    if field.kind in ("yes_no", "choice"):
        return _tiles(shell, field, typed)
    if field.kind == "person":
        return _people(shell, field, typed, form)
    if field.kind == "count":
        return _counter(field, typed)
    row = ListRow(key=field.id, words=field.ask, note=_("if you have one") if field.optional else "", icon="tick" if field.id in typed else "tape",
                  badge=_shown(field, typed))
    openers = {"date": _open_date, "text": _open_rating}
    row.bind(on_act=lambda *_: openers.get(field.kind, _open_keypad)(shell, field, typed))
    return [row, *beside(field.ask)]


def _people(shell: Shell, field: FormField, typed: Typed, form: str) -> list[Widget]:
    """Another person shows who they are; nobody leaves their post for it while a flame is lit."""
    if field.nobody:
        told = [CautionPanel(signal="CAUTION", words=reason.what, why=reason.mend, english=reason.english) for reason in field.nobody]
        return [Paragraph(words=field.ask, bold=True), *beside(field.ask), *told]
    tiles = PersonTiles(people=[Person(id, name, "") for id, name in field.options], chosen=typed.get(field.id, ""))

    def take(key: str) -> None:
        typed[field.id] = key
        tiles.chosen = key

    def seen(key: str) -> None:
        typed[BESIDE] = key
        take(key)

    def choose(_tiles: PersonTiles, key: str) -> None:
        lit = shell.job is not None and bool(shell.job.state.flame)
        if form != "fire_watch" or key == shell.person or lit:
            take(key)
            return
        tiles.chosen = typed.get(field.id, "")
        confirm(shell, key, field.ask, lambda: seen(key))

    tiles.bind(on_choose=choose)
    return [Paragraph(words=field.ask, bold=True), *beside(field.ask), tiles]


def _shown(field: FormField, typed: Typed) -> str:
    text = typed.get(field.id, "")
    if text and field.kind == "date":
        return day_text(date.fromisoformat(text))
    return f"{text} {field.unit}" if text and field.unit and text[-1].isdigit() and field.kind not in ("date", "text") else text


def _tiles(shell: Shell, field: FormField, typed: Typed) -> list[Widget]:
    pairs = field.options or (("yes", _("Yes")), ("no", _("No")))
    tiles = ChoiceTiles(options=[Choice(id, label) for id, label in pairs], chosen=[typed[field.id]] if field.id in typed else [], least=44, gate=True)

    def choose(_tiles: ChoiceTiles, key: str) -> None:
        typed[field.id] = key
        if field.kind == "choice":
            shell.refresh()

    tiles.bind(on_choose=choose)
    return [Paragraph(words=field.ask, bold=True), *beside(field.ask), tiles]


def _counter(field: FormField, typed: Typed) -> list[Widget]:
    typed.setdefault(field.id, "0")
    counter = Counter(label=field.ask, value=int(typed[field.id]), most=12)
    counter.bind(on_counted=lambda _counter, value: typed.__setitem__(field.id, str(int(value))))
    return [counter, *beside(field.ask)]


def _open_keypad(shell: Shell, field: FormField, typed: Typed) -> None:
    def build(shell: Shell) -> Widget:
        kind = ("feet" if shell.system == "us" else "metres") if field.kind == "length" else "number"
        pad = Keypad(label=field.ask, kind=kind, unit=field.unit, separator=decimal_mark(), enter_words=_("Take it"))
        pad.bind(on_enter=lambda _pad, text: _take(shell, field, typed, text))
        return page(shell, field.ask, "", [pad])

    shell.open(build)


def _take(shell: Shell, field: FormField, typed: Typed, text: str) -> None:
    if text:
        typed[field.id] = text
    shell.back()


def _open_rating(shell: Shell, field: FormField, typed: Typed) -> None:
    def build(shell: Shell) -> Widget:
        tiles = ChoiceTiles(options=[Choice(each, each) for each in RATINGS], chosen=[typed.get(field.id, "")], least=50)
        tiles.bind(on_choose=lambda _tiles, key: _take(shell, field, typed, key))
        other = Field(label=_("Another rating, as on the label"), text="" if typed.get(field.id) in RATINGS else typed.get(field.id, ""), longest=40)
        body = [tiles, other]
        return page(shell, field.ask, "", body, [button(_("Take what I typed"), lambda: _take(shell, field, typed, other.text), "primary")])

    shell.open(build)


def _open_date(shell: Shell, field: FormField, typed: Typed) -> None:
    """The last days for one touch, and counters for any other day."""
    today = day_of(shell.desk.now().wall)
    near = [today - timedelta(days=days) for days in (0, 1, 7, 14, 30)]
    shell.open(lambda shell: day_page(shell, field.ask, "", typed.get(field.id, ""), today, near, lambda text: _take(shell, field, typed, text)))
