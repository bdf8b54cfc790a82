"""A simulated trainee with the tool in hand: before the flame, in it, and after a trip.

Rules kept here:
 1. Sections are swept in an order, at a distance and a speed; the film's own physics decides what comes of it.
Knows nothing of: assessment.
"""

from __future__ import annotations

from coach.core import actions as act
from coach.core.checks import gate_status
from coach.core.model import Step
from coach.core.state import STOPPING
from coach.practice.film import Flame, speed_for
from coach.practice.film_work import DISTANCE, PARTS, SHARE_COLD, aim, undone
from coach.practice.trainee_base import HOLDS_LEAST, TraineeBase

SECTION_SECONDS = 2  # both sides of the boat, and the step on; ours
COOLS = 90  # s between two passes over one place; ours
PLAIN_FLAME = 120  # s of a flame that has no film of its own here
ROUNDS = 4
MOST_TRIPS = 3


class FlameWork:
    """The flame work of one trainee."""

    def __init__(self, who: TraineeBase) -> None:
        self.who = who
        self.run = who.run
        self.tried: set[str] = set()
        self.left: set[str] = set()
        self.trips = 0

    def is_done(self, step: Step) -> bool:
        """Whether the trainee thinks that a heat step needs no more flame."""
        if step.id not in self.run.job.state.heated:
            return False
        part = PARTS.get(step.id)
        return part is None or step.id in self.left or not undone(self.run.world.film, part)

    def do(self, step: Step) -> None:
        """Light for a step, work, put out. Whatever stands against it is shown first, or tried against."""
        who = self.who
        closed = [
            status
            for status in gate_status(self.run.rules, self.run.job.state, self.run.clock())
            if not status.holds or status.left < HOLDS_LEAST
        ]
        if (
            any(not status.holds for status in closed)
            and step.id not in self.tried
            and not (who.does("waits") and who.does("obeys"))
        ):
            self.tried.add(step.id)
            who.ask(act.Light(who.by, step.id))
            who.fault("", "blocked")
        if not who.does("obeys") and step.id not in self.tried:
            self.tried.add(step.id)
            proves = next((id for id in self.run.rules.proving.values()), "")
            who.ask(act.Excuse(who.by, proves, "no time for this today"))
            who.fault(proves, "excuse")
        for status in closed:
            if not who.prove(status.safeguard):
                return
        if who.ask(act.Light(who.by, step.id)) is None:
            self._burn(step)

    def _burn(self, step: Step) -> None:
        part = PARTS.get(step.id)
        if part is None:
            self._pass(PLAIN_FLAME)
        for round_ in range(ROUNDS if part else 0):
            places = undone(self.run.world.film, part) if part else ()
            if round_ and self.who.does("remembers") and not self._pass(COOLS):  # hot film is not gone over again
                break
            if not places or not self._sweep(step, places) or not self.who.does("remembers"):
                break
        if part and self.run.world.burning and (cold := undone(self.run.world.film, part)):
            self.left.add(step.id)
            if len(cold) > SHARE_COLD * len(part.sections):
                self.who.fault(step.id, "cold")
        if self.run.world.burning:
            self.who.ask(act.FlameOut(self.who.by))

    def _sweep(self, step: Step, places: tuple[int, ...]) -> bool:
        """One round over these places; False if the flame had to go out."""
        who, part = self.who, PARTS[step.id]
        if not who.does("low_first"):
            places = tuple(reversed(places))
        distance = DISTANCE[part.kind]
        for place in places:
            wind = self.run.world.wind.mean_at(self.run.second)
            speed = speed_for(distance, aim(part.kind), self.run.world.film.air, wind=wind)
            speed *= max(0.3, 1 + who.habits.spread * who.chance.normal())
            self._see(step, self.run.burn(place, Flame(distance), speed))
            if not self._pass(SECTION_SECONDS):
                return False
        return True

    def _see(self, step: Step, state: str) -> None:
        """What the hand itself notices of the film."""
        for seen, code in ((("holed", "burning"), "burnt"), (("overheated",), "hot")):
            if state in seen:
                self.who.fault(step.id, code)
        if any(self.run.world.film.is_pulled_out(column) for column in PARTS[step.id].columns):
            self.who.fault("", "pulled")

    def _pass(self, seconds: int) -> bool:
        """Burn on for a while, with an eye on what happens; False if the flame is out."""
        self.run.pass_seconds(seconds)
        who = self.who
        for notice in self.run.notices[who._noticed :]:
            who._noticed += 1
            if notice.concerns and self.run.world.burning and who.does("notices"):
                self._react(notice.concerns)
                return False
        return self.run.job.state.trip is None and self.run.world.burning

    def _react(self, concerns: str) -> None:
        who = self.who
        seconds = round(who.chance.between(*who.habits.reacts))
        self.run.pass_seconds(seconds)
        if seconds > 30:
            who.fault("", "kept", "good")
        who.ask(act.Withdraw(who.by, concerns, "seen at the boat"))
        if self.run.world.burning:
            who.ask(act.FlameOut(who.by))

    def after_trip(self) -> None:
        """Flame out, mend what was lost, reset. Those who do not obey try to light again first."""
        who, trip = self.who, self.run.job.state.trip
        assert trip is not None
        if not trip.out:
            who.ask(act.FlameOut(who.by))
            return
        self.trips += 1
        if self.trips > MOST_TRIPS:
            who.ask(act.AskStop(who.by, "This will not get better today."))
        lost = [id for id in self.run.world.lost if id in self.run.rules.safeguards]
        if not who.does("obeys"):
            who.ask(act.Light(who.by, trip.step))
            who.fault("", "blocked")
        for id in lost:
            who.look_round(id)
            deed = next((each for each in self.run.deeds() if each.mends == id), None)
            if deed is not None and who.does("honest"):
                self.run.deed(deed.id)
            elif deed is None and not who.wait():
                who.ask(act.AskStop(who.by, "This cannot be made safe today."))
        if self.run.job.state.status != STOPPING:
            who.think()
        who.ask(act.Reset(who.by))
