"""The boat seen from the side, bow to the right, on what it stands on: ridge line, film edge, drive.

Rules kept here:
 1. The rub rail is level zero; positions along the boat are metres from the bow.
 2. The ridge goes from the bow over the top of each upright to the stern; on a watercraft it goes over bar and seat, on
    a sailing boat along the mast that lies, or from both ends to the mast that stands.
 3. With one measure asked for, that one is drawn large and the others are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from coach.language import _
from coach.view.drawing import (
    Dimension,
    Drawing,
    Group,
    Legend,
    Line,
    Part,
    Point,
    Polygon,
    Polyline,
    Sign,
    Text,
)
from coach.view.pictures import side_asked
from coach.view.pictures.common import Measured, Show, all_known, measured, metres
from coach.view.pictures.craft import POWER, Craft
from coach.view.pictures.placed import moved
from coach.view.pictures.side_hulls import Given, Profile, profile, seat_of
from coach.view.pictures.side_mast import mast
from coach.view.pictures.side_stand import ground

TYPICAL_LENGTH, TYPICAL_STERN, TYPICAL_DROP = 5.8, 0.55, 0.18
TYPICAL_UPRIGHTS = ((0.38, 0.95), (0.72, 0.9))  # share of the length, height above the rub rail in m
# Length, and the ridge above the rail, of the other kinds.
TYPICAL = {"pontoon": (7.0, 1.3), "jet": (3.2, 0.8), "sail": (9.5, 1.4)}


def side(
    length: float | None = None,
    *,
    uprights: Sequence[tuple[float, float]] = (),
    ridge_stern: float | None = None,
    edge_drop: float | None = None,
    windshield: float | None = 0.38,
    ridge: float | None = None,
    craft: Craft = POWER,
    belly: Sequence[float] = (),
    vents: Sequence[float] = (),
    door: float | None = None,
    only: str = "",
    show: Show = metres,
) -> Drawing:
    """The boat from the side.

    Args:
        length: over all, m.
        uprights: (from the bow, height of its top above the rub rail) of each upright, m; typical ones when empty.
        ridge_stern: height of the ridge above the rub rail at the stern, m.
        edge_drop: from the rub rail down to the film's edge, m.
        windshield: its place as a share of the length from the bow, or None without one.
        ridge: its height above the rub rail, m, for craft without uprights.
        craft: what kind of craft it is, what it stands on, what hangs behind its stern.
        belly, vents: distances from the bow, m.
        door: its middle, from the bow, m.
        only: the one measure that is asked for just now; the others are then left out.
        show: writes a length in metres in the reader's units.
    """
    tops = [height for _x, height in uprights]
    boat = _seen(
        length,
        ridge if ridge is not None else max(tops, default=None),
        ridge_stern,
        edge_drop,
        tuple(uprights),
        windshield,
        craft,
    )
    parts = (
        Group("ground", boat.placed(boat.stand) if not only else ()),
        Group("hull", boat.placed(boat.hull.parts)),
        Group("film", boat.film()),
        Group("belly", boat.belly(belly) if not only else ()),
        Group("frame", boat.frame()),
        Group("door", boat.door(door) if not only else ()),
        Group("vents", boat.vents(vents) if not only else ()),
        Group("measures", side_asked.asked(only, boat, show) if only else boat.measures(show)),
    )
    legend = _legend(bool(boat.posts), bool(belly), bool(vents), door is not None)
    return Drawing(
        "side",
        _("The boat seen from the side, bow to the right, with its ridge and the film's edge"),
        parts,
        () if only else legend,
    )


def _legend(posts: bool, belly: bool, vents: bool, door: bool) -> tuple[Legend, ...]:
    entries = (
        (True, Legend(_("film"), "cover")),
        (True, Legend(_("ridge strap"), "ridge")),
        (posts, Legend(_("upright"), "timber")),
        (True, Legend(_("perimeter band"), "band")),
        (belly, Legend(_("belly band"), "belly")),
        (vents, Legend(_("vent"), icon="vent")),
        (door, Legend(_("door"), "tapeline")),
    )
    return tuple(entry for here, entry in entries if here)


def _seen(
    length: float | None,
    ridge: float | None,
    ridge_stern: float | None,
    edge_drop: float | None,
    uprights: tuple[tuple[float, float], ...],
    windshield: float | None,
    craft: Craft,
) -> _Side:
    """The side view of these measures, typical ones for those that are not known."""
    typical, high = TYPICAL.get(craft.kind, (TYPICAL_LENGTH, TYPICAL_UPRIGHTS[0][1]))
    long = measured(length, typical)
    top = measured(ridge, high * long.value / typical)
    ends = {"jet": 0.05, "sail": 0.35 * top.value, "pontoon": 0.7 * top.value}
    end = ends.get(craft.kind, TYPICAL_STERN * long.value / typical)
    stern = Measured(end, top.known) if craft.kind in ("jet", "sail") else measured(ridge_stern, end)
    posts = uprights
    if craft.kind != "jet" and not posts:
        heights = [
            height * long.value / typical if craft.kind == "power" else top.value for _share, height in TYPICAL_UPRIGHTS
        ]
        posts = tuple(
            (share * long.value, height) for (share, _height), height in zip(TYPICAL_UPRIGHTS, heights, strict=True)
        )
    drop = measured(edge_drop, TYPICAL_DROP)
    return _Side(long, stern, drop, top, posts, bool(uprights), windshield, craft)


class _Side:
    """The side view; `at` turns a distance from the bow into a place on the paper."""

    def __init__(
        self,
        length: Measured,
        stern: Measured,
        drop: Measured,
        top: Measured,
        posts: tuple[tuple[float, float], ...],
        posts_known: bool,
        windshield: float | None,
        craft: Craft,
    ) -> None:
        self.length, self.stern, self.drop, self.top, self.craft = length, stern, drop, top, craft
        self.posts, self.posts_known = tuple(sorted(posts)), posts_known
        self.given = given = Given(length, drop, top.value, windshield, craft)
        self.hull: Profile = profile(given)
        self.deep = self.hull.deep
        self.stand, self.floor = ground(given, -self.hull.deep if craft.kind != "sail" else self.hull.low)

    def at(self, x: float, y: float) -> Point:
        return self.length.value - x, y

    def placed(self, parts: tuple[Part, ...]) -> tuple[Part, ...]:
        """Parts in distances from the bow, on the paper."""
        return moved(parts, self.at)

    def line(self) -> list[Point]:
        """The ridge line from bow to stern, in distances from the bow."""
        long, craft = self.length.value, self.craft
        if craft.kind == "jet":
            bar = craft.length("bar_height", 0.23 * long).value
            seat = seat_of(long, bar)
            return [
                (0.0, 0.02 * long),
                (0.1 * long, 0.45 * bar),
                (0.36 * long, self.top.value),
                (0.41 * long, self.top.value),
                (0.84 * long, 1.08 * seat),
                (long, 0.02 * long),
            ]
        if craft.mast == "down":
            return [
                (0.02 * long, 0.06),
                (0.14 * long, self.top.value),
                (0.88 * long, self.top.value),
                (long, self.stern.value),
            ]
        if craft.mast == "up":
            x = craft.mast_at * long
            tops = [each for each in self.posts if abs(each[0] - x) > 0.03 * long]
            return sorted([(0.02 * long, 0.06), *tops, (x, self.top.value), (long, self.stern.value)])
        bow = (0.0, self.stern.value) if craft.kind == "pontoon" else (0.02 * long, 0.06)
        return [bow, *self.posts, (long, self.stern.value)]

    def ridge(self) -> list[Point]:
        """The ridge line from the bow to the stern, on the paper."""
        return [self.at(x, height) for x, height in self.line()]

    def height(self, x: float) -> float:
        """The ridge's height at a distance from the bow."""
        for (x1, y1), (x2, y2) in pairwise(self.line()):
            if x1 <= x <= x2:
                return y1 + (y2 - y1) * (x - x1) / (x2 - x1) if x2 > x1 else y1
        return self.stern.value

    def edge(self) -> tuple[Point, Point]:
        """The film's edge: its end at the stern and at the bow, on the paper."""
        long = self.length.value
        square = self.craft.kind == "pontoon"
        return self.at(long * 1.005, -self.drop.value), self.at(
            -0.005 * long if square else long * 0.035, -self.drop.value
        )

    def film(self) -> tuple[Part, ...]:
        known = all_known(self.length, self.stern, self.drop)
        long, edge = self.length.value, -self.drop.value
        ridge = [(x, y + 0.02 * long) for x, y in self.ridge()]
        behind = [self.at(*point) for point in self.hull.behind]
        behind = [*behind, self.at(long * 1.01, edge)]
        bow = (
            [self.at(-0.012 * long, edge)]
            if self.craft.kind == "pontoon"
            else [self.at(long * 0.035, edge), self.at(-0.012 * long, 0.03)]
        )
        outline = (*ridge, *behind, *bow)
        return (Polygon(outline, known.style("cover")), Polyline(self.edge(), self.drop.style("band")))

    def frame(self) -> tuple[Part, ...]:
        long = self.length.value
        thick = 0.008 * long
        foot = {"pontoon": 0.0, "sail": 0.0}.get(self.craft.kind, -self.deep * 0.4)
        timber = "timber" if self.posts_known else "unknown-body"
        under = 0.022 * long if self.craft.mast == "down" else 0.0
        posts: list[Part] = [
            Polygon(
                (
                    self.at(x - thick, foot),
                    self.at(x + thick, foot),
                    self.at(x + thick, height - under),
                    self.at(x - thick, height - under),
                ),
                timber,
            )
            for x, height in self.posts
        ]
        known = (self.posts_known or not self.posts) and self.stern.known
        return (*posts, *self.placed(mast(self.given)), Polyline(tuple(self.ridge()), "ridge" if known else "unknown"))

    def belly(self, places: Sequence[float]) -> tuple[Part, ...]:
        """Each belly band from the film's edge down under the hull."""
        low = -self.hull.deep - 0.012 * self.length.value
        return tuple(Line(self.at(x, -self.drop.value), self.at(x, low), "belly") for x in places)

    def vents(self, places: Sequence[float]) -> tuple[Part, ...]:
        """Each vent half way up the film's slope, where the plan has it."""
        return tuple(Sign(self.at(x, self.height(x) / 2), "vent", 3.0) for x in places)

    def door(self, x: float | None) -> tuple[Part, ...]:
        """The U of the door on the film's side, its round end down."""
        if x is None:
            return ()
        high, wide = 0.8 * self.height(x), 0.4
        low = min(0.04, 0.1 * high)
        u = (
            (x - wide, high),
            (x - wide, low + 0.25 * high),
            (x - 0.6 * wide, low),
            (x + 0.6 * wide, low),
            (x + wide, low + 0.25 * high),
            (x + wide, high),
        )
        return (Polyline(tuple(self.at(*point) for point in u), "tapeline"),)

    def measures(self, show: Show) -> tuple[Part, ...]:
        parts: list[Part] = [
            Dimension(
                (0.0, self.floor),
                (self.length.value, self.floor),
                self.length.words(_("length"), show).replace("\n", " "),
                -5.0,
                self.length.known,
            ),
            Text(self.at(-0.012 * self.length.value, 0.03), _("bow"), "right", "soft", gap=3.0),
        ]
        for x, height in self.posts if self.craft.kind == "power" else ():
            words = show(height) if self.posts_known else "?"
            role = "tape" if self.posts_known else "soft"
            parts.append(Text(self.at(x, height), words, "top", role, bold=True, gap=3.5))
        return tuple(parts)
