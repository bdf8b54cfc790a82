"""Numbers, units, dates and times as the language in use writes them, from CLDR through Babel.

Rules kept here:
 1. The decimal mark is CLDR's for the region the texts are written for; no marks between thousands, so that no number
    can be read as a thousandth of itself.
 2. Symbols of units stay as they are printed on tapes, gauges and labels (ft, in, mph, psi, lb, m, kg), in every
    language; words of units are CLDR's.
 3. A day is written out with its month's name, never in digits alone; a time has 24 hours.
 4. CLDR gives Haitian Creole French words, and Babel knows no Brazilian word for a day: ours stand in OWN_MONTHS and
    OWN_UNITS. The decimal mark of Creole is CLDR's comma.
Knows nothing of: what a number is for.
"""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from fractions import Fraction

from coach.core.amount import Amount
from coach.core.quantity import Quantity, show
from coach.language import current

# The region whose habits a language's numbers and dates follow: the texts' own. Latin America writes 1.5, Spain 1,5.
REGIONS = {"en": "en_US", "es": "es_419", "fr": "fr_FR", "pt_BR": "pt_BR", "ht": "ht"}
OWN_MONTHS = {
    "ht": ("janvye", "fevriye", "mas", "avril", "me", "jen", "jiyè", "out", "septanm", "oktòb", "novanm", "desanm"),
}
OWN_UNITS = {
    "ht": {"day": ("jou", "jou"), "hour": ("èdtan", "èdtan"), "minute": ("minit", "minit")},
    "pt_BR": {"day": ("dia", "dias")},
}


def _region() -> str:
    return REGIONS.get(current(), "en_US")


def decimal_mark() -> str:
    """The decimal mark, '.' or ','."""
    from babel.numbers import get_decimal_symbol

    return str(get_decimal_symbol(_region()))


def quantity_text(quantity: Quantity, kind: str, system: str) -> str:
    """A quantity as people of the trade write it, in 'us' or 'metric' units.

    Raises:
        ValueError: the quantity is not of that kind, which is a fault of the program.
    """
    if kind == "ratio":  # people read a share as a percentage
        tenths = round(Fraction(quantity.value) * 1000)
        return f"{show(Quantity(Fraction(tenths, 10), quantity.dimension), 'count', system, decimal=decimal_mark())} %"
    return show(quantity, kind, system, decimal=decimal_mark())


def decimal_text(value: float, places: int) -> str:
    """A plain number with so many decimals."""
    return f"{value:.{places}f}".replace(".", decimal_mark())


def amount_text(amount: Amount, system: str) -> str:
    """A limit's or a proof's amount, in 'us' or 'metric' units."""
    if amount.unit == "days":
        return counted(amount.value, "day")
    return amount.text(system, decimal_mark())


def counted(count: int, unit: str) -> str:
    """So many of a unit of time in words: '3 days'. unit: day, hour or minute."""
    from babel.units import format_unit

    own = OWN_UNITS.get(current(), {}).get(unit)
    if own is not None:
        return f"{count} {own[count != 1]}"
    return format_unit(count, f"duration-{unit}", "long", locale=_region()).replace("\u202f", "\u00a0")


def day_text(day: date) -> str:
    """A day: 'Nov 3, 2026', '3 nov 2026'."""
    from babel.dates import format_date

    own = OWN_MONTHS.get(current())
    if own is not None:
        return f"{day.day} {own[day.month - 1]} {day.year}"
    return format_date(day, "medium", locale=_region())


def _at(wall: int, zone: tzinfo | None) -> datetime:
    return datetime.fromtimestamp(wall / 1000, zone).astimezone(zone)


def day_of_wall(wall: int, zone: tzinfo | None = None) -> str:
    """The day of a wall time (ms since 1970 UTC), in the given zone or the device's."""
    return day_text(_at(wall, zone).date())


def clock_text(wall: int, zone: tzinfo | None = None, seconds: bool = True) -> str:
    """The time of day of a wall time: '09:30:12'."""
    return _at(wall, zone).strftime("%H:%M:%S" if seconds else "%H:%M")


def moment_text(wall: int, zone: tzinfo | None = None) -> str:
    """A wall time whole: 'Nov 3, 2026, 09:30:12'."""
    return f"{day_of_wall(wall, zone)}, {clock_text(wall, zone)}"
