"""A run of a drill: the real kernel, a clock that moves when told, the site, the time line, and what happened.

Rules kept here:
 1. The trainee has no way into the job but `ask`; every action goes to the kernel, and its refusal is kept.
 2. The events of the drill come at their moments, whatever the trainee does meanwhile; time passes in slices that end
    at them. While a flame burns the kernel looks at the clock at least every five seconds.
 3. Nothing here is a real record: the job says practice, its store is memory, its people are the drill's.
Knows nothing of: what is good or bad (assess), screens.
Called by: trainees, console, tablet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from coach.core import actions as act
from coach.core.actions import Action
from coach.core.checks import current_steps
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.rules import Rules
from coach.core.session import Refusal
from coach.core.state import ACCEPTED, ENDS
from coach.practice.begin import Beginning, job_id
from coach.practice.clock import HandClock
from coach.practice.drill import SUPERVISOR, Deed, Drill, Happening, Look, When
from coach.practice.film import Flame
from coach.practice.film_work import PARTS, make_done, undone
from coach.practice.looks import built_in, finding, looks_now
from coach.practice.statements import false_fields, same_answer, same_measure
from coach.practice.track import Note
from coach.practice.world import World
from coach.yard.job import Job
from coach.yard.memory import MemoryStore

SLICE_LIT, SLICE = 5, 60
LEAST_SECONDS = 2  # an item: answers under two seconds show that nobody read (verification: ORM 2021, N = 1,056)
WEAK = 0.8  # of the full flame; ours
SEEN_FOR = 900  # s for which a look stands behind a statement; ours


@dataclass(frozen=True)
class Notice:
    """Something that anybody at the boat would notice. number: in the order in which they came."""

    number: int
    second: int
    event: str
    text: str
    concerns: str


class PracticeJob(Job):
    """The job of a run: whatever acts on it goes through the run, whatever clock it brings."""

    run: Run

    def act(self, action: Action, now: Moment) -> Refusal | None:
        """Ask through the run."""
        return self.run.ask(action)

    def really(self, action: Action, now: Moment) -> Refusal | None:
        """Ask the kernel."""
        return super().act(action, now)


class Run:
    """One trainee's run. number: makes the weather of each run its own, drawn from the drill's seed."""

    def __init__(self, drill: Drill, rules: Rules, beginning: Beginning, trainee: str, number: int = 0) -> None:
        self.drill, self.rules, self.trainee, self.number = drill, rules, trainee, number
        at = beginning.now
        self.clock = HandClock(at.wall, at.steady, at.boot, at.run)
        store = MemoryStore()
        store.append("", beginning.events)
        self.job: PracticeJob = PracticeJob(rules, store, job_id(drill), beginning.events)
        self.job.run = self
        self.world = World(drill, rules, trainee, drill.seed * 1_000_003 + number)
        self.track: list[Note] = []
        self.notices: list[Notice] = []
        self.seen: dict[str, int] = {}
        self.read: dict[str, Any] = {}
        self.slips = dict(drill.slips)
        self.happened: dict[str, int] = {}
        self.over = ""
        self._due: list[tuple[int, Happening]] = []
        self._shown = self._looked = 0
        for step in (*self.job.state.heated, *self.job.state.done):
            make_done(self.world.film, step)
        self._films = self.world.film.states()
        self._schedule(When("start"))
        self._take_over()

    @property
    def idle(self) -> int:
        """Seconds since the last act or look: the time there was to read."""
        return self.second - self._shown

    def second_of(self, event: Event) -> int:
        """The second of the drill in which an event was recorded; negative for what came before the trainee."""
        return self.second - (self.clock().wall - event.at.wall) // 1000

    def is_seen(self, safeguard: str) -> bool:
        """Whether a look stands behind this safeguard."""
        return any(fact.partition(".")[0] == safeguard and self._fresh(fact) for fact in self.seen)

    # -- time ----------------------------------------------------------------------------------------------------

    @property
    def second(self) -> int:
        """Seconds since the trainee took over."""
        return self.world.second

    def pass_seconds(self, seconds: float) -> None:
        """Let time pass; the drill's events come at their seconds."""
        end = self.second + int(seconds)
        while self.second < end and not self.over:
            due = min((at for at, _event in self._due), default=end)
            most = SLICE_LIT if self.world.burning else SLICE
            step = max(1, min(end, max(due, self.second + 1), self.second + most) - self.second)
            self.world.pass_seconds(step)
            self.clock.pass_seconds(step)
            self._happen()
            if self.world.burning and self.second - self._looked >= SLICE_LIT:
                self._frost()
                self._looked = self.second
                self.job.look(self.clock())
        self._happen()
        if not self.world.burning:
            self.world.calm_down()

    def _frost(self) -> None:
        """Say once that the cylinder is too cold to feed the flame."""
        if self.world.gas.flame_share < WEAK and not any(each.event == "frost" for each in self.notices):
            text = "The flame gets short and yellow, and the cylinder's wall is white with frost."
            self.notices.append(Notice(len(self.notices), self.second, "frost", text, ""))

    def _schedule(self, moment: When) -> None:
        for event in self.drill.events:
            if (
                event.when == moment
                and event.id not in self.happened
                and all(event is not each for _at, each in self._due)
            ):
                self._due.append((self.second + event.seconds, event))

    def _happen(self) -> None:
        while ready := [each for each in self._due if each[0] <= self.second]:
            for each in ready:
                self._due.remove(each)
                self._event(each[1])

    def _event(self, event: Happening) -> None:
        before = set(self.world.lost)
        self.happened[event.id] = self.second
        self.world.change(event.sets, event.answers)
        if event.wind is not None or event.gust is not None:
            self.world.blow(event.wind, event.gust, event.concerns == "wind")
            if open_ := self.world.tug(self.world.wind.mean_at(self.second) + (event.gust or 0) + (event.wind or 0)):
                self.note("opened", "weld-hem", count=len(open_))
        self.note("event", event.id)
        for lost in set(self.world.lost) - before:
            self.note("lost", lost)
        for id in (*event.sets, event.concerns):
            self.seen = {fact: at for fact, at in self.seen.items() if fact.partition(".")[0] != id}
        if event.sees:
            self.notices.append(Notice(len(self.notices), self.second, event.id, event.sees, event.concerns))
        self._schedule(When("event", event.id))

    # -- looking and doing ---------------------------------------------------------------------------------------

    def looks(self) -> tuple[Look, ...]:
        """What may be looked at now: the drill's own looks, then those that the work itself offers."""
        own = tuple(look for look in self.drill.looks if not look.after or look.after in self.happened)
        return (*own, *looks_now(self))

    def look(self, id: str) -> str:
        """Look at something: takes its time, answers with what is seen. Raises KeyError if there is no such look."""
        look = next((each for each in self.drill.looks if each.id == id), None) or built_in(self, id)
        self.pass_seconds(look.seconds)
        text = finding(self, look)
        self.seen.update({fact: self.second for fact in look.tells})
        if "wind" in look.tells:  # a reading stands for what it was, not for the next minute's wind
            self.read = self.world.safeguard("wind")
        self.note("look", id)
        self._shown = self.second
        return text

    def deeds(self) -> tuple[Deed, ...]:
        """What may be done in the world now, beside the procedure."""
        done = {note.about for note in self.track if note.kind == "deed"}
        return tuple(
            deed for deed in self.drill.deeds if (not deed.after or deed.after in self.happened) and deed.id not in done
        )

    def deed(self, id: str) -> str:
        """Do something in the world. Raises KeyError if it cannot be done now."""
        deed = next((each for each in self.deeds() if each.id == id), None)
        if deed is None:
            raise KeyError(id)
        self.pass_seconds(deed.seconds)
        self.world.change(deed.sets, deed.answers)
        if deed.band is not None:
            self.world.buckle(deed.band)
        if deed.mends and deed.mends in self.world.lost and self.world.holds(deed.mends):
            del self.world.lost[deed.mends]
        self.note("deed", id)
        if deed.clears_tag:
            self.ask(act.ClearTag(self.trainee, deed.clears_tag, deed.says or deed.do))
        self._shown = self.second
        return deed.says

    def burn(self, section: int, flame: Flame, speed: float) -> str:
        """Lead the lit flame over a section; nothing happens without a flame. Answers with what the film is then."""
        if not self.world.burning:
            return self.world.film.state(section)
        wind = self.world.wind.speed_at(self.second)
        fed = self.world.gas.flame_share
        return self.world.film.sweep(section, Flame(flame.distance, flame.power * fed, wind), speed)

    def warm(self, section: int, flux: float, seconds: float) -> str:
        """Hold a flux on a section while the flame is lit, as a finger does."""
        if not self.world.burning:
            return self.world.film.state(section)
        return self.world.film.warm(section, flux * self.world.gas.flame_share, seconds)

    # -- the kernel ----------------------------------------------------------------------------------------------

    def ask(self, action: Action) -> Refusal | None:
        """Ask the kernel; keeps what was asked, whether it was true, and what the world made of it."""
        self._dwell(action)
        if isinstance(action, act.Do) and not self.world.burning and self._is_current(action.step):
            self.pass_seconds(self.drill.pace)
        self._weigh(action)
        before = len(self.job.events)
        refusal = self.job.really(action, self.clock())
        if refusal is not None:
            details = {
                "act": type(action).__name__,
                "codes": [r.code for r in refusal.reasons],
                "abouts": [r.about for r in refusal.reasons],
            }
            self.note("asked", _about(action), **details)
        for event in self.job.events[before:]:
            self._follow(event)
        self._shown = self.second
        return refusal

    def give_up(self) -> None:
        """End the run without having ended the job."""
        self._end("given up")

    def note(self, kind: str, about: str, **details: Any) -> None:
        """Keep something that happened."""
        self.track.append(Note(self.second, kind, about, details))

    def _take_over(self) -> None:
        if self.drill.role == SUPERVISOR:
            return
        if self.job.events:
            self.job.really(act.HandOver(self.trainee), self.clock())
        else:
            self.job.really(act.Start(self.trainee, self.job.id, self.drill.boat, True), self.clock())

    def _is_current(self, step: str) -> bool:
        return any(each.id == step for each in current_steps(self.rules, self.job.state))

    def _dwell(self, action: Action) -> None:
        items = _items(self.rules, action)
        if items and self.idle < LEAST_SECONDS * items:
            self.note("quick", _about(action), seconds=self.idle, least=LEAST_SECONDS * items)

    def _weigh(self, action: Action) -> None:
        """Hold what is stated against what is so."""
        if isinstance(action, act.Observe) and action.safeguard in self.rules.safeguards:
            id = action.safeguard
            read = id == "wind" and "wind" in self.seen and self._fresh("wind")
            true = self.read if read else self.world.safeguard(id)
            false = false_fields(self.rules.safeguards[id], action.values, true)
            self.note("said", id, false=list(false), seen=id == "operator" or self.is_seen(id))
        if isinstance(action, act.Do):
            for item in self._checked(action.step):
                if item in action.evidence:
                    fact = f"answer {action.step}.{item}"
                    same = same_answer(action.evidence[item], self.world.answers[action.step][item])
                    self.note("said", fact, false=[] if same else [item], seen=fact in self.seen)

    def _checked(self, step: str) -> Mapping[str, Any]:
        return self.world.answers.get(step, {})

    def _fresh(self, fact: str) -> bool:
        return self.second - self.seen[fact] <= SEEN_FOR

    def _follow(self, event: Event) -> None:
        """What the world makes of an event of the job."""
        step = event.data.get("step", "")
        if event.kind == "flame_lit":
            self.world.burning = True
            self._films = self.world.film.states()
            self.note("lit", step)
            self._schedule(When("lit", step))
        if event.kind == "flame_out":
            self.world.burning = False
            self.note("out", step, lost=sorted(self.world.lost))
            self._film(step)
            self._schedule(When("out", step))
        if event.kind == "step_done":
            self._cold(step)
            self._schedule(When("done", step))
            if step == self.drill.until:
                self._end("done")
        status = self.job.state.status
        if self.drill.role == SUPERVISOR:
            if status == ACCEPTED or event.kind == "sent_back":
                self._end("reviewed")
        elif status in ENDS and event.kind in ("closed", "stopped_safely"):
            self._end(event.kind)

    def _film(self, step: str) -> None:
        """Keep what this flame has done to the film."""
        now = self.world.film.states()
        for state in ("overheated", "holed", "burning"):
            count = sum(new == state != old for old, new in zip(self._films, now, strict=True))
            if count:
                self.note("film", step, state=state, count=count)
        self._films = now
        out = [column for column in range(len(self.world.film.pulled)) if self.world.film.is_pulled_out(column)]
        if out and not any(note.kind == "pulled" for note in self.track):
            self.note("pulled", step, columns=out)
        if self.world.gas.flame_share < WEAK:
            self.note("weak", step, share=round(100 * self.world.gas.flame_share))

    def _cold(self, step: str) -> None:
        part = PARTS.get(step)
        left = undone(self.world.film, part) if part else ()
        if part and left:
            self.note("cold", step, count=len(left), of=len(part.sections))

    def _end(self, why: str) -> None:
        if not self.over:
            self.over = why
            self.note("over", why, status=self.job.state.status)

    def wrong_measures(self) -> tuple[str, ...]:
        """The measures in force that are not the true ones."""
        found = []
        for id, value in self.job.state.measures.items():
            true = self.drill.measures.get(id)
            if true is not None and not same_measure(self.rules.procedure.measures[id], value, true):
                found.append(id)
        return tuple(found)


def _about(action: Action) -> str:
    for name in ("step", "safeguard", "debt", "measure"):
        value = getattr(action, name, "")
        if value:
            return str(value)
    return ""


def _items(rules: Rules, action: Action) -> int:
    """How many things a person has to read and answer for an action; 0 where speed is no fault."""
    if isinstance(action, act.Observe) and action.safeguard in rules.safeguards:
        return len(action.values)
    if isinstance(action, act.Do) and action.step in rules.steps:
        return max(1, len(rules.steps[action.step].evidence))
    return 0
