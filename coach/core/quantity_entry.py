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
from itertools import groupby, pairwise

from coach.core.problems import Words, any_of, nearest
from coach.core.quantity_faults import refuse
from coach.core.quantity_value import Quantity
from coach.core.units import (
    KINDS, LIKELY, SIGNED_KINDS, SYMBOLS_LONGEST_FIRST, UNITS, Unit, phrase_of, units_meant,
)

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
_KNOWN_UNIT = re.compile(  # neighbours of one sort share their ending: the program starts sooner
    "|".join(f"(?:{'|'.join(map(re.escape, same))})" + ("(?![a-z])" if word else "")
             for word, same in groupby(SYMBOLS_LONGEST_FIRST, lambda symbol: symbol[-1].isalnum())),
    re.IGNORECASE | re.ASCII,
)
_EXPONENT = re.compile(r"[0-9][.,]?[eE][-+]?[0-9]")
_BETWEEN = re.compile(r" *-? *")  # 5'-6", 5 ft - 6 in
_STRAY_UNIT = re.compile(r"[^0-9]+")
_PLAIN = Unit("", "ratio", Fraction(1))
_EXAMPLES = {
    "length": ("5' 6 1/2\"", "1.68 m"), "temperature": ("50 °F", "10 °C"), "angle": ("30 deg",), "count": ("4",),
    "ratio": ("0.7", "70 %"),
}


@dataclass(frozen=True)
class _Part:
    """A number with the unit behind it; `unit` is None for a bare number."""

    number: Fraction
    number_text: str
    unit: Unit | None
    is_whole: bool


@dataclass(frozen=True)
class _Reading:
    """What is being read, for the texts of refusals."""

    text: str
    kind: str
    decimal: str

    @property
    def phrase(self) -> str:
        return phrase_of(self.kind)

    @property
    def example(self) -> Words:
        own = [each.replace(".", self.decimal) for each in _EXAMPLES.get(self.kind, ())]
        return any_of(own) if own else self.offer("12")

    def offer(self, number: str) -> Words:
        """The number with each likely unit: '66 in, 66 ft or 66 m'."""
        likely = LIKELY[self.kind]
        return any_of([f"{number} {unit}" for unit in likely]) if likely else number


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
    reading = _Reading(text[:MAX_CHARACTERS].strip(), kind, decimal)
    if len(text) > MAX_CHARACTERS:
        raise refuse("U110", found=text[:20] + "...", limit=MAX_CHARACTERS, example=reading.example)
    clean = _cleaned(text)
    if not clean:
        raise refuse("U101", example=reading.example)
    if _EXPONENT.search(clean):
        raise refuse("U102", found=reading.text, example=reading.example)
    is_negative, clean = clean[0] == "-", clean[clean[0] in "+-":].lstrip()
    parts = _with_units(_parts(clean, reading), default or (_PLAIN if kind in ("count", "ratio") else None), reading)
    value = _sum(parts, reading)
    return _checked(Quantity(_negated(parts, value, reading) if is_negative else value, dimension), reading)


def parse_any(text: str) -> Quantity:
    """A number with or without a unit, of whatever kind its unit says; for steps in procedure files.

    Raises:
        QuantityError U101 to U114.
    """
    unit = first_unit(text)
    if unit is not None:
        return parse_quantity(text, unit.kind)
    has_letters = any(char.isalpha() for char in text)
    return parse_quantity(text, "length" if has_letters else "ratio")


def first_unit(text: str) -> Unit | None:
    """The unit behind the first number of a text, None if there is none."""
    clean = _cleaned(text[:MAX_CHARACTERS]).lstrip("+- ")
    number = _NUMBER.match(clean)
    known = _KNOWN_UNIT.match(clean[number.end():].lstrip()) if number else None
    return units_meant(known[0])[0] if known else None


def _cleaned(text: str) -> str:
    return text.translate(_SAME).replace("''", '"').strip()


def _parts(clean: str, reading: _Reading) -> list[_Part]:
    parts: list[_Part] = []
    at = 0
    while at < len(clean):
        if parts:
            at = _BETWEEN.match(clean, at).end()  # type: ignore[union-attr]  # it matches nothing as well
        match = _NUMBER.match(clean, at)
        if match is None:
            raise refuse("U102", found=reading.text, example=reading.example)
        if parts and parts[-1].unit is None:
            raise refuse("U112", found=reading.text, example=reading.example)
        number, is_whole = _number(match, reading)
        at = match.end()
        unit, at = _unit_at(clean, at, match[0].strip(), reading)
        parts.append(_Part(number, match[0].strip(), unit, is_whole))
    if not parts:
        raise refuse("U102", found=reading.text, example=reading.example)
    return parts


