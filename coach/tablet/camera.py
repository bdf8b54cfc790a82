"""The device's camera behind one small interface; a device without one offers files only.

Rules kept here:
 1. A camera gives a picture as the bytes of a file. Who keeps it, and by which hash, is not decided here.
 2. A camera that fails says so as a Problem; the file remains a way.
What was tried: the interface with a stand-in, and files. The toolkit's own camera was not tried: it needs a device.
"""

from __future__ import annotations

import io
from typing import Any, Protocol

from kivy.uix.widget import Widget

from coach.core.problems import CoachError, Problem


class Camera(Protocol):
    """What a page needs of a camera."""

    def view(self) -> Widget:
        """What the camera sees, live; the camera is on from now."""

    def shoot(self) -> bytes:
        """The picture as a file. Raises CoachError C105: the camera gives none."""

    def close(self) -> None:
        """The camera is off."""


class DeviceCamera:
    """The toolkit's camera: the device's own on Android, a webcam where a library for it is installed."""

    def __init__(self) -> None:
        self._shown: Any = None

    def view(self) -> Widget:
        """The live picture."""
        from kivy.uix.camera import Camera as Shown

        try:
            self._shown = Shown(play=True, fit_mode="contain")
        except Exception as fault:  # the providers raise what their libraries raise
            raise _none(str(fault)) from fault
        return self._shown

    def shoot(self) -> bytes:
        """The live picture as a PNG."""
        texture = self._shown.texture if self._shown is not None else None
        if texture is None:
            raise _none("no picture came")
        from kivy.core.image import Image

        held = io.BytesIO()
        Image(texture).save(held, fmt="png")
        return held.getvalue()

    def close(self) -> None:
        """Switch it off."""
        if self._shown is not None:
            self._shown.play = False
            self._shown = None


def _none(why: str) -> CoachError:
    return CoachError(
        Problem(
            "C105",
            "the camera gives no picture: %(why)s",
            "the record names a picture by its content",
            "choose a file instead",
            slots={"why": why},
        )
    )


def device_camera() -> Camera | None:
    """The camera of this device, or None where the toolkit has no way to one."""
    from kivy.core.camera import Camera as Provider

    return DeviceCamera() if Provider is not None else None
