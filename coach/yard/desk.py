"""The desk: opens the ledger, the policy and the procedures, starts jobs and opens them again by their own texts.

Rules kept here:
 1. A job goes on by the very procedure and policy it was started with: both are kept in the ledger by their hash.
 2. A real job starts only on a procedure that `proven` vouches for.
 3. A job that is opened again was away: it must be resumed before anything else.
 4. Where the folder's own skills.yaml asks for skills, a policy is read as strictly as what the crew has shown; a
    practice job is kept in memory and never reaches the ledger.
 5. Where the folder's own policy names the crew, people show who they are by their PIN; a policy that is handed in and
    the invented yard of the demonstration are tried out without.
 6. What opening the desk does not need is imported where it is used, so that the first page of the tablet comes soon;
    what is checked before anything can be recorded (the disk, the ledger, the key, the policy) is checked at opening.
Knows nothing of: screens, command lines.
Called by: tablet, terminal, cli, demo.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from coach import paths
from coach.core.policy import Policy
from coach.core.problems import Phrase, Problem, ProcedureError, RecordError
from coach.record.keys import DeviceKey, Signer
from coach.record.ledger import Ledger
from coach.record.photos import PhotoFolder
from coach.record.store import JobQuery, JobRow
from coach.yard.clock import Clock
from coach.yard.crew import CrewPins
from coach.yard.policy_file import demo_hash, load_policy, shipped_policy

if TYPE_CHECKING:
    from datetime import date

    from coach.core.events import Event
    from coach.core.model import Procedure
    from coach.core.rules import Rules
    from coach.core.session import Refusal
    from coach.core.state import State
    from coach.yard.crew_record import CrewRecord
    from coach.yard.job import Job
    from coach.yard.review import Reviewer
    from coach.yard.skillbook import SkillBook
    from coach.yard.skills import Needs
    from coach.yard.stock import Stock

Proven = Callable[["Procedure"], bool]
Identified = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Opened:
    """What a job can be opened with: its rules and its events."""

    rules: Rules
    events: tuple[Event, ...]


class Desk:
    """Everything a front end needs of the yard. One instance a program."""

    def __init__(
        self, folder: Path, clock: Clock, policy: Policy, ledger: Ledger, signer: Signer, proven: Proven,
        pins: CrewPins | None = None,
    ) -> None:
        """pins: how people show who they are; None: they are taken at their word."""
        self.folder = folder
        self.now = clock
        self.policy = policy
        self.ledger = ledger
        self.signer = signer
        self.pins = pins
        self.photos = PhotoFolder(folder / "photos")
        self._proven = proven
        self._needs: list[Needs | None] = []
        self._record: list[CrewRecord] = []
        self._titles: dict[str, str] = {}

    @staticmethod
    def open(
        folder: Path, clock: Clock, proven: Proven, policy: Policy | None = None, signer: Signer | None = None,
        pins: bool | None = None,
    ) -> Desk:
        """Open the desk in a data folder, made if need be.

        Args:
            folder: the data folder.
            clock: the device's clocks.
            proven: vouches for a procedure.
            policy: in place of the folder's own policy.yaml.
            signer: in place of the folder's own key.
            pins: whether people show who they are; left out, as rule 4 says.

        Raises:
            StoreError, RecordError: the disk, the ledger or the key; PolicyError: the yard's policy file has a fault.
        """
        made = paths.made_data_folder(folder)
        key = signer or DeviceKey.open(made)
        held: list[Ledger] = []
        ledger = Ledger.open(made / "ledger.sqlite", key, lambda events: objections(held[0], events))
        held.append(ledger)
        used = policy or yard_policy(made)
        asks = policy is None and used.hash != demo_hash() if pins is None else pins
        return Desk(made, clock, used, ledger, key, proven, CrewPins(made / "crew.sqlite") if asks else None)

    @cached_property
    def reviewer(self) -> Reviewer:
        """Makes the boards of review."""
        from coach.yard.review import Reviewer
        from coach.yard.shelf import Shelf

        return Reviewer(Shelf(self.ledger))

    @property
    def needs(self) -> Needs | None:
        """What the yard asks of its crew's skills; None if nothing. Raises PolicyError: skills.yaml has a fault."""
        if not self._needs:
            from coach.yard.skills_file import yard_needs

            self._needs.append(yard_needs(self.folder))
        return self._needs[0]

    @property
    def book(self) -> SkillBook:
        """The book of practice, made if it is not there."""
        from coach.yard.skillbook import FILE, SkillBook

        return SkillBook(self.folder / FILE)

    @property
    def record(self) -> CrewRecord:
        """What the crew has shown. The first use makes the book of practice if it is not there."""
        if not self._record:
            from coach.yard.crew_record import CrewRecord
            from coach.yard.kept import procedure_from

            self._record.append(CrewRecord(self.book, self.ledger, procedure_from))
        return self._record[0]

    def forget_record(self) -> None:
        """Somebody has shown something: what the crew has shown is read again the next time it is asked for."""
        for record in self._record:
            record.forget()

    def today(self) -> date:
        """The day by the device's clock, in UTC as the gate counts it."""
        from coach.core.gate import day_of

        return day_of(self.now().wall)

    def skilled(self, policy: Policy) -> Policy:
        """A policy as the crew's skills allow it today: only ever stricter."""
        if self.needs is None:
            return policy
        from coach.yard.skills import cleared

        return cleared(policy, self.record.shown(self.today()), self.needs, self.today())

    def rules(self, procedure: Procedure, policy: Policy | None = None) -> Rules:
        """The rules of a procedure under a policy, the yard's own if none is given."""
        from coach.core.rules import Rules
        from coach.core.sizing.registry import FUNCTIONS

        return Rules(procedure, self.skilled(policy or self.policy), FUNCTIONS, self._proven(procedure), attentive=True)

    def load(self, id_or_path: str) -> Rules:
        """The rules of a procedure by its id or file. Raises ProcedureError."""
        from coach.reader.load import load_procedure

        return self.rules(load_procedure(id_or_path, self.procedure_folders))

    @property
    def procedure_folders(self) -> tuple[Path, ...]:
        """Where procedures are looked for: the shipped ones first, so that none of the yard's own hides one."""
        from coach.yard.starter import own_procedures

        return (paths.procedures(), own_procedures(self.folder))

    def procedures(self) -> list[tuple[str, str | Problem]]:
        """Every procedure there is, by id: its title, or the first problem for which it cannot be used."""
        from coach.reader.load import list_procedures

        return list_procedures(self.procedure_folders)

    def title(self, procedure: str) -> str:
        """A procedure's title in English, or its id where there is no usable file of that name any more."""
        from coach.reader.load import load_procedure

        if procedure not in self._titles:
            try:
                self._titles[procedure] = load_procedure(procedure, self.procedure_folders).title
            except ProcedureError:
                self._titles[procedure] = procedure
        return self._titles[procedure]

    def start(self, rules: Rules, boat: str, by: str, practice: bool = False, identified: Identified = ()) -> Job | Refusal:
        """Begin a job for a boat; answers with the refusal if it may not begin. identified: as in actions.Action."""
        from coach.core.actions import Start
        from coach.yard.job import Job
        from coach.yard.memory import MemoryStore

        now = self.now()
        id = f"{_slug(boat)}-{secrets.token_hex(4)}"
        job = Job(rules, MemoryStore(), id) if practice else Job(rules, self.ledger, id, seal=self.ledger.seal)
        refusal = job.act(Start(by, id, boat, practice, identified=identified), now)
        return refusal or job

    def opened(self, id: str) -> Opened:
        """A job's own rules and its events. Raises RecordError if there is no such job."""
        from coach.core.rules import Rules
        from coach.core.sizing.registry import FUNCTIONS
        from coach.yard.kept import policy_from, procedure_from

        parts = self.ledger.parts(id)
        events = self.ledger.events(id)
        start = events[0].data
        procedure = procedure_from(parts.documents[start["procedure_hash"]])
        policy = policy_from(parts.documents[start["policy_hash"]])
        return Opened(Rules(procedure, self.skilled(policy), FUNCTIONS, True, attentive=True), events)

    def job(self, id: str) -> Job:
        """A job to go on with, by its own procedure and policy."""
        from coach.yard.job import Job

        opened = self.opened(id)
        return Job(opened.rules, self.ledger, id, opened.events, self.ledger.seal)

    def seal_finished(self) -> list[Problem]:
        """Seal every finished job that has no seal yet, as one has whose tablet lost power at that moment.

        Answers with what stands against a seal; a job that another device finished is left to that device.
        """
        found: list[Problem] = []
        for row in self.ledger.jobs():
            if row.ended and row.own and not row.sealed and not row.practice:
                try:
                    self.ledger.seal(row.job)
                except RecordError as error:
                    found += error.problems
        return found

    def stock(self) -> Stock:
        """The yard's stock file. Raises StockError: every fault, or that there is none."""
        from coach.yard.stock import StockError, load_stock

        file = self.folder / "stock.yaml"
        if not file.exists():
            raise StockError(Problem("P602", "the yard has no stock file yet", "what is cut today comes from what is there",
                                     "write %(file)s; procedures/yard/demo-stock.yaml shows one", slots={"file": file}))
        return load_stock(file)

    def under_way(self) -> Iterator[tuple[Rules, State]]:
        """Rules and state of every own job that is being worked on."""
        from coach.core.state import PAUSED, WORKING, fold

        for row in self.ledger.jobs():
            if row.own and not row.practice:
                opened = self.opened(row.job)
                state = fold(opened.rules, opened.events)
                if state.status in (WORKING, PAUSED):
                    yield opened.rules, state

    def board(self, states: tuple[str, ...] = ()) -> list[JobRow]:
        """One row a job, the last touched first; of the jobs in these states, or of all if none is given."""
        return self.ledger.jobs(JobQuery(states))


def objections(ledger: Ledger, events: Sequence[Event]) -> Sequence[Phrase]:
    """What the independent monitor has against a job's events, under the policy it was done by."""
    from coach.core.monitor import watch_log
    from coach.yard.kept import policy_from, procedure_from
    from coach.yard.objections import objection_of

    start = events[0].data
    documents = ledger.parts(start["job"]).documents
    policy = policy_from(documents[start["policy_hash"]])
    procedure = procedure_from(documents[start["procedure_hash"]])
    found = watch_log(events, policy, procedure.safeguards, procedure.expiries)
    return [objection_of(each) for each in found]


def yard_policy(folder: Path) -> Policy:
    """The yard's own policy in this data folder, or the shipped one. Raises PolicyError: it has a fault."""
    file = folder / "policy.yaml"
    return load_policy(file) if file.is_file() else shipped_policy()


def _slug(boat: str) -> str:
    """The boat's name as a file name may hold it."""
    kept = "".join(c if c.isascii() and c.isalnum() else "-" for c in boat.lower()).strip("-")
    return kept[:32] or "boat"
