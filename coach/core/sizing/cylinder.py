"""What a propane cylinder can boil off in the cold, and why a small one starves.

Rules kept here:
 1. The table is for a 100 lb cylinder and is read between its lines, never beyond its warm or full end.
 2. No table for a 20 lb cylinder is published (looked for, not found). Its estimate scales the table at the same fill
    by wetted wall area and says that it is an estimate; the 20 lb line of the table is not a 20 lb cylinder.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from coach.core.sizing.constants import BTU_PER_HOUR, FREEZING, INCH, POUND, Number
from coach.core.sizing.heat import BOILING_POINT
from coach.core.sizing.ranges import Range, demand

# BTU/h by pounds left (rows, 10 to 100) and liquid temperature (columns, F). Kohler TP-6727 10/11 appendix D.
TABLE_FAHRENHEIT = (0, 20, 40, 60, 70)
TABLE_DRAW = (
    (28_000, 38_000, 49_000, 60_000, 66_000),
    (36_000, 51_000, 68_000, 83_000, 92_000),
    (45_000, 66_000, 85_000, 107_000, 118_000),
    (55_000, 79_000, 105_000, 131_000, 141_000),
    (64_000, 94_000, 125_000, 154_000, 167_000),
    (75_000, 109_000, 140_000, 176_000, 192_000),
    (83_000, 122_000, 160_000, 199_000, 214_000),
    (94_000, 137_000, 180_000, 214_000, 236_000),
    (104_000, 152_000, 200_000, 247_000, 277_000),
    (113_000, 167_000, 214_000, 277_000, 300_000),
)
LIQUID_DENSITY = 528.59  # kg/m3 at 0 C, CoolProp 8.0

_TEMPERATURE = Range("temperature", "K", 223.15, 338.15)
_FILL = Range("share of a full cylinder", "", 0, 1)


@dataclass(frozen=True)
class Shape:
    """A cylinder's inside diameter (m) and full contents (kg)."""

    diameter: Number
    full: Number


LARGE = Shape(14.5 * float(INCH), 100 * POUND)  # the table's; diameter from memory
SMALL = Shape(12 * INCH, 20 * POUND)  # diameter from memory


def draw_100_lb(left: Number, temperature: Number) -> float:
    """The largest steady draw from a 100 lb cylinder.

    Args:
        left: propane in it, kg, 4.536 to 45.36 (10 to 100 lb); under 10 lb the draw falls straight to nothing.
        temperature: of the liquid, K, 223.15 to 338.15; below 0 F it falls straight to nothing at the boiling point,
            above 70 F it stays at the table's last column.

    Returns:
        W; 100 lb at 0 F gives 113 000 BTU/h.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Kohler TP-6727 10/11 appendix D; below 0 F our own straight line (the table's slope meets zero at
        -42 F).
    """
    demand((Range("propane left", "kg", 0, 100 * POUND), left), (_TEMPERATURE, temperature))
    pounds = float(left / POUND)
    row = min(int(pounds // 10), 9)
    below = _along_row(row - 1, temperature) if row > 0 else 0.0
    above = _along_row(row, temperature)
    share = pounds / 10 - row
    return (below + (above - below) * share) * float(BTU_PER_HOUR)


def _along_row(row: int, temperature: Number) -> float:
    """The table's value on a row, BTU/h, straight between columns."""
    degrees = (float(temperature) - float(FREEZING)) * 1.8 + 32
    values = TABLE_DRAW[row]
    if degrees >= TABLE_FAHRENHEIT[-1]:
        return float(values[-1])
    if degrees < TABLE_FAHRENHEIT[0]:
        boiling = (BOILING_POINT - float(FREEZING)) * 1.8 + 32
        return max(0.0, values[0] * (degrees - boiling) / (TABLE_FAHRENHEIT[0] - boiling))
    column = bisect_right(TABLE_FAHRENHEIT, degrees) - 1
    first, second = TABLE_FAHRENHEIT[column : column + 2]
    share = (degrees - first) / (second - first)
    return values[column] + (values[column + 1] - values[column]) * share


def wetted_area(shape: Shape, fill: Number) -> float:
    """The wall and floor that the liquid touches in an upright cylinder.

    Args:
        shape: inside diameter and full contents.
        fill: share of the full contents left, 0 to 1.

    Returns:
        m2, the cylinder taken with a flat floor.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: geometry.
    """
    demand((_FILL, fill))
    floor = math.pi * float(shape.diameter) ** 2 / 4
    deep = float(shape.full) * float(fill) / LIQUID_DENSITY / floor
    return floor + math.pi * float(shape.diameter) * deep if fill > 0 else 0.0


def draw_estimate(shape: Shape, fill: Number, temperature: Number) -> float:
    """The largest steady draw from another cylinder, estimated by its wetted area.

    Args:
        shape: of the cylinder.
        fill: share of the full contents left, 0 to 1.
        temperature: of the liquid, K, 223.15 to 338.15.

    Returns:
        W, an estimate: the table at the same fill times the ratio of wetted areas.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: ours; no table for small cylinders is published.
    """
    demand((_FILL, fill), (_TEMPERATURE, temperature))
    if fill == 0:
        return 0.0
    large = draw_100_lb(float(fill) * float(LARGE.full) * (1 - 1e-15), temperature)
    return large * wetted_area(shape, fill) / wetted_area(LARGE, fill)


def asme_tank_draw(diameter: Number, length: Number, fill: Number) -> float:
    """The draw from a lying tank at 0 F by the trade's D x L x K.

    Args:
        diameter, length: m, 0.1 to 5.
        fill: share full, 0.1 to 0.6; read down to the table's next lower line, never up.

    Returns:
        W; 30 x 66 in at half full gives 178 200 BTU/h.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: Kohler TP-6727 10/11 appendix D: K 100, 90, 80, 70, 60, 45 at 60, 50, 40, 30, 20, 10 %.
    """
    side = Range("tank side", "m", 0.1, 5)
    demand((side, diameter), (side, length), (Range("share full", "", 0.1, 1), fill))
    factor = (45, 60, 70, 80, 90, 100)[min(int(float(fill) * 10 + 1e-9), 6) - 1]
    return float(diameter / INCH) * float(length / INCH) * factor * float(BTU_PER_HOUR)
