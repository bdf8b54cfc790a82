"""Photos stand upright: each of the eight ways a camera may be held, against Pillow's own turning (ImageOps)."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from PIL import Image, ImageOps

from coach.tablet.upright import orientation
from coach.tablet.widgets.still import at_most
from tests.tablet.driver import Driver  # first: it sets the toolkit up

ORIENTATION = 0x0112
COLOURS = ((220, 20, 20), (20, 220, 20), (20, 20, 220), (230, 230, 20))


def photo(turned: int | None, wide: int = 80, high: int = 40) -> bytes:
    """A JPEG with a colour in each quarter, its camera held so."""
    made = Image.new("RGB", (wide, high))
    for place, colour in enumerate(COLOURS):
        made.paste(colour, (place % 2 * wide // 2, place // 2 * high // 2, (place % 2 + 1) * wide // 2, (place // 2 + 1) * high // 2))
    exif = Image.Exif()
    if turned is not None:
        exif[ORIENTATION] = turned
    held = io.BytesIO()
    made.save(held, "JPEG", quality=95, exif=exif)
    return held.getvalue()


def quarters(image: Image.Image) -> list[int]:
    """Which of the colours stands in each quarter, row by row from the upper left."""
    wide, high = image.size
    found = []
    for y in (high // 4, 3 * high // 4):
        for x in (wide // 4, 3 * wide // 4):
            seen = image.convert("RGB").getpixel((x, y))
            found.append(min(range(4), key=lambda each: sum(abs(a - b) for a, b in zip(COLOURS[each], seen, strict=True))))
    return found


@pytest.fixture(scope="module")
def drive() -> Iterator[Driver]:
    with Driver((1280, 800)) as driver:
        yield driver


@pytest.mark.parametrize("side", [1280, 40], ids=["as large as it is", "made smaller"])
@pytest.mark.parametrize("turned", [*range(1, 9), None, 0, 9])
def test_a_photo_stands_as_the_reference_turns_it(turned: int | None, side: int, drive: Driver, tmp_path: Path) -> None:
    data = photo(turned)
    file = tmp_path / "photo.jpg"
    file.write_bytes(data)
    texture = at_most(str(file), side)
    assert texture is not None
    wanted = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    assert texture.width * wanted.height == texture.height * wanted.width
    seen = Image.frombytes("RGBA", texture.size, bytes(texture.pixels))
    # A texture's rows go from the bottom up, save where its corners say that they are stored the other way round.
    if texture.tex_coords[1] < texture.tex_coords[7]:
        seen = ImageOps.flip(seen)
    assert quarters(seen) == quarters(wanted)


@given(data=st.binary(max_size=200), end=st.integers(0, 700))
@example(data=b"", end=30)
def test_no_bytes_break_the_reading(data: bytes, end: int) -> None:
    whole = photo(6)
    assert orientation(whole) == 6
    assert orientation(data) == 1
    assert orientation(whole[:end]) in (1, 6)
    assert orientation(whole[:20] + data + whole[20 + len(data) :]) in range(1, 9)
