"""Plays the app's two sounds with the toolkit's player, where the device can play any.

Rules kept here:
 1. A device without a player or a loudspeaker is silent; `works` says so, and the menu tells it.
Knows nothing of: when a sound is due (view.announce).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coach import paths


class Player:
    """The sounds, loaded when they are first needed or by `prepare`."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or paths.assets() / "sounds"
        self._loaded: dict[str, Any] = {}

    def prepare(self) -> None:
        """Load both now, so that a trip sounds at once."""
        for name in ("trip", "call"):
            self._sound(name)

    @property
    def works(self) -> bool:
        """Whether this device can play the trip's sound."""
        return self._sound("trip") is not None

    @property
    def sounding(self) -> bool:
        """Whether the trip's sound is on."""
        sound = self._loaded.get("trip")
        return sound is not None and sound.state == "play"

    def trip(self, on: bool) -> None:
        """Begin or end the trip's sound; it goes on by itself in between."""
        sound = self._sound("trip") if on else self._loaded.get("trip")
        if sound is None:
            return
        sound.loop = on
        if on:
            sound.volume = 1.0
            sound.play()
        else:
            sound.stop()

    def call(self) -> None:
        """The short sound that asks for a look."""
        sound = self._sound("call")
        if sound is not None:
            sound.stop()
            sound.play()

    def _sound(self, name: str) -> Any:
        if name not in self._loaded:
            from kivy.core.audio import SoundLoader

            try:
                sound = SoundLoader.load(str(self._folder / f"{name}.wav"))
            except Exception:  # noqa: BLE001  players raise what their library raises; then it is silent
                sound = None
            self._loaded[name] = sound if sound is not None and sound.length > 0 else None
        return self._loaded[name]
