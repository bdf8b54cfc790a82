"""What a signature stands for: of the technician, by what the procedure is about, and of the supervisor.

Knows nothing of: how it is drawn, who may sign (core).
"""

from __future__ import annotations

from coach.core.model import Procedure

MEANING = "I did this work as recorded, and the boat is safe to leave."
STOP_MEANING = "I stopped this job; the flame is out, and what is still open hangs on a tag."
ACCEPT_MEANING = "I looked at the cover and read this record; the work is accepted."
READ_MEANING = "I read this record; the work is accepted."


def meaning_of(procedure: Procedure, stopping: bool = False) -> str:
    """What the technician signs, in English: the procedure's own words where it has some."""
    return STOP_MEANING if stopping else procedure.signs or MEANING


def acceptance_of(procedure: Procedure) -> str:
    """What the supervisor signs, in English: where no boat is left behind there is no cover to look at."""
    return READ_MEANING if procedure.signs else ACCEPT_MEANING
