"""The mast in the side view: standing with its stays, or lying as the ridge, as far out as it was taped."""

from __future__ import annotations

from coach.view.drawing import Line, Part, Polygon
from coach.view.pictures.side_hulls import Given


def mast(given: Given) -> tuple[Part, ...]:
    """The mast of a sailing boat, in distances from the bow: it stands and is cut off, or lies on its crutches."""
    long, craft, ridge = given.length.value, given.craft, given.ridge
    if craft.mast == "up":
        x = craft.mast_at * long
        top, thick = ridge + 0.2 * long, 0.008 * long
        parts: list[Part] = [
            Line((0.01 * long, 0.0), (x - 0.012 * long, top), "ink-thin"),
            Line((0.99 * long, 0.0), (x + 0.012 * long, top), "ink-thin"),
            Line((x + 0.04 * long, 0.0), (x + 0.005 * long, top), "ink-thin"),
            Polygon(
                ((x - thick, 0.045 * long), (x + thick, 0.045 * long), (x + thick, top), (x - thick, top)), "engine"
            ),
            *(
                Line((x - 0.022 * long, top - gap), (x + 0.022 * long, top + 0.014 * long - gap), "ink-thin")
                for gap in (0.0, 0.012 * long)
            ),
        ]
        if craft.boom:
            parts.append(
                Polygon(
                    (
                        (x, ridge - 0.012 * long),
                        (0.86 * long, ridge - 0.012 * long),
                        (0.86 * long, ridge - 0.024 * long),
                        (x, ridge - 0.024 * long),
                    ),
                    "engine",
                )
            )
        return tuple(parts)
    if craft.mast == "down":
        ahead, behind = craft.length("mast_ahead", 0.06 * long), craft.length("mast_behind", 0.1 * long)
        thick = 0.011 * long
        style = ahead.body("engine") if behind.known else "unknown-body"
        return (
            Polygon(
                (
                    (-ahead.value, ridge),
                    (long + behind.value, ridge),
                    (long + behind.value, ridge - 2 * thick),
                    (-ahead.value, ridge - 1.4 * thick),
                ),
                style,
            ),
        )
    return ()