def _number(match: re.Match[str], reading: _Reading) -> tuple[Fraction, bool]:
    if sum(char.isdigit() for char in match[0]) > MAX_DIGITS:
        raise refuse("U109", found=match[0].strip(), limit=MAX_DIGITS)
    if match["decimal"] is None:
        if int(match["below"]) == 0:
            raise refuse("U114", found=match[0].strip(), example=reading.example)
        part = Fraction(int(match["top"]), int(match["below"]))
        if match["whole"] and part >= 1:
            raise refuse("U115", found=f"{match['top']}/{match['below']}", whole=match["whole"])
        return Fraction(int(match["whole"] or 0)) + part, False
    text, mark = match["decimal"], reading.decimal
    found = re.sub("[0-9]", "", text)
    other = "," if mark == "." else "."
    if len(found) > 1 and len(set(found)) == 1 and not re.fullmatch(r"[0-9]{1,3}([.,][0-9]{3})+", text):
        raise refuse("U102", found=reading.text, example=reading.example)  # 1.2.3 is a date or a slip
    if found == other and mark == "," and not re.fullmatch(r"[0-9]{1,3}\.[0-9]{3}", text):
        mark = other  # a point typed where commas are usual, and no doubt what it means
    if found not in ("", mark):
        last = max(text.rfind("."), text.rfind(","))
        whole = re.sub("[.,]", "", text[:last])
        readings = [f"{whole or 0}{mark}{text[last + 1:]}".rstrip(mark), re.sub("[.,]", "", text)]
        raise refuse("U107", mark=found[0], found=text, offer=any_of(list(dict.fromkeys(readings))))
    whole, _, rest = text.partition(mark)
    return Fraction(f"{whole or 0}.{rest or 0}"), not rest


def _unit_at(clean: str, at: int, number: str, reading: _Reading) -> tuple[Unit | None, int]:
    """The unit that stands behind a number, None if another number or the end follows, and where it ends."""
    while at < len(clean) and clean[at] == " ":
        at += 1
    rest = clean[at:]
    if not rest or rest[0] in "0123456789" or (rest[0] == "-" and len(rest) > 1):
        return None, at
    match = _KNOWN_UNIT.match(clean, at)
    if match:
        full_stop = clean[match.end():match.end() + 1] == "." and match[0][-1].isalpha()
        return _meant(match[0], number, reading), match.end() + full_stop
    stray = _STRAY_UNIT.match(rest)
    word = stray[0].strip() if stray else rest
    if not any(char.isalpha() for char in word):
        raise refuse("U102", found=reading.text, example=reading.example)
    near = nearest(word, [symbol for symbol, unit in UNITS.items() if unit.kind == reading.kind])
    raise refuse("U105", unit=word, offer=f"{number} {near}" if near else reading.offer(number))


def _meant(symbol: str, number: str, reading: _Reading) -> Unit:
    """The one unit the symbol means here, or a refusal that says what the unit is."""
    if reading.kind == "force" and symbol.lower() in ("lb", "lbs"):
        return UNITS["lbf"]
    units = units_meant(symbol)
    fitting = [unit for unit in units if unit.kind == reading.kind]
    if len(fitting) == 1:
        return fitting[0]
    same_letters = [known for known, unit in UNITS.items()
                    if known.lower() == symbol.lower() and unit.kind == reading.kind]
    offer = any_of([f"{number} {known}" for known in same_letters]) if same_letters else reading.offer(number)
    raise refuse("U104", unit=symbol, found_is=phrase_of(units[0].kind), due=reading.phrase, offer=offer)


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
    for (before, unit_before), (part, unit) in pairwise(parts):
        if {unit_before.system, unit.system} == {"us", "metric"}:
            raise refuse("U108", found=reading.text, example=reading.example)
        if not before.is_whole or unit.factor >= unit_before.factor or unit.is_affine:
            raise refuse("U112", found=reading.text, example=reading.example)
        if part.number * unit.factor >= unit_before.factor:
            raise refuse("U113", part=f"{part.number_text} {unit.symbol}", unit=unit_before.symbol)
        value += unit.to_si(part.number)
    return value


def _negated(parts: list[tuple[_Part, Unit]], value: Fraction | float, reading: _Reading) -> Fraction | float:
    if reading.kind not in SIGNED_KINDS and value != 0:
        zero = f"0 {LIKELY[reading.kind][0]}" if LIKELY[reading.kind] else "0"
        raise refuse("U106", found=reading.text, floor=zero, kind=reading.kind.replace("_", " "))
    part, unit = parts[0]
    return unit.to_si(-part.number) if unit.is_affine else -value


def _checked(quantity: Quantity, reading: _Reading) -> Quantity:
    if reading.kind == "count" and quantity.value != int(quantity.value):
        lower = int(quantity.value)
        raise refuse("U111", found=reading.text, offer=f"{lower} or {lower + 1}")
    if reading.kind == "temperature" and quantity.value < 0:
        raise refuse("U106", found=reading.text, floor=f"-273{reading.decimal}15 °C", kind="temperature")
    return quantity
