"""The boat seen from the side, bow to the right, on its trailer: ridge line over the uprights, film edge, outboard.

Rules kept here:
 1. The rub rail is level zero; positions along the boat are metres from the bow.
 2. The ridge goes from the stem head over the top of each upright to the stern; it never dips below the windshield.
"""

from __future__ import annotations

from collections.abc import Sequence

from coach.language import _
from coach.view.drawing import (
    Circle,
    Dimension,
    Drawing,
    Group,
    Legend,
    Line,
    Part,
    Point,
    Polygon,
    Polyline,
    Text,
)
from coach.view.pictures.common import Measured, Show, all_known, measured, metres

TYPICAL_LENGTH, TYPICAL_STERN, TYPICAL_DROP = 5.8, 0.55, 0.18
TYPICAL_UPRIGHTS = ((0.38, 0.95), (0.72, 0.9))  # share of the length, height above the rub rail in m


def side(length: float | None = None, *, uprights: Sequence[tuple[float, float]] = (), ridge_stern: float | None = None,
         edge_drop: float | None = None, windshield: float | None = 0.38, outboard: bool = True, trailer: bool = True,
         show: Show = metres) -> Drawing:
    """The boat from the side.

    Args:
        length: over all, m.
        uprights: (from the bow, height of its top above the rub rail) of each upright, m; typical ones when empty.
        ridge_stern: height of the ridge above the rub rail at the stern, m.
        edge_drop: from the rub rail down to the film's edge, m.
        windshield: its place as a share of the length from the bow, or None without one.
        outboard: an outboard or drive hangs behind the stern, and the film goes over it.
        trailer: on a trailer, else on stands.
        show: writes a length in metres in the reader's units.
    """
    long = measured(length, TYPICAL_LENGTH)
    stern, drop = measured(ridge_stern, TYPICAL_STERN), measured(edge_drop, TYPICAL_DROP)
    posts = tuple(uprights) or tuple((share * long.value, height) for share, height in TYPICAL_UPRIGHTS)
    boat = _Side(long, stern, drop, posts, bool(uprights), outboard)
    parts = (
        Group("ground", boat.ground(trailer)),
        Group("hull", boat.hull(windshield)),
        Group("film", boat.film()),
        Group("frame", boat.frame()),
        Group("measures", boat.measures(show)),
    )
    legend = (Legend(_("film"), "cover"), Legend(_("ridge strap"), "ridge"), Legend(_("upright"), "timber"),
              Legend(_("perimeter band"), "band"))
    return Drawing("side", _("The boat seen from the side, bow to the right, with its ridge and the film's edge"),
                   parts, legend)


