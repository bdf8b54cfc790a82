"""The yard's stock from YAML: film rolls, strap coils, cylinders, tape, timber, and what is counted.

    yard: Pell Harbour Boatyard
    film:
      r07: {width: 20 ft, left: 96 ft, thickness: 7 mil, colour: white}
    straps:
      s2: {left: 1300 ft, strength: 1500 lbf}
    cylinders:
      c1: {full: 20 lb, left: 18 lb}
    tape:
      t1: {left: 180 ft}
    timber:
      eight: {length: 8 ft, count: 14}
    counts: {vents: 40, doors: 3, buckles: 120, staples: 900}

Rules kept here:
 1. Every number has its unit and lies in a believable range; what is left is never more than what was full.
 2. What is written back is never more than there is, a float's own noise apart: lengths are taken down to 1/8 in or a
    tenth of a millimetre.
 3. The text is as strict as a procedure's: same reader, same faults, all of them at once.
Knows nothing of: boats, the day's load (loadlist), when to order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

from coach.core.problems import CoachError, Phrase, ProcedureError, QuantityError
from coach.core.sizing.constants import INCH, MIL, POUND, POUND_FORCE, Number
from coach.core.sizing.ranges import THICKNESS, Range
from coach.core.units import KIND_PHRASES
from coach.reader.faults import Faults
from coach.reader.fields import Fields, check_id
from coach.reader.files import read_bytes
from coach.reader.nodes import Node, Scalar, read_tree
from coach.reader.scalars import read_quantity

STOCK_KEYS = ("yard", "film", "straps", "cylinders", "tape", "timber", "counts")
COUNTS = ("vents", "doors", "buckles", "staples", "extinguishers")
MOST_COUNTED = 100_000

WIDTH = Range("width", "m", Fraction(1, 2), 20)
LEFT = Range("length left", "m", 0, 5000)
STRENGTH = Range("breaking strength", "N", 100, 200_000)
FULL = Range("full contents", "kg", Fraction(1, 2), 60)
CONTENTS = Range("contents left", "kg", 0, 60)
TIMBER_LENGTH = Range("timber length", "m", Fraction(1, 2), 8)
_COUNT = Range("count", "", 0, MOST_COUNTED)
Item = TypeVar("Item")


class StockError(CoachError):
    """A stock file that cannot be read, or that holds what no yard has."""


@dataclass(frozen=True)
class FilmRoll:
    """One roll of film, SI."""

    id: str
    width: Number
    left: Number
    thickness: Number
    colour: str = ""


@dataclass(frozen=True)
class StrapCoil:
    """One coil of strap, SI; `strength` as printed on it, 0 if it was not written down."""

    id: str
    left: Number
    strength: Number = 0


@dataclass(frozen=True)
class Cylinder:
    """One propane cylinder, SI."""

    id: str
    full: Number
    left: Number


@dataclass(frozen=True)
class TapeRoll:
    """One roll of repair tape, SI."""

    id: str
    left: Number


@dataclass(frozen=True)
class Timber:
    """Pieces of timber of one length, SI."""

    id: str
    length: Number
    count: int


@dataclass(frozen=True)
class Stock:
    """What the yard has."""

    yard: str = ""
    film: tuple[FilmRoll, ...] = ()
    straps: tuple[StrapCoil, ...] = ()
    cylinders: tuple[Cylinder, ...] = ()
    tape: tuple[TapeRoll, ...] = ()
    timber: tuple[Timber, ...] = ()
    counts: Mapping[str, int] = field(default_factory=dict)


def load_stock(path: str | Path) -> Stock:
    """The stock of a file.

    Raises:
        StockError: every fault, with its place.
    """
    try:
        data = read_bytes(Path(path), str(path))
    except ProcedureError as error:
        raise StockError(*error.problems) from error
    return read_stock(data, str(path))


def read_stock(data: bytes, file: str) -> Stock:
    """The stock that the bytes of a file say.

    Raises:
        StockError: every fault, with its place.
    """
    faults = Faults(StockError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    fields = Fields(tree, faults, "a stock file", STOCK_KEYS)
    stock = Stock(
        fields.text("yard"),
        _each(fields, "film", "rolls", _film_roll),
        _each(fields, "straps", "coils", _strap_coil),
        _each(fields, "cylinders", "cylinders", _cylinder),
        _each(fields, "tape", "rolls of tape", _tape_roll),
        _each(fields, "timber", "lengths of timber", _timber),
        _counts(fields),
    )
    faults.stop_if_any()
    return stock


def _each(fields: Fields, key: str, due: str, read: Callable[[str, Node, Faults], Item | None]) -> tuple[Item, ...]:
    """Every entry under a key that could be read; what is wrong with the others is noted."""
    items = []
    for id, node in fields.pairs(key, Phrase("%(due)s, each under its id", {"due": due})):
        check_id(fields.faults, id)
        item = read(id.text, node, fields.faults)
        if item is not None:
            items.append(item)
    return tuple(items)


def _film_roll(id: str, node: Node, faults: Faults) -> FilmRoll | None:
    fields = Fields(node, faults, "a roll of film", ("width", "left", "thickness", "colour"))
    width, left = _measure(fields, "width", "length", WIDTH), _measure(fields, "left", "length", LEFT)
    thickness = _measure(fields, "thickness", "length", THICKNESS)
    if width is None or left is None or thickness is None:
        return None
    return FilmRoll(id, width, left, thickness, fields.text("colour"))


def _strap_coil(id: str, node: Node, faults: Faults) -> StrapCoil | None:
    fields = Fields(node, faults, "a coil of strap", ("left", "strength"))
    left = _measure(fields, "left", "length", LEFT)
    strength = _measure(fields, "strength", "force", STRENGTH) if fields.has("strength") else 0
    return None if left is None or strength is None else StrapCoil(id, left, strength)


def _cylinder(id: str, node: Node, faults: Faults) -> Cylinder | None:
    fields = Fields(node, faults, "a cylinder", ("full", "left"))
    full, left = _measure(fields, "full", "mass", FULL), _measure(fields, "left", "mass", CONTENTS)
    if full is None or left is None:
        return None
    if left > full:
        faults.add(
            "P601",
            "a cylinder has more left than it holds",
            "one of the two weights is wrong",
            "weigh it again: gross weight less the tare stamped on its collar",
            fields.place_of("left"),
        )
        return None
    return Cylinder(id, full, left)


def _tape_roll(id: str, node: Node, faults: Faults) -> TapeRoll | None:
    fields = Fields(node, faults, "a roll of tape", ("left",))
    left = _measure(fields, "left", "length", LEFT)
    return None if left is None else TapeRoll(id, left)


def _timber(id: str, node: Node, faults: Faults) -> Timber | None:
    fields = Fields(node, faults, "a length of timber", ("length", "count"))
    length = _measure(fields, "length", "length", TIMBER_LENGTH)
    count = fields.whole("count", 0, MOST_COUNTED, required=True)
    return None if length is None or count is None else Timber(id, length, count)


def _counts(fields: Fields) -> dict[str, int]:
    node = fields.node("counts")
    if node is None:
        return {}
    counts = Fields(node, fields.faults, "the counted stock", COUNTS)
    found = {key: counts.whole(key, 0, MOST_COUNTED) for key in COUNTS if counts.has(key)}
    return {key: count for key, count in found.items() if count is not None}


def _measure(fields: Fields, key: str, kind: str, range_: Range) -> Number | None:
    """A quantity's SI value inside its range, None with a fault noted otherwise."""
    scalar: Scalar | None = fields.scalar(key, required=True, due=KIND_PHRASES.get(kind, kind))
    quantity = read_quantity(fields.faults, scalar, kind)
    if quantity is None or scalar is None:
        return None
    fault = range_.fault(quantity.value)
    if fault is not None:
        fields.faults.note(fault.at(scalar.place))
        return None
    return quantity.value


