"""The boat cut across at its widest beam: film over the ridge, its edge below the rub rail, and where the tape runs.

Rules kept here:
 1. The rub rail is level zero, the middle line is x = 0; the tape is drawn on the right, heights on the left.
 2. The tape line follows the film: from the ridge over what it passes and over the rub rail to the film's edge, as it
    is measured.
 3. With one measure asked for, that one is drawn large and the others are left out.
Source: how the cover is measured is common practice of the trade, no source.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot

from coach.language import _
from coach.view.drawing import (
    Arrow,
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
    Size,
    Text,
)
from coach.view.pictures import section_narrow
from coach.view.pictures.common import Measured, Show, all_known, measured, metres
from coach.view.pictures.craft import POWER, Craft
from coach.view.pictures.section_hulls import Section, mirror, section

# A boat of about 19 ft, for what is not measured yet, m.
TYPICAL_HALF_BEAM, TYPICAL_RIDGE, TYPICAL_DROP, TYPICAL_TUCK = 1.2, 1.0, 0.18, 0.15
# The same for the other kinds: half beam and ridge.
TYPICAL = {"pontoon": (1.3, 1.3), "jet": (0.6, 0.75), "sail": (1.6, 1.4)}
# The measures that a cross-section can show, by the names of its own arguments or of the craft's lengths.
SHOWS = frozenset(
    {
        "ridge_height",
        "half_beam",
        "beam",
        "film_drop",
        "ridge_to_edge",
        "sole_below",
        "band_to_keel",
        "band_to_hull",
        "deck_to_frame",
        "deck_below",
        "fence_height",
        "canopy_height",
        "fly_height",
        "bar_height",
    }
)
ABOVE_RAIL = ("fence_height", "canopy_height", "fly_height", "bar_height")


def cross_section(
    half_beam: float | None = None,
    ridge_height: float | None = None,
    film_drop: float | None = None,
    ridge_to_edge: float | None = None,
    tuck: float | None = None,
    *,
    craft: Craft = POWER,
    only: str = "",
    show: Show = metres,
) -> Drawing:
    """The cross-section with its measures.

    Args:
        half_beam: from the middle line to the rub rail, m.
        ridge_height: of the ridge above the rub rail, m.
        film_drop: from the rub rail down to the film's edge, m.
        ridge_to_edge: along the tape from the ridge over the rub rail to the film's edge, m.
        tuck: film folded round the band, m.
        craft: what kind of craft it is.
        only: the one measure that is asked for just now, one of SHOWS; the others are then left out.
        show: writes a length in metres in the reader's units.
    """
    wide, high = TYPICAL.get(craft.kind, (TYPICAL_HALF_BEAM, TYPICAL_RIDGE))
    half = measured(half_beam, wide)
    ridge = measured(ridge_height, high * half.value / wide)
    drop = measured(film_drop, TYPICAL_DROP)
    tape = measured(ridge_to_edge, 0.0)
    fold = measured(tuck, TYPICAL_TUCK)
    hull = section(craft, half, ridge, drop)
    way = _way(hull, half, ridge, drop)
    body = (
        Group("belly", _belly(hull, half, drop) if craft.belly and not only else ()),
        Group("hull", hull.parts),
        Group("frame", _frame(craft, hull, half, ridge)),
        Group("straps", _strap(hull, half, ridge, drop) if craft.kind != "jet" and not only else ()),
        Group("film", _film(way, half, all_known(half, ridge, drop), drop, fold)),
    )
    title = _("The boat cut across at its widest beam, with the film over the ridge")
    if only:
        asked = Group("measures", _asked(only, craft, hull, half, ridge, drop, show))
        line = Group("tape", _tape(way, tape, show, True) if only == "ridge_to_edge" else ())
        return Drawing("cross-section", title, (*body, asked, line))
    measures = Group("measures", _measures(hull, half, ridge, drop, show))
    narrow = Group("measures", section_narrow.measures(half, ridge, drop, hull.low, show))
    legend = _legend(craft, hull.floor is not None and craft.mast != "down")
    other = (*body, narrow, Group("tape", _tape(way, tape, show, False, section_narrow.tape_place(half, ridge))))
    return Drawing(
        "cross-section",
        title,
        (*body, measures, Group("tape", _tape(way, tape, show, False))),
        legend,
        Drawing("cross-section", title, other, legend),
    )


def _legend(craft: Craft, posts: bool) -> tuple[Legend, ...]:
    entries = (
        (True, Legend(_("film"), "film")),
        (True, Legend(_("ridge strap"), "ridge")),
        (True, Legend(_("perimeter band"), "band")),
        (posts, Legend(_("upright"), "timber")),
        (craft.kind != "jet", Legend(_("cross strap"), "strap")),
        (craft.belly, Legend(_("belly band"), "belly")),
        (True, Legend(_("tape from ridge to film edge"), "tapeline")),
    )
    return tuple(entry for here, entry in entries if here)


def _frame(craft: Craft, hull: Section, half: Measured, ridge: Measured) -> tuple[Part, ...]:
    b = half.value
    wide = 0.035 * b
    parts: list[Part] = []
    if hull.floor is not None and (craft.mast != "up" or "deck_below" in craft.lengths):
        known = all_known(ridge, hull.floor) if craft.kind == "sail" else ridge
        top = ridge.value - (0.16 * b if craft.mast == "down" else 0.0)
        aside = 0.2 * b if craft.mast == "up" else 0.0  # beside the mast, so that both are seen
        places = (0.0,) if craft.rows < 3 else (-0.5 * b, 0.0, 0.5 * b)
        for x in places:
            high = top if not x else _between(ridge.value, hull.over[0] if hull.over else (b, 0.0), abs(x))
            floor = hull.floor.value
            parts.append(
                Polygon(
                    (
                        (aside + x - wide, floor),
                        (aside + x + wide, floor),
                        (aside + x + wide, high),
                        (aside + x - wide, high),
                    ),
                    known.body("timber"),
                )
            )
            if x:
                parts.append(Circle((x, high), 0.03 * b, ridge.style("ridge")))
    return (*parts, Circle((0.0, ridge.value), 0.035 * b, ridge.style("ridge")))


def _between(ridge: float, foot: Point, x: float) -> float:
    """The height of the film's slope at a distance from the middle line."""
    return ridge + (foot[1] - ridge) * x / foot[0]


