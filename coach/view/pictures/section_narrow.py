"""The measures of the cross-section for narrow paper: their words stand above and below, not beside.

Rules kept here:
 1. The measures and their values are those of the wide picture; only the places of the words differ.
"""

from __future__ import annotations

from coach.language import _
from coach.view.drawing import Arrow, Dimension, Line, Part, Point, Text
from coach.view.pictures.common import Measured, Show


def measures(half: Measured, ridge: Measured, drop: Measured, low: float, show: Show) -> tuple[Part, ...]:
    """Ridge height at the left with its words above, the film's edge at the right with its own."""
    b, left, right = half.value, -1.12 * half.value, 1.28 * half.value
    edge = -drop.value
    return (
        Line((0.0, ridge.value), (left, ridge.value), "guide"),
        Line((-b, 0.0), (left, 0.0), "guide"),
        *_both_ways((left, 0.5 * ridge.value), (left, ridge.value), (left, 0.0), ridge),
        _words((-0.92 * b, ridge.value), ridge.words(_("ridge height"), show), "top", ridge),
        Line((b, 0.0), (right, 0.0), "guide"),
        Line((b, edge), (right, edge), "guide"),
        Arrow(((right, 0.24 * b), (right, 0.0)), drop.style("tape")),
        Arrow(((right, edge - 0.24 * b), (right, edge)), drop.style("tape")),
        _words((1.42 * b, 0.3 * b), drop.words(_("film edge"), show), "top", drop),
        Line((b, edge), (b, low), "guide"),
        Dimension((0.0, low), (b, low), half.words(_("half beam"), show), -6.0, half.known, beside=True),
    )


def tape_place(half: Measured, ridge: Measured) -> Point:
    """Where the words of the tape stand: above its upper half."""
    return 0.62 * half.value, ridge.value


def _both_ways(middle: Point, top: Point, foot: Point, value: Measured) -> tuple[Part, ...]:
    style = value.style("tape")
    return (Arrow((middle, top), style), Arrow((middle, foot), style))


def _words(at: Point, words: str, side: str, value: Measured) -> Text:
    return Text(
        at,
        words,
        "top" if side == "top" else "bottom",
        "tape" if value.known else "soft",
        bold=True,
        gap=2.0,
        room=0.32,
    )
