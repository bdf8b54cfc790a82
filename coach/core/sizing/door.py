"""The door: whether it fits a sloping side of the cover, and the tape that it and the seams take.

Rules kept here: a door lies on a sloping surface with the bottom of its U down, taped all round, and takes no heat.
"""

from __future__ import annotations

from coach.core.sizing.constants import INCH, Number
from coach.core.sizing.ranges import DISTANCE, HALF_BEAM, HEIGHT, Range, demand
from coach.core.sizing.rounding import hypotenuse

MARGIN = 6 * INCH  # film left around a door on all sides; ours, no source
TAPE_SPARE = 1.1  # tape laid over what is measured: laps and ends; ours, no source

DOOR_WIDTH = Range("door width", "m", 0.3, 2)
DOOR_HEIGHT = Range("door height", "m", 0.3, 3)


def door_fits(half_beam: Number, height: Number, door_height: Number, margin: Number = MARGIN) -> bool:
    """Whether a door fits between the ridge and the rail.

    Args:
        half_beam: where the door goes, m, 0.25 to 6.
        height: ridge above the rail there, m, 0 to 8.
        door_height: m, 0.3 to 3.
        margin: film left above and below, m, 0 to 60.

    Returns:
        True if the slope from ridge to rail is at least the door and both margins.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: geometry; the margin is ours, no source.
    """
    demand((HALF_BEAM, half_beam), (HEIGHT, height), (DOOR_HEIGHT, door_height), (DISTANCE, margin))
    return hypotenuse(half_beam, height) >= door_height + 2 * margin


def door_tape(width: Number, door_height: Number, spare: Number = TAPE_SPARE) -> Number:
    """The tape around a door.

    Args:
        width: m, 0.3 to 2.
        door_height: m, 0.3 to 3.
        spare: over what is measured, 1 to 2.

    Returns:
        The way round times the spare, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: taped all round, common practice, no source.
    """
    demand((DOOR_WIDTH, width), (DOOR_HEIGHT, door_height), (Range("spare", "", 1, 2), spare))
    return 2 * (width + door_height) * spare


def seam_tape(seam: Number, pleats: int, pleat_length: Number, spare: Number = TAPE_SPARE) -> Number:
    """The tape over seams and pleats.

    Args:
        seam: all seams together, m, 0 to 60.
        pleats: 0 to 100.
        pleat_length: of one, m, 0 to 60.
        spare: over what is measured, 1 to 2.

    Returns:
        (seam + pleats x pleat_length) x spare, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: a strip of tape over each, common practice, no source.
    """
    demand((DISTANCE, seam), (Range("pleats", "", 0, 100), pleats), (DISTANCE, pleat_length))
    demand((Range("spare", "", 1, 2), spare))
    return (seam + pleats * pleat_length) * spare
