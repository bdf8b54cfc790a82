"""A plain picture (SVG) of seconds against size: panels side by side, lines with a mark at each measured point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

WIDE, HIGH, LEFT, BELOW = 420, 300, 60, 45
COLOURS = ("#0b5394", "#b45f06")


class Line(NamedTuple):
    """A name, and pairs of size and seconds."""

    name: str
    points: tuple[tuple[float, float], ...]


def picture(panels: Sequence[tuple[str, bool, Sequence[Line]]]) -> str:
    """The picture. A panel: what the size is, whether seconds go by powers of ten, its lines."""
    parts = [_panel(number * WIDE, *panel) for number, panel in enumerate(panels)]
    wide = WIDE * len(panels)
    return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{HIGH}" font-family="sans-serif" font-size="12">\n'
            f'<rect width="{wide}" height="{HIGH}" fill="white"/>\n' + "\n".join(parts) + "\n</svg>\n")


def _panel(x: int, about: str, by_tens: bool, lines: Sequence[Line]) -> str:
    points = [point for line in lines for point in line.points]
    most = max((size for size, _ in points), default=1) or 1
    top = max((seconds for _, seconds in points), default=1) * 1.1
    low = min((seconds for _, seconds in points if seconds > 0), default=0.01) / 1.5

    def at(size: float, seconds: float) -> tuple[float, float]:
        share = math.log(max(seconds, low) / low) / math.log(top / low) if by_tens else seconds / top
        return x + LEFT + (WIDE - LEFT - 15) * size / most, HIGH - BELOW - (HIGH - BELOW - 30) * share

    parts = [f'<path d="M{x + LEFT} 20V{HIGH - BELOW}H{x + WIDE - 10}" fill="none" stroke="black"/>',
             f'<text x="{x + WIDE / 2}" y="{HIGH - 8}" text-anchor="middle">{about}</text>']
    for size in dict.fromkeys(size for size, _ in points):
        parts.append(f'<text x="{at(size, low)[0]:.0f}" y="{HIGH - BELOW + 16}" text-anchor="middle">{size:g}</text>')
    for mark in _marks(low, top, by_tens):
        parts.append(f'<text x="{x + LEFT - 6}" y="{at(0, mark)[1] + 4:.0f}" text-anchor="end">{mark:g} s</text>')
    for number, line in enumerate(lines):
        colour = COLOURS[number % len(COLOURS)]
        places = [at(*point) for point in line.points]
        parts.append(f'<polyline points="{" ".join(f"{a:.1f},{b:.1f}" for a, b in places)}" fill="none" stroke="{colour}" stroke-width="2"/>')
        parts += [f'<circle cx="{a:.1f}" cy="{b:.1f}" r="3.5" fill="{colour}"/>' for a, b in places]
        parts.append(f'<text x="{x + LEFT + 12}" y="{24 + 16 * number}" fill="{colour}">{line.name}</text>')
    return "\n".join(parts)


def _marks(low: float, top: float, by_tens: bool) -> list[float]:
    if by_tens:
        return [10.0**n for n in range(math.ceil(math.log10(low)), math.floor(math.log10(top)) + 1)]
    step = 10 ** math.floor(math.log10(top)) / 2
    return [step * n for n in range(int(top / step) + 1)]
