"""The two fonts of the screens, and the marking of the few signs that the first one lacks.

Rules kept here:
 1. All text is set in B612; a sign that it lacks is set in the symbols font, so that no box is ever shown.
 2. Text from outside can hold square brackets and ampersands; it is escaped before it is marked.
Knows nothing of: what is shown.  Proved by: tests/tablet/test_fonts.py.
Source: B612 1.008, SIL Open Font License 1.1 (assets/fonts/OFL.txt); the symbols font comes with Kivy.
"""

from __future__ import annotations

from itertools import groupby
from pathlib import Path

from coach import paths

TEXT = "B612"
SYMBOLS = "Symbols"
# Height of a capital as a share of the font size, measured on 'H' (1520 of 2000 units).
CAPITAL = 0.76

# Code points that B612 holds, first and last of each run, as far as our five languages and trade signs need them.
_HELD: tuple[tuple[int, int], ...] = (
    (0x20, 0x7E), (0xA0, 0xFF), (0x152, 0x153), (0x160, 0x161), (0x178, 0x178), (0x2010, 0x2010),
    (0x2013, 0x2016), (0x2018, 0x201A), (0x201C, 0x201E), (0x2020, 0x2023), (0x2026, 0x2026), (0x2030, 0x2035),
    (0x2039, 0x203A), (0x20AC, 0x20AC), (0x2153, 0x215E), (0x2190, 0x2199), (0x2212, 0x2213), (0x221A, 0x221A),
    (0x221E, 0x221E), (0x2248, 0x2248), (0x2260, 0x2261), (0x2264, 0x2265), (0x26A0, 0x26A1), (0x2713, 0x2713),
)
# Spaces and hyphens that neither font needs to draw in their own way.
_PLAIN = str.maketrans({"\u202f": "\u00a0", "\u2009": "\u00a0", "\u2011": "-", "\u00ad": None})


def held(sign: str) -> bool:
    """Whether the text font draws this character itself."""
    code = ord(sign)
    return sign == "\n" or any(first <= code <= last for first, last in _HELD)


def plain(words: str) -> str:
    """The text with the rare spaces and hyphens that no font here draws turned into common ones."""
    return words.translate(_PLAIN)


def runs(words: str) -> list[tuple[bool, str]]:
    """The text in runs: whether the text font draws the run, and the run."""
    return [(own, "".join(run)) for own, run in groupby(plain(words), key=held)]


def marked(words: str) -> str:
    """The text as Kivy markup: escaped, with the signs that the text font lacks set in the symbols font."""
    return "".join(
        escape(run) if own else f"[font={SYMBOLS}]{escape(run)}[/font]" for own, run in runs(words)
    )


def escape(words: str) -> str:
    """Text whose square brackets and ampersands are shown, not read as markup."""
    return words.replace("&", "&amp;").replace("[", "&bl;").replace("]", "&br;")


def register() -> None:
    """Make both fonts known to Kivy, and B612 the font of every label."""
    import kivy
    from kivy.core.text import LabelBase

    here = paths.assets() / "fonts"
    regular, bold = str(here / "B612-Regular.otf"), str(here / "B612-Bold.otf")
    LabelBase.register(TEXT, fn_regular=regular, fn_bold=bold)
    LabelBase.register("Roboto", fn_regular=regular, fn_bold=bold)  # Kivy's own name for its default
    LabelBase.register(SYMBOLS, fn_regular=str(Path(kivy.kivy_data_dir) / "fonts" / "DejaVuSans.ttf"))
