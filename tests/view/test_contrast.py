"""Contrast by the published formula, and every pair of our palettes against the published limits."""

from __future__ import annotations

import pytest

from coach.view.contrast import SHAPE_LIMIT, TEXT_LIMIT, channels, luminance, ratio
from coach.view.palette import DARK, DAY, SHAPE_PAIRS, TEXT_PAIRS, Palette

# WCAG 2.2: black on white is 21:1. livebook.manning.com, 'contrast ratio': blue on white 8.59, blue on red 2.15.
PUBLISHED_TO_TWO_DIGITS = [("#000000", "#ffffff", 21.0), ("#0000ff", "#ffffff", 8.59), ("#0000ff", "#ff0000", 2.15)]
# Computed apart from this code with the WCAG 2.2 formula (facts of the project, table 8.2).
COMPUTED_TO_FOUR_DIGITS = [
    ("#777777", "#ffffff", 4.4781), ("#767676", "#ffffff", 4.5422), ("#595959", "#ffffff", 7.0047),
    ("#949494", "#ffffff", 3.0335), ("#ff0000", "#ffffff", 3.9985), ("#ffff00", "#000000", 19.5560),
    ("#ffa500", "#000000", 10.6341), ("#ff8000", "#000000", 8.3397), ("#ff8000", "#ffffff", 2.5181),
]


@pytest.mark.parametrize(("one", "two", "expected"), PUBLISHED_TO_TWO_DIGITS)
def test_the_published_pairs_come_out(one: str, two: str, expected: float) -> None:
    assert round(ratio(one, two), 2) == expected
    assert ratio(one, two) == ratio(two, one)


@pytest.mark.parametrize(("one", "two", "expected"), COMPUTED_TO_FOUR_DIGITS)
def test_the_pairs_computed_apart_come_out(one: str, two: str, expected: float) -> None:
    assert round(ratio(one, two), 4) == expected


def test_a_published_contrast_package_agrees_to_every_digit() -> None:
    # rgb(255,129,0) and rgb(100,0,58), printed on a published contrast package's page.
    assert luminance("#ff8100") == pytest.approx(0.36960513804637335, abs=1e-15)
    assert ratio("#ff8100", "#64003a") == pytest.approx(5.235369975583679, abs=1e-12)


def test_a_ratio_is_not_rounded_up_to_its_limit() -> None:
    assert ratio("#777777", "#ffffff") < 4.5
    assert round(ratio("#777777", "#ffffff"), 1) == 4.5


@pytest.mark.parametrize("wrong", ["#fff", "000000", "#00000", "#0000000", "#gg0000"])
def test_what_is_no_colour_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb|invalid literal"):
        channels(wrong)


@pytest.mark.parametrize("palette", [DAY, DARK], ids=["day", "dark"])
@pytest.mark.parametrize(("text", "behind"), TEXT_PAIRS)
def test_every_text_stands_out(palette: Palette, text: str, behind: str) -> None:
    assert ratio(getattr(palette, text), getattr(palette, behind)) >= TEXT_LIMIT


@pytest.mark.parametrize("palette", [DAY, DARK], ids=["day", "dark"])
@pytest.mark.parametrize(("shape", "behind"), SHAPE_PAIRS)
def test_every_shape_that_means_something_stands_out(palette: Palette, shape: str, behind: str) -> None:
    assert ratio(getattr(palette, shape), getattr(palette, behind)) >= SHAPE_LIMIT
