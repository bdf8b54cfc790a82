"""The app's own keypad: lengths as trades people write them, metres, plain numbers and counts.

Rules kept here:
 1. What keys do to the text is `coach.view.keying`; this draws keys and hands the text on.
 2. The keypad never judges a number; `echo` shows what the screen made of it, `trouble` what is wrong with it.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.tablet.kv import load
from coach.tablet.theme import theme
from coach.tablet.tongue import tongue
from coach.tablet.widgets import buttons, icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed
from coach.view.keying import press

load(__file__)

_DIGITS = ("7", "8", "9"), ("4", "5", "6"), ("1", "2", "3")
TYPED = 0.84  # of a number's size: the height of the text that stands over its keys
_FACES = {"1/2": "½", "1/4": "¼", "1/8": "⅛"}


def rows(kind: str) -> list[list[str]]:
    """The keys of a kind of keypad, row by row from the top."""
    if kind == "feet":
        return [["7", "8", "9", "ft"], ["4", "5", "6", "in"], ["1", "2", "3", "erase"], ["0", "1/2", "1/4", "1/8"]]
    side = {"metres": ("m", "cm", "mm"), "number": (), "count": ()}[kind]
    table = [[*digits, *side[place:place + 1]] for place, digits in enumerate(_DIGITS)]
    last = ["0", "point", "erase"] if kind != "count" else ["clear", "0", "erase"]
    return [*table, [*last, "clear"] if kind == "metres" else last]


class Key(Framed, ButtonBehavior, BoxLayout):
    """One key; `types` is the key's name, `words` its face, `icon` a sign instead of a face."""

    types = StringProperty("")
    words = StringProperty("")
    icon = StringProperty("")
    quiet = BooleanProperty(False)


class Keypad(BoxLayout):
    """Number entry. Events: `on_enter(text)` with the big key under it, `on_keyed(text)` after every key.

    `text` what is entered; `kind` feet, metres, number or count; `label` what is asked; `unit` shown behind a plain
    number; `separator` the decimal mark; `echo` a line under the text, `trouble` the same in the colour of a fault;
    with `told` the page says the trouble itself, and here is its colour only; `enter_words` on the big key;
    `can_enter` lets it work; `systems` True offers the other system of units (`on_system(kind)`). Where there is room
    the keys stand beside the text (`side`), else between the text and the big key. With `apart` the `column` of text and
    big key stands elsewhere, where whoever took it puts it, `deep` pixels high.
    """

    text = StringProperty("")
    kind = OptionProperty("feet", options=["feet", "metres", "number", "count"])
    label = StringProperty("")
    unit = StringProperty("")
    separator = StringProperty(".")
    echo = StringProperty("")
    trouble = StringProperty("")
    enter_words = StringProperty("")
    can_enter = BooleanProperty(True)
    told = BooleanProperty(False)
    side = BooleanProperty(False)
    apart = BooleanProperty(False)
    deep = NumericProperty(0)
    systems = BooleanProperty(False)
    other = StringProperty("")
    columns = NumericProperty(4)

    __events__ = ("on_enter", "on_keyed", "on_system")

    def on_kv_post(self, base_widget: Widget) -> None:
        tongue.bind(_=self._build)
        self.fbind("kind", self._build)
        self.fbind("separator", self._build)
        self.column: Widget = self.ids.column.__self__
        self._parts = [self.ids[name].__self__ for name in ("asked", "typed", "enter", "system")]
        for name in ("side", "apart", "label", "systems"):
            self.fbind(name, self._deal)
        self._build()
        self._deal()

    def _deal(self, *_: object) -> None:
        """What is not used takes no room; the big key stands under the text where no keys are between, else under the keys."""
        asked, typed, enter, system = self._parts
        column = self.column
        if self.apart and column.parent is self:
            self.remove_widget(column)
        elif not self.apart and column.parent is not self:
            if column.parent is not None:
                column.parent.remove_widget(column)
            self.add_widget(column, len(self.children))
        together = self.side or self.apart
        for part in self._parts:
            if part.parent is not None:
                part.parent.remove_widget(part)
        for part, used in ((asked, self.label), (typed, True), (enter, together), (system, self.systems)):
            if used:
                column.add_widget(part)
        if not together:
            self.add_widget(enter)

    def piled(self) -> float:
        """The height of text, keys and big key one under the other, px, without label and the other system."""
        typed = (TYPED * theme.number + 3.2 * theme.mm) if self.side or self.apart else self.ids.typed.height
        return float(typed + 5 * theme.touch + 3 * theme.gap + 6 * theme.mm)

    def on_enter(self, entered: str) -> None:
        """The big key was tapped."""

    def on_keyed(self, entered: str) -> None:
        """The text changed by a key."""

    def on_system(self, kind: str) -> None:
        """The other system of units was asked for."""

    def change_system(self) -> None:
        """Ask for the other system: feet or metres."""
        self.text = ""
        self.dispatch("on_system", "metres" if self.kind == "feet" else "feet")

    def _build(self, *_told: object) -> None:
        _ = tongue._
        faces = {"ft": _("ft  ′"), "in": _("in  ″"), "point": self.separator, "clear": "C", "erase": _("erase"),
                 **_FACES}
        table = rows(self.kind)
        self.columns = len(table[0])
        grid = self.ids.pad
        grid.clear_widgets()
        for name in (name for row in table for name in row):
            key = Key(types=name, words=faces.get(name, name), icon="erase" if name == "erase" else "",
                      quiet=not name.isdigit())
            key.bind(on_release=lambda touched: self._press(touched.types))
            grid.add_widget(key)
        self.other = _("Enter metres instead") if self.kind == "feet" else _("Enter feet and inches instead")

    def _press(self, key: str) -> None:
        self.text = press(self.text, key, self.separator)
        self.dispatch("on_keyed", self.text)
