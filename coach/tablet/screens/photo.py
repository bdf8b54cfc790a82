"""A photo as evidence: by the device's camera, or from a file; kept by its hash either way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.uix.filechooser import FileChooserIconView

from coach.core.problems import CoachError, Problem
from coach.language import _
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.dialog import Dialog

KINDS = ("*.jpg", "*.jpeg", "*.png")


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
    chooser = FileChooserIconView(path=str(folder if folder.is_dir() else Path.home()), filters=list(KINDS), size_hint_y=None, height=90 * theme.mm)
    dialog = Dialog(title=_("Choose the photo"))
    dialog.put(chooser)
    shell.ask(dialog, ("", _("Leave it")), ("take", _("Use this photo")), then=lambda key: _use(shell, item, draft, chooser, key))


def _use(shell: Shell, item: str, draft: dict[str, Any], chooser: FileChooserIconView, key: str) -> None:
    if key == "take" and chooser.selection:
        attach(shell, item, draft, Path(chooser.selection[0]))


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
