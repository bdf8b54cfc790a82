"""The list of all screens: what the gallery writes and the tests measure. A new page is named here, or a test says so.

Rules kept here:
 1. A screen has a name that can be read in a file's name, and says in a few words what it shows.
 2. Pages of a step differ by what the step asks; each kind of evidence and of measure is here once.
Proved by: tests/tablet/test_screens.py (every function that builds a page is shown by one of these).
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.widget import Widget

from coach.core import actions as act
from coach.language import _
from coach.reader.cards import emergency_cards
from coach.tablet.practice_scenes import PRACTICE_SCENES
from coach.tablet.routes import to
from coach.tablet.screens.emergency import card_page
from coach.tablet.screens.ended import accept_page, reason_page, send_back_page, story_page
from coach.tablet.screens.entry import open_measure
from coach.tablet.screens.first_pin import change
from coach.tablet.screens.heat import loss_page, open_heat
from coach.tablet.screens.load import load_page
from coach.tablet.screens.me import me_page
from coach.tablet.screens.menu import excuse_page, measures_page, stop_page
from coach.tablet.screens.new import nothing_chosen
from coach.tablet.screens.photo import files_page
from coach.tablet.screens.pin import confirm, unlock_sheet
from coach.tablet.screens.proof import open_proof
from coach.tablet.screens.stopping import tag_page, undo_page
from coach.tablet.shell import Shell
from coach.tablet.showroom import Screen
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.people import PersonTile
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.pinpad import PinPad
from coach.tablet.widgets.rows import ListRow
from coach.view.signing import MEANING
from coach.view.walk import walk_view

TWINS = ("gate-protection", "gate-fuel", "gate-area", "gate-air", "gate-gas", "gate-leak-test")


def _every(shell: Shell, kind: type[Widget]) -> list[Widget]:
    return [widget for widget in shell.root.walk() if isinstance(widget, kind)]


def _keyed(keys: tuple[str, ...]):  # type: ignore[no-untyped-def]
    """Press these keys of the page's keypad."""
    def press(shell: Shell) -> None:
        pad = _every(shell, Keypad)[0]
        for key in keys:
            pad._press(key)  # type: ignore[attr-defined]

    return press


def _measure(id: str, *keys: str):  # type: ignore[no-untyped-def]
    def then(shell: Shell) -> None:
        open_measure(shell, id)
        if keys:
            _keyed(keys)(shell)

    return then


def _row(place: int):  # type: ignore[no-untyped-def]
    """Touch the row of this number on the page."""
    return lambda shell: _every(shell, ListRow)[place].dispatch("on_act")


def _asked(form: str, row: int):  # type: ignore[no-untyped-def]
    def then(shell: Shell) -> None:
        open_proof(shell, form)
        _row(row)(shell)

    return then


def _metric(shell: Shell) -> None:
    shell.system = "metric"
    _measure("boat_length", "5", "point", "7", "9", "m")(shell)


def _picture(name: str):  # type: ignore[no-untyped-def]
    def then(shell: Shell) -> None:
        shell.draft["_picture"] = name
        shell.open(to("numbers_page"))

    return then


def _photos(shell: Shell) -> None:
    """The yard's own folder stands in for the person's pictures."""
    shell.open(lambda s: files_page(s, "photo", {}, s.desk.folder))


def _gusts(shell: Shell) -> None:
    shell.draft["proof wind"] = {"how": "meter", "mean": "5"}
    open_proof(shell, "wind")


def _by_eye(shell: Shell) -> None:
    shell.draft["proof wind"] = {"how": "by_eye"}
    open_proof(shell, "wind")


def _wind_keypad(shell: Shell) -> None:
    _gusts(shell)
    _every(shell, ListRow)[0].dispatch("on_act")


def _debt(build: object):  # type: ignore[no-untyped-def]
    def then(shell: Shell) -> None:
        job = shell.job
        assert job is not None
        debt = walk_view(job.rules, job.state, shell.desk.now(), shell.system).debts[0]
        shell.open(lambda s: build(s, debt))  # type: ignore[operator]

    return then


