"""Invented jobs of Pell Harbour Boatyard for the record's tests: real events, real keys, a real ledger."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from coach.core.canonical import text_hash
from coach.core.events import Event
from coach.core.moment import Moment
from coach.record.database import Database as SqliteDatabase
from coach.record.keys import DeviceKey
from coach.record.ledger import Ledger
from coach.record.store import Database, Monitor

PROCEDURE = "id: power-boat-trailer\nversion: '1'\nstages: [ … ]\n"
POLICY = "yard: Pell Harbour Boatyard\nmean_wind: 20 km/h\n"
START = 1_917_000_000_000  # an autumn day in 2030

ANA, JOEL, MARTA = "ana", "joel", "marta"


def event(kind: str, second: int, by: str = ANA, data: Mapping[str, object] | None = None) -> Event:
    """An event so many seconds after the start."""
    return Event(kind, Moment(START + second * 1000, 5_000_000 + second * 1000, "boot-1"), by, dict(data or {}))


def started(job: str, boat: str = "Dunlin", second: int = 0, practice: bool = False) -> Event:
    """The first event of a job by Ana Ruiz."""
    data = {
        "job": job,
        "boat": {"name": boat, "kind": "power boat", "length": "19 ft"},
        "procedure": "power-boat-trailer",
        "version": "1",
        "procedure_hash": text_hash(PROCEDURE),
        "policy_hash": text_hash(POLICY),
        "practice": practice,
        "technician": ANA,
        "name": "Ana Ruiz",
    }
    return event("job_started", second, data=data)


def story(job: str, boat: str = "Dunlin") -> list[Event]:
    """A whole job, from arrival to the signature: refused heat, a trip, a correction, a debt, a finger's strokes."""
    tape = {"measure": "ridge_to_edge", "value": "1.6764 m"}
    calm = {"mean": "14 km/h", "gust": "22 km/h"}
    refusal = {"code": "G104", "about": "wind", "text": "gust 38 km/h, limit 32 – wait for two readings below"}
    return [
        started(job, boat),
        event("measured", 40, data=tape | {"typed": "66 in"}),
        event("measured", 55, data=tape | {"typed": "5' 6\"", "previous": "66 in"}),
        event("step_done", 300, data={"step": "frame.uprights", "evidence": {"uprights": 3, "picture": None}}),
        event("observed", 420, data={"safeguard": "extinguisher", "values": {"rating": "2-A:20-B:C"}, "met": True}),
        event("heat_refused", 430, data={"step": "shrink.top", "reasons": [refusal]}),
        event("observed", 600, data={"safeguard": "wind", "values": calm, "met": True}),
        event("flame_lit", 640, data={"step": "shrink.top", "operator": ANA, "proofs": {"wind": 7, "extinguisher": 5}}),
        event("tripped", 700, data={"step": "shrink.top", "first": refusal, "reasons": [refusal]}),
        event("flame_out", 705, data={"step": "shrink.top", "confirmed": True}),
        event("trip_reset", 900),
        event("debt_opened", 910, data={"debt": "fuel_vents", "amount": 2}),
        event("debt_cleared", 2000, JOEL, {"debt": "fuel_vents", "amount": 2, "evidence": {"count": 2}}),
        event("step_done", 2100, data={"step": "doors.zip", "evidence": {"note": "Tür – ça va, \u2028 ok 🚤"}}),
        event("signed", 2200, data={"name": "Ana Ruiz", "role": "technician", "meaning": "I did this work",
                                    "strokes": [[[10, 10], [40, 12], [60, 30]], [[5, 5], [6, 6]]],
                                    "shown": "I did it"}),
        event("closed", 2210),
    ]  # fmt: skip


def review(second: int = 9000) -> list[Event]:
    """Marta Oduya accepts."""
    data = {"name": "Marta Oduya", "role": "supervisor", "meaning": "seen and accepted", "strokes": [[[1, 2], [3, 4]]],
            "excused": []}  # fmt: skip
    return [event("accepted", second, MARTA, data)]


def key(number: int) -> DeviceKey:
    """The key of a numbered tablet; always the same one."""
    return DeviceKey.from_seed(bytes([number]) * 32)


def silent(events: Sequence[Event]) -> list[str]:
    """A monitor that has nothing against any job."""
    return []


def open_sqlite(folder: Path) -> Database:
    """The database of a tablet."""
    return SqliteDatabase(folder / "ledger.db")


OPEN: Callable[[Path], Database] = open_sqlite  # conftest.both_stores puts PostgreSQL here


def ledger(folder: Path, number: int | None = 1, monitor: Monitor | None = None) -> Ledger:
    """The ledger of a numbered tablet; None for one without a key."""
    return Ledger(OPEN(folder), key(number) if number is not None else None, monitor or silent)


def play(store: Ledger, job: str, events: Sequence[Event] | None = None) -> None:
    """Run a whole job through the ledger, an act at a time, and seal it."""
    told = list(events or story(job))
    store.start_job(job, told[:1], [PROCEDURE, POLICY])
    for each in told[1:]:
        store.append(job, [each])
    store.seal(job)
