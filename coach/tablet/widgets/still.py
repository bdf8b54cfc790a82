"""A picture from a file, upright as its camera says, and kept no larger than the screen.

A camera's twelve million pixels are 48 MB to show; the toolkit itself neither makes them fewer nor turns them.
"""

from __future__ import annotations

from functools import lru_cache

from kivy.core.image import Image as CoreImage
from kivy.core.window import Window
from kivy.graphics import Color, Fbo, Rectangle
from kivy.graphics.context import get_context
from kivy.graphics.texture import Texture
from kivy.uix.image import Image

from coach.tablet import upright

KEPT = 16  # pictures at the screen's size, of up to 9 MB each on a screen of 1920 x 1200


class StillImage(Image):
    """An image whose file is read once, and of which no more is kept than the screen can show."""

    def set_texture_from_resource(self, resource: str) -> None:
        """Show the picture of this file; nothing for '' or for a file that is no picture."""
        self.texture = at_most(resource, max(Window.size)) if resource else None


@lru_cache(maxsize=KEPT)
def at_most(source: str, side: int) -> Texture | None:
    """The picture of a file with no side longer than `side` pixels; None if it is none.

    The name of a picture is its hash, so what is kept by its name never is an older picture.
    """
    try:
        with open(source, "rb") as file:
            turned = upright.orientation(file.read(upright.HEAD))
        large = CoreImage(source, mipmap=True, nocache=True).texture
    except Exception:  # noqa: BLE001  the toolkit raises a bare one for what it cannot read
        return None
    share = min(1.0, side / max(large.size))
    if share == 1 and turned == upright.UPRIGHT:
        return large
    wide, high = (max(1, round(length * share)) for length in large.size)
    size = (high, wide) if upright.lies(turned) else (wide, high)
    small = Fbo(size=size)
    with small:
        Color(1, 1, 1, 1)
        Rectangle(texture=large, size=size, tex_coords=upright.turned_corners(large.tex_coords, turned))
    small.draw()
    return small.texture


def _forget(_context: object) -> None:
    """The device took its graphics memory back, as Android does: what was drawn there is gone."""
    at_most.cache_clear()


get_context().add_reload_observer(_forget)
