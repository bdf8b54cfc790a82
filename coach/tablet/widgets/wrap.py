"""Where a heading breaks: as many lines as its width asks for, and these about equally long.

Rules kept here:
 1. A heading never takes more lines than it would at its full width.
Knows nothing of: widgets, fonts; how wide words are is asked of the caller.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

LEAST = 0.5  # of the width: a heading narrower than that looks like a column


def even_width(words: Sequence[str], wide: Callable[[str], float], space: float, width: float) -> float:
    """The width at which the words take no more lines than at the whole width, and the last line is not an orphan.

    Args:
        words: of one paragraph, in order.
        wide: the width of a word, in pixels.
        space: the width of a space, in pixels.
        width: what there is, in pixels.
    """
    widths = [wide(word) for word in words]
    lines = _lines(widths, space, width)
    if lines < 2:
        return width
    low, high = width * LEAST, width
    while high - low > space:
        middle = (low + high) / 2
        if max(widths) <= middle and _lines(widths, space, middle) == lines:
            high = middle
        else:
            low = middle
    return min(width, high + space)  # the toolkit's own rounding must not make one line more


def _lines(widths: Sequence[float], space: float, width: float) -> int:
    count, used = 1, 0.0
    for wide in widths:
        if used and used + space + wide > width:
            count, used = count + 1, 0.0
        used += wide + (space if used else 0.0)
    return count
