"""A photo as evidence: taken from a file, kept by its hash. A camera is another way to get the same file."""

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
    """Let a person choose the picture's file; its hash stands in the draft."""
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
        draft[item] = shell.desk.photos.keep(file.read_bytes())
    except CoachError as error:
        shell.trouble(*error.problems)
        return
    except OSError as fault:
        shell.trouble(Problem("C104", "the picture cannot be read: %(why)s", "the record names a picture by its content",
                              "choose another file", slots={"why": fault.strerror}))
        return
    shell.refresh()
