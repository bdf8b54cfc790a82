"""A simulated supervisor: looks at what was left, clears tags, sends back or accepts.

Knows nothing of: assessment.
"""

from __future__ import annotations

from coach.core import actions as act
from coach.practice.trainee_base import TraineeBase
from coach.practice.worker import STROKES

ACCEPTS = "I looked at the cover and read this record; the work is accepted."


def review(who: TraineeBase) -> None:
    """One review, whole."""
    run = who.run
    if not who.does("obeys"):
        refusal = who.ask(act.Accept(who.by, ACCEPTS, STROKES, tuple(sorted(run.job.state.excused))))
        if refusal is not None and "G074" in [reason.code for reason in refusal.reasons]:
            who.fault("", "accept")
        if run.over:
            who.fault("", "good")
            return
    wanted = {good.target for good in run.drill.good}
    for look in run.drill.looks:
        if who.does("remembers") and who.does("looks"):
            run.look(look.id)
        elif look.id in wanted:
            who.fault("", "good")
    for deed in run.deeds():
        if who.does("remembers"):
            run.deed(deed.id)
        elif deed.id in wanted:
            who.fault("", "good")
    who.think(4)
    sends = [good.target for good in run.drill.good if good.does == "send back"]
    seen = {note.about for note in run.track if note.kind == "look"}
    if sends and all(look.id in seen for look in run.drill.looks) and who.does("honest"):
        who.ask(act.SendBack(who.by, tuple((step, "This is not as the record says; mend it.") for step in sends)))
    else:
        if sends:
            who.fault("", "good")
        refusal = who.ask(act.Accept(who.by, ACCEPTS, STROKES, tuple(sorted(run.job.state.excused))))
        if refusal is not None:
            who.ask(act.SendBack(who.by, ((run.rules.order[-1], "Something is still open at the boat."),)))
