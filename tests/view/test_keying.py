"""The keypad's keys: what they make is what the crew means, and the reader of quantities takes every finished text."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.problems import QuantityError
from coach.core.quantity_entry import parse_quantity
from coach.view.keying import FRACTIONS, press

KEYS = [*"0123456789", "ft", "in", *FRACTIONS, "point", "m", "cm", "mm", "erase", "clear"]
INCH = Fraction(254, 10_000)


def keyed(*keys: str, decimal: str = ".") -> str:
    text = ""
    for key in keys:
        text = press(text, key, decimal)
    return text


@pytest.mark.parametrize(("keys", "text", "metres"), [
    (("5", "ft", "6", "1/2", "in"), "5' 6 1/2\"", (66 + Fraction(1, 2)) * INCH),
    (("6", "6", "in"), '66"', 66 * INCH),
    (("1", "2", "ft"), "12'", 144 * INCH),
    (("6", "1/2", "1/8", "in"), '6 5/8"', (6 + Fraction(5, 8)) * INCH),
    (("1/4", "1/8", "in"), '3/8"', Fraction(3, 8) * INCH),
    (("5", "ft", "1/2", "in"), "5' 1/2\"", (60 + Fraction(1, 2)) * INCH),
    (("1", "point", "6", "8", "m"), "1.68 m", Fraction(168, 100)),
    (("1", "6", "8", "cm"), "168 cm", Fraction(168, 100)),
    (("point", "5", "m"), "0.5 m", Fraction(1, 2)),
])
def test_lengths_are_entered_as_they_are_read_from_a_tape(keys: tuple[str, ...], text: str, metres: Fraction) -> None:
    assert keyed(*keys) == text
    assert parse_quantity(text, "length").value == metres


def test_the_decimal_mark_is_the_reader_s() -> None:
    assert keyed("1", "point", "6", "8", "m", decimal=",") == "1,68 m"
    assert parse_quantity("1,68 m", "length", decimal=",").value == Fraction(168, 100)


@pytest.mark.parametrize(("keys", "text"), [
    (("ft",), ""), (("in",), ""), (("m",), ""),
    (("5", "ft", "ft"), "5'"), (("5", "ft", "in"), "5'"), (("6", "in", "in"), '6"'), (("6", "in", "7"), '6"'),
    (("6", "1/2", "1/2"), "6 1/2"), (("6", "1/2", "7"), "6 1/2"), (("6", "1/2", "ft"), "6 1/2"),
    (("1", "point", "point", "5"), "1.5"), (("5", "ft", "6", "point"), "5' 6"), (("5", "ft", "m"), "5'"),
    (("1", "point", "m"), "1 m"), (("0", "7"), "7"), (("1", "m", "cm"), "1 cm"), (tuple("12345678"), "123456"),
])
def test_a_key_that_makes_no_sense_changes_nothing(keys: tuple[str, ...], text: str) -> None:
    assert keyed(*keys) == text


@pytest.mark.parametrize(("text", "after"), [
    ("5' 6 1/2\"", "5' 6 1/2"), ("5' 6 1/2", "5' 6"), ("5' 6", "5'"), ("5'", "5"), ("5", ""), ("", ""),
    ("1.68 m", "1.68"), ("1.", "1"), ("5' 1/2", "5'"), ("1/2", ""), ("168 cm", "168"),
])
def test_erase_takes_back_the_last_key(text: str, after: str) -> None:
    assert press(text, "erase") == after


@given(st.lists(st.sampled_from(KEYS), max_size=30))
def test_any_keys_followed_by_erasing_end_empty(keys: list[str]) -> None:
    text = keyed(*keys)
    for _ in range(len(text)):
        shorter = press(text, "erase")
        assert len(shorter) < len(text) or not text
        text = shorter
    assert text == ""


@given(st.lists(st.sampled_from(KEYS), min_size=1, max_size=30))
def test_every_text_that_ends_in_a_unit_can_be_read(keys: list[str]) -> None:
    text = keyed(*keys)
    if text.endswith(("'", '"', " m", " cm", " mm")):
        try:
            assert parse_quantity(text, "length").value >= 0
        except QuantityError:
            # A foot mark and then twelve inches or more: the reader asks back, and that is its right.
            assert int(text.split("' ")[1].split()[0].rstrip('"')) >= 12