def stock_text(stock: Stock, system: str = "us") -> str:
    """The stock as the text of a stock file, never saying more than there is.

    Args:
        stock: to write.
        system: 'us' writes feet, inches and pounds; 'metric' metres and kilograms.

    Returns:
        Text that `read_stock` reads.

    Raises:
        QuantityError: a number that no stock file may hold, such as a cylinder with more left than it holds.
    """
    _believable(stock)
    length, mass = (_feet, _pounds) if system == "us" else (_metres, _kilograms)
    lines = [f"yard: {_quoted(stock.yard)}"] if stock.yard else []
    lines += ["film:"] if stock.film else []
    for roll in stock.film:
        colour = f", colour: {_quoted(roll.colour)}" if roll.colour else ""
        thickness = f"{_decimal(roll.thickness / MIL, 2)} mil"
        lines.append(
            f"  {roll.id}: {{width: {_width(roll.width, system)}, left: {length(roll.left)}, "
            f"thickness: {thickness}{colour}}}"
        )
    lines += ["straps:"] if stock.straps else []
    for coil in stock.straps:
        strength = f", strength: {_decimal(coil.strength / POUND_FORCE, 0)} lbf" if coil.strength else ""
        lines.append(f"  {coil.id}: {{left: {length(coil.left)}{strength}}}")
    lines += ["cylinders:"] if stock.cylinders else []
    lines += [f"  {c.id}: {{full: {mass(c.full)}, left: {mass(c.left)}}}" for c in stock.cylinders]
    lines += ["tape:"] if stock.tape else []
    lines += [f"  {tape.id}: {{left: {length(tape.left)}}}" for tape in stock.tape]
    lines += ["timber:"] if stock.timber else []
    lines += [f"  {t.id}: {{length: {length(t.length)}, count: {t.count}}}" for t in stock.timber]
    lines += ["counts:"] if stock.counts else []
    lines += [f"  {name}: {count}" for name, count in stock.counts.items()]
    return "\n".join(lines) + "\n"


