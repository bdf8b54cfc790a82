"""A machine or goods on a pallet, seen from the front and a little from above, wrapped all round, with its measures.

Rules kept here:
 1. Length and height are to scale on the front face; the width goes back at half its size.
 2. The height counts from the pallet's lower edge, as it is measured.
"""

from __future__ import annotations

from coach.language import _
from coach.view.drawing import Dimension, Drawing, Group, Legend, Line, Part, Point, Polygon, Polyline
from coach.view.pictures.common import Measured, Show, all_known, measured, metres

TYPICAL = (1.2, 0.8, 1.3)  # a common pallet and its load, m
PALLET = 0.14  # height of a common pallet, m
SHOWS = ("item_length", "item_width", "item_height")


def load(
    length: float | None = None,
    width: float | None = None,
    height: float | None = None,
    *,
    straps: int = 0,
    only: str = "",
    show: Show = metres,
) -> Drawing:
    """The wrapped load.

    Args:
        length, width, height: with the pallet, m.
        straps: how many go over it, even along its length.
        only: one of SHOWS, which is then drawn large and alone.
        show: writes a length in metres in the reader's units.
    """
    sizes = [measured(value, typical) for value, typical in zip((length, width, height), TYPICAL, strict=True)]
    box = _Box(*sizes)
    parts = (
        Group("pallet", box.pallet()),
        Group("load", box.faces()),
        Group("straps", box.straps(straps)),
        Group("band", (Polyline((box.at(0, 0.0, 0), box.at(1, 0.0, 0), box.at(1, 0.0, 1)), box.known.style("band")),)),
        Group("measures", box.measures(only, show)),
    )
    legend = (Legend(_("film"), "cover"), Legend(_("perimeter band"), "band"))
    return Drawing("load", _("The load on its pallet, wrapped all round"), parts, () if only else legend)


class _Box:
    """The load; `at` takes shares of the length and of the width, and a height in metres."""

    def __init__(self, length: Measured, width: Measured, height: Measured) -> None:
        self.length, self.width, self.height = length, width, height
        self.known = all_known(length, width, height)
        self.foot = min(PALLET, 0.4 * height.value)

    def at(self, along: float, up: float, back: float) -> Point:
        away = self.width.value * back
        return along * self.length.value + 0.38 * away, up + 0.3 * away

    def faces(self) -> tuple[Part, ...]:
        high, style = self.height.value, self.known.style("cover")
        front = (self.at(0, 0, 0), self.at(1, 0, 0), self.at(1, high, 0), self.at(0, high, 0))
        side = (self.at(1, 0, 0), self.at(1, 0, 1), self.at(1, high, 1), self.at(1, high, 0))
        top = (self.at(0, high, 0), self.at(1, high, 0), self.at(1, high, 1), self.at(0, high, 1))
        return tuple(Polygon(face, style) for face in (top, side, front))

    def pallet(self) -> tuple[Part, ...]:
        foot = self.foot
        deck = (self.at(0, foot, 0), self.at(1, foot, 0), self.at(1, 0.72 * foot, 0), self.at(0, 0.72 * foot, 0))
        blocks = tuple(
            Polygon(
                (
                    self.at(x, 0, 0),
                    self.at(x + 0.12, 0, 0),
                    self.at(x + 0.12, 0.72 * foot, 0),
                    self.at(x, 0.72 * foot, 0),
                ),
                self.known.body("timber"),
            )
            for x in (0.0, 0.44, 0.88)
        )
        return (Polygon(deck, self.known.body("timber")), *blocks)

    def straps(self, count: int) -> tuple[Part, ...]:
        high = self.height.value
        places = [(each + 0.5) / count for each in range(count)]
        return tuple(Polyline((self.at(x, 0, 0), self.at(x, high, 0), self.at(x, high, 1)), "strap") for x in places)

    def measures(self, only: str, show: Show) -> tuple[Part, ...]:
        high, low = self.height.value, -0.12 * self.height.value
        left, right = -0.1 * self.length.value, 1.06
        spans = {
            "item_length": (self.at(0, low, 0), self.at(1, low, 0), self.length, _("length"), -0.01),
            "item_width": (self.at(right, 0, 0), self.at(right, 0, 1), self.width, _("width"), -0.01),
            "item_height": ((left, 0.0), (left, high), self.height, _("height"), 0.01),
        }
        parts: list[Part] = []
        if only in ("", "item_height"):
            parts += [Line((left, level), self.at(0, level, 0), "guide") for level in (0.0, high)]
        for name, (first, last, value, label, aside) in spans.items():
            if only in ("", name):
                words = (show(value.value) if value.known else "?") if only else value.words(label, show)
                parts.append(Dimension(first, last, words, aside, value.known, beside=True, asked=bool(only)))
        return tuple(parts)
