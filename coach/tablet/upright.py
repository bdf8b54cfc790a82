"""How a camera held its picture: most tablets write the picture as it fell on the sensor, and beside it which way is up.

Source: CIPA DC-008-2012 (Exif 2.3), 4.5.4 (segment APP1), 4.6.2 (fields) and 4.6.4 (tag 274, Orientation).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence

UPRIGHT = 1
HEAD = 1 << 17  # bytes that are looked at; the segment is the first or second of a file, at most 64 KB long
_ORIENTATION, _SHORT = 274, 3
# For each orientation, which corner of the stored picture stands at the lower left, lower right, upper right and upper
# left of the picture as it was seen; the stored corners are numbered in the same order.
_CORNERS = {
    1: (0, 1, 2, 3), 2: (1, 0, 3, 2), 3: (2, 3, 0, 1), 4: (3, 2, 1, 0),
    5: (2, 1, 0, 3), 6: (1, 2, 3, 0), 7: (0, 3, 2, 1), 8: (3, 0, 1, 2),
}  # fmt: skip


def orientation(head: bytes) -> int:
    """Orientation 1 to 8 of a JPEG by its first bytes; 1, as it stands, of any other file and where nothing is said."""
    for segment in _segments(head):
        if segment.startswith(b"Exif\0\0"):
            try:
                found = _field(segment[6:])
            except struct.error:  # it ends too early
                return UPRIGHT
            return found if found in _CORNERS else UPRIGHT
    return UPRIGHT


def lies(turned: int) -> bool:
    """Whether width and height of the stored picture are those of the seen one the other way round."""
    return turned >= 5


def turned_corners(corners: Sequence[float], turned: int) -> tuple[float, ...]:
    """The places in a texture (x, y of the four corners from the lower left on, anticlockwise) of the picture as seen."""
    return tuple(corners[2 * corner + axis] for corner in _CORNERS[turned] for axis in (0, 1))


def _segments(head: bytes) -> Iterator[bytes]:
    """What stands in the segments APP1 before the picture itself."""
    if not head.startswith(b"\xff\xd8"):
        return
    place = 2
    while place + 4 <= len(head) and head[place] == 0xFF and head[place + 1] != 0xDA:
        (size,) = struct.unpack_from(">H", head, place + 2)
        if head[place + 1] == 0xE1:
            yield head[place + 4 : place + 2 + size]
        place += 2 + max(size, 2)


def _field(tiff: bytes) -> int:
    """The orientation in the first directory; 0 if it is not there."""
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2], "")
    if not order:
        return 0
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    (number,) = struct.unpack_from(f"{order}H", tiff, first)
    for place in range(number):
        tag, kind, _count, value = struct.unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * place)
        if (tag, kind) == (_ORIENTATION, _SHORT):
            return int(value)
    return 0
