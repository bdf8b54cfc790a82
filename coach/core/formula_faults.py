"""Every fault of a formula, as one table: code, what, why, mend.

Rules kept here: a code is never reused; texts are templates with named slots, and slots are never translated.
F1 how it is written, F2 what it means (names, kinds, dimensions), F3 what its values give.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.problems import FormulaError, Phrase, Place, Problem, Words

_WRITING = "a formula holds only names, numbers with units, + - * / ^, brackets, comparisons, and, or, not, in, if"
_NO_GUESS = "a guess would give a wrong size"

FAULTS: Mapping[str, tuple[str, str, str]] = {
    "F101": ("the formula is empty", "there is nothing to work out", "write a formula such as 2 * beam + 12 in"),
    "F102": ("the formula is longer than %(limit)s characters", "nobody can check so long a formula",
             "split it into several numbers"),
    "F103": ("the formula has more than %(limit)s levels of brackets or of operations in a row",
             "nobody can check so deep a formula",
             "split it into several numbers"),
    "F104": ("'%(found)s' has no meaning in a formula", _WRITING, "%(hint)s"),
    "F105": ("found %(found)s where %(due)s is due", _WRITING, "%(hint)s"),
    "F106": ("'%(found)s' after %(number)s is not a known unit", _NO_GUESS, "write %(hint)s"),
    "F107": ("'%(found)s' is not a power this language has", "only small whole powers keep their meaning",
             "write a whole number from -6 to 6 after ^, once"),
    "F108": ("two comparisons in a row", "it can be read in two ways", "write a < b and b < c"),
    "F109": ("'%(found)s' is not a name", "names are small letters, digits and _, and begin with a letter",
             "%(hint)s"),
    "F110": ("the number '%(found)s' has more than %(limit)s digits", "no measurement is that exact",
             "write it with fewer digits"),
    "F111": ("%(found)s divides by %(divisor)s", "an eighth of an inch is written without blanks",
             "write %(joined)s, or put the divisor in brackets"),
    "F112": ("'%(found)s' is a word of the language", "it cannot be a name as well", "choose another name"),
    "F113": ("the fraction %(found)s has a zero below the line", "nothing can be divided by zero",
             "correct the fraction"),
    "F114": ("%(found)s is below absolute zero", "no temperature can be that low", "correct the number"),
    "F201": ("'%(found)s' is not a measure or number of this procedure", "its value would be unknown", "%(hint)s"),
    "F202": ("'%(found)s' is not a known function", "it cannot be worked out", "%(hint)s"),
    "F203": ("%(left)s is %(left_is)s and %(right)s is %(right_is)s: they cannot be %(act)s",
             "only quantities of one kind go together", "use two of the same kind"),
    "F204": ("%(found)s is a plain number, %(due)s is due", "the same number means another size in another unit",
             "write %(offer)s"),
    "F205": ("%(found)s is %(found_is)s, a number is due", "it cannot be calculated with",
             "use if(condition, number, number)"),
    "F206": ("%(found)s is %(found_is)s, a condition is due", "it is neither true nor false",
             "compare it, such as %(found)s > %(offer)s"),
    "F207": ("'%(found)s' is not an answer to '%(name)s'", "the condition could never hold", "%(hint)s"),
    "F208": ("%(function)s takes %(due)s, found %(found)s", "%(function)s could not be worked out",
             "give %(function)s(%(parameters)s)"),
    "F209": ("%(found)s is %(found_is)s, %(function)s needs %(due)s", "%(function)s could not be worked out",
             "give %(function)s(%(parameters)s)"),
    "F210": ("'%(found)s' is a choice", "a choice is neither a number nor true or false",
             "compare it with one of its answers: %(offer)s"),
    "F211": ("'%(name)s' is %(found_is)s, not a choice", "only a choice is compared with a bare word", "%(hint)s"),
    "F212": ("%(found)s is %(found_is)s, which has no square root here", "only an area or a plain number has one",
             "check the formula"),
    "F213": ("the formula gives %(found_is)s, %(due)s is due", "it would be shown and used as what it is not",
             "%(hint)s"),
    "F214": ("%(found)s calculates with a point on a temperature scale",
             "20 °C and 20 °C are not 40 °C; only differences add up",
             "write a difference in K, such as temperature + 3 K"),
    "F215": ("%(left)s and %(right)s: one is a temperature, the other a difference of temperatures",
             "a difference of 3 K is not 3 °C", "write the difference in K, such as a - b > 3 K"),
    "F216": ("%(found)s is true or false already, and %(whole)s compares it", "only numbers and choices are compared",
             "write it alone, or with not before it"),
    "F301": ("%(found)s divides by zero: %(divisor)s is 0", "there is no such number",
             "check the values that %(divisor)s is worked out from"),
    "F302": ("%(found)s takes the square root of a number below zero", "there is no such number",
             "check the values that it is worked out from"),
    "F303": ("%(found)s is too big to be a measurement", "a slip of the hand is likely",
             "check the values that it is worked out from"),
    "F304": ("%(function)s could not work with its values: %(detail)s", "the number stays unknown",
             "check the values that go into it"),
    "F305": ("%(found)s rounds to a step that is not above zero", "there is no next step", "give a step above zero"),
}


def write(words: Words) -> Phrase:
    """The hint to write something."""
    return Phrase("write %(words)s", {"words": words})


def fault(code: str, place: Place | None = None, **slots: object) -> Problem:
    """The problem with that code, its slots filled."""
    what, why, mend = FAULTS[code]
    return Problem(code, what, why, mend, place, slots)


def refuse(code: str, place: Place | None = None, **slots: object) -> FormulaError:
    """The error to raise for one fault."""
    return FormulaError(fault(code, place, **slots))
