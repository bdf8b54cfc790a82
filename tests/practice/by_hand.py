"""A run driven by hand in the tests: the same ways as a person has, one line each."""

from __future__ import annotations

from functools import cache

from coach.core import actions as act
from coach.core.checks import gate_status
from coach.practice.assess import assess
from coach.practice.assessment import Assessment, Finding
from coach.practice.drill_file import load_drill
from coach.practice.film import Flame, speed_for
from coach.practice.film_work import DISTANCE, PARTS, aim, undone
from coach.practice.run import Run
from coach.practice.trial import Prepared, prepare
from coach.yard.policy_file import demo_policy


@cache
def prepared(id: str) -> Prepared:
    """A shipped drill, ready to run; played once."""
    return prepare(load_drill(id), demo_policy(), "ana")


class Hand:
    """Somebody at the boat."""

    def __init__(self, drill: str, number: int = 0) -> None:
        self.run: Run = prepared(drill).run("ana", number)

    def wait(self, seconds: float) -> Hand:
        """Let time pass."""
        self.run.pass_seconds(seconds)
        return self

    def codes(self, action: act.Action) -> list[str]:
        """Ask the kernel after ten seconds of reading; the codes of a refusal."""
        self.wait(15)
        refusal = self.run.ask(action)
        return [reason.code for reason in refusal.reasons] if refusal else []

    def prove(self, *safeguards: str, looking: bool = True, **said: object) -> Hand:
        """Look at safeguards and state what is seen, with some fields said otherwise; all of them if none are named."""
        for id in safeguards or self.run.rules.safeguards:
            if looking and id != "operator":
                self.run.look(id)
            assert not self.codes(act.Observe("ana", id, {**self.run.world.safeguard(id), **said}))
        return self

    def ready(self) -> Hand:
        """Every safeguard shown."""
        return self.prove()

    def light(self, step: str) -> Hand:
        """Light; the test fails if it is refused."""
        assert self.codes(act.Light("ana", step)) == []
        return self

    def sweep(self, step: str, faster: float = 1.0, upwards: bool = True, seconds: int = 2) -> Hand:
        """Lead the flame over what a step's film still lacks."""
        part = PARTS[step]
        places = undone(self.run.world.film, part)
        for place in places if upwards else tuple(reversed(places)):
            if not self.run.world.burning:
                break
            wind = self.run.world.wind.speed_at(self.run.second)
            distance = DISTANCE[part.kind]
            self.run.burn(
                place, Flame(distance), faster * speed_for(distance, aim(part.kind), self.run.world.film.air, wind=wind)
            )
            self.wait(seconds)
        return self

    def out(self) -> Hand:
        """Put the flame out at once."""
        assert self.run.ask(act.FlameOut("ana")) is None
        return self

    def holds(self) -> set[str]:
        """The safeguards that hold now."""
        return {s.safeguard for s in gate_status(self.run.rules, self.run.job.state, self.run.clock()) if s.holds}

    def judged(self) -> Assessment:
        """The assessment now."""
        return assess(self.run)

    def found(self, code: str) -> list[Finding]:
        """The findings of a code."""
        return [finding for finding in self.judged().findings if finding.code == code]