def _believable(stock: Stock) -> None:
    """Refuses a stock that no stock file may hold."""
    checks: list[tuple[Range, Number]] = []
    for roll in stock.film:
        checks += [(WIDTH, roll.width), (LEFT, roll.left), (THICKNESS, roll.thickness)]
    checks += [(LEFT, coil.left) for coil in stock.straps] + [(LEFT, tape.left) for tape in stock.tape]
    checks += [(STRENGTH, coil.strength) for coil in stock.straps if coil.strength]
    for cylinder in stock.cylinders:
        checks += [(FULL, cylinder.full), (Range("contents left", "kg", 0, cylinder.full), cylinder.left)]
    checks += [(TIMBER_LENGTH, timber.length) for timber in stock.timber]
    checks += [(_COUNT, count) for count in (*stock.counts.values(), *(timber.count for timber in stock.timber))]
    faults = [fault for range_, value in checks if (fault := range_.fault(value)) is not None]
    if faults:
        raise QuantityError(*faults)


def _width(metres: Number, system: str) -> str:
    """A roll's width, whole: a metric width is not cut down to an eighth of an inch, or its own sheet would not fit."""
    eighths = Fraction(metres) / (INCH / 8)
    is_us = abs(eighths - round(eighths)) < Fraction(1, 10**6)
    return _feet(metres) if is_us and system == "us" else _metres(metres)


def _feet(metres: Number) -> str:
    eighths = math.floor(Fraction(metres) / (INCH / 8) + Fraction(1, 10**6))
    feet, rest = divmod(eighths, 96)
    inches, part = divmod(rest, 8)
    words = [f"{feet} ft"] if feet else []
    if part:
        part_text = f"{Fraction(part, 8)}"
        words.append(f"{inches} {part_text} in" if inches else f"{part_text} in")
    elif inches:
        words.append(f"{inches} in")
    return " ".join(words) or "0 ft"


def _metres(metres: Number) -> str:
    return f"{_decimal(metres, 4)} m"  # a tenth of a millimetre, so that whole inches stay whole


def _pounds(kilograms: Number) -> str:
    return f"{_decimal(kilograms / POUND, 1)} lb"


def _kilograms(kilograms: Number) -> str:
    return f"{_decimal(kilograms, 2)} kg"


def _decimal(number: Number, places: int) -> str:
    """A number cut after so many decimals, without trailing zeros; a float's own noise does not cost a unit."""
    scaled = math.floor(Fraction(number) * 10**places + Fraction(1, 10**6))
    whole, rest = divmod(scaled, 10**places)
    digits = str(rest).rjust(places, "0").rstrip("0") if rest else ""
    return f"{whole}.{digits}" if digits else str(whole)


def _quoted(text: str) -> str:
    """A text in single quotes, as YAML reads it back."""
    return "'" + " ".join(text.split()).replace("'", "''") + "'"
