"""Reads a quantity as trades people write it: 5' 6 1/2", 66-1/2 in, 1.68 m, 12 ft, 1 h 30 min, 7 mil, 20 °C.

Rules kept here:
 1. Any text at all gives a quantity or a QuantityError with one problem; nothing else, and at once.
 2. Nothing is guessed: a number that can be read in two ways, or a unit of another kind, is refused with an offer.
 3. What is read is exact (a degree of angle apart).
Knows nothing of: where the text came from, plausible ranges (the procedure's measures hold those).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from coach.core.problems import QuantityError, nearest
from coach.core.quantity_faults import refuse
from coach.core.quantity_value import Quantity
from coach.core.units import KINDS, LIKELY, SIGNED_KINDS, SYMBOLS_LONGEST_FIRST, UNITS, Unit, units_meant

MAX_CHARACTERS = 64
MAX_DIGITS = 15

_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}
_SAME = str.maketrans(
    {char: f" {plain}" for char, plain in _VULGAR.items()}
    | dict.fromkeys("′’‘ʹ`´", "'") | dict.fromkeys("″”“ʺ˝", '"') | dict.fromkeys("–—‑‒−", "-")
    | dict.fromkeys("⁄∕", "/") | dict.fromkeys("\u00a0\u2009\u202f\u2007\t", " ")
    | {"²": "2", "³": "3", "º": "°", "μ": "µ", "℃": "°C", "℉": "°F"}
)
_NUMBER = re.compile(r"(?:(?P<whole>[0-9]+)(?: *- *| +))?(?P<top>[0-9]+) */ *(?P<below>[0-9]+)"
                     r"|(?P<decimal>[0-9]+(?:[.,][0-9]+)*[.,]?|[.,][0-9]+)")
_KNOWN_UNIT = re.compile("|".join(re.escape(symbol) for symbol in SYMBOLS_LONGEST_FIRST), re.IGNORECASE)
_STRAY_UNIT = re.compile(r"[^0-9]+")
_EXAMPLES = {
    "length": "5' 6 1/2\" or 1.68 m", "temperature": "50 °F or 10 °C", "angle": "30 deg", "count": "4",
    "ratio": "0.7 or 70 %",
}


@dataclass(frozen=True)
class _Part:
    """A number with the unit behind it; `unit` is None for a bare number."""

    number: Fraction
    number_text: str
    unit: Unit | None
    unit_text: str
    is_whole: bool


@dataclass(frozen=True)
class _Reading:
    """What is being read, for the texts of refusals."""

    text: str
    kind: str
    decimal: str
    default_unit: str | None

    @property
    def phrase(self) -> str:
        return KINDS[self.kind].phrase if self.kind not in ("angle", "count", "ratio") else _article(self.kind)

    @property
    def example(self) -> str:
        return _EXAMPLES.get(self.kind) or self.offer("12")

    def offer(self, number: str) -> str:
        """The number with each likely unit: '66 in, 66 ft or 66 m'."""
        likely = LIKELY[self.kind]
        return _any_of([f"{number} {unit}" for unit in likely]) if likely else number


def parse_quantity(text: str, kind: str, *, default_unit: str | None = None, decimal: str = ".") -> Quantity:
    """The quantity a person typed.

    Args:
        text: at most 64 characters; fractions, feet with inches, typographic marks and unit names are understood.
        kind: one of KINDS. For a force, 'lb' is read as pound-force, as it is printed on coils of strap.
        default_unit: the unit of a bare number; without it a bare number is refused where a unit is due.
        decimal: the decimal mark of the person's language, '.' or ','.

    Returns:
        The quantity in SI; exact but for angles.

    Raises:
        QuantityError U101 to U114: one problem, with an offer that mends it.
        KeyError: `kind` or `default_unit` is unknown, which is a fault of the program.
    """
    dimension = KINDS[kind]
    default = UNITS[default_unit] if default_unit is not None else None
    reading = _Reading(text[:MAX_CHARACTERS].strip(), kind, decimal, default_unit)
    if len(text) > MAX_CHARACTERS:
        raise refuse("U110", found=text[:20] + "...", limit=MAX_CHARACTERS, example=reading.example)
    clean = text.translate(_SAME).strip()
    if not clean:
        raise refuse("U101", example=reading.example)
    sign, clean = _signed(clean)
    parts = _parts(clean, reading)
    unit_of_bare = default or (UNITS["rad"] if dimension == KINDS["count"] and kind != "angle" else None)
    value = _sum(_with_units(parts, unit_of_bare, reading), reading)
    if sign < 0:
        value = _negated(parts, unit_of_bare, value, reading)
    return _checked(Quantity(value, dimension), reading)


def parse_any(text: str) -> Quantity:
    """A number with or without a unit, of whatever kind the unit says; for steps and limits in procedure files.

    Raises:
        QuantityError U101 to U114.
    """
    for kind in ("length", "temperature"):  # the unit decides; the first kind only words a refusal
        try:
            return parse_quantity(text, kind)
        except QuantityError as error:
            problem = error.problems[0]
            if problem.code == "U103":
                return parse_quantity(text, "ratio")
            if problem.code != "U104":
                raise
            unit = units_meant(str(problem.slots["unit"]))[0]
            right = next(name for name, dimension in KINDS.items() if dimension == unit.dimension)
            return parse_quantity(text, right)
    raise AssertionError("unreachable")


def _article(word: str) -> str:
    return f"{'an' if word[0] in 'aeio' else 'a'} {word}"


def _any_of(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _signed(clean: str) -> tuple[int, str]:
    if clean[0] in "+-":
        return (-1 if clean[0] == "-" else 1), clean[1:].lstrip()
    return 1, clean


def _parts(clean: str, reading: _Reading) -> list[_Part]:
    parts: list[_Part] = []
    at = 0
    while at < len(clean):
        if parts and clean[at] in " -":  # 5'-6", 5 ft - 6 in
            at += 1
            continue
        match = _NUMBER.match(clean, at)
        if match is None:
            raise refuse("U102", found=reading.text, example=reading.example)
        if parts and parts[-1].unit is None:
            raise refuse("U112", found=reading.text, example=reading.example)
        number, is_whole = _number(match, reading)
        at = match.end()
        unit, unit_text, at = _unit_at(clean, at, match[0].strip(), reading)
        parts.append(_Part(number, match[0].strip(), unit, unit_text, is_whole))
    if not parts:
        raise refuse("U102", found=reading.text, example=reading.example)
    return parts


def _number(match: re.Match[str], reading: _Reading) -> tuple[Fraction, bool]:
    if sum(char.isdigit() for char in match[0]) > MAX_DIGITS:
        raise refuse("U109", found=match[0].strip(), limit=MAX_DIGITS)
    if match["decimal"] is None:
        if int(match["below"]) == 0:
            raise refuse("U114", found=match[0].strip(), example=reading.example)
        return Fraction(int(match["whole"] or 0)) + Fraction(int(match["top"]), int(match["below"])), False
    text = match["decimal"]
    other = "," if reading.decimal == "." else "."
    whole, mark, rest = text.partition(reading.decimal)
    grouped = other == "." and re.fullmatch(r"[0-9]{1,3}\.[0-9]{3}", text)
    if other == "." and text.count(".") == 1 and "," not in text and not grouped:
        whole, mark, rest = text.partition(".")  # a point typed where commas are usual, and no doubt what it means
    if other in whole + rest and mark != other or reading.decimal in rest or grouped:
        found = other if other in text else reading.decimal
        readings = _any_of([text.replace(found, reading.decimal, 1), re.sub("[.,]", "", text)])
        raise refuse("U107", mark=found, found=text, offer=readings)
    return Fraction(f"{whole or 0}.{rest or 0}"), not rest


def _unit_at(clean: str, at: int, number: str, reading: _Reading) -> tuple[Unit | None, str, int]:
    start = at
    while start < len(clean) and clean[start] == " ":
        start += 1
    rest = clean[start:]
    if not rest or rest[0] in "0123456789" or (rest[0] == "-" and start + 1 < len(clean)):
        return None, "", start
    match = _KNOWN_UNIT.match(clean, start)
    while match and match.end() < len(clean) and clean[match.end()].isalpha() and match[0][-1].isalnum():
        shorter = [symbol for symbol in SYMBOLS_LONGEST_FIRST if len(symbol) < len(match[0])
                   and rest.lower().startswith(symbol.lower()) and not rest[len(symbol):][:1].isalpha()]
        if not shorter:
            match = None
            break
        return _meant(shorter[0], number, reading), shorter[0], start + len(shorter[0])
    if match:
        end = match.end() + (clean[match.end():match.end() + 1] == "." and match[0][-1].isalpha())
        return _meant(match[0], number, reading), match[0], end
    stray = _STRAY_UNIT.match(rest)
    word = (stray[0] if stray else rest).strip()
    if not any(char.isalpha() or char == "°" for char in word):
        raise refuse("U102", found=reading.text, example=reading.example)
    near = nearest(word, [symbol for symbol in UNITS if UNITS[symbol].dimension == KINDS[reading.kind]])
    offer = f"{number} {near}" if near and reading.kind not in ("count",) else reading.offer(number)
    raise refuse("U105", unit=word, offer=offer)


def _meant(symbol: str, number: str, reading: _Reading) -> Unit:
    """The one unit the symbol means here, or a refusal that says what the unit is."""
    due = KINDS[reading.kind]
    if reading.kind == "force" and symbol.lower() in ("lb", "lbs"):
        return UNITS["lbf"]
    units = units_meant(symbol)
    fitting = [unit for unit in units if unit.dimension == due and (unit.symbol not in ("°", "rad")
                                                                    or reading.kind == "angle")]
    if reading.kind in ("angle", "count"):
        fitting = [unit for unit in fitting if reading.kind == "angle" and unit.symbol != "%"]
    if len(fitting) == 1:
        return fitting[0]
    swapped = [unit.symbol for unit in units_meant(symbol.swapcase()) if unit.dimension == due]
    swapped += [known for known in UNITS if known.lower() == symbol.lower() and UNITS[known].dimension == due]
    offer = f"{number} {swapped[0]}" if swapped and due != KINDS["count"] else reading.offer(number)
    raise refuse("U104", unit=symbol, **{"is": _phrase_of(units[0])}, due=reading.phrase, offer=offer)


def _phrase_of(unit: Unit) -> str:
    if unit.symbol in ("°", "rad"):
        return "an angle"
    return "a ratio" if unit.symbol == "%" else unit.dimension.phrase


def _with_units(parts: list[_Part], default: Unit | None, reading: _Reading) -> list[tuple[_Part, Unit]]:
    known: list[tuple[_Part, Unit]] = []
    for part in parts:
        unit = part.unit
        if unit is None and known and known[-1][1] == UNITS["ft"]:
            unit = UNITS["in"]  # 5' 6 1/2: after feet a bare number is inches
        elif unit is None and known:
            raise refuse("U112", found=reading.text, example=reading.example)
        elif unit is None:
            unit = default
        if unit is None:
            raise refuse("U103", found=part.number_text, due=reading.phrase, offer=reading.offer(part.number_text))
        known.append((part, unit))
    return known


def _sum(parts: list[tuple[_Part, Unit]], reading: _Reading) -> Fraction | float:
    first, first_unit = parts[0]
    value = first_unit.to_si(first.number)
    for (before, unit_before), (part, unit) in zip(parts, parts[1:]):
        if {unit_before.system, unit.system} == {"us", "metric"}:
            raise refuse("U108", found=reading.text, example=reading.example)
        if not before.is_whole or unit.factor >= unit_before.factor or unit.is_affine:
            raise refuse("U112", found=reading.text, example=reading.example)
        if part.number * unit.factor >= unit_before.factor:
            raise refuse("U113", part=f"{part.number_text} {unit.symbol}", unit=unit_before.symbol)
        value += unit.to_si(part.number)
    return value


def _negated(parts: list[_Part], default: Unit | None, value: Fraction | float, reading: _Reading) -> Fraction | float:
    unit = parts[0].unit or default
    if reading.kind not in SIGNED_KINDS and value != 0:
        zero = f"0 {LIKELY[reading.kind][0]}" if LIKELY[reading.kind] else "0"
        raise refuse("U106", found=reading.text, floor=zero, kind=reading.kind.replace("_", " "))
    return unit.to_si(-parts[0].number) if unit is not None and unit.is_affine else -value


def _checked(quantity: Quantity, reading: _Reading) -> Quantity:
    if reading.kind == "count" and quantity.value != int(quantity.value):
        lower = int(quantity.value)
        raise refuse("U111", found=reading.text, offer=f"{lower} or {lower + 1}")
    if reading.kind == "temperature" and quantity.value < 0:
        raise refuse("U106", found=reading.text, floor="absolute zero (-273.15 °C)", kind="temperature")
    return quantity
