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
from coach.tablet.widgets.text import Paragraph
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


def pad_for(shell: Shell, person: str, then: Then, label: str = "", enter: str = "") -> PinPad:
    """A pad that goes on once this person's PIN is right."""
    pad = PinPad(label=label or _("PIN of %(name)s") % {"name": name_of(shell, person)}, enter_words=enter)

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
    sheet = Dialog(title=name_of(shell, person), words=why)

    def go_on() -> None:
        sheet.answer("ok")
        then()

    sheet.put(pad_for(shell, person, go_on))
    shell.ask(sheet, ("", _("Leave it")))


@route
def lock_page(shell: Shell) -> Widget:
    """The tablet was left: its person goes on by PIN, or another comes."""
    pad = pad_for(shell, shell.person, lambda: _unlock(shell), enter=_("Unlock"))
    body = [Paragraph(words=_("The tablet was left and has locked itself."), size_name="title", bold=True), pad]
    return page(shell, _("Locked"), name_of(shell, shell.person), body, [button(_("Somebody else"), lambda: leave(shell), icon="person")], back=False)


@route
def unlock_sheet(shell: Shell) -> None:
    """While a flame may burn the page stays: the PIN is asked over it, and the flame can be put out from here too."""
    sheet = Dialog(title=_("The tablet is locked"), words=_("Show who you are, then do it again."))

    def go_on() -> None:
        sheet.answer("ok")
        _unlock(shell)

    sheet.put(pad_for(shell, shell.person, go_on, enter=_("Unlock")))
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
