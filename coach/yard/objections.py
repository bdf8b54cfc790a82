"""What the second reading of a log objects to, as phrases: in English by themselves, translated by a front end.

Rules kept here:
 1. The words are the monitor's own; nothing is judged here.
Knows nothing of: languages, stores. Called by: flags, desk.  Proved by: tests/yard/test_objections.py.
"""

from __future__ import annotations

from coach.core.monitor import SENTENCES, Finding
from coach.core.problems import Phrase


def objection_of(finding: Finding) -> Phrase:
    """A finding as a phrase whose English is that of `Finding.text`."""
    slots: dict[str, object] = {
        "number": finding.number,
        "what": Phrase(finding.what, finding.slots),
        "sentence": Phrase(SENTENCES[finding.sentence]),
    }
    if finding.doubt is None:
        return Phrase("event %(number)s: %(what)s - but %(sentence)s", slots)
    slots["doubt"] = Phrase(finding.doubt.what, finding.doubt.slots)
    return Phrase("event %(number)s: %(what)s: %(doubt)s - but %(sentence)s", slots)
