"""How well a text stands out from what lies behind it, by the WCAG 2.2 formula.

Rules kept here:
 1. Ratios are never rounded: 6.9999 is not 7.
 2. Colours are '#rrggbb' texts of the sRGB space, without transparency.
Knows nothing of: the toolkit, the palettes that use it.
Source: WCAG 2.2, definitions 'relative luminance' and 'contrast ratio'. Proved by: tests/view/test_contrast.py.
"""

from __future__ import annotations

# Success criterion 1.4.6 (level AAA) for text of any size.
TEXT_LIMIT = 7.0
# Success criterion 1.4.11 (level AA) for edges of controls and for shapes that carry meaning.
SHAPE_LIMIT = 3.0


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, each 0 to 255, of a '#rrggbb' text.

    Raises:
        ValueError: the text is not '#' and six hexadecimal digits.
    """
    digits = colour.removeprefix("#")
    if len(digits) != 6 or len(colour) != 7:
        raise ValueError(f"a colour is written #rrggbb, found {colour!r}")
    return int(digits[0:2], 16), int(digits[2:4], 16), int(digits[4:6], 16)


def luminance(colour: str) -> float:
    """Relative luminance, 0 (black) to 1 (white)."""
    red, green, blue = (_linear(value) for value in channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def ratio(first: str, second: str) -> float:
    """Contrast ratio of two colours, 1 (the same) to 21 (black on white); the order does not matter."""
    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _linear(value: int) -> float:
    share = value / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
