"""Choosing a PIN: twice the same, then confirmed by a supervisor where one has a PIN; and changing one's own."""

from __future__ import annotations

from kivy.uix.widget import Widget

from coach.core.policy import Person
from coach.language import _
from coach.tablet.routes import route
from coach.tablet.screens.frame import page
from coach.tablet.screens.pin import Then, judged, name_of, said
from coach.tablet.shell import Shell
from coach.tablet.widgets.people import Person as Tile
from coach.tablet.widgets.people import PersonTiles
from coach.tablet.widgets.pinpad import PinPad
from coach.tablet.widgets.text import Paragraph
from coach.yard.crew import CrewPins, weak


class Choosing:
    """One person on the way to a PIN of their own; `then` follows when it is set."""

    def __init__(self, shell: Shell, pins: CrewPins, person: str, then: Then, depth: int) -> None:
        self.shell = shell
        self.pins = pins
        self.person = person
        self.depth = depth
        self._then = then
        self._pin = ""

    def first(self, shell: Shell) -> Widget:
        """The PIN."""
        why = _("With it you sign as yourself. Tell it to nobody.")
        pad = PinPad(label=_("Choose a PIN of at least 4 digits"), why=why, enter_words=_("Next"))
        pad.bind(on_enter=lambda _pad, pin: self._chosen(pad, pin))
        return self._page([pad])

    def _chosen(self, pad: PinPad, pin: str) -> None:
        pad.trouble = said(weak(self.person, pin))
        if not pad.trouble:
            self._pin = pin
            self.shell.open(self.again)

    def again(self, shell: Shell) -> Widget:
        """The same once more."""
        pad = PinPad(label=_("The same PIN again"), enter_words=_("Next"))
        pad.bind(on_enter=lambda _pad, pin: self._repeated(pad, pin))
        return self._page([pad])

    def _repeated(self, pad: PinPad, pin: str) -> None:
        if pin != self._pin:
            pad.trouble = _("That was another PIN. Enter it again, or go back and choose anew.")
            return
        able = self.pins.vouchers(self.shell.desk.policy, self.person)
        if not able:
            pad.trouble = self._set("", "")
        elif len(able) == 1:
            self._ask(able[0])
        else:
            self.shell.open(lambda shell: self._which(able))

    def _which(self, able: tuple[Person, ...]) -> Widget:
        """Which supervisor is here."""
        tiles = PersonTiles(people=[Tile(one.id, one.name, _("Supervisor")) for one in able])
        tiles.bind(on_choose=lambda _tiles, key: self._ask(next(one for one in able if one.id == key)))
        return self._page([Paragraph(words=_("Which supervisor confirms it?"), size_name="title", bold=True), tiles])

    def _ask(self, voucher: Person) -> None:
        def build(shell: Shell) -> Widget:
            words = _("%(name)s confirms that this is %(person)s.") % {"name": voucher.name, "person": name_of(shell, self.person)}
            pad = PinPad(label=_("PIN of %(name)s") % {"name": voucher.name}, why=words, enter_words=_("Confirm"))

            def judge(_pad: PinPad, pin: str) -> None:
                pad.trouble = self._set(voucher.id, pin)

            pad.bind(on_enter=judge)
            return self._page([pad])

        self.shell.open(build)

    def _set(self, voucher: str, pin: str) -> str:
        """What stands against it; '' if it is set, and then the way goes on."""
        policy, now = self.shell.desk.policy, self.shell.desk.now()
        trouble = judged(self.shell, lambda: self.pins.begin(policy, self.person, self._pin, now, voucher, pin))
        if not trouble:
            self._pin = ""
            self.shell.back_to(self.depth)
            self._then()
        return trouble

    def _page(self, body: list[Widget]) -> Widget:
        return page(self.shell, name_of(self.shell, self.person), _("A new PIN"), body)


@route
def choose(shell: Shell, person: str, then: Then, depth: int = 0) -> None:
    """Let a person choose their first PIN, or a new one; then go on. depth: pages left when it is set, by default all."""
    pins = shell.desk.pins
    if pins is not None:
        shell.open(Choosing(shell, pins, person, then, depth or shell.depth).first)


def change(shell: Shell, person: str) -> None:
    """Let the person at the tablet change their own PIN: the old one, then the new one twice."""
    pins = shell.desk.pins
    if pins is None:
        return
    typed: list[str] = []
    depth = shell.depth
    labels = (_("The old PIN"), _("The new PIN"), _("The new PIN again"))

    def build(shell: Shell) -> Widget:
        pad = PinPad(label=labels[len(typed)], enter_words=_("Next"))
        pad.bind(on_enter=lambda _pad, pin: take(pad, pin))
        return page(shell, name_of(shell, person), _("Change my PIN"), [pad])

    def take(pad: PinPad, pin: str) -> None:
        typed.append(pin)
        if len(typed) < len(labels):
            shell.refresh()
            return
        old, new, again = typed
        typed.clear()
        trouble = _("The new PINs were not the same. Begin with the old one.") if new != again else judged(
            shell, lambda: pins.change(person, old, new, shell.desk.now()))
        if trouble:
            pad.label, pad.trouble = labels[0], trouble
        else:
            shell.back_to(depth)

    shell.open(build)
