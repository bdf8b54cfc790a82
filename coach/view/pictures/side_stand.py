"""What a craft stands on in the side view: a trailer, a cart, blocks, stands or a cradle, on the ground."""

from __future__ import annotations

from coach.view.drawing import Circle, Line, Part, Polygon
from coach.view.pictures.side_hulls import Given


def ground(given: Given, low: float) -> tuple[tuple[Part, ...], float]:
    """What the craft stands on, and the level of the ground."""
    long, craft = given.length.value, given.craft
    deep = -low
    floor = low - 0.11 * long
    start, end = -0.12 * long, 1.2 * long
    if craft.support in ("trailer", "cart"):
        wheel = 0.055 * long if craft.support == "trailer" else 0.04 * long
        beam = low - 0.03 * long
        nose = -0.2 * long if craft.support == "trailer" else 0.06 * long
        start = min(start, nose)
        parts: list[Part] = [
            Line((0.98 * long, beam), (nose, beam), "post"),
            Circle((0.68 * long, floor + wheel), wheel, "engine"),
            Circle((0.68 * long, floor + wheel), wheel * 0.45, "hull"),
            *(Line((x * long, beam), (x * long, low + 0.01 * long), "post") for x in (0.3, 0.6, 0.85)),
        ]
        parts += (
            [Line((nose + 0.02 * long, beam), (nose + 0.02 * long, floor), "post")]
            if craft.support == "trailer"
            else [
                Circle((0.3 * long, floor + wheel), wheel, "engine"),
                Circle((0.3 * long, floor + wheel), wheel * 0.45, "hull"),
            ]
        )
    elif craft.support == "blocks":
        floor = low - 0.05 * long
        parts = [
            Polygon(
                ((x * long, low), ((x + 0.07) * long, low), ((x + 0.08) * long, floor), ((x - 0.01) * long, floor)),
                "timber",
            )
            for x in (0.2, 0.48, 0.76)
        ]
    else:
        floor = low - 0.035 * long
        hull = deep * 0.6 if craft.kind != "sail" else 0.07 * long
        parts = [
            Polygon(
                ((x * long, low), ((x + 0.05) * long, low), ((x + 0.05) * long, floor), (x * long, floor)), "timber"
            )
            for x in (0.46, 0.51)
        ]
        parts += [
            Line((share * long + lean, floor), (share * long, -hull), "post")
            for share in (0.26, 0.76)
            for lean in (-0.04 * long, 0.04 * long)
        ]
        if craft.support == "cradle":
            parts.append(Line((0.2 * long, floor + 0.008 * long), (0.82 * long, floor + 0.008 * long), "post"))
    return (*parts, Line((start, floor), (end, floor), "ground")), floor
