"""The boat seen from above, bow to the right: ridge, straps over the uprights, belly bands, vents and door.

Rules kept here:
 1. Positions along the boat are metres from the bow, across it metres from the middle line, to port positive.
 2. The outline is the one that the sizing counts with, so that the picture and the numbers speak of one boat.
"""

from __future__ import annotations

from collections.abc import Sequence

from coach.core.sizing.outline import pointed_half_breadth, transom_half_breadth
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
    Sign,
    Text,
)
from coach.view.pictures.common import Measured, Show, all_known, measured, metres
from coach.view.pictures.craft import POWER, Craft
from coach.view.pictures.plan_details import details, round_the_edge

TYPICAL_LENGTH, TYPICAL_BEAM = 5.8, 2.4
STEPS = 40
# How large a vent's sign is, mm; many of them on a short boat would otherwise hide it.
SIGN, SMALL_SIGN, MANY_VENTS = 4.6, 3.0, 6


def plan(length: float | None = None, beam: float | None = None, *, form: str = "transom",
         uprights: Sequence[float] = (), straps: Sequence[float] | None = None, belly: Sequence[float] = (),
         vents: Sequence[tuple[float, float]] = (), door: tuple[float, float] | None = None, loops: int = 0,
         craft: Craft = POWER, mark: str = "", only: str = "", show: Show = metres) -> Drawing:
    """The boat from above.

    Args:
        length: over all, m; 2 to 60.
        beam: widest, m; at most the length.
        form: transom, pointed (both ends) or rectangle.
        uprights: distances from the bow, m, each 0 to length.
        straps: distances of the cross straps from the bow, m; over the uprights when None.
        belly: distances of the belly bands from the bow, m.
        vents: (from the bow, from the middle line) of each vent, m.
        door: (from the bow to its middle, its width), m; on the port side.
        loops: how many loops hang the band, even along it.
        craft: what kind of craft it is.
        only: the measure that is asked: boat_length or beam are drawn large; measures, vents and legend are left out,
            lest the cover's vents be counted for others.
        mark: the one of uprights, straps, belly, vents or door whose distances from the bow are written at it;
            length and beam are then left out.
        show: writes a length in metres in the reader's units.
    """
    long, wide = measured(length, TYPICAL_LENGTH), measured(beam, TYPICAL_BEAM)
    boat = _Boat(long, wide, form)
    over = uprights if straps is None else straps
    marked = {"uprights": uprights, "straps": over, "belly": belly, "vents": [x for x, _y in vents if _y >= 0],
              "door": [door[0]] if door else []}.get(mark, ())
    parts: tuple[Part, ...] = (
        Group("belly", boat.belly(belly)),
        Group("outline", boat.outline()),
        Group("craft", details(craft, boat.at, boat.half, long.value, wide)),
        Group("loops", boat.loops(loops)),
        Group("ridge", boat.ridges(craft)),
        Group("straps", tuple(boat.across(x, 1.0, "strap") for x in over)),
        Group("uprights", boat.posts(uprights, craft)),
        Group("door", boat.door(door)),
        Group("vents", boat.vents(() if only else vents)),
        Group("measures", () if mark else boat.asked(only, show) if only else boat.measures(craft, show)),
        Group("bow", (Text(boat.at(-0.02 * long.value - boat.ahead(craft), 0.0), _("bow"), "right", "soft", gap=2.5),)),
        Group("marks", boat.marks(tuple(marked), show)),
    )
    return Drawing("plan", _("The boat seen from above, bow to the right"), parts,
                   () if only else _legend(bool(over), bool(uprights), bool(belly), bool(vents), door is not None))


def _legend(straps: bool, uprights: bool, belly: bool, vents: bool, door: bool) -> tuple[Legend, ...]:
    entries = [(True, Legend(_("ridge strap"), "ridge")), (straps, Legend(_("cross strap"), "strap")),
               (uprights, Legend(_("upright"), "timber")), (True, Legend(_("perimeter band"), "band")),
               (belly, Legend(_("belly band"), "belly")), (vents, Legend(_("vent"), icon="vent")),
               (door, Legend(_("door"), "tapeline"))]
    return tuple(entry for here, entry in entries if here)


