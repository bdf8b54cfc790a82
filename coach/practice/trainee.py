"""A simulated trainee at work on a run, from the first step to the end or until it gives up.

Rules kept here:
 1. What is at the boat comes first: a review, a trip, a stop, a pause, then the next step.
Knows nothing of: how each thing is done (trainee_base, trainee_flame, trainee_review).
"""

from __future__ import annotations

from coach.core import actions as act
from coach.core.checks import current_steps
from coach.core.policy import SUPERVISOR
from coach.core.state import ENDS, PAUSED, STOPPING
from coach.practice.trainee_base import Fault, TraineeBase
from coach.practice.trainee_flame import FlameWork
from coach.practice.trainee_review import review

__all__ = ["Fault", "Trainee"]

MOST_ACTS = 200


class Trainee(TraineeBase):
    """One trainee at work."""

    def work(self) -> None:
        """Work until the run is over, or give it up after far too many acts."""
        flame = FlameWork(self)
        while not self.run.over and self._acts < MOST_ACTS:
            self._acts += 1
            state = self.run.job.state
            if self.run.drill.role == SUPERVISOR:
                review(self)
            elif state.trip is not None:
                flame.after_trip()
            elif state.status == STOPPING:
                self.finish_stop()
            elif state.status == PAUSED:
                self.ask(act.Resume(self.by))
            elif state.status not in ENDS:
                self._next(flame)
        if not self.run.over:
            self.run.give_up()

    def _next(self, flame: FlameWork) -> None:
        steps = current_steps(self.run.rules, self.run.job.state)
        if not steps:
            self.sign()
        elif steps[0].proves:
            self.prove(steps[0].proves)
        elif steps[0].heat and not flame.is_done(steps[0]):
            flame.do(steps[0])
        else:
            self.do(steps[0])
