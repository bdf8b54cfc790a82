"""The legend under or beside a drawing: a sample of each style or sign, and its words, in as few rows as the paper allows.

Rules kept here:
 1. Words wider than the paper are broken at spaces; nothing is cut.
"""

from __future__ import annotations

from dataclasses import replace

from coach.view.drawing import STYLES, Legend
from coach.view.marks import LINE_HEIGHT, TEXT_SIZES, Mark, Measure, broken, icon_marks, label_lines, outline

# The sample before a legend's words, and the space between two entries, mm.
SWATCH, BETWEEN = 9.0, 5.0



def legend_marks(entries: tuple[Legend, ...], width: float, text: float, measure: Measure) -> tuple[list[Mark], float]:
    """The legend as marks from the paper's lower edge up, in as few rows as its width allows, and its height."""
    size = TEXT_SIZES["note"] * text
    rows = _rows(entries, width, size, measure)
    marks: list[Mark] = []
    low = 0.0
    for row in reversed(rows):
        x = 0.0
        lines = max(words.count("\n") + 1 for _, words, _ in row)
        high = size * (LINE_HEIGHT * lines + 0.23)
        for entry, words, wide in row:
            marks += _swatch(entry, x, low + high / 2, SWATCH)
            tall = size * LINE_HEIGHT * (words.count("\n") + 1)
            box = (x + SWATCH + 1.8, low + (high - tall) / 2, wide - SWATCH - 1.8, tall)
            marks += [replace(label, plate="", wide=measure(label.words, size, False))
                      for label in label_lines(words, box, "ink", size, False)]
            x += wide + BETWEEN
        low += high
    return marks, low + 2.0 if rows else 0.0


def column(entries: tuple[Legend, ...], text: float, measure: Measure) -> float:
    """The width of the legend as one column, each entry on its own lines, mm."""
    size = TEXT_SIZES["note"] * text
    return max((SWATCH + 1.8 + measure(entry.words, size, False) for entry in entries), default=0.0)


def _rows(entries: tuple[Legend, ...], width: float, size: float,
                 measure: Measure) -> list[list[tuple[Legend, str, float]]]:
    """The entries dealt to rows: each with its words, broken where it must be, and its width with the swatch."""
    rows: list[list[tuple[Legend, str, float]]] = []
    used = width
    for entry in entries:
        words = broken(entry.words, size, False, width - SWATCH - 1.8, measure)
        wide = SWATCH + 1.8 + max(measure(line, size, False) for line in words.split("\n"))
        if not rows or used + BETWEEN + wide > width:
            rows.append([])
            used = -BETWEEN
        used += BETWEEN + wide
        rows[-1].append((entry, words, wide))
    return rows


def _swatch(entry: Legend, x: float, y: float, wide: float) -> list[Mark]:
    if entry.icon:
        return icon_marks(entry.icon, x + wide / 2 - 2.5, y - 2.5, 5.0, entry.role)
    style = STYLES[entry.style]
    if style.fill:
        box = ((x + 1, y - 1.6), (x + wide, y - 1.6), (x + wide, y + 1.6), (x + 1, y + 1.6))
        return outline(box, style, closed=True)
    return outline(((x, y), (x + wide, y)), style, closed=False)
