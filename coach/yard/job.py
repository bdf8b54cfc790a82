"""One open job: its events in a store, its state, and the way an action becomes events on disk.

Rules kept here:
 1. Events are on disk before the state moves; what a front end shows was acknowledged by the store.
 2. The clock is looked at before every action, so a trip that time brought is recorded first.
 3. A refused flame is recorded.
 4. After an error of the store, and when the job has moved on elsewhere, it is read again: what is there is what
    counts.
 5. A job that an act ends is sealed at once. What stands against its seal is raised; its events stay.
Knows nothing of: screens, files (the store has them).
Called by: desk, tablet, terminal, demo, practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Protocol

from coach.core.actions import Action, Start
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import RecordError, StoreError
from coach.core.rules import Rules
from coach.core.session import Refusal, decide, fold, refusal_note, watch
from coach.core.state import State
from coach.record.summary import SEALING


class JobStore(Protocol):
    """What a job needs of a store; record.store.Store is one, practice brings its own."""

    def start_job(self, job: str, events: Sequence[Event], documents: Iterable[str]) -> object: ...

    def append(self, job: str, events: Sequence[Event]) -> object: ...

    def events(self, job: str) -> tuple[Event, ...]: ...


class Job:
    """A job that a front end works on."""

    def __init__(
        self, rules: Rules, store: JobStore, id: str, events: Iterable[Event] = (),
        seal: Callable[[str], object] | None = None,
    ) -> None:
        """seal: seals the job of an id in the store; None where nothing is kept, as in practice."""
        self.rules = rules
        self.id = id
        self._store = store
        self._seal = seal
        self._events: list[Event] = list(events)
        self.state: State = fold(rules, self._events)

    @property
    def events(self) -> tuple[Event, ...]:
        """Every event so far, in order."""
        return tuple(self._events)

    def act(self, action: Action, now: Moment) -> Refusal | None:
        """Take an action: None if its events are on disk, else the refusal. Raises StoreError, RecordError."""
        self.look(now)
        answer = decide(self.rules, self.state, action, now)
        if isinstance(answer, Refusal):
            self._keep(refusal_note(self.state, action, answer, now))
            return answer
        if isinstance(action, Start):
            self._begin(answer)
        else:
            self._keep(answer)
        return None

    def look(self, now: Moment) -> bool:
        """Record the trip that is due by `now`, if any; answers whether there was one."""
        due = watch(self.rules, self.state, now)
        self._keep(due)
        return bool(due)

    def _begin(self, events: Sequence[Event]) -> None:
        documents = (self.rules.procedure.document, self.rules.policy.document)
        self._store.start_job(self.id, events, documents)
        self._take(events)

    def _keep(self, events: Sequence[Event]) -> None:
        if not events:
            return
        try:
            self._store.append(self.id, events)
        except (StoreError, RecordError):
            self._read_again()
            raise
        self._take(events)
        if self._seal is not None and events[-1].kind in SEALING:
            self._seal(self.id)

    def _take(self, events: Sequence[Event]) -> None:
        self._events.extend(events)
        self.state = fold(self.rules, events, self.state)

    def _read_again(self) -> None:
        self._events = list(self._store.events(self.id))
        self.state = fold(self.rules, self._events)
