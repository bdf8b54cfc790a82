"""Every screen of the app in the tests' longest language: whole, apart, large enough, readable, and with a way back.

Each screen is shown once here, the looks (size and theme) in turn, so that each pair of a size and a theme meets many
screens. All screens in all looks and languages: `python -m tests.bench.measure_screens`.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tablet.screens import LARGE, LOOKS, NO_WAY_BACK, Look, leaves, measured, shown, speaking_pseudo, sweep, swept_by_hand, undrawn, unreached  # isort: skip  first: the toolkit

from coach.core.floors import LIMITS
from coach.language import LANGUAGES, PSEUDO
from coach.tablet import screens
from coach.tablet.catalogue import SCREENS
from coach.tablet.screens.frame import PageBox
from coach.tablet.showroom import BOAT, Screen, Showroom
from coach.tablet.widgets.asking import Asking
from coach.tablet.widgets.body import ScrollBody
from coach.yard.desk import Desk
from tests.language.pseudo import escaped, write_pseudo

SMALL = tuple(look for look in LOOKS if look.size != LARGE[0])  # the large one shows the same layout in finer pixels
# What people typed, in their own words.
TYPED = ("Storm coming", "On the tow ball", "The storm comes first", "Tape the seam at the starboard bow again.",
         "No slots were cut: the film came slotted.")
# Words of their own: units as they are printed on tapes and labels, months as CLDR has them, names.
OWN = ("mph", "minutes", "LEL", "min", "BTU", "lbf", "psf", "Nov", BOAT, "Sanderling", "Grey Plover", "Whimbrel", "Oct", "Jul", "Jun", "eight", "ridge_to_edge", *TYPED)
ONE_EACH = tuple(screen for screen in SCREENS if not screen.twin)


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Showroom]:
    folder = tmp_path_factory.mktemp("locale")
    write_pseudo(folder)
    with speaking_pseudo(folder):
        made = Showroom(tmp_path_factory.mktemp("showroom"))
        with swept_by_hand():
            yield made


def allowed(desk: Desk) -> tuple[str, ...]:
    """Texts that no language translates: names, the names of languages, citations, units."""
    people = [person.name for person in desk.policy.people.values()]
    sources = [desk.policy.source(id) for id in LIMITS]
    folders = (*(each.name for each in desk.folder.iterdir()), desk.folder.name, desk.folder.parent.name)
    return (*people, *sources, *LANGUAGES.values(), *OWN, desk.policy.yard, str(desk.folder), *folders)


@pytest.mark.parametrize(("screen", "look"), [(each, SMALL[place % len(SMALL)]) for place, each in enumerate(ONE_EACH)],
                         ids=lambda value: value.name if isinstance(value, Screen) else str(value))
def test_a_screen_can_be_read_and_touched(screen: Screen, look: Look, room: Showroom) -> None:
    with shown(room, screen, look, PSEUDO) as (drive, shell):
        found = measured(drive, most=2)
        own = allowed(shell.desk)
        told = () if screen.name.startswith(("numbers", "gate-")) else found.texts  # beside numbers stand citations
        english = [f"{word!r} in {text!r}" for text in told for word in escaped(text, own)]
        keyed = unreached(drive)
        folded = [each for each in drive.all(ScrollBody) if each.more] if drive.all(Asking) else []
        left = leaves(shell)
    sweep()
    assert [*found.faults, *english, *keyed] == []
    assert folded == [], "question, picture, numbers and keys of a measure are in sight at once"
    assert left or screen.name in NO_WAY_BACK


def test_no_page_is_left_out(room: Showroom, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every function of the screens that builds a page is called for one of the screens of the catalogue."""
    wanted = {
        f"{file.stem}.{function.name}"
        for file in Path(screens.__file__).parent.glob("*.py")
        for function in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(function, ast.FunctionDef) and file.stem != "frame" and _builds(function)
    }
    plain = PageBox.__init__

    def noting(box: PageBox, **options: object) -> None:
        frame = sys._getframe(1)
        while frame is not None:
            wanted.discard(f"{Path(frame.f_code.co_filename).stem}.{frame.f_code.co_name}")
            frame = frame.f_back  # type: ignore[assignment]
        plain(box, **options)

    monkeypatch.setattr(PageBox, "__init__", noting)
    for place, screen in enumerate(SCREENS):
        if wanted:
            with undrawn():
                room.show(screen)
            if place % 8 == 0:
                sweep()
    sweep()
    assert wanted == set()


def _builds(function: ast.FunctionDef) -> bool:
    return any(isinstance(each, ast.Call) and isinstance(each.func, ast.Name) and each.func.id == "page" for each in ast.walk(function))