class _Boat:
    """The outline, and where a distance from the bow lies on the paper (bow to the right)."""

    def __init__(self, length: Measured, beam: Measured, form: str) -> None:
        self.length, self.beam, self.form = length, beam, form

    def at(self, x: float, y: float) -> Point:
        return self.length.value - x, y

    def half(self, x: float) -> float:
        """Half breadth at a distance from the bow."""
        length, beam = self.length.value, self.beam.value
        x = min(x, length)  # a share of a length in floats may come out a hair beyond it
        if self.form == "rectangle":
            return beam / 2
        if self.form == "pointed":
            return float(pointed_half_breadth(length, beam, x))
        return float(transom_half_breadth(length, beam, x))

    def around(self) -> tuple[Point, ...]:
        """The outline from the bow along port to the stern and back."""
        stations = [self.length.value * step / STEPS for step in range(STEPS + 1)]
        port = [self.at(x, self.half(x)) for x in stations]
        return (*port, *[(x, -y) for x, y in reversed(port)])

    def outline(self) -> tuple[Part, ...]:
        around = self.around()
        known = all_known(self.length, self.beam)
        return (Polygon(around, known.body("cover")), Polygon(self.band(), known.style("band")))

    def band(self) -> tuple[Point, ...]:
        """The perimeter band, drawn a little outside the outline so that both are seen."""
        middle = self.length.value / 2
        return tuple((middle + (x - middle) * 1.025, y * 1.05) for x, y in self.around())

    def rows(self, craft: Craft) -> tuple[float, ...]:
        """How far from the middle line posts and ridge straps stand."""
        return (0.0,) if craft.rows < 3 else (-self.beam.value / 4, 0.0, self.beam.value / 4)

    def ahead(self, craft: Craft) -> float:
        """How far something stands out ahead of the bow."""
        return craft.length("mast_ahead", 0.06 * self.length.value).value if craft.mast == "down" else 0.0

    def posts(self, places: Sequence[float], craft: Craft) -> tuple[Part, ...]:
        """The uprights, row by row."""
        size = 0.035 * self.beam.value
        return tuple(Circle(self.at(x, y), size, "timber") for x in places for y in self.rows(craft))

    def loops(self, count: int) -> tuple[Part, ...]:
        """The loops that hang the band."""
        size = 0.012 * self.beam.value
        return tuple(Circle(place, size, "timber") for place in round_the_edge(self.band(), count))

    def ridges(self, craft: Craft) -> tuple[Part, ...]:
        """A ridge strap over each row; a mast that lies is the ridge itself."""
        style = "guide" if craft.mast == "down" else "ridge"
        return tuple(Line(self.at(0.0, y), self.at(self.length.value, y), style) for y in self.rows(craft))

    def across(self, x: float, share: float, style: str) -> Line:
        return Line(self.at(x, -self.half(x) * share), self.at(x, self.half(x) * share), style)

    def belly(self, places: Sequence[float]) -> tuple[Part, ...]:
        return tuple(self.across(x, 1.16, "belly") for x in places)

    def vents(self, vents: Sequence[tuple[float, float]]) -> tuple[Part, ...]:
        """A sign at each vent, smaller where there are many."""
        size = SIGN if len(vents) <= MANY_VENTS else SMALL_SIGN
        return tuple(Sign(self.at(x, y), "vent", size) for x, y in vents)

    def door(self, door: tuple[float, float] | None) -> tuple[Part, ...]:
        """The U of the door on the port slope, its round side towards the edge."""
        if door is None:
            return ()
        x, width = door
        low, high = self.half(x) * 0.86, self.half(x) * 0.28
        side = width / 2
        u = ((x - side, high), (x - side, low * 0.82), (x - side * 0.6, low), (x + side * 0.6, low),
             (x + side, low * 0.82), (x + side, high))
        return (Polyline(tuple(self.at(*point) for point in u), "tapeline"),)

    def measures(self, craft: Craft, show: Show) -> tuple[Part, ...]:
        low = -self.beam.value / 2 * 1.16
        long = self.length.value
        reach = "motor_reach" if craft.kind == "pontoon" else "drive_reach"
        motor = craft.kind == "pontoon" or (craft.kind == "power" and bool(craft.drive))
        aft = -craft.length(reach, 0.08 * long).value if motor else 0.0
        if craft.mast == "down":
            aft = -craft.length("mast_behind", 0.1 * long).value
        return (
            Dimension((0.0, low), (long, low), self.length.words(_("length"), show).replace("\n", " "), -5.0,
                      self.length.known),
            Dimension((aft, -self.beam.value / 2), (aft, self.beam.value / 2), self.beam.words(_("beam"), show), 5.0,
                      self.beam.known, beside=True),
        )

    def asked(self, only: str, show: Show) -> tuple[Part, ...]:
        """Length or beam, large."""
        low, long, half = -self.beam.value / 2 * 1.25, self.length.value, self.beam.value / 2
        if only not in ("boat_length", "beam"):
            return ()  # a count has no place of its own
        one = self.length if only == "boat_length" else self.beam
        words = show(one.value) if one.known else "?"
        if only == "boat_length":
            return (Dimension((0.0, low), (long, low), words, -0.01, one.known, beside=True, asked=True),)
        aft = -0.08 * long
        return (Dimension((aft, -half), (aft, half), words, 0.01, one.known, beside=True, asked=True),)

    def marks(self, places: tuple[float, ...], show: Show) -> tuple[Part, ...]:
        """Distances from the bow, written above the boat, one line for each place, from the nearest outwards."""
        top = self.beam.value / 2 * 1.16
        parts: list[Part] = []
        for step, x in enumerate(sorted(places)):
            parts.append(Line(self.at(x, 0.0), self.at(x, top), "guide"))
            parts.append(Dimension(self.at(x, top), self.at(0.0, top), show(x), 5.0 + 7.0 * step))
        return tuple(parts)