class _Side:
    """The side view; `at` turns a distance from the bow into a place on the paper."""

    def __init__(self, length: Measured, stern: Measured, drop: Measured, posts: tuple[tuple[float, float], ...],
                 posts_known: bool, outboard: bool) -> None:
        self.length, self.stern, self.drop, self.outboard = length, stern, drop, outboard
        self.posts, self.posts_known = tuple(sorted(posts)), posts_known
        self.deep = length.value * 0.13

    def at(self, x: float, y: float) -> Point:
        return self.length.value - x, y

    def ridge(self) -> list[Point]:
        """The ridge line from the stem head to the stern."""
        tops = [self.at(x, height) for x, height in self.posts]
        return [self.at(0.02 * self.length.value, 0.06), *tops, self.at(self.length.value, self.stern.value)]

    def hull(self, windshield: float | None) -> tuple[Part, ...]:
        long, deep = self.length.value, self.deep
        shape = (self.at(0, 0.0), self.at(long, 0.0), self.at(long, -deep), self.at(long * 0.35, -deep),
                 self.at(long * 0.16, -deep * 0.72), self.at(long * 0.05, -deep * 0.3))
        parts: list[Part] = [Polygon(shape, self.length.body("hull"))]
        if windshield is not None:
            x, high = windshield * long, 0.075 * long
            parts.append(Polygon((self.at(x - 0.05 * long, 0.0), self.at(x + 0.015 * long, high),
                                  self.at(x + 0.05 * long, high), self.at(x + 0.04 * long, 0.0)),
                                 self.length.body("glass")))
        if self.outboard:
            parts.extend(self._engine())
        return tuple(parts)

    def _engine(self) -> tuple[Part, ...]:
        long, deep, size = self.length.value, self.deep, self.length.value * 0.05
        head = (self.at(long + 0.2 * size, 0.5 * size), self.at(long + 0.3 * size, 2.0 * size),
                self.at(long + 1.7 * size, 2.0 * size), self.at(long + 1.9 * size, 0.5 * size))
        leg = (self.at(long + 0.5 * size, 0.5 * size), self.at(long + 1.4 * size, 0.5 * size),
               self.at(long + 1.2 * size, -deep - 0.9 * size), self.at(long + 0.7 * size, -deep - 0.9 * size))
        return (Polygon(leg, self.length.body("engine")), Polygon(head, self.length.body("engine")))

    def film(self) -> tuple[Part, ...]:
        known = all_known(self.length, self.stern, self.drop)
        long, edge = self.length.value, -self.drop.value
        ridge = [(x, y + 0.02 * long) for x, y in self.ridge()]
        behind: list[Point] = [self.at(long * 1.01, edge)]
        if self.outboard:
            out = long * 1.115
            behind = [self.at(out, self.length.value * 0.115), self.at(out, -self.deep - 0.06 * long),
                      self.at(long * 1.02, -self.deep - 0.06 * long), self.at(long * 1.01, edge)]
        bow = [self.at(long * 0.035, edge), self.at(-0.012 * long, 0.03)]
        outline = (*ridge, *behind, *bow)
        band = (self.at(long * 1.005, edge), self.at(long * 0.035, edge))
        return (Polygon(outline, known.style("cover")), Polyline(band, self.drop.style("band")))

    def frame(self) -> tuple[Part, ...]:
        thick = 0.008 * self.length.value
        posts: list[Part] = [
            Polygon((self.at(x - thick, -self.deep * 0.4), self.at(x + thick, -self.deep * 0.4),
                     self.at(x + thick, height), self.at(x - thick, height)),
                    "timber" if self.posts_known else "unknown-body")
            for x, height in self.posts
        ]
        known = self.posts_known and self.stern.known
        return (*posts, Polyline(tuple(self.ridge()), "ridge" if known else "unknown"))

    def ground(self, trailer: bool) -> tuple[Part, ...]:
        long, deep = self.length.value, self.deep
        floor = -deep - 0.11 * long
        parts: list[Part] = [Line((-0.2 * long, floor), (1.12 * long, floor), "ground")]
        if trailer:
            wheel = 0.055 * long
            beam = -deep - 0.03 * long
            parts += [Line(self.at(long * 0.98, beam), self.at(-0.05 * long, beam), "part"),
                      Circle(self.at(long * 0.68, floor + wheel), wheel, "engine"),
                      Circle(self.at(long * 0.68, floor + wheel), wheel * 0.45, "hull"),
                      Line(self.at(-0.03 * long, beam), self.at(-0.03 * long, floor), "part")]
        else:
            parts += [Line(self.at(long * share + lean, floor), self.at(long * share, -deep), "part")
                      for share in (0.3, 0.75) for lean in (-0.05 * long, 0.05 * long)]
        return tuple(parts)

    def measures(self, show: Show) -> tuple[Part, ...]:
        floor = -self.deep - 0.11 * self.length.value
        parts: list[Part] = [
            Dimension((0.0, floor), (self.length.value, floor),
                      self.length.words(_("length"), show).replace("\n", " "), -5.0, self.length.known, beside=True),
            Text(self.at(-0.012 * self.length.value, 0.03), _("bow"), "right", "soft", gap=3.0),
        ]
        for x, height in self.posts:
            words = show(height) if self.posts_known else "?"
            role = "tape" if self.posts_known else "soft"
            parts.append(Text(self.at(x, height), words, "top", role, bold=True, gap=3.5))
        return tuple(parts)
