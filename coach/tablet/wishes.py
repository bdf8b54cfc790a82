"""What the people of this tablet have switched: voice, and moving pictures. Kept in the data folder.

Rules kept here:
 1. A file that is missing or cannot be read means what is shipped: both on. No switch here touches what is safe to do.
 2. A switch that cannot be kept still counts until the app ends.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

FILE = "tablet.json"


@dataclass
class Wishes:
    """The switches. folder: where they are kept."""

    folder: Path
    voice: bool = True
    motion: bool = True

    @staticmethod
    def load(folder: Path) -> Wishes:
        """The switches as they were left."""
        try:
            kept = json.loads((folder / FILE).read_text("utf-8"))
        except (OSError, ValueError):
            kept = {}
        kept = kept if isinstance(kept, dict) else {}
        return Wishes(folder, kept.get("voice") is not False, kept.get("motion") is not False)

    def turn(self, name: str) -> None:
        """Switch one over, and keep it."""
        setattr(self, name, not getattr(self, name))
        told = {key: value for key, value in asdict(self).items() if key != "folder"}
        try:
            (self.folder / FILE).write_text(json.dumps(told) + "\n", "utf-8")
        except OSError:
            pass  # see rule 2
