"""Showing who one is: the PIN before the first page, after a lock, at a signature, for a second person.

Rules kept here:
 1. A PIN is asked on our own pad, judged by yard.crew alone, and forgotten at once.
 2. Where the desk asks for no PINs everything goes on at once.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.widget import Widget

from coach.core.actions import FlameOut
from coach.core.problems import CoachError, Reason
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.screens.frame import button, page
from coach.tablet.shell import Shell
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.pinpad import PinPad
from coach.view.texts import reason_text

Then = Callable[[], object]


def said(reasons: tuple[Reason, ...]) -> str:
    """The first reason in one line; '' for none."""
    texts = [reason_text(reason) for reason in reasons[:1]]
    return " ".join(f"{text.what} {text.mend}" for text in texts)


def judged(shell: Shell, work: Callable[[], tuple[Reason, ...]]) -> str:
    """What is wrong after asking the crew's PINs; '' if nothing is. A failing disk is told on a sheet of its own."""
    try:
        return said(work())
    except CoachError as error:
        shell.trouble(*error.problems)
        return _("This could not be looked up.")


def tried(shell: Shell, person: str, pin: str) -> str:
    """What is wrong with this person's PIN; '' if it is right."""
    pins = shell.desk.pins
    return judged(shell, lambda: pins.check(person, pin, shell.desk.now())) if pins else ""


def name_of(shell: Shell, person: str) -> str:
    """The person's name, or the id where the crew has no such person."""
    found = shell.desk.policy.person(person)
    return found.name if found else person


def whose(shell: Shell, person: str) -> str:
    """Whose PIN is asked."""
    return _("PIN of %(name)s") % {"name": name_of(shell, person)}


def pad_for(shell: Shell, person: str, then: Then, why: str = "", enter: str = "", on_sheet: bool = False) -> PinPad:
    """A pad that goes on once this person's PIN is right. why: a sentence over it; on_sheet: a title says whose it is."""
    pad = PinPad(label="" if on_sheet else whose(shell, person), why=why, enter_words=enter, close=on_sheet)

    def judge(_pad: PinPad, pin: str) -> None:
        pad.trouble = tried(shell, person, pin)
        if not pad.trouble:
            then()

    pad.bind(on_enter=judge)
    return pad


@route
def show_who(shell: Shell, person: str, then: Then) -> None:
    """Ask on a page of its own, then go on from where it was asked; without a PIN one is chosen first."""
    choose = to("choose")
    depth = shell.depth
    has = _has_pin(shell, person)
    if has is None:
        return
    if not has:
        choose(shell, person, then)
        return

    def go_on() -> None:
        shell.back_to(depth)
        then()

    def build(shell: Shell) -> Widget:
        forgot = button(_("PIN forgotten"), lambda: choose(shell, person, then, depth), "quiet")
        return page(shell, name_of(shell, person), _("Show who you are"), [pad_for(shell, person, go_on)], [forgot])

    if shell.presence.asks:
        shell.open(build)
    else:
        then()


def _has_pin(shell: Shell, person: str) -> bool | None:
    """Whether nothing has to be chosen first; None if it could not be looked up, which has been told."""
    pins = shell.desk.pins
    if pins is None:
        return True
    try:
        return pins.has(person)
    except CoachError as error:
        shell.trouble(*error.problems)
        return None


def confirm(shell: Shell, person: str, why: str, then: Then) -> None:
    """Ask on a sheet over the page, which keeps what stands on it; then go on."""
    choose = to("choose")
    if not shell.presence.asks:
        then()
        return
    has = _has_pin(shell, person)
    if has is None:
        return
    if not has:
        choose(shell, person, then)
        return
    sheet = Dialog(title=whose(shell, person))

    def go_on() -> None:
        sheet.answer("ok")
        then()

    sheet.put(pad_for(shell, person, go_on, why=why, on_sheet=True))
    shell.ask(sheet, ("", _("Leave it")))


@route
def lock_page(shell: Shell) -> Widget:
    """The tablet was left: its person goes on by PIN, or another comes."""
    why = _("The tablet was left and has locked itself.")
    pad = pad_for(shell, shell.person, lambda: _unlock(shell), why=why, enter=_("Unlock"))
    return page(shell, _("Locked"), name_of(shell, shell.person), [pad], [button(_("Somebody else"), lambda: leave(shell), icon="person")], back=False)


@route
def unlock_sheet(shell: Shell) -> None:
    """While a flame may burn the page stays: the PIN is asked over it, and the flame can be put out from here too."""
    sheet = Dialog(title=whose(shell, shell.person))

    def go_on() -> None:
        sheet.answer("ok")
        _unlock(shell)

    why = f"{_('The tablet is locked')}. {_('Show who you are, then do it again.')}"
    sheet.put(pad_for(shell, shell.person, go_on, why=why, enter=_("Unlock"), on_sheet=True))
    answers = [("", _("Leave it"))]
    job = shell.job
    if job is not None and (job.state.flame or (job.state.trip is not None and not job.state.trip.out)):
        answers.append(("out", _("Flame out, tool closed")))
    shell.ask(sheet, *answers, then=lambda key: key == "out" and shell.send(FlameOut(shell.person)))


def _unlock(shell: Shell) -> None:
    shell.presence.enter(shell.person, shell.desk.now())
    shell.refresh()


def leave(shell: Shell) -> None:
    """Nobody is at the tablet any more."""
    who_page = to("who_page")
    shell.presence.leave()
    shell.home(who_page)
