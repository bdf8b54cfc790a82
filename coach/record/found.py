"""What exchange finds of tablets and jobs: the sentences that are kept for good, and how they are read back.

Rules kept here:
 1. A finding is kept as an English sentence, whatever language the device speaks; shown, it is read back to its
    template and slots, so that a front end can translate it. A sentence of another version is shown as it was kept.
Knows nothing of: databases, languages. Called by: headlist, receive, the shells.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from coach.core.problems import Phrase, Problem, Words, fill
from coach.record import refusals
from coach.record.store import Finding

_SENTENCES = {
    "X301": "%(code)s %(problem)s",
    "X302": "tablet %(tablet)s now tells entry %(had)s of job '%(job)s' in another way than before",
    "X303": "tablet %(tablet)s now holds %(now)s of %(had)s entries of job '%(job)s' that it had: the rest was taken away",
    "X304": "tablet %(tablet)s gave two lists of its jobs under one number (%(number)s): two copies of one tablet",
}
_HISTORIES = tuple(make("%(job)s").what for make in (refusals.forked, refusals.is_practice))
CODE = r"[A-Z]\d{3}"
_SLOT = re.compile(r"%\\\((\w+)\\\)s")


def found(code: str, job: str, slots: Mapping[str, object], kept: str, at: int) -> Finding:
    """A finding in its kept form.

    Args:
        code: X302 to X304.
        job: that it is about; '' for none.
        slots: of its sentence.
        kept: SHA-256 of the file or list that shows it.
        at: ms since 1970 UTC.
    """
    return Finding(code, job, fill(_SENTENCES[code], slots), kept, at)


def told_otherwise(job: str, problem: Problem, kept: str, at: int) -> Finding:
    """X301: a file that does not go on from the job's history, and why; the rest as in `found`."""
    return found("X301", job, {"code": problem.code, "problem": fill(problem.what, problem.slots)}, kept, at)


def words_of(text: str) -> Words:
    """A kept sentence as a phrase for a front end to translate; the text itself if it is none of ours."""
    for template in (*_SENTENCES.values(), *_HISTORIES):
        slots = _read(template, text)
        if slots is not None:
            inner: dict[str, object] = {"problem": words_of(str(slots["problem"]))} if "problem" in slots else {}
            return Phrase(template, slots | inner)
    return text


def _read(template: str, text: str) -> dict[str, object] | None:
    """The slots of a filled template; None if the text does not come from it."""
    match = re.fullmatch(_SLOT.sub(_part, re.escape(template)), text)
    return dict(match.groupdict()) if match else None


def _part(slot: re.Match[str]) -> str:
    return rf"(?P<{slot[1]}>{CODE if slot[1] == 'code' else '.+'})"
