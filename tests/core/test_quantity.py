"""Reading, showing, rounding and storing quantities."""

from __future__ import annotations

from fractions import Fraction

import pytest

from coach.core.quantity import as_text, from_text, parse_quantity, parse_rounding, show

INCH = Fraction(254, 10000)

# Forms: common practice, no source (facts-sizing section 10). 5' 6 1/2" = 66.5 in = 1689.1 mm by definition of the inch.
SIXTY_SIX_AND_A_HALF = [
    "5' 6 1/2\"", "5'6-1/2\"", "5 ft 6.5 in", "66 1/2", '66.5"', "66-1/2 in", "5′ 6 ½″", "5’6½”", "66½ in", "5' 6 1/2",
    "5'-6 1/2\"", "5 ft. 6 1/2 in.", "66.5 inches", "5 feet 6½ inches", "168.91 cm", "1689.1 mm", "1.6891 m",
]


@pytest.mark.parametrize("text", SIXTY_SIX_AND_A_HALF)
def test_every_form_of_one_length_is_the_same_exact_length(text: str) -> None:
    quantity = parse_quantity(text, "length", default_unit="in")
    assert quantity.value == Fraction(133, 2) * INCH
    assert from_text(as_text(quantity)) == quantity
    assert show(quantity, "length") == "5' 6 1/2\""


def test_film_width_goes_to_the_next_foot() -> None:
    take = parse_rounding("up to 1 ft")
    half, tuck = parse_quantity("66 in", "length"), parse_quantity("6 in", "length")
    assert 2 * half + 2 * tuck == parse_quantity("144 in", "length")
    assert show(take.apply(2 * half + 2 * tuck), "length") == "12 ft"
    more = parse_quantity("66 1/8 in", "length")
    assert show(take.apply(2 * more + 2 * tuck), "length") == "13 ft"
