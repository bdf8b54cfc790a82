"""Takes whole jobs from a store, each with its own rules, for those who review.

Rules kept here:
 1. A job is judged by the very procedure and policy it was done by, as the record keeps them.
 2. A record that cannot be read is said (`Unread`), and never hides the other jobs.
Knows nothing of: screens, languages, files; any store will do.
Called by: review, season, flames, the desk.  Proved by: tests/yard/test_review.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from coach.core.attention import QUESTIONS
from coach.core.events import Event
from coach.core.problems import CoachError, Problem, RecordError, StoreError
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.record.store import Store
from coach.record.summary import STATE_AFTER
from coach.yard.kept import policy_from, procedure_from

Answer = TypeVar("Answer")
# What reading events that no kernel of ours wrote may run into: a name that is missing, a value of another kind.
_MISSHAPEN = (LookupError, TypeError, ValueError, AttributeError)


@dataclass(frozen=True)
class Story:
    """One job: its own rules, and its events."""

    rules: Rules
    events: tuple[Event, ...]

    @property
    def boat(self) -> str:
        """The boat's name."""
        return str(self.events[0].data["boat"])

    @property
    def state(self) -> str:
        """The state as the board has it."""
        return next((STATE_AFTER[event.kind] for event in reversed(self.events) if event.kind in STATE_AFTER), "open")

    def technician(self, number: int = 0) -> str:
        """The id of who has the job after so many events; of all by default."""
        kinds = {"job_started": "technician", "handed_over": "to"}
        upto = self.events[: number or len(self.events)]
        return next((str(event.data[kinds[event.kind]]) for event in reversed(upto) if event.kind in kinds), "")

    def name(self, person: str) -> str:
        """The person's name by the policy of the job; the id if it has no such person."""
        found = self.rules.policy.person(person)
        return found.name if found else person


@dataclass(frozen=True)
class Unread:
    """A job whose record cannot be read, and what is wrong with it."""

    job: str
    problem: Problem


class Shelf:
    """Takes jobs from a store; each text of procedure and policy is read once."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self._rules: dict[tuple[str, str], Rules] = {}

    def story(self, job: str) -> Story:
        """One job.

        Raises:
            RecordError R414: no such job, R481: its start names no texts that are there; ProcedureError, PolicyError:
            a text cannot be read. StoreError: the disk failed.
        """
        events = self.store.events(job)
        start = events[0].data
        key = (str(start.get("procedure_hash")), str(start.get("policy_hash")))
        if key not in self._rules:
            texts = self.store.parts(job).documents
            missing = [hash for hash in key if hash not in texts]
            if missing:
                raise RecordError(_no_text(missing[0]))
            self._rules[key] = Rules(procedure_from(texts[key[0]]), policy_from(texts[key[1]]), FUNCTIONS, True)
        return Story(self._rules[key], events)

    def read(self, job: str, work: Callable[[Story], Answer]) -> Answer | Unread:
        """What `work` makes of a job, or what is wrong with its record. Raises StoreError: the disk failed."""
        try:
            return work(self.story(job))
        except StoreError:
            raise
        except CoachError as error:
            return Unread(job, error.problems[0])
        except _MISSHAPEN as error:
            return Unread(job, _misshapen(error))


def name_of(rules: Rules, id: str) -> str:
    """What a safeguard, step, measure, debt or question is called, in English; the id itself for anything else."""
    if id in QUESTIONS:
        return QUESTIONS[id]
    procedure = rules.procedure
    for held, attribute in (
        (rules.safeguards, "name"),
        (rules.steps, "do"),
        (procedure.measures, "ask"),
        (rules.debts, "name"),
    ):
        if id in held:
            return str(getattr(held[id], attribute))
    return id


def _no_text(hash: str) -> Problem:
    return Problem(
        "R481",
        "the text %(hash)s that the job's start names is not in the record",
        "a job is judged by the procedure and the policy it was done by, or not at all",
        "ask for the job's sealed file from the tablet that made it",
        slots={"hash": hash[:12]},
    )


def _misshapen(error: Exception) -> Problem:
    return Problem(
        "R482",
        "an event is not written as this program writes it (%(detail)s)",
        "its moments cannot be told, and nothing is told by guess",
        "check the record with 'coach verify', and ask which program wrote it",
        slots={"detail": f"{type(error).__name__}: {error}"},
    )
