"""Reasons and problems as people read them: translated, amounts in the user's units, the English beside where it is due.

Rules kept here:
 1. A slot is translated only if it holds a phrase, or words of the gate, the procedure or the reader (WORDS_IN); names
    of people, boats and files, and what somebody typed, never are.
Knows nothing of: what a reason means, which screen shows it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from coach.core.amount import Amount, Figures
from coach.core.problems import Phrase, Problem, Reason, Words, fill, render
from coach.core.quantity import Shown
from coach.core.session import MEASURED_AGAIN, phrase_of
from coach.formats import amount_text, day_text, decimal_mark, quantity_text
from coach.language import _, is_doubtful

# Slots whose plain text is one of our own words or the procedure's.
WORDS_IN = frozenset({
    "about", "act", "ask", "bound", "detail", "due", "first", "found_is", "hint", "kind", "last", "left_is", "measure", "name",
    "right_is", "said", "says", "second", "slip", "step", "text",
})


@dataclass(frozen=True)
class ReasonText:
    """One reason on a screen: what is wrong, why it matters, what mends it, and the action that one touch starts.

    english: what and mend in English, where the language in use is not reviewed; else ''.
    """

    code: str
    about: str
    act: str
    what: str
    why: str
    mend: str
    english: str = ""


def _plain(text: str) -> str:
    return text


def slots_for(slots: Mapping[str, object], system: str, say: Callable[[str], str] = _) -> dict[str, object]:
    """The slots with amounts in the user's units and our own words translated by `say`."""
    return {name: _slot(name, value, system, say) for name, value in slots.items()}


def _slot(name: str, value: object, system: str, say: Callable[[str], str]) -> object:
    if isinstance(value, Amount):
        return amount_text(value, system)
    if isinstance(value, Phrase):
        return filled(value, system, say)
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, Shown):
        return quantity_text(value.quantity, value.kind, system)
    if isinstance(value, Figures):
        return value.text(decimal_mark())
    return say(value) if isinstance(value, str) and name in WORDS_IN else value


def filled(phrase: Phrase, system: str, say: Callable[[str], str] = _) -> str:
    """A phrase as people read it."""
    return fill(say(phrase.template), slots_for(phrase.slots, system, say))


def words_text(words: Words, system: str = "us") -> str:
    """Words that may be a phrase, as people read them; plain words are shown as they are."""
    return filled(words, system) if isinstance(words, Phrase) else words


def reason_text(reason: Reason, system: str = "us") -> ReasonText:
    """A reason in the language in use."""
    what, why, mend = (sentence(filled(Phrase(text, reason.slots), system)) for text in (reason.what, reason.why, reason.mend))
    english = ""
    if is_doubtful():
        english = " ".join(sentence(filled(Phrase(text, reason.slots), system, _plain)) for text in (reason.what, reason.mend))
    return ReasonText(reason.code, reason.about, reason.act, what, why, mend, english)


def nobody_else() -> str:
    """What is said where a second person is asked for and the yard lists none."""
    return _("Nobody else of the crew is listed for this. Ask the office.")


def noted_text(noted: Mapping[str, Any], system: str = "us") -> str:
    """A reason that the record kept (of a trip, of a refused flame), in the language in use."""
    return sentence(filled(phrase_of(noted), system)).removesuffix(".")


def noted_english(noted: Mapping[str, Any]) -> str:
    """The same in English, where the language in use is not reviewed; else ''."""
    return sentence(str(noted["text"])).removesuffix(".") if is_doubtful() else ""


def reopened_text(text: str) -> str:
    """Why a step stands open again: a measure that was corrected, in the language in use, or a supervisor's own words."""
    head, tail = MEASURED_AGAIN.split("%(ask)s")
    if text.startswith(head) and text.endswith(tail):
        return _(MEASURED_AGAIN) % {"ask": _(text[len(head):len(text) - len(tail)])}
    return text


def problem_text(problem: Problem, system: str = "us") -> tuple[str, str, str]:
    """A problem's what, why and mend in the language in use."""
    what, why, mend = (sentence(filled(Phrase(text, problem.slots), system)) for text in (problem.what, problem.why, problem.mend))
    return what, why, mend


def rendered(problem: Problem, system: str = "us") -> str:
    """A problem as text for a terminal, in the language in use: place, what, the author's own line, why, mend."""
    what, why, mend = (filled(Phrase(text, problem.slots), system) for text in (problem.what, problem.why, problem.mend))
    # the texts are filled already: a per cent sign in them is one
    plain = Problem(problem.code, what, why, mend, problem.place)
    return render(plain, (_("why"), _("mend")))


def yes_or_no(text: str) -> bool | None:
    """A plain answer, in English or in the language in use; None for anything else."""
    word = text.strip().lower()
    if word in ("yes", "y", "true", _("yes")):
        return True
    return False if word in ("no", "n", "false", _("no")) else None


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")
