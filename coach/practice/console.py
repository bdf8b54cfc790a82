"""Practice at a terminal: what happens at the boat, looks, deeds, waiting and the flame, around the walk's questions.

Rules kept here:
 1. The walk asks and says through here. What a person types for the site never reaches the walk; all else does.
 2. The seconds that a person takes to answer pass at the boat too, at most two minutes a question.
 3. Every question says that this is practice.
Knows nothing of: the walk, files, the device's clocks (the seconds are passed in).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from coach.core import actions as act
from coach.language import _
from coach.practice.film import Flame, speed_for
from coach.practice.film_work import DISTANCE, PARTS, aim, undone
from coach.practice.run import Run
from coach.practice.worker import STROKES
from coach.view.practice import Choice, site_view
from coach.view.texts import reason_text

Ask = Callable[[str], str]
Say = Callable[[str], None]
MOST_SECONDS = 120
SECTION_SECONDS = 2
PACES = {"": 1.0, "slow": 0.7, "fast": 1.4}
ACCEPTS = "I looked at the cover and read this record; the work is accepted."
HELP = (
    "look [number]: look at something",
    "do [number]: do something at the boat",
    "wait [minutes]: let time pass",
    "flame [slow or fast]: lead the lit flame over the film",
    "here: what is to be seen",
    "end: leave the drill",
)


class Left(Exception):
    """The trainee leaves the drill."""


class Console:
    """The talk of one run. elapsed: real seconds since it was called last."""

    def __init__(self, run: Run, ask: Ask, say: Say, elapsed: Callable[[], float]) -> None:
        self.run = run
        self._ask = ask
        self._say = say
        self._elapsed = elapsed
        self._read = 0
        self._ways: dict[str, Callable[[str], None]] = {
            "look": self._look, "do": self._do, "wait": self._wait, "flame": self._flame, "here": self._here,
            "help": self._help,
        }  # fmt: skip

    def ask(self, prompt: str) -> str:
        """Ask for the walk; answers with what is meant for it. Raises Left when the trainee ends the drill."""
        while True:
            self._notices()
            if self.run.over:
                raise Left
            typed = self._ask(_("PRACTICE %(time)s |") % {"time": site_view(self.run).clock} + " " + prompt).strip()
            self.run.pass_seconds(min(MOST_SECONDS, self._elapsed()))
            word, _space, rest = typed.partition(" ")
            if typed == "end":
                raise Left
            if word not in self._ways:
                self._notices()
                return typed
            self._ways[word](rest.strip())

    def say(self, line: str) -> None:
        """Say for the walk."""
        self._say(line)

    def review(self) -> None:
        """A supervisor's drill: looks and deeds, then accept or send back."""
        while not self.run.over:
            typed = self.ask(_("accept, or send STEP and the reason:") + " ")
            word, _space, rest = typed.partition(" ")
            step, _gap, why = rest.partition(" ")
            if word == "accept":
                excused = tuple(sorted(self.run.job.state.excused))
                self._send(act.Accept(self.run.trainee, ACCEPTS, STROKES, excused))
            elif word == "send":
                self._send(act.SendBack(self.run.trainee, ((step, why),)))
            else:
                self._help("")

    def _send(self, action: act.Action) -> None:
        refusal = self.run.ask(action)
        for reason in refusal.reasons if refusal else ():
            text = reason_text(reason)
            self._say(f"  - {text.what} {text.mend}")

    def _notices(self) -> None:
        for notice in self.run.notices[self._read :]:
            self._say(_("YOU SEE: %(text)s") % {"text": _(notice.text)})
        self._read = len(self.run.notices)

    def _chosen(self, typed: str, from_: Sequence[Choice]) -> Choice | None:
        """What a number means; lists what there is if it means nothing."""
        if typed.isdigit() and 1 <= int(typed) <= len(from_):
            return from_[int(typed) - 1]
        for number, each in enumerate(from_, 1):
            self._say(f"  {number}: {each.words} ({each.minutes})")
        if not from_:
            self._say("  " + _("There is nothing."))
        return None

    def _look(self, typed: str) -> None:
        chosen = self._chosen(typed, site_view(self.run).looks)
        if chosen is not None:
            self._say(f"  {self.run.look(chosen.id)}")

    def _do(self, typed: str) -> None:
        chosen = self._chosen(typed, site_view(self.run).deeds)
        if chosen is not None:
            self._say(f"  {_(self.run.deed(chosen.id))}")

    def _wait(self, typed: str) -> None:
        self.run.pass_seconds(60 * int(typed) if typed.isdigit() else 60)

    def _here(self, typed: str) -> None:
        view = site_view(self.run)
        self._say(f"  {view.passed}  {view.wind}")
        for line in view.notices:
            self._say(f"  {line}")

    def _help(self, typed: str) -> None:
        for line in HELP:
            self._say(f"  {_(line)}")

    def _flame(self, typed: str) -> None:
        """Lead the flame over what is left of the step's film, until it is done or something happens."""
        step, film = self.run.job.state.flame, self.run.world.film
        part = PARTS.get(step)
        if not self.run.world.burning or part is None or typed not in PACES:
            self._say("  " + _("There is no lit flame, or no film to lead it over."))
            return
        distance, before = DISTANCE[part.kind], len(self.run.notices)
        for section in undone(film, part):
            wind = self.run.world.wind.speed_at(self.run.second)
            speed = PACES[typed] * speed_for(distance, aim(part.kind), film.air, wind=wind)
            self.run.burn(section, Flame(distance), speed)
            self.run.pass_seconds(SECTION_SECONDS)
            if len(self.run.notices) > before or self.run.job.state.trip is not None:
                break
        states = film.states()
        count = {state: sum(states[s] == state for s in part.sections) for state in ("cold", "overheated", "holed")}
        self._say("  " + _("Cold places: %(cold)d. Overheated: %(overheated)d. Holes: %(holed)d.") % count)


def seconds_between(now: Callable[[], float]) -> Callable[[], float]:
    """A function that answers with the seconds since it was called last, by a clock that never steps back."""
    last = [now()]

    def elapsed() -> float:
        before, last[0] = last[0], now()
        return last[0] - before

    return elapsed
