"""The colours of the screens and of the pictures, by the role that they play: one palette for day, one for dark.

Rules kept here:
 1. A colour is asked for by role, never by its value; pictures and widgets name roles.
 2. Every pair in TEXT_PAIRS has a contrast of at least 7, every pair in SHAPE_PAIRS at least 3, in both palettes.
 3. No meaning is carried by colour alone: a signal colour always comes with its word and its shape.
Knows nothing of: the toolkit.  Proved by: tests/view/test_contrast.py.
Source of the signal colours (red, orange, yellow, blue, green with their words): ANSI Z535.4, as practice; the values
are ours, chosen for contrast.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Palette:
    """One set of colours. `x` and `x_ink` belong together: the fill and the text that stands on it."""

    paper: str
    card: str
    wash: str
    ink: str
    soft: str
    line: str
    primary: str
    primary_ink: str
    danger: str
    danger_ink: str
    warning: str
    warning_ink: str
    caution: str
    caution_ink: str
    notice: str
    notice_ink: str
    safe: str
    safe_ink: str
    good: str
    bad: str
    film: str
    hull: str
    strap: str
    band: str
    timber: str
    tape: str
    flame: str
    ground: str
    unknown: str


DAY = Palette(
    paper="#F3F0E9", card="#FFFFFF", wash="#E4E0D6", ink="#11191F", soft="#3B464E", line="#78838A",
    primary="#0A4656", primary_ink="#FFFFFF",
    danger="#9B1B1E", danger_ink="#FFFFFF", warning="#FF8A1F", warning_ink="#000000",
    caution="#FFC91F", caution_ink="#000000", notice="#004F8C", notice_ink="#FFFFFF",
    safe="#155C38", safe_ink="#FFFFFF", good="#125434", bad="#8E1519",
    film="#2E7F97", hull="#CBD2D6", strap="#C2410C", band="#7A3E9D", timber="#C79A5B", tape="#0A4656",
    flame="#D9480F", ground="#A79F8E", unknown="#8A9399",
)

DARK = Palette(
    paper="#0C1317", card="#18222A", wash="#26323B", ink="#F4F1EA", soft="#BEC8CE", line="#7B8892",
    primary="#7CC8D8", primary_ink="#06161B",
    danger="#9B1B1E", danger_ink="#FFFFFF", warning="#FF8A1F", warning_ink="#000000",
    caution="#FFC91F", caution_ink="#000000", notice="#004F8C", notice_ink="#FFFFFF",
    safe="#155C38", safe_ink="#FFFFFF", good="#7FD6A2", bad="#FFA9A3",
    film="#6FC3DB", hull="#4A5862", strap="#FF9A5C", band="#C79BE4", timber="#B98B4E", tape="#9BD8E5",
    flame="#FF8A3D", ground="#6B6557", unknown="#8B98A1",
)

# Text role, role behind it.
TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    ("ink", "paper"), ("ink", "card"), ("ink", "wash"),
    ("soft", "paper"), ("soft", "card"), ("soft", "wash"),
    ("good", "paper"), ("good", "card"), ("bad", "paper"), ("bad", "card"),
    ("tape", "card"), ("tape", "paper"),
    ("primary_ink", "primary"), ("danger_ink", "danger"), ("warning_ink", "warning"),
    ("caution_ink", "caution"), ("notice_ink", "notice"), ("safe_ink", "safe"),
)

# Shapes and edges that carry meaning, and what they stand on.
SHAPE_PAIRS: tuple[tuple[str, str], ...] = (
    ("line", "paper"), ("line", "card"), ("primary", "paper"), ("primary", "card"),
    ("film", "card"), ("strap", "card"), ("band", "card"), ("flame", "card"), ("unknown", "card"),
)
