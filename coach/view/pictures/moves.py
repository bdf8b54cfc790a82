"""Still pictures of hand moves at the film, with arrows: the flame at the weld, the order of shrinking, door, pleat.

Rules kept here:
 1. These pictures show a way of moving, not a boat: they have no scale, and they show no measures.
 2. Where a hand moves, no text stands: words are above and below, at the right where that leaves the picture larger,
    or beside the signs.
Source: the moves are common practice of the trade, no source; all pictures are drawn by us.
"""

from __future__ import annotations

from dataclasses import replace

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
BAND_WELD: tuple[Point, ...] = ((0.0, 0.24), (2.25, 0.24))
PANELS: tuple[tuple[float, float], ...] = ((0.1, 1.25), (1.25, 2.4), (2.4, 3.55), (3.55, 4.7), (4.7, 5.9))
SIDES: tuple[tuple[Point, ...], ...] = tuple((((one + two) / 2, 0.12), ((one + two) / 2, 0.8)) for one, two in PANELS)
SHOULDER = 0.95  # where the side ends and the top begins
SECTIONS: tuple[tuple[Point, ...], ...] = (
    ((0.2, SHOULDER), (2.1, SHOULDER), (2.1, 2.23), (0.3, 1.6)),
    ((2.1, SHOULDER), (4.1, SHOULDER), (4.1, 2.11), (2.6, 2.3), (2.1, 2.23)),
    ((4.1, SHOULDER), (6.1, SHOULDER), (5.0, 2.0), (4.1, 2.11)),
)
TOPS: tuple[tuple[Point, ...], ...] = tuple(
    ((x, 1.1), (x + 0.1, 1.1 + rise)) for x, rise in ((1.1, 0.62), (3.0, 0.92), (4.6, 0.66))
)
DOOR_U: tuple[Point, ...] = (
    (2.1, 2.75), (2.1, 1.05), (2.27, 0.65), (2.65, 0.45), (3.35, 0.45), (3.73, 0.65), (3.9, 1.05), (3.9, 2.75),
)
PLEAT_TOP: Point = (3.25, 2.2)
SWING_WAY: tuple[Point, ...] = (
    (0.4, 0.4), (4.4, 0.4), (4.4, 0.9), (0.4, 0.9), (0.4, 1.4), (4.4, 1.4), (4.4, 1.9), (0.8, 1.9),
)


def torch(tip: Point, size: float = 1.0, lean: float = 0.0, turned: bool = False) -> tuple[Part, ...]:
    """A heat tool that points left at `tip`, its flame in front: barrel, handle, flame. `lean` lifts its back end;
    turned: it points right."""
    x, y = tip
    away = -size if turned else size

    def at(along: float, up: float) -> Point:
        return x + along * away, y + (up + along * lean) * size

    flame = (at(0.0, 0.0), at(0.2, 0.11), at(0.42, 0.075), at(0.42, -0.075), at(0.2, -0.11))
    barrel = (at(0.42, 0.1), at(0.56, 0.1), at(0.56, 0.045), at(1.08, 0.045), at(1.08, -0.045), at(0.56, -0.045),
              at(0.56, -0.1), at(0.42, -0.1))
    handle = (at(1.08, 0.085), at(1.45, 0.085), at(1.45, -0.085), at(1.08, -0.085))
    return (Polygon(flame, "flame"), Polygon(barrel, "engine"), Polygon(handle, "hull"))


def _also_beside(drawing: Drawing, right: float, low: float, high: float) -> Drawing:
    """The same also with its words at the right instead of above and below, for paper that is wide and low.

    right, low, high: the picture's edges, in its metres.
    """
    level = {"top": low + 0.75 * (high - low), "bottom": low + 0.25 * (high - low)}
    parts = tuple(
        replace(part, at=(right, level[part.side]), side="right", gap=3.0, room=0.37)
        if isinstance(part, Text) and part.side in level else part
        for part in drawing.parts
    )  # fmt: skip
    return replace(drawing, other=replace(drawing, parts=parts))


def flame_level() -> Drawing:
    """The weld: the flame level, just above the band, moving along; the glove pats behind it."""
    fold, right = 0.42, 4.2
    hull = ((0.0, -0.7), (right, -0.7), (right, -0.12), (0.0, -0.12))
    film = ((0.0, -0.06), (right, -0.06), (right, 1.25), (0.0, 1.25))
    hem = ((0.0, -0.06), (right, -0.06), (right, fold), (0.0, fold))
    parts: tuple[Part, ...] = (
        Polygon(hull, "hull"), Polygon(film, "cover"), Polygon(hem, "cover"),
        Line((0.0, 0.0), (right, 0.0), "band"),
        Group("weld", (Polyline(((0.0, 0.24), (1.6, 0.24)), "weld"),)),
        Group("torch", torch((1.75, 0.24), 1.25, 0.1)),
        Group("way", (Arrow(((1.3, 0.95), (3.4, 0.95)), "arrow"),)),
        Group("hand", (Sign((0.75, 0.42), "hand", 8.0),)),
        Text((right / 2, 1.25), _("move on at one pace"), "top", bold=True),
        Text((right / 2, -0.7), _("flame level, just above the band"), "bottom", bold=True),
    )
    legend = (Legend(_("pat with a gloved hand"), icon="hand"), Legend(_("film, folded up over the band"), "cover"),
              Legend(_("perimeter band"), "band"), Legend(_("weld"), "weld"))
    made = Drawing("flame-level", _("The flame is held level just above the band; a glove pats the weld behind it"),
                   parts, legend)
    return _also_beside(made, right, -0.7, 1.25)