def _way(hull: Section, half: Measured, ridge: Measured, drop: Measured) -> tuple[Point, ...]:
    """The film's way on the right side: from the ridge over what it passes to the rub rail and down to its edge."""
    out = half.value * 1.045
    top = (0.0, ridge.value + 0.045 * half.value)
    return (top, *hull.over, (out, 0.0), (out, -drop.value))


def _film(way: tuple[Point, ...], half: Measured, both: Measured, drop: Measured, fold: Measured) -> tuple[Part, ...]:
    out, edge = way[-1]
    line = (*mirror(way)[::-1], *way[1:])
    inner = half.value * 0.985
    tucks = tuple(
        Polyline(
            (
                (side * out, edge),
                (side * (out + inner) / 2, edge - 0.07 * half.value),
                (side * inner, edge),
                (side * inner, min(-0.03, edge + fold.value * 0.6)),
            ),
            all_known(both, fold).style("film"),
        )
        for side in (-1, 1)
    )
    bands = tuple(Circle((side * (out + inner) / 2, edge), 0.022 * half.value, drop.style("band")) for side in (-1, 1))
    return (Polyline(line, both.style("film")), *tucks, *bands)


def _strap(hull: Section, half: Measured, ridge: Measured, drop: Measured) -> tuple[Part, ...]:
    """A cross strap below the film: from the band over the ridge to the band."""
    b = half.value
    right = (
        (0.0, ridge.value),
        *((x - 0.02 * b, y - 0.04 * b) for x, y in hull.over),
        (0.995 * b, -0.01 * b),
        (1.005 * b, -drop.value),
    )
    return (Polyline((*mirror(right)[::-1], *right[1:]), all_known(half, ridge).style("strap")),)


def _belly(hull: Section, half: Measured, drop: Measured) -> tuple[Part, ...]:
    """A belly band from the band under the hull to the band."""
    out = half.value * 1.03
    below = [(x * 1.04 + 0.01 * half.value, y - 0.035 * half.value) for x, y in hull.side if y < -drop.value - 0.02]
    right = ((out, -drop.value), *below)
    return (Polyline((*mirror(right), *right[::-1]), all_known(half, drop, hull.keel).style("belly")),)


def _measures(hull: Section, half: Measured, ridge: Measured, drop: Measured, show: Show) -> tuple[Part, ...]:
    b, low, out = half.value, hull.low, half.value * 1.34
    return (
        Line((0.0, ridge.value), (-b * 1.04, ridge.value), "guide"),
        Dimension((-b * 1.04, 0.0), (-b * 1.04, ridge.value), ridge.words(_("ridge height"), show), 9.0, ridge.known),
        Line((b, -drop.value), (b, low), "guide"),
        Dimension((0.0, low), (b, low), half.words(_("half beam"), show), -6.0, half.known, beside=True),
        Line((b, 0.0), (out, 0.0), "guide"),
        Line((b, -drop.value), (out, -drop.value), "guide"),
        Dimension((out, -drop.value), (out, 0.0), drop.words(_("film edge"), show), -0.01, drop.known, beside=True),
    )


