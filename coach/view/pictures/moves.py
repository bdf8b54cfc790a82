"""Still pictures of hand moves at the film, with arrows: the flame at the weld, the order of shrinking, door, pleat.

Rules kept here:
 1. These pictures show a way of moving, not a boat: they have no scale, and they show no measures.
Source: the moves are common practice of the trade, no source; all pictures are drawn by us.
"""

from __future__ import annotations

from coach.language import _
from coach.view.drawing import (
    Arrow,
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

# The ways of the moves, in the metres of their pictures; `motion` shows them walked.
BAND_WELD: tuple[Point, ...] = ((-0.4, 0.24), (3.3, 0.24))
SIDES: tuple[tuple[Point, ...], ...] = tuple(((x, 0.12), (x, 0.78)) for x in (0.6, 1.7, 2.8, 3.9, 5.0))
TOPS: tuple[tuple[Point, ...], ...] = tuple(
    ((x, 1.02), (x + 0.1, 1.02 + rise)) for x, rise in ((1.2, 0.75), (2.6, 0.95), (4.0, 0.8))
)
DOOR_U: tuple[Point, ...] = (
    (2.2, 2.6), (2.2, 1.0), (2.35, 0.65), (2.7, 0.5), (3.3, 0.5), (3.65, 0.65), (3.8, 1.0), (3.8, 2.6),
)
PLEAT_TOP: Point = (3.25, 2.2)
SWING_WAY: tuple[Point, ...] = (
    (0.5, 0.4), (5.0, 0.4), (5.0, 0.95), (0.5, 0.95), (0.5, 1.5), (5.0, 1.5), (5.0, 2.05), (0.9, 2.05),
)


def torch(tip: Point, size: float = 1.0, lean: float = 0.0) -> tuple[Part, ...]:
    """A heat tool that points left at `tip`, its flame in front: barrel, handle, flame. `lean` lifts its back end."""
    x, y = tip

    def at(along: float, up: float) -> Point:
        return x + along * size, y + (up + along * lean) * size

    flame = (at(0.0, 0.0), at(0.16, 0.075), at(0.34, 0.05), at(0.34, -0.05), at(0.16, -0.075))
    barrel = (at(0.34, 0.07), at(0.46, 0.07), at(0.46, 0.03), at(1.05, 0.03), at(1.05, -0.03), at(0.46, -0.03),
              at(0.46, -0.07), at(0.34, -0.07))
    handle = (at(1.05, 0.05), at(1.42, 0.05), at(1.42, -0.05), at(1.05, -0.05))
    return (Polygon(flame, "flame"), Polygon(barrel, "engine"), Polygon(handle, "hull"))


def flame_level() -> Drawing:
    """The weld: the flame level, just above the band, moving along; the glove pats behind it."""
    band_y, fold = 0.0, 0.42
    hull = ((-0.4, -0.75), (5.2, -0.75), (5.2, -0.15), (-0.4, -0.15))
    film = ((-0.4, band_y - 0.06), (5.2, band_y - 0.06), (5.2, 1.7), (-0.4, 1.7))
    hem = ((-0.4, band_y - 0.06), (5.2, band_y - 0.06), (5.2, fold), (-0.4, fold))
    parts: tuple[Part, ...] = (
        Polygon(hull, "hull"), Polygon(film, "cover"), Polygon(hem, "cover"),
        Line((-0.4, band_y), (5.2, band_y), "band"),
        Group("weld", (Polyline(((-0.4, 0.24), (2.35, 0.24)), "weld"),)),
        Group("torch", torch((2.6, 0.24), 1.15, 0.16)),
        Group("way", (Arrow(((2.6, 1.0), (4.6, 1.0)), "arrow"),)),
        Group("hand", (Sign((1.55, 0.42), "hand", 9.0),)),
        Text((3.6, 1.0), _("move on at one pace"), "top", bold=True),
        Text((1.55, 0.42), _("pat with a gloved hand"), "top", gap=7.5),
        Text((3.4, -0.45), _("flame level, just above the band"), "middle", bold=True),
    )
    legend = (Legend(_("film, folded up over the band"), "cover"), Legend(_("perimeter band"), "band"),
              Legend(_("weld"), "weld"))
    return Drawing("flame-level", _("The flame is held level just above the band; a glove pats the weld behind it"),
                   parts, legend)


def bottom_up() -> Drawing:
    """The order of shrinking: first all round from the band upwards, then the top, section by section."""
    outline = ((0.0, 0.0), (6.0, 0.0), (6.35, 0.7), (5.0, 2.0), (2.6, 2.3), (0.3, 1.6))
    hull = ((0.1, 0.0), (6.0, 0.0), (5.3, -0.9), (0.3, -0.9))
    parts: tuple[Part, ...] = (
        Polygon(hull, "hull"), Polygon(outline, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Group("first", (
            *(Arrow(way, "arrow") for way in SIDES),
        )),
        Sign((0.0, 0.45), "one", 5.5),
        Group("round", (Arrow(((0.3, -0.45), (5.2, -0.45)), "arrow"),)),
        Group("then", (
            *(Arrow(way, "tapeline") for way in TOPS),
        )),
        Sign((0.0, 1.25), "two", 5.5),
        Text((2.75, -0.45), _("first all round"), "top", bold=True),
        Text((2.7, 2.3), _("then the top, in sections"), "top", "tape", bold=True, gap=2.5),
    )
    return Drawing("bottom-up", _("Shrink from the bottom up: first all round the boat, then the top in sections"),
                   parts, (Legend(_("first pass"), "arrow"), Legend(_("second pass"), "tapeline")))


def u_door() -> Drawing:
    """The door: a U on a sloping side, its round end down, taped all round, without heat."""
    slope = ((0.0, 0.0), (6.0, 0.0), (5.2, 3.2), (0.8, 3.2))
    parts: tuple[Part, ...] = (
        Polygon(slope, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"), Line((0.8, 3.2), (5.2, 3.2), "ridge"),
        Group("door", (Polyline(DOOR_U, "tapeline"), Line((2.2, 2.6), (3.8, 2.6), "guide"))),
        Group("way", (Arrow(((1.85, 2.6), (1.85, 1.0), (2.1, 0.45), (2.7, 0.2), (3.3, 0.2)), "arrow"),)),
        Sign((3.0, 1.55), "flame-off", 8.0, "bad"),
        Text((3.0, 1.55), _("no heat"), "bottom", "bad", bold=True, gap=6.5),
        Text((1.85, 1.8), _("cut a U,\nround end down"), "left", bold=True),
        Text((3.85, 1.2), _("tape all round,\nrub it down"), "right", bold=True),
    )
    return Drawing("u-door", _("The door is a U with its round end down, taped all round, without heat"), parts,
                   (Legend(_("cut and tape"), "tapeline"), Legend(_("ridge strap"), "ridge"),
                    Legend(_("perimeter band"), "band")))


def pleat() -> Drawing:
    """A pleat: the spare film folded flat towards the stern, so that wind from ahead does not lift it."""
    side = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.4), (0.0, 2.4))
    fold = ((2.7, 0.0), (3.7, 0.0), (3.25, 2.2))
    parts: tuple[Part, ...] = (
        Polygon(side, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Group("fold", (Polygon(fold, "cover"), Line((2.7, 0.0), (3.25, 2.2), "film"),
                       Line((3.7, 0.0), (3.25, 2.2), "guide"))),
        Group("way", (Arrow(((4.5, 0.9), (4.1, 1.25), (3.4, 1.3), (2.4, 0.95)), "arrow"),)),
        Arrow(((1.3, 2.75), (0.1, 2.75)), "tapeline"), Arrow(((4.7, 2.75), (5.9, 2.75)), "tapeline"),
        Text((1.3, 2.75), _("stern"), "right", "tape", bold=True),
        Text((4.7, 2.75), _("bow"), "left", "tape", bold=True),
        Text((4.5, 0.9), _("fold towards\nthe stern"), "right", bold=True, gap=1.5),
    )
    return Drawing("pleat", _("The pleat is folded flat towards the stern"), parts,
                   (Legend(_("film"), "film"), Legend(_("where the fold came from"), "guide"),
                    Legend(_("perimeter band"), "band")))


def swing() -> Drawing:
    """How the tool moves over the film: side to side in even strokes that overlap, never standing still."""
    film = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.6), (0.0, 2.6))
    parts: tuple[Part, ...] = (
        Polygon(film, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Group("way", (Arrow(SWING_WAY, "arrow"),)),
        Text((2.75, 0.4), _("start low"), "bottom", bold=True, gap=0.6),
    )
    return Drawing("swing", _("The tool moves side to side in even strokes from the bottom up"), parts,
                   (Legend(_("film"), "cover"), Legend(_("way of the tool"), "arrow")))