def bottom_up() -> Drawing:
    """The order of shrinking: first all round from the band upwards, then the top, section by section."""
    outline = ((0.0, 0.0), (6.0, 0.0), (6.35, 0.7), (5.0, 2.0), (2.6, 2.3), (0.3, 1.6))
    hull = ((0.1, 0.0), (6.0, 0.0), (5.3, -0.8), (0.3, -0.8))
    edges = tuple(Line((two, 0.0), (two, SHOULDER), "guide") for _one, two in PANELS[:-1])
    parts: tuple[Part, ...] = (
        Polygon(hull, "hull"), Polygon(outline, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Line((0.17, SHOULDER), (6.1, SHOULDER), "guide"), *edges,
        *(Line((x, SHOULDER), (x, top), "guide") for x, top in ((2.1, 2.23), (4.1, 2.11))),
        Group("first", (
            *(Arrow(way, "arrow") for way in SIDES),
        )),
        Sign((-0.5, 0.35), "one", 5.5),
        Group("round", (Arrow(((0.5, -0.4), (5.1, -0.4)), "arrow"),)),
        Group("then", (
            *(Arrow(way, "tapeline") for way in TOPS),
        )),
        Sign((-0.35, 1.55), "two", 5.5, "tape"),
        Text((2.9, -0.8), _("first all round"), "bottom", bold=True),
        Text((2.9, 2.3), _("then the top, in sections"), "top", "tape", bold=True),
    )
    made = Drawing("bottom-up", _("Shrink from the bottom up: first all round the boat, then the top in sections"),
                   parts, (Legend(_("first pass"), "arrow"), Legend(_("second pass"), "tapeline")))
    return _also_beside(made, 6.35, -0.8, 2.3)


def u_door() -> Drawing:
    """The door: a U on a sloping side, its round end down, taped all round, without heat."""
    slope = ((0.0, 0.0), (6.0, 0.0), (5.2, 3.2), (0.8, 3.2))
    parts: tuple[Part, ...] = (
        Polygon(slope, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"), Line((0.8, 3.2), (5.2, 3.2), "ridge"),
        Group("door", (Polyline(DOOR_U, "tapeline"), Line((2.1, 2.75), (3.9, 2.75), "guide"))),
        Group("way", (Arrow(((1.75, 2.75), (1.75, 0.95), (2.0, 0.4), (2.55, 0.15), (3.2, 0.15)), "arrow"),)),
        Sign((4.75, 1.6), "flame-off", 8.0, "bad"),
        Text((3.0, 3.2), _("cut a U,\nround end down").replace("\n", " "), "top", bold=True),
        Text((3.0, 0.0), _("tape all round,\nrub it down").replace("\n", " "), "bottom", bold=True),
    )
    return Drawing("u-door", _("The door is a U with its round end down, taped all round, without heat"), parts,
                   (Legend(_("no heat"), icon="flame-off", role="bad", keep=True),
                    Legend(_("cut and tape"), "tapeline"), Legend(_("ridge strap"), "ridge"),
                    Legend(_("perimeter band"), "band")))


def pleat() -> Drawing:
    """A pleat: the spare film folded flat towards the stern, so that wind from ahead does not lift it."""
    side = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.4), (0.0, 2.4))
    fold = ((2.7, 0.0), (3.7, 0.0), PLEAT_TOP)
    parts: tuple[Part, ...] = (
        Polygon(side, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Group("fold", (Polygon(fold, "pleat"), Line((2.7, 0.0), PLEAT_TOP, "film"),
                       Line((3.7, 0.0), PLEAT_TOP, "guide"), Line((4.5, 0.0), PLEAT_TOP, "guide"))),
        Group("way", (Arrow(((4.7, 0.75), (4.2, 1.2), (3.3, 1.3), (2.3, 0.85)), "arrow"),)),
        Arrow(((1.3, 2.75), (0.1, 2.75)), "tapeline"), Arrow(((4.7, 2.75), (5.9, 2.75)), "tapeline"),
        Text((1.3, 2.75), _("stern"), "right", "tape", bold=True),
        Text((4.7, 2.75), _("bow"), "left", "tape", bold=True),
        Text((3.0, 0.0), _("fold towards\nthe stern").replace("\n", " "), "bottom", bold=True),
    )
    return Drawing("pleat", _("The pleat is folded flat towards the stern"), parts,
                   (Legend(_("film"), "film"), Legend(_("where the fold came from"), "guide"),
                    Legend(_("perimeter band"), "band")))


def swing() -> Drawing:
    """How the tool moves over the film: side to side in even strokes that overlap, never standing still."""
    film = ((0.0, 0.0), (6.0, 0.0), (6.0, 2.5), (0.0, 2.5))
    parts: tuple[Part, ...] = (
        Polygon(film, "cover"), Line((0.0, 0.0), (6.0, 0.0), "band"),
        Group("way", (Arrow(SWING_WAY, "arrow"),)),
        Text((3.0, 0.0), _("start low"), "bottom", bold=True),
    )
    made = Drawing("swing", _("The tool moves side to side in even strokes from the bottom up"), parts,
                   (Legend(_("film"), "cover"), Legend(_("way of the tool"), "arrow")))
    return _also_beside(made, 6.0, 0.0, 2.5)
