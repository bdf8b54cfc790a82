"""Numbers, units, dates and times as each language writes them. Source: CLDR through Babel, but for what is said here."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date
from fractions import Fraction

import pytest

from coach import formats, language
from coach.core.amount import Amount
from coach.core.model import Measure
from coach.core.problems import Place, QuantityError
from coach.core.quantity import KINDS, Quantity
from coach.view.measures import read_typed, shown_value

WALL = 1_793_698_212_000  # 2026-11-03 09:30:12 UTC
LENGTH = Measure("beam", "Beam of the hull", "length", Place("x.yaml"))


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    yield
    language.use("en")


def metres(text: str) -> Quantity:
    return Quantity(Fraction(text), KINDS["length"])


@pytest.mark.parametrize(
    ("code", "mark", "length", "wind"),
    [
        ("en", ".", "1.68 m", "5.4 m/s"),
        ("es", ".", "1.68 m", "5.4 m/s"),
        ("fr", ",", "1,68 m", "5,4 m/s"),
        ("pt_BR", ",", "1,68 m", "5,4 m/s"),
        ("ht", ",", "1,68 m", "5,4 m/s"),
    ],
)
def test_the_decimal_mark_is_the_languages_own(code: str, mark: str, length: str, wind: str) -> None:
    language.use(code)
    assert formats.decimal_mark() == mark
    assert formats.quantity_text(metres("1.68"), "length", "metric") == length
    assert formats.amount_text(Amount(5_400, "mm/s"), "metric") == wind


@pytest.mark.parametrize("code", language.LANGUAGES)
def test_what_is_shown_can_be_typed_again(code: str) -> None:
    language.use(code)
    for text in ("1.68", "0.3", "12", "1.5"):
        shown = shown_value(LENGTH, metres(text), "metric")
        assert read_typed(LENGTH, shown, "metric")[0] == metres(text), shown
    assert read_typed(LENGTH, "5' 6 1/2\"", "us") == (metres("1.6891"), "1.6891 m")


def test_a_number_that_can_be_read_in_two_ways_is_refused_in_each_language() -> None:
    for code, typed in (("en", "1,234"), ("es", "1,234"), ("fr", "1.234"), ("pt_BR", "1.234"), ("ht", "1.234")):
        language.use(code)
        with pytest.raises(QuantityError) as refused:
            read_typed(LENGTH, f"{typed} m", "metric")
        assert refused.value.problems[0].code == "U107"


@pytest.mark.parametrize("code", language.LANGUAGES)
@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"count", "ratio"}))
def test_units_stay_as_they_are_printed_on_tapes_and_labels(code: str, kind: str) -> None:
    quantity = Quantity(Fraction(7, 2), KINDS[kind])
    language.use("en")
    english = [formats.quantity_text(quantity, kind, system) for system in ("us", "metric")]
    language.use(code)
    mark = formats.decimal_mark()
    assert [formats.quantity_text(quantity, kind, system) for system in ("us", "metric")] == [
        text.replace(".", mark) for text in english
    ]


@pytest.mark.parametrize(
    ("code", "day"),
    [
        ("en", "Nov 3, 2026"),
        ("es", "3 nov 2026"),
        ("fr", "3 nov. 2026"),
        ("pt_BR", "3 de nov. de 2026"),
        ("ht", "3 novanm 2026"),  # ours: CLDR has French months there
    ],
)
def test_a_day_is_written_out(code: str, day: str) -> None:
    language.use(code)
    assert formats.day_text(date(2026, 11, 3)) == day
    assert formats.moment_text(WALL, UTC) == f"{day}, 09:30:12"
    assert formats.clock_text(WALL, UTC, seconds=False) == "09:30"


def test_creole_has_twelve_months_of_its_own_and_no_french_one() -> None:
    """The months as Haitian schools and newspapers write them; from memory, no source."""
    language.use("ht")
    own = [formats.day_text(date(2026, month, 1)) for month in range(1, 13)]
    language.use("fr")
    french = [formats.day_text(date(2026, month, 1)) for month in range(1, 13)]
    assert len(set(own)) == 12 and not set(own) & set(french)
    assert own[0] == "1 janvye 2026" and own[11] == "1 desanm 2026"


@pytest.mark.parametrize(
    ("code", "texts"),
    [
        ("en", ("1 day", "3 days")),
        ("es", ("1 día", "3 días")),
        ("fr", ("1\u00a0jour", "3\u00a0jours")),
        ("pt_BR", ("1 dia", "3 dias")),  # ours: Babel 2.18 shows the bare id 'duration-day'
        ("ht", ("1 jou", "3 jou")),  # ours: CLDR has French words there
    ],
)
def test_days_are_words_of_the_language(code: str, texts: tuple[str, str]) -> None:
    language.use(code)
    assert tuple(formats.amount_text(Amount(count, "days"), "us") for count in (1, 3)) == texts


@pytest.mark.parametrize("code", language.LANGUAGES)
@pytest.mark.parametrize("unit", ["day", "hour", "minute"])
def test_no_id_of_a_unit_is_ever_shown(code: str, unit: str) -> None:
    language.use(code)
    for count in (0, 1, 2, 5, 60):
        text = formats.counted(count, unit)
        assert "duration" not in text and text.startswith(str(count))


@pytest.mark.parametrize(("code", "written"), [("en", "56.7 %"), ("fr", "56,7 %")])
def test_a_share_is_read_as_a_percentage(code: str, written: str) -> None:
    language.use(code)
    assert formats.quantity_text(Quantity(Fraction(567, 1000), KINDS["ratio"]), "ratio", "us") == written
