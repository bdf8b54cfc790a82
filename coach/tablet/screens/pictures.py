"""The photos of a job as they are judged: large on the page of the review, and one touch fills the screen with one.

Rules kept here:
 1. A picture that is missing, or is not the one that the record names, is said and not shown.
"""

from __future__ import annotations

from functools import partial

from kivy.uix.widget import Widget

from coach.language import _
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.body import ScrollBody, Tiles
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.still import StillImage
from coach.tablet.widgets.text import Paragraph
from coach.view.story import photos_of
from coach.yard.job import Job

LARGE = 66  # mm, the height of a picture on a page


def photos(shell: Shell, job: Job) -> list[Widget]:
    """The pictures that the record names, each with what it shows."""
    tiles = Tiles(least=84, most=2)
    lost: list[Widget] = []
    for hash, caption in photos_of(job.rules, job.events):
        if shell.desk.photos.fault(hash) is not None:
            lost.append(CautionPanel(signal="NOTICE", words=_("This picture is not on this device."), why=caption))
            continue
        source = str(shell.desk.photos.path(hash))
        asked, _sep, where = caption.partition(" (")
        note = f"{where.rstrip(')')}\n{_('Tap to see it large')}".strip()
        tile = PhotoTile(source=source, words=asked, note=note, high=LARGE)
        tile.bind(on_take=partial(_open, shell, source, caption))
        tiles.add_widget(tile)
    return [*([tiles] if tiles.children else []), *lost]


def _open(shell: Shell, source: str, caption: str, *_args: object) -> None:
    shell.open(lambda s: picture_page(s, source, caption))


def picture_page(shell: Shell, source: str, caption: str) -> Widget:
    """One picture, as large as the screen allows."""
    job = shell.job
    shown = StillImage(source=source, fit_mode="contain", size_hint_y=None)
    words = Paragraph(words=caption, size_name="note")
    made = page(shell, job.state.boat if job is not None else "", _("Photos"), [words, shown])
    scroll = next(each for each in made.children if isinstance(each, ScrollBody))

    def fill(*_args: object) -> None:
        shown.height = max(LARGE * theme.mm / 2, scroll.height - words.height - 3 * theme.gap - theme.pad)

    scroll.bind(height=fill)
    words.bind(height=fill)
    return made