def _pad(shell: Shell, pin: str) -> None:
    pad = _every(shell, PinPad)[-1]
    for digit in pin:
        pad.press(digit)  # type: ignore[attr-defined]
    pad.enter()  # type: ignore[attr-defined]


def _pins_until(*pins: str):  # type: ignore[no-untyped-def]
    """Joel, who has no PIN yet, touches his name and keys these."""
    def then(shell: Shell) -> None:
        next(tile for tile in _every(shell, PersonTile) if tile.key == "joel").dispatch("on_release")  # type: ignore[attr-defined]
        for pin in pins:
            _pad(shell, pin)

    return then


def _ana(*pins: str):  # type: ignore[no-untyped-def]
    def then(shell: Shell) -> None:
        next(tile for tile in _every(shell, PersonTile) if tile.key == "ana").dispatch("on_release")  # type: ignore[attr-defined]
        for pin in pins:
            _pad(shell, pin)

    return then


def _refused(shell: Shell) -> None:
    shell.send(act.Light("ana", "weld-hem"))


def _trouble(shell: Shell) -> None:
    shell.trouble(nothing_chosen())


def _chosen(shell: Shell) -> None:
    shell.draft = {"boat": "Sanderling", "procedure": "pontoon-boat"}
    shell.open(to("new_page"))


def _reviewing(then: Callable[[Shell], object] = lambda shell: None) -> Callable[[Shell], None]:
    def opened(shell: Shell) -> None:
        shell.open(to("review_page"))
        then(shell)

    return opened


def _pressed(place: int) -> Callable[[Shell], None]:
    """Press the button of this number on the page."""
    return lambda shell: _every(shell, BigButton)[place].dispatch("on_act")


def _underway(shell: Shell) -> None:
    next(row for row in _every(shell, ListRow) if row.words == "Sanderling").dispatch("on_act")  # type: ignore[attr-defined]


