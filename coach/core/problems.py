"""What can be wrong, as values: a problem with its place, a reason why an act is refused, and the tree of errors.

Rules kept here:
 1. Every problem says what, why and how to mend it; `what` is lower case and has no full stop.
 2. Texts are English templates with named slots (`%(name)s`), so that a front end can translate them; codes,
    numbers and names in the slots are never translated.
 3. A refusal is a value (`Reason`), not an exception. Exceptions are for input that cannot be used at all.
Knows nothing of: files, language, procedures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

# Code letters, never reused: P procedure text, F formula, U units and quantities, L limits and policy, G gate and
# kernel refusals, V proof of a procedure (prover), R record, X exchange, C command line.


@dataclass(frozen=True)
class Place:
    """Where in a text something stands. Lines and columns count from 1; `source` is the line's own text."""

    file: str
    line: int = 0
    column: int = 0
    path: str = ""
    source: str = ""

    def __str__(self) -> str:
        if self.line:
            return f"{self.file}:{self.line}:{self.column}"
        return self.file


@dataclass(frozen=True)
class Problem:
    """One fault in something a person wrote: what, where, why it matters, and one act that mends it."""

    code: str
    what: str
    why: str
    mend: str
    place: Place | None = None
    slots: Mapping[str, object] = field(default_factory=dict)

    def at(self, place: Place) -> Problem:
        """The same problem, with its place filled in."""
        return Problem(self.code, self.what, self.why, self.mend, place, self.slots)

    def __str__(self) -> str:
        return render(self)


@dataclass(frozen=True)
class Reason:
    """One reason why the kernel refuses an act. `about` names the safeguard, step, debt or measure it speaks of.

    `what`, `why` and `mend` are templates over `slots`; `act` names the action that clears it, for a one-touch way.
    """

    code: str
    about: str
    what: str
    why: str
    mend: str
    slots: Mapping[str, object] = field(default_factory=dict)
    act: str = ""

    def text(self) -> str:
        """The reason in English, one line."""
        return f"{fill(self.what, self.slots)} - {fill(self.mend, self.slots)}"


@dataclass(frozen=True)
class Phrase:
    """A piece of text that fills a slot and is itself a template: in English by itself, translated by a front end."""

    template: str
    slots: Mapping[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        return fill(self.template, self.slots)


Words = str | Phrase


def any_of(words: list[str] | tuple[str, ...]) -> Words:
    """Words as a choice: 'a', 'a or b', 'a, b or c'."""
    if len(words) == 1:
        return words[0]
    return Phrase("%(first)s or %(last)s", {"first": ", ".join(words[:-1]), "last": words[-1]})


def all_of(words: list[str] | tuple[str, ...]) -> Words:
    """Words as a list: 'a', 'a and b', 'a, b and c'."""
    if len(words) == 1:
        return words[0]
    return Phrase("%(first)s and %(last)s", {"first": ", ".join(words[:-1]), "last": words[-1]})


def fill(template: str, slots: Mapping[str, object]) -> str:
    """The template with its named slots filled; a template without slots may hold a plain per cent sign."""
    return template % slots if slots else template


def render(problem: Problem, words: tuple[str, str] = ("why", "mend")) -> str:
    """A problem as text for a terminal: place, what, the author's own line with a mark, why, mend.

    words: what the last two lines are called; a front end gives them in the reader's language.
    """
    wide = max(map(len, words)) + 2
    head = f"{problem.place}: " if problem.place else ""
    lines = [f"{head}{problem.code} {fill(problem.what, problem.slots)}"]
    place = problem.place
    if place and place.path:
        lines.append(f"    at    {place.path}")
    if place and place.source:
        number = f"{place.line:>5} | "
        lines.append(number + place.source)
        if place.column:
            lines.append(" " * (len(number) - 2) + "| " + " " * (place.column - 1) + "^")
    lines.append(f"    {words[0]:{wide}}{fill(problem.why, problem.slots)}")
    lines.append(f"    {words[1]:{wide}}{fill(problem.mend, problem.slots)}")
    return "\n".join(lines)


class CoachError(Exception):
    """The root of every error of ours. Carries the problems, all of them, not the first only."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*problems)
        self.problems: tuple[Problem, ...] = problems

    def __str__(self) -> str:
        return "\n".join(render(problem) for problem in self.problems)


class ProcedureError(CoachError):
    """A procedure file that cannot be used."""


class FormulaError(CoachError):
    """A formula that cannot be read, or whose dimensions do not agree."""


class QuantityError(CoachError):
    """A typed value that is not the quantity it should be."""


class PolicyError(CoachError):
    """A policy that cannot be read or that is looser than a floor."""


class RecordError(CoachError):
    """A record that does not fit together: chain, seal, form."""


class StoreError(CoachError):
    """The disk or the database failed; nothing that was acknowledged is lost."""


def nearest(word: str, known: list[str] | tuple[str, ...]) -> str | None:
    """The known word nearest to `word`, or None if none is near."""
    from difflib import get_close_matches

    found = get_close_matches(word, list(known), n=1, cutoff=0.55)
    return found[0] if found else None
