"""A photo as evidence: by the device's camera, or from a file; kept by its hash either way."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from kivy.uix.widget import Widget

from coach.core.problems import CoachError, Problem
from coach.formats import day_text
from coach.language import _
from coach.tablet.screens.frame import page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.rows import ListRow
from coach.tablet.widgets.text import Paragraph

KINDS = (".jpg", ".jpeg", ".png")
MOST = 40  # rows of one kind: the newest are wanted, and a longer list is no help to a glove


def take_photo(shell: Shell, item: str, draft: dict[str, Any]) -> None:
    """Take the picture with the camera where there is one, else from a file; its hash stands in the draft."""
    if shell.camera is None:
        choose_file(shell, item, draft)
        return
    try:
        live = shell.camera.view()
    except CoachError:
        choose_file(shell, item, draft)
        return
    live.size_hint_y, live.height = None, 90 * theme.mm
    dialog = Dialog(title=_("Take the photo"))
    dialog.put(live)
    shell.ask(dialog, ("", _("Leave it")), ("file", _("From a file")), ("take", _("Take it now")), then=lambda key: _shot(shell, item, draft, key))


def _shot(shell: Shell, item: str, draft: dict[str, Any], key: str) -> None:
    camera = shell.camera
    assert camera is not None
    try:
        picture = camera.shoot() if key == "take" else b""
    except CoachError as error:
        shell.trouble(*error.problems)
        return
    finally:
        camera.close()
    if key == "file":
        choose_file(shell, item, draft)
    elif picture:
        _keep(shell, item, draft, picture)


def choose_file(shell: Shell, item: str, draft: dict[str, Any]) -> None:
    """Let a person choose the picture's file."""
    folder = Path.home() / "Pictures"
    shell.open(lambda s: files_page(s, item, draft, folder if folder.is_dir() else Path.home()))


def files_page(shell: Shell, item: str, draft: dict[str, Any], folder: Path) -> Widget:
    """The pictures of a folder, the newest first, and the way to other folders."""
    depth = shell.depth
    body: list[Widget] = []

    def go(to: Path) -> None:
        shell.swap(lambda s: files_page(s, item, draft, to))

    def take(file: Path) -> None:
        shell.back_to(depth - 1)
        attach(shell, item, draft, file)

    try:
        pictures, folders = listed(folder)
    except OSError as fault:
        body.append(Paragraph(words=_("This folder cannot be read: %(why)s") % {"why": fault.strerror}))
        pictures, folders = [], []
    for file in pictures[:MOST]:
        day = datetime.fromtimestamp(file.stat().st_mtime, UTC).date()
        body.append(_row(file.name, day_text(day), "camera", lambda file=file: take(file)))
    if not body:
        body.append(Paragraph(words=_("No pictures here."), size_name="lead"))
    if folder.parent != folder:
        body.append(_row(_("The folder above"), folder.parent.name, "up", lambda: go(folder.parent)))
    body += [_row(each.name, "", "", lambda each=each: go(each)) for each in folders[:MOST]]
    return page(shell, _("Choose the photo"), folder.name, body)


def listed(folder: Path) -> tuple[list[Path], list[Path]]:
    """The pictures of a folder, newest first, and its folders by name. Raises OSError: it cannot be read."""
    inside = [each for each in folder.iterdir() if not each.name.startswith(".")]
    pictures = [each for each in inside if each.suffix.lower() in KINDS and each.is_file()]
    pictures.sort(key=lambda each: (-each.stat().st_mtime, each.name))
    return pictures, sorted((each for each in inside if each.is_dir()), key=lambda each: each.name.lower())


def _row(words: str, note: str, icon: str, act: Any) -> ListRow:
    row = ListRow(words=words, note=note, icon=icon)
    row.bind(on_act=lambda *_: act())
    return row


def attach(shell: Shell, item: str, draft: dict[str, Any], file: Path) -> None:
    """Keep the picture of this file as the evidence."""
    try:
        picture = file.read_bytes()
    except OSError as fault:
        shell.trouble(Problem("C104", "the picture cannot be read: %(why)s", "the record names a picture by its content",
                              "choose another file", slots={"why": fault.strerror}))
        return
    _keep(shell, item, draft, picture)


def _keep(shell: Shell, item: str, draft: dict[str, Any], picture: bytes) -> None:
    try:
        draft[item] = shell.desk.photos.keep(picture)
    except CoachError as error:
        shell.trouble(*error.problems)
        return
    shell.refresh()
