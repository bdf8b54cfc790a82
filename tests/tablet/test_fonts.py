"""The fonts: every letter and sign of our five languages is drawn, and text from outside is never read as markup."""

from __future__ import annotations

import struct
from pathlib import Path

import kivy
import pytest

from coach import paths
from coach.tablet.fonts import CAPITAL, escape, held, marked, plain, runs
from coach.tablet.theme import theme
from tests.tablet.driver import Driver

FOLDER = paths.assets() / "fonts"
SYMBOLS = Path(kivy.kivy_data_dir) / "fonts" / "DejaVuSans.ttf"

# Letters of each language beyond a-z, as its orthography lists them (from memory; Haitian Creole: è and ò, with à in
# the apostrophe-less spelling of some words), and the trade signs that texts use.
LETTERS = {
    "es": "áéíóúüñÁÉÍÓÚÜÑ¿¡ºª",
    "fr": "àâæçéèêëîïôœùûüÿÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸ«»’",
    "pt_BR": "ãõáéíóúâêôàçÃÕÁÉÍÓÚÂÊÔÀÇ",
    "ht": "èòàÈÒÀ",
    "signs": "0123456789′″½¼¾⅛⅜⅝⅞°×≤≥±–—…·•“”✓✗⚠→←↑↓€²³µ≈−⌀☐☑",
}


def code_points(font: Path) -> set[int]:
    """The code points of a font's character map (OpenType specification, table cmap, formats 4 and 12)."""
    data = font.read_bytes()
    tables = {
        data[at : at + 4]: struct.unpack(">I", data[at + 8 : at + 12])[0]
        for at in range(12, 12 + 16 * struct.unpack(">H", data[4:6])[0], 16)
    }
    start = tables[b"cmap"]
    found: set[int] = set()
    for record in range(struct.unpack(">H", data[start + 2 : start + 4])[0]):
        offset = start + struct.unpack(">I", data[start + 8 + 8 * record : start + 12 + 8 * record])[0]
        found |= _format_4(data, offset) if struct.unpack(">H", data[offset : offset + 2])[0] == 4 else set()
    return found


def _format_4(data: bytes, offset: int) -> set[int]:
    count = struct.unpack(">H", data[offset + 6 : offset + 8])[0]
    ends = struct.unpack(f">{count // 2}H", data[offset + 14 : offset + 14 + count])
    starts = struct.unpack(f">{count // 2}H", data[offset + 16 + count : offset + 16 + 2 * count])
    return {code for first, last in zip(starts, ends, strict=True) for code in range(first, last + 1) if code != 0xFFFF}


@pytest.mark.parametrize("name", ["B612-Regular.otf", "B612-Bold.otf"])
def test_what_we_say_the_text_font_holds_it_holds(name: str) -> None:
    points = code_points(FOLDER / name)
    assert len(points) > 500
    assert [hex(code) for code in range(0x20, 0x3000) if held(chr(code)) and code not in points] == []


def test_every_sign_that_the_text_font_lacks_is_in_the_symbols_font() -> None:
    points = code_points(SYMBOLS)
    lacking = [sign for letters in LETTERS.values() for sign in letters if not held(sign)]
    assert "✗" in lacking
    assert [sign for sign in lacking if ord(sign) not in points] == []


@pytest.mark.parametrize("language", ["es", "fr", "pt_BR", "ht"])
def test_all_letters_of_a_language_are_in_the_text_font_itself(language: str) -> None:
    assert [sign for sign in LETTERS[language] if not held(sign)] == []


def test_runs_and_markup() -> None:
    assert runs("a ✗ b") == [(True, "a "), (False, "✗"), (True, " b")]
    assert marked("Vent ✗ [open] & shut") == "Vent [font=Symbols]✗[/font] &bl;open&br; &amp; shut"
    assert marked("✓ done") == "✓ done"
    assert escape("[b]") == "&bl;b&br;"
    assert plain("12\u202f% e\u00adx\u2011y") == "12\u00a0% ex-y"


def test_no_letter_is_drawn_as_a_box() -> None:
    """A missing letter is drawn as the font's own box: every letter must differ from that box."""
    from kivy.core.text.markup import MarkupLabel

    def picture(words: str) -> bytes:
        label = MarkupLabel(text=words, font_name="B612", font_size=40)
        label.refresh()
        return label.texture.pixels if label.texture else b""

    with Driver((400, 300)):
        box = picture("\u4e00")
        assert box == picture("\u4e01")
        same = [sign for letters in LETTERS.values() for sign in letters if picture(marked(sign)) == box]
    assert same == []


def test_capitals_are_as_high_as_the_theme_says() -> None:
    """4 mm capitals, measured on the texture of an H."""
    from kivy.core.text import Label

    with Driver((400, 300)):
        label = Label(text="H", font_name="B612", font_size=theme.body * 4)
        label.refresh()
        pixels, (wide, high) = label.texture.pixels, label.texture.size
        rows = [
            row for row in range(high) if any(pixels[(row * wide + column) * 4 + 3] > 127 for column in range(wide))
        ]
        assert len(rows) / (4 * theme.mm) == pytest.approx(4.0, abs=0.1)
        assert len(rows) / (theme.body * 4) == pytest.approx(CAPITAL, abs=0.01)


def test_the_licence_stands_beside_the_fonts() -> None:
    text = (FOLDER / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
    assert "Copyright (c) 2012, AIRBUS" in text
    assert sorted(path.name for path in FOLDER.glob("*.otf")) == ["B612-Bold.otf", "B612-Regular.otf"]
