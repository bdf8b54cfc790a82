"""Fire extinguisher ratings as printed on the label, such as 2-A:20-B:C.

Knows nothing of: limits (floors, policy).
Source of the form: UL 711 as read in facts about it, from memory: the number before A is a relative size, before B the
square feet of burning liquid for a novice, C means not conducting.
"""

from __future__ import annotations

import re

_PART = re.compile(r"^(?:(\d{1,3})\s*-?\s*)?([ABCDK])$")


def rating_numbers(text: str) -> tuple[int, int, bool] | None:
    """The rating's A number, B number and whether it has C; None if the text is no rating.

    `2-A:20-B:C`, `2A:20B:C`, `2A20BC` and blanks between are read; a class without its number counts as 0.
    """
    if len(text) > 40:
        return None
    spread = re.sub(r"([ABCDK])(?=[\dABCDK])", r"\1:", text.upper().replace(" ", ""))
    numbers: dict[str, int] = {}
    for part in filter(None, spread.split(":")):
        match = _PART.match(part)
        if match is None or match[2] in numbers:
            return None
        numbers[match[2]] = int(match[1] or 0)
    if not numbers:
        return None
    return numbers.get("A", 0), numbers.get("B", 0), "C" in numbers