FIRST: tuple[Screen, ...] = (
    Screen("who", "The first page: who is at the tablet, in which language", by=""),
    Screen("who-no-crew", "The first page of a yard that is not set up", by="", crew=False),
    Screen("who-flame", "The first page with PINs, while a flame may burn", by="", pins=True, twin=True),
    Screen("pin", "Show who you are", by="", then=_ana(), pins=True),
    Screen("pin-wrong", "A wrong PIN", by="", then=_ana("1234"), pins=True, twin=True),
    Screen("pin-choose", "A first PIN is chosen", by="", then=_pins_until(), pins=True),
    Screen("pin-again", "The same PIN again", by="", then=_pins_until("5927"), pins=True, twin=True),
    Screen("pin-confirm", "A supervisor confirms the first PIN", by="", then=_pins_until("5927", "5927"), pins=True, twin=True),
    Screen("pin-change", "Change the PIN", then=lambda shell: change(shell, "ana"), pins=True),
    Screen("locked", "The tablet was left", then=lambda shell: shell.lock(), pins=True),
    Screen("board", "Every boat with its state"),
    Screen("me", "The person at the tablet", then=lambda shell: shell.open(me_page), pins=True),
    Screen("new-boat", "A new boat", then=lambda shell: shell.open(to("new_page"))),
    Screen("new-boat-chosen", "A new boat, all chosen", then=_chosen, twin=True),
    Screen("words", "The words of the trade", then=lambda shell: shell.open(to("words_page"))),
    Screen("words-one", "One word with its picture", then=lambda shell: (shell.open(to("words_page")), _row(0)(shell))),
    Screen("load", "The day's load list", then=lambda shell: shell.open(load_page)),
    Screen("emergency", "Which emergency is it", then=lambda shell: shell.open(to("emergency_page")), gate=True, twin=True),
)
WALK: tuple[Screen, ...] = (
    Screen("step-choice-photo", "A step with a choice and a photo", "look-over"),
    Screen("step-picture", "A step with a picture", "raise-bow"),
    Screen("step-measure", "A step that asks a measure", "measure-length"),
    Screen("step-question", "A step that asks a question", "look-at-glass", twin=True),
    Screen("step-number", "A step with a number", "first-upright"),
    Screen("step-count", "A step with a count", "hang-loops"),
    Screen("step-numbers", "A step with two numbers", "measure-band", twin=True),
    Screen("step-second", "A step with a second person", "hold-fire-watch"),
    Screen("step-untape", "Tape off the fuel vents", "open-fuel-vents", twin=True),
    Screen("step-belly", "Belly bands, with the plan", "set-belly-bands"),
    Screen("step-vents", "Vents, with the plan", "fit-vents", twin=True),
    Screen("step-door", "The door", "stick-door"),
    Screen("question-count", "A question of this boat in the middle of the walk", "asked-count"),
    Screen("question-choice", "A question with answers to choose from", "asked-choice", twin=True),
    Screen("question-person", "A question about a person", "asked-person", twin=True),
    Screen("question-wrong", "A question, answered wrongly", "asked-wrong"),
    Screen("step-reopened", "A step that is open again", "reopened"),
    Screen("step-disagree", "Measures that cannot all be true", "disagree"),
    Screen("step-sent-back", "A step that was sent back", "sent-back"),
    Screen("step-heated", "A heat step after its flame", "heated"),
    Screen("measure-feet", "A length in feet and inches", "tape-over", then=_measure("ridge_to_edge", "6", "6", "in")),
    Screen("measure-empty", "A length, nothing keyed yet", "measure-length", then=_measure("boat_length")),
    Screen("measure-trouble", "A length out of its range", "tape-over", then=_measure("ridge_to_edge", "6", "in"), twin=True),
    Screen("measure-metres", "A length in metres", "measure-length", then=_metric),
    Screen("measure-count", "A count", "count-vents", then=_measure("fuel_vents", "2"), twin=True),
    Screen("measure-choice", "A choice about the boat", "read-fuel", then=_measure("fuel")),
    Screen("measure-yes-no", "A yes or no about the boat", "look-at-glass", then=_measure("windshield"), twin=True),
    Screen("number-entry", "A number as evidence", "first-upright", then=_row(-1)),
    Screen("photo-choose", "Choosing a photo", "look-over", then=_photos),
    Screen("numbers", "The job's numbers with the cross-section", "cut-film", then=_picture("cross-section")),
    Screen("numbers-plan", "The job's numbers with the plan", "cut-film", then=_picture("plan")),
    Screen("numbers-profile", "The job's numbers with the side view", "cut-film", then=_picture("profile"), twin=True),
    Screen("numbers-early", "The numbers before anything is measured", "raise-bow", then=_picture("plan"), twin=True),
    Screen("menu", "What else may be done", "weld-hem", then=lambda shell: shell.open(to("menu_page"))),
    Screen("menu-measures", "All measures", "cut-film", then=lambda shell: shell.open(measures_page)),
    Screen("menu-leave-out", "Leave a step out", "cut-uprights", then=lambda shell: shell.open(excuse_page), twin=True),
    Screen("menu-stays", "A step that cannot be left out", "gate-read-back", then=lambda shell: shell.open(excuse_page)),
    Screen("menu-stop", "Stop the job safely", "shrink-sides", then=lambda shell: shell.open(stop_page)),
    Screen("resume", "The job was left", "paused"),
    Screen("resume-other", "Somebody else takes the job over", "paused", by="joel", twin=True),
)
GATE: tuple[Screen, ...] = (
    *(Screen(f"{step}", f"A safeguard: {step.removeprefix('gate-').replace('-', ' ')}", step, gate=True, twin=step in TWINS) for step in (
        "gate-operator", "gate-protection", "gate-fuel", "gate-vents", "gate-extinguisher", "gate-area", "gate-fire-watch", "gate-air",
        "gate-gas", "gate-leak-test", "gate-wind",
    )),
    Screen("gate-wind-meter", "Wind with a meter", "gate-wind", then=_gusts, gate=True),
    Screen("gate-wind-by-eye", "Wind by eye", "gate-wind", then=_by_eye, gate=True, twin=True),
    Screen("gate-wind-keypad", "The mean wind is keyed", "gate-wind", then=_wind_keypad),
    Screen("gate-extinguisher-low", "An extinguisher that does not hold", "low", gate=True),
    Screen("gate-rating", "The extinguisher's rating", "gate-extinguisher", then=_asked("extinguisher", 0)),
    Screen("gate-date", "The extinguisher's inspection", "gate-extinguisher", then=_asked("extinguisher", -1)),
    Screen("heat-blocked", "Heat is blocked, with every reason", "blocked", gate=True),
    Screen("heat-ready", "Ready to light", "ready", gate=True),
    Screen("heat-again", "A heat step, to be lit again", "heated", then=lambda shell: open_heat(shell, "weld-hem"), gate=True, twin=True),
    Screen("heat-lit", "The flame is lit", "lit", gate=True),
    Screen("heat-lit-soon", "The flame is lit, a safeguard ends soon", "soon", gate=True),
    Screen("heat-loss", "Something is lost", "lit", then=lambda shell: shell.open(loss_page), gate=True),
    Screen("heat-locked", "A locked tablet while the flame is lit", "lit", pins=True,
           then=lambda shell: (shell.lock(), unlock_sheet(shell))),
    Screen("safeguards", "Every safeguard", "soon", then=lambda shell: shell.open(to("gate_page"))),
    Screen("trip", "A trip: the flame first", "trip", gate=True),
    Screen("trip-out", "A trip, the flame is out", "trip-out", gate=True),
    Screen("refused", "Not yet: every reason", "blocked", then=_refused, gate=True),
    Screen("trouble", "Something is wrong with the device", "look-over", then=_trouble, gate=True, twin=True),
)
END: tuple[Screen, ...] = (
    Screen("stopping", "Stopping safely: what is still open", "stopping"),
    Screen("stopping-undo", "Undo one of them", "stopping", then=_debt(undo_page)),
    Screen("stopping-tag", "Hang one on a tag", "stopping", then=_debt(tag_page)),
    Screen("stopping-sign", "Sign the stop", "tagged"),
    Screen("stopped", "A job that was stopped safely", "stopped", by="marta"),
    Screen("sign", "Every step is done: sign", "sign"),
    Screen("sign-pin", "The PIN at the signature", "sign", pins=True,
           then=lambda shell: confirm(shell, "ana", _(MEANING), lambda: None)),
    Screen("ended", "Signed, for its technician", "closed", twin=True),
    Screen("review", "The supervisor's review", "closed", by="marta"),
    Screen("review-photo", "A photo of the record, large", "closed", by="marta", then=lambda shell: _every(shell, PhotoTile)[0].dispatch("on_take")),
    Screen("review-excused", "A review with a step left out", "excused", by="marta", twin=True),
    Screen("review-accept", "Accept and countersign", "excused", by="marta", then=lambda shell: shell.open(accept_page)),
    Screen("review-send-back", "Which step is to be mended", "closed", by="marta", then=lambda shell: shell.open(send_back_page)),
    Screen("review-reason", "Why it is sent back", "closed", by="marta", then=lambda shell: shell.open(lambda s: reason_page(s, "tape-seams"))),
    Screen("review-board", "Every boat by state, with what needs a look", by="marta", then=_reviewing()),
    Screen("review-filter", "One filter of the review", by="marta", then=_reviewing(_pressed(2)), twin=True),
    Screen("review-season", "The season", by="marta", then=_reviewing(_pressed(-1))),
    Screen("review-look", "Why a boat stands out", by="marta", then=_reviewing(_underway)),
    Screen("review-story", "Moment by moment", "accepted", by="marta", then=lambda shell: shell.open(story_page)),
    Screen("accepted", "Accepted and countersigned", "accepted", by="marta", twin=True),
)


def _cards() -> tuple[Screen, ...]:
    def opener(card: object):  # type: ignore[no-untyped-def]
        return lambda shell: shell.open(lambda s: card_page(s, card))  # type: ignore[arg-type]

    return tuple(Screen(f"emergency-{card.id}", f"Emergency: {card.title}", then=opener(card), gate=True, twin=card.id != "fire-on-film") for card in emergency_cards())


# The pages of practice are measured in the suite by their own tests, all of them here in the full product.
PRACTICE = tuple(Screen(scene.name, scene.says, by=scene.by, then=scene.open, twin=True) for scene in PRACTICE_SCENES)
SCREENS: tuple[Screen, ...] = (*FIRST, *_cards(), *WALK, *GATE, *END, *PRACTICE)
