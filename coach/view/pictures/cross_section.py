"""The boat cut across at its widest beam: film over the ridge, its edge below the rub rail, and where the tape runs.

Rules kept here:
 1. The rub rail is level zero, the middle line is x = 0; the tape is drawn on the right, heights on the left.
 2. The tape line follows the film: from the ridge over the rub rail to the film's edge, as it is measured.
Source: how the cover is measured is common practice of the trade, no source.
"""

from __future__ import annotations

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
    Text,
)
from coach.view.pictures.common import Measured, Show, all_known, measured, metres

# A boat of about 19 ft, for what is not measured yet, m.
TYPICAL_HALF_BEAM, TYPICAL_RIDGE, TYPICAL_DROP, TYPICAL_TUCK = 1.2, 1.0, 0.18, 0.15


def cross_section(half_beam: float | None = None, ridge_height: float | None = None, film_drop: float | None = None,
                  ridge_to_edge: float | None = None, tuck: float | None = None, *, only: str = "",
                  show: Show = metres) -> Drawing:
    """The cross-section with its measures.

    Args:
        half_beam: from the middle line to the rub rail, m.
        ridge_height: of the ridge above the rub rail, m.
        film_drop: from the rub rail down to the film's edge, m.
        ridge_to_edge: along the tape from the ridge over the rub rail to the film's edge, m.
        tuck: film folded round the band, m.
        only: the one measure that is asked for just now, by its name above; the others are then left out.
        show: writes a length in metres in the reader's units.
    """
    half = measured(half_beam, TYPICAL_HALF_BEAM)
    ridge = measured(ridge_height, TYPICAL_RIDGE)
    drop = measured(film_drop, TYPICAL_DROP)
    tape = measured(ridge_to_edge, 0.0)
    fold = measured(tuck, TYPICAL_TUCK)
    parts = (
        Group("hull", _hull(half)),
        Group("frame", _frame(half, ridge)),
        Group("film", _film(half, ridge, drop, fold)),
        Group("measures", _measures(half, ridge, drop, only, show)),
        Group("tape", _tape(half, ridge, drop, tape, show) if only in ("", "ridge_to_edge") else ()),
    )
    legend = (
        Legend(_("film"), "film"), Legend(_("ridge strap"), "ridge"), Legend(_("perimeter band"), "band"),
        Legend(_("upright"), "timber"), Legend(_("tape from ridge to film edge"), "tapeline"),
    )
    return Drawing("cross-section", _("The boat cut across at its widest beam, with the film over the ridge"),
                   parts, legend)


def _depth(half: Measured) -> float:
    return half.value * 0.85


def _hull(half: Measured) -> tuple[Part, ...]:
    b, deep = half.value, _depth(half)
    side = ((b, 0.0), (b * 0.985, -deep * 0.25), (b * 0.86, -deep * 0.62), (0.0, -deep))
    inside = ((0.0, -deep * 0.52), (b * 0.8, -deep * 0.52), (b * 0.92, 0.0))
    outline = (*_mirror(inside)[::-1], *inside[1:], *side, *_mirror(side[:-1])[::-1])
    rails = tuple(
        Polygon(((x - 0.025 * b, 0.03 * b), (x + 0.025 * b, 0.03 * b), (x + 0.025 * b, -0.03 * b),
                 (x - 0.025 * b, -0.03 * b)), half.body("timber"))
        for x in (-b, b)
    )
    return (Polygon(outline, half.body("hull")), *rails)


def _mirror(points: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple((-x, y) for x, y in points)


def _frame(half: Measured, ridge: Measured) -> tuple[Part, ...]:
    b, floor = half.value, -_depth(half) * 0.52
    wide = 0.035 * b
    upright = ((-wide, floor), (wide, floor), (wide, ridge.value), (-wide, ridge.value))
    return (
        Polygon(upright, ridge.body("timber")),
        Circle((0.0, ridge.value), 0.035 * b, ridge.style("ridge")),
    )


def _film(half: Measured, ridge: Measured, drop: Measured, fold: Measured) -> tuple[Part, ...]:
    both = all_known(half, ridge, drop)
    out = half.value * 1.045
    top = (0.0, ridge.value + 0.045 * half.value)
    edge = -drop.value
    line = ((-out, edge), (-out, 0.0), top, (out, 0.0), (out, edge))
    inner = half.value * 0.985
    tucks = tuple(
        Polyline(((side * out, edge), (side * (out + inner) / 2, edge - 0.07 * half.value), (side * inner, edge),
                  (side * inner, min(-0.03, edge + fold.value * 0.6))), all_known(both, fold).style("film"))
        for side in (-1, 1)
    )
    bands = tuple(
        Circle((side * (out + inner) / 2, edge), 0.022 * half.value, drop.style("band")) for side in (-1, 1)
    )
    return (Polyline(line, both.style("film")), *tucks, *bands)


def _measures(half: Measured, ridge: Measured, drop: Measured, only: str, show: Show) -> tuple[Part, ...]:
    b, low, out = half.value, -_depth(half), half.value * 1.28
    lines: dict[str, tuple[Part, ...]] = {
        "ridge_height": (
            Line((0.0, ridge.value), (-b * 1.04, ridge.value), "guide"),
            Dimension((-b * 1.04, 0.0), (-b * 1.04, ridge.value), ridge.words(_("ridge height"), show), 9.0,
                      ridge.known),
        ),
        "half_beam": (
            Line((b, -drop.value), (b, low), "guide"),
            Dimension((0.0, low), (b, low), half.words(_("half beam"), show), -6.0, half.known, beside=True),
        ),
        "film_drop": (
            Line((b, 0.0), (out, 0.0), "guide"),
            Line((b, -drop.value), (out, -drop.value), "guide"),
            Dimension((out, -drop.value), (out, 0.0), drop.words(_("film edge"), show), -0.01, drop.known, beside=True),
        ),
    }
    return tuple(part for name, parts in lines.items() if only in ("", name) for part in parts)


def _tape(half: Measured, ridge: Measured, drop: Measured, tape: Measured, show: Show) -> tuple[Part, ...]:
    """The tape's way, a little outside the film so that both are seen, with a head at either end."""
    b, h = half.value, ridge.value
    away = 0.11 * b
    slope = hypot(b, h)
    nx, ny = h / slope * away, b / slope * away
    corner = (b * 1.045 + away, away * 0.4)
    top, edge = (nx * 0.6, h + 0.045 * b + ny), (b * 1.045 + away, -drop.value)
    middle = ((top[0] + corner[0]) / 2, (top[1] + corner[1]) / 2)
    style = "tapeline" if tape.known else "unknown"
    return (
        Arrow((middle, top), style),
        Arrow((middle, corner, edge), style),
        Line((top[0] - nx * 1.2, top[1] - ny * 1.2), top, "guide"),
        Line((b, -drop.value), edge, "guide"),
        Text(middle, tape.words(_("ridge to film edge"), show), "right", "tape" if tape.known else "soft", bold=True,
             gap=2.5),
    )
