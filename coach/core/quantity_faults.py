"""Every fault of a typed or stored quantity, as one table: code, what, why, mend.

Rules kept here: a code is never reused; texts are templates with named slots, and slots are never translated.
U1 typed values, U2 rounding, U4 arithmetic, U5 values in records. (U3 belongs to the ranges of coach.core.sizing.)
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.problems import Place, Problem, QuantityError

FAULTS: Mapping[str, tuple[str, str, str]] = {
    "U101": ("nothing was typed", "the next numbers are worked out from it", "type %(example)s"),
    "U102": ("'%(found)s' is not a number", "only a number can be worked with", "type %(example)s"),
    "U103": ("%(found)s has no unit, and %(due)s needs a unit", "the same number means another size in another unit",
             "write %(offer)s"),
    "U104": ("%(unit)s is %(found_is)s, %(due)s is due", "a value of another kind gives a wrong size",
             "write %(offer)s"),
    "U105": ("'%(unit)s' is not a known unit", "the size of an unknown unit cannot be guessed", "write %(offer)s"),
    "U106": ("%(found)s is below %(floor)s", "no %(kind)s can be that low", "type a value of %(floor)s or more"),
    "U107": ("the '%(mark)s' in %(found)s can be read in two ways",
             "one reading may be a thousand times the other", "write %(offer)s"),
    "U108": ("%(found)s mixes metric and US units", "mixed units hide a slip of the hand",
             "write it in one system, such as %(example)s"),
    "U109": ("'%(found)s' has more digits than a measurement can have", "a slip of the hand is likely",
             "type at most %(limit)s digits"),
    "U110": ("'%(found)s' is longer than %(limit)s characters", "no measurement is that long", "type %(example)s"),
    "U111": ("%(found)s is not a whole number", "things are counted in whole numbers", "type %(offer)s"),
    "U112": ("the parts of '%(found)s' do not fit together",
             "the bigger unit comes first, and only the last part may have a fraction", "write it like %(example)s"),
    "U113": ("%(part)s is as much as one %(unit)s or more",
             "after %(unit)s only a smaller part can follow, so a slip of the hand is likely",
             "check the number and write it again"),
    "U114": ("the fraction %(found)s has a zero below the line", "nothing can be divided by zero",
             "type %(example)s"),
    "U115": ("the fraction %(found)s after %(whole)s is one or more",
             "after a whole number only a part of one can follow, so a slip of the hand is likely",
             "check the number and write it again"),
    "U201": ("'%(found)s' is not a rounding", "the trade size would be unknown",
             "write it like 'up to 1 ft', 'nearest 5 mm' or 'down to 1 in'"),
    "U202": ("the rounding step %(found)s is not above zero", "there is no next step", "give a step above zero"),
    "U203": ("%(unit)s has a zero of its own", "a step is a difference, not a point on the scale",
             "give the step in K"),
    "U204": ("%(found_is)s cannot be rounded to a step of %(due)s", "the step must be of the same kind",
             "give a step that is %(found_is)s"),
    "U501": ("'%(found)s' is not a stored quantity", "the record cannot be read for certain",
             "restore the record from an export that verifies"),
    "U401": ("%(left)s and %(right)s cannot be %(act)s", "only quantities of one kind go together",
             "use two of the same kind"),
    "U402": ("a value that is not finite", "it is not a measurement", "check the values it is worked out from"),
    "U403": ("a division by zero", "there is no such number", "check the value that is divided by"),
    "U404": ("'%(found)s' is not a quantity's value", "only exact fractions and finite numbers are kept",
             "give a number"),
    "U405": ("the power %(found)s is not a small whole number", "the result would have no meaning here",
             "use a power from -6 to 6"),
}


def fault(code: str, place: Place | None = None, **slots: object) -> Problem:
    """The problem with that code, its slots filled."""
    what, why, mend = FAULTS[code]
    return Problem(code, what, why, mend, place, slots)


def refuse(code: str, **slots: object) -> QuantityError:
    """The error to raise for one fault."""
    return QuantityError(fault(code, None, **slots))
