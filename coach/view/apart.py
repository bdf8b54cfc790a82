"""Moves texts of a picture apart where they would lie on one another, as little as will do, and keeps them on paper.

Rules kept here:
 1. A text of several lines moves as one. Two that overlap each move half the way, along the shorter way out.
 2. After a bounded number of rounds what still overlaps is told by `crowded`; nothing is dropped.
Knows nothing of: what the texts say.  Called by: coach.view.paper.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from coach.view.marks import Label

ROUNDS = 60
# Space kept between two texts, mm.
AIR = 1.4

Block = tuple[Label, ...]
Box = tuple[float, float, float, float]


def box_of(block: Block) -> Box:
    """Left, bottom, right, top of a text of one or more lines, mm."""
    return (min(line.left for line in block), min(line.low for line in block),
            max(line.left + line.wide for line in block), max(line.low + line.high for line in block))


def spread(blocks: list[Block], area: Box) -> list[Block]:
    """The texts moved apart inside an area (left, bottom, right, top)."""
    moved = [_kept(block, area) for block in blocks]
    for _ in range(ROUNDS):
        pairs = [(one, two) for one, two in combinations(range(len(moved)), 2) if _overlap(moved[one], moved[two])]
        if not pairs:
            break
        for one, two in pairs:
            across, along = _way(box_of(moved[one]), box_of(moved[two]))
            moved[one] = _kept(_shift(moved[one], -across / 2, -along / 2), area)
            moved[two] = _kept(_shift(moved[two], across / 2, along / 2), area)
    return moved


def crowded(blocks: list[Block]) -> bool:
    """Whether two texts lie on one another."""
    return any(_overlap(one, two, 0.0) for one, two in combinations(blocks, 2))


def _overlap(one: Block, two: Block, air: float = AIR * 0.9) -> bool:
    first, second = box_of(one), box_of(two)
    return (min(first[2], second[2]) - max(first[0], second[0]) > -air
            and min(first[3], second[3]) - max(first[1], second[1]) > -air)


def _way(first: Box, second: Box) -> tuple[float, float]:
    """How the second must move against the first to be clear of it: across or along, whichever is shorter."""
    right, left = first[2] - second[0] + AIR, second[2] - first[0] + AIR
    up, down = first[3] - second[1] + AIR, second[3] - first[1] + AIR
    across = right if right <= left else -left
    along = up if up <= down else -down
    return (across, 0.0) if abs(across) < abs(along) else (0.0, along)


def _shift(block: Block, across: float, along: float) -> Block:
    return tuple(replace(line, left=line.left + across, low=line.low + along) for line in block)


def _kept(block: Block, area: Box) -> Block:
    """The text moved back into the area where it stuck out."""
    left, low, right, top = box_of(block)
    across = max(0.0, area[0] - left) - max(0.0, right - area[2])
    along = max(0.0, area[1] - low) - max(0.0, top - area[3])
    return _shift(block, across, along) if across or along else block