def _asked(
    only: str, craft: Craft, hull: Section, half: Measured, ridge: Measured, drop: Measured, show: Show
) -> tuple[Part, ...]:
    """The one measure, large, with the levels that it runs between."""
    b = half.value
    span: dict[str, tuple[Point, Point, Measured]] = {
        "ridge_height": ((-1.22 * b, 0.0), (-1.22 * b, ridge.value), ridge),
        "half_beam": ((0.0, hull.low - 0.16 * b), (b, hull.low - 0.16 * b), half),
        "beam": ((-b, hull.low - 0.16 * b), (b, hull.low - 0.16 * b), Measured(2 * b, half.known)),
        "film_drop": ((1.28 * b, -drop.value), (1.28 * b, 0.0), drop),
        "band_to_keel": ((1.28 * b, hull.keel.value), (1.28 * b, -drop.value), hull.keel),
        "band_to_hull": ((1.28 * b, hull.keel.value), (1.28 * b, -drop.value), hull.keel),
        "deck_to_frame": ((1.28 * b, hull.keel.value), (1.28 * b, -drop.value), hull.keel),
    }
    if hull.floor is not None:
        span["sole_below"] = ((0.4 * b, hull.floor.value), (0.4 * b, -drop.value), hull.floor)
        span["deck_below"] = ((0.42 * b, hull.floor.value), (0.42 * b, ridge.value), hull.floor)
    for name in ABOVE_RAIL:
        height = craft.length(name, 0.5 * ridge.value)
        span[name] = ((-1.22 * b, 0.0), (-1.22 * b, height.value), height)
    if only not in span:
        return ()
    first, last, value = span[only]
    level = first[1] == last[1]
    along = (
        value.value
        if only in (*ABOVE_RAIL, "ridge_height", "half_beam", "beam", "film_drop")
        else hypot(last[0] - first[0], last[1] - first[1])
    )
    words = show(along) if value.known else "?"
    guides: list[Part] = []
    for x, y in (first, last):
        guides.append(
            Line((x, y), (x, -drop.value), "guide") if level else Line((x, y), (0.0 if abs(x) > b else b, y), "guide")
        )
    aside = 0.01 if first[0] < 0 else -0.01
    return (*guides, Dimension(first, last, words, -0.01 if level else aside, value.known, beside=True, asked=True))


def _tape(
    way: tuple[Point, ...], tape: Measured, show: Show, asked: bool, place_of_words: Point | None = None
) -> tuple[Part, ...]:
    """The tape's way, a little outside the film so that both are seen, with a head at either end."""
    b = way[-1][0] / 1.045
    away = 0.115 * b
    run = _outside(way, away)
    place, middle = _middle(run)
    style = ("asked" if tape.known else "asked-unknown") if asked else "tapeline" if tape.known else "unknown"
    words = (show(tape.value) if tape.known else "?") if asked else tape.words(_("ridge to film edge"), show)
    role, plate = ("primary_ink", "primary") if asked else ("tape" if tape.known else "soft", "card")
    there = (middle[0] + 0.06 * b, middle[1] + 0.1 * b) if asked else middle
    size: Size = "lead" if asked else "note"
    words_there = (
        Text(there, words, "right", role, size, bold=True, gap=2.5, plate=plate)
        if place_of_words is None
        else Text(place_of_words, words, "top", role, size, bold=True, room=0.5)
    )
    return (
        Arrow((middle, *run[: place + 1][::-1]), style),
        Arrow((middle, *run[place + 1 :]), style),
        Line(way[0], run[0], "guide"),
        Line((b, way[-1][1]), run[-1], "guide"),
        words_there,
    )


def _outside(way: tuple[Point, ...], away: float) -> tuple[Point, ...]:
    """The way moved to its left, outwards, each corner along the middle of its two normals."""
    normals = []
    for (x1, y1), (x2, y2) in pairwise(way):
        long = hypot(x2 - x1, y2 - y1) or 1.0
        normals.append(((y1 - y2) / long, (x2 - x1) / long))
    found = []
    for place, (x, y) in enumerate(way):
        before, after = normals[max(0, place - 1)], normals[min(place, len(normals) - 1)]
        nx, ny = before[0] + after[0], before[1] + after[1]
        size = hypot(nx, ny) or 1.0
        found.append((x + nx / size * away, y + ny / size * away))
    return tuple(found)


def _middle(points: tuple[Point, ...]) -> tuple[int, Point]:
    """The middle of the longest piece of a line, and which piece that is."""
    pieces = list(pairwise(points))
    place = max(
        range(len(pieces)),
        key=lambda each: hypot(pieces[each][1][0] - pieces[each][0][0], pieces[each][1][1] - pieces[each][0][1]),
    )
    (x1, y1), (x2, y2) = pieces[place]
    return place, ((x1 + x2) / 2, (y1 + y2) / 2)
