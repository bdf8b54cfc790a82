"""What the keypad's keys do to the text that is being entered: feet and inches as a tape is read, metres, counts.

Rules kept here:
 1. A key that makes no sense where it stands changes nothing; no text that the keys can make is a half-number with
    two units in the wrong order.
 2. Fractions of an inch are keyed as a tape is read, and add up: 1/2 and then 1/8 is 5/8.
 3. The text is the one that `coach.core.quantity_entry` reads.
Knows nothing of: the toolkit, ranges.  Proved by: tests/view/test_keying.py.
"""

from __future__ import annotations

import re
from fractions import Fraction

FRACTIONS = {"1/2": Fraction(1, 2), "1/4": Fraction(1, 4), "1/8": Fraction(1, 8)}
MAX_DIGITS = 6

_FEET = re.compile(r"^(?:(?P<feet>\d+)' ?)?(?P<inches>\d+)?(?: ?(?P<fraction>\d+/\d+))?(?P<mark>\")?$")
_METRIC = re.compile(r"^(?P<number>\d*(?:[.,]\d*)?)(?: (?P<unit>m|cm|mm))?$")


def press(text: str, key: str, decimal: str = ".") -> str:
    """The text after a key.

    Args:
        text: what was entered so far, a text made by this function, or ''.
        key: a digit, 'ft', 'in', one of FRACTIONS, 'point', 'm', 'cm', 'mm', 'erase' or 'clear'.
        decimal: the decimal mark of the reader's language.
    """
    if key == "clear":
        return ""
    if key == "erase":
        return _erase(text)
    if key in FRACTIONS:
        return _fraction(text, FRACTIONS[key])
    if key in ("ft", "in"):
        return _imperial(text, key)
    if key in ("m", "cm", "mm"):
        return _unit(text, key)
    if key == "point":
        return _point(text, decimal)
    return _digit(text, key)


def _digit(text: str, digit: str) -> str:
    if text.endswith(('"', "m")) or "/" in text or len(re.findall(r"\d", text)) >= MAX_DIGITS:
        return text
    if text.endswith("'"):
        return f"{text} {digit}"
    return digit if text == "0" else text + digit


def _point(text: str, decimal: str) -> str:
    if "." in text or "," in text or re.search(r"['\"/m]", text):
        return text
    return (text or "0") + decimal


def _unit(text: str, unit: str) -> str:
    found = _METRIC.match(text)
    number = found["number"].rstrip(".,") if found else ""
    return f"{number} {unit}" if number else text


def _imperial(text: str, key: str) -> str:
    found = _FEET.match(text)
    if not found or not text:
        return text
    if key == "ft":
        plain = found["feet"] is None and found["inches"] and not found["fraction"] and not found["mark"]
        return f"{found['inches']}'" if plain else text
    if found["mark"] or not (found["inches"] or found["fraction"]):
        return text
    return text + '"'


def _fraction(text: str, more: Fraction) -> str:
    found = _FEET.match(text)
    if not found or found["mark"]:
        return text
    total = (Fraction(found["fraction"]) if found["fraction"] else Fraction(0)) + more
    if total >= 1:
        return text
    feet = f"{found['feet']}' " if found["feet"] else ""
    inches = f"{found['inches']} " if found["inches"] else ""
    return f"{feet}{inches}{total}"


def _erase(text: str) -> str:
    shorter = re.sub(r"(?: (?:m|cm|mm)|\"|' ?|(?:^|(?<=\s))\d+/\d+|.)$", "", text)
    return shorter.rstrip() if shorter.rstrip().endswith("'") or " " in shorter[-1:] else shorter
