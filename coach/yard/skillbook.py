"""The book of practice: runs of drills with their judgement, questions with their next day, in one SQLite file.

Rules kept here:
 1. It is a file of its own, `practice.sqlite`. It never opens the ledger, and holds no key and no seal: nothing in it
    can be exported as a record of work.
 2. A run is written once, when it is over, and never changed.
 3. What was written is on disk when the call returns.
Knows nothing of: how a run is judged (the judgement is kept as text), screens.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from coach.core.problems import Problem, StoreError
from coach.yard.skills import DRILL, Shown

FILE = "practice.sqlite"
VERSION = 1
_SCHEMA = """
CREATE TABLE run (no INTEGER PRIMARY KEY, person TEXT NOT NULL, drill TEXT NOT NULL, day TEXT NOT NULL,
    passed INTEGER NOT NULL, score INTEGER NOT NULL, skills TEXT NOT NULL, body TEXT NOT NULL);
CREATE INDEX run_person ON run (person, day);
CREATE TABLE card (person TEXT NOT NULL, card TEXT NOT NULL, repetition INTEGER NOT NULL, easiness INTEGER NOT NULL,
    interval INTEGER NOT NULL, due TEXT NOT NULL, PRIMARY KEY (person, card)) WITHOUT ROWID;
CREATE TABLE answer (no INTEGER PRIMARY KEY, person TEXT NOT NULL, card TEXT NOT NULL, day TEXT NOT NULL,
    quality INTEGER NOT NULL, skill TEXT NOT NULL);
CREATE TRIGGER run_stays BEFORE UPDATE ON run BEGIN SELECT RAISE(ABORT, 'a run is never changed'); END;
CREATE TRIGGER run_kept BEFORE DELETE ON run BEGIN SELECT RAISE(ABORT, 'a run is never deleted'); END;
"""


@dataclass(frozen=True)
class RunRow:
    """One run in the book. body: judgement, events and track as plain values."""

    no: int
    person: str
    drill: str
    day: date
    passed: bool
    score: int
    skills: tuple[str, ...]
    body: Mapping[str, Any]


@dataclass(frozen=True)
class CardRow:
    """How a question stands with a person. easiness: in thousandths; interval: days; due: the day it comes again."""

    card: str
    repetition: int
    easiness: int
    interval: int
    due: date


class SkillBook:
    """The book of one data folder."""

    def __init__(self, path: Path) -> None:
        """Open or make the file. Raises StoreError D330."""
        self.path = path
        with self._change() as db:
            (version,) = db.execute("PRAGMA user_version").fetchone()
            if version == 0:
                db.executescript(f"BEGIN; {_SCHEMA} PRAGMA user_version = {VERSION}; COMMIT;")
            elif version > VERSION:
                raise StoreError(_newer(path, version))

    def add_run(
        self,
        person: str,
        drill: str,
        day: date,
        passed: bool,
        score: int,
        skills: Sequence[str],
        body: Mapping[str, Any],
    ) -> None:
        """Keep a run that is over. body: plain values, as JSON holds them. Raises StoreError D330."""
        text = json.dumps(body, ensure_ascii=False, sort_keys=True)
        with self._change() as db:
            db.execute("BEGIN IMMEDIATE")
            db.execute(
                "INSERT INTO run (person, drill, day, passed, score, skills, body) VALUES (?, ?, ?, ?, ?, ?, ?)",
                (person, drill, day.isoformat(), int(passed), score, " ".join(skills), text),
            )
            db.execute("COMMIT")

    def runs(self, person: str = "", since: date = date.min) -> tuple[RunRow, ...]:
        """The runs of a person (of all), from a day on, oldest first."""
        sql = "SELECT no, person, drill, day, passed, score, skills, body FROM run WHERE day >= ?"
        values: list[str] = [since.isoformat()]
        if person:
            sql, values = f"{sql} AND person = ?", [*values, person]
        with self._change() as db:
            rows = db.execute(f"{sql} ORDER BY no", values).fetchall()
        return tuple(
            RunRow(
                no, who, drill, date.fromisoformat(day), bool(passed), score, tuple(skills.split()), json.loads(body)
            )
            for no, who, drill, day, passed, score, skills, body in rows
        )

    def shown(self) -> tuple[Shown, ...]:
        """Every skill that a run of a drill has shown, or failed to show."""
        with self._change() as db:
            rows = db.execute("SELECT person, drill, day, passed, skills FROM run ORDER BY no").fetchall()
        return tuple(
            Shown(person, skill, DRILL, date.fromisoformat(day), bool(passed), drill)
            for person, drill, day, passed, skills in rows
            for skill in skills.split()
        )

    def cards(self, person: str) -> dict[str, CardRow]:
        """How the questions stand with a person, by question."""
        with self._change() as db:
            rows = db.execute(
                "SELECT card, repetition, easiness, interval, due FROM card WHERE person = ?", (person,)
            ).fetchall()
        return {card: CardRow(card, n, ease, days, date.fromisoformat(due)) for card, n, ease, days, due in rows}

    def answered(self, person: str, row: CardRow, day: date, quality: int, skill: str) -> None:
        """Keep an answer and how the question stands after it. Raises StoreError D330."""
        with self._change() as db:
            db.execute("BEGIN IMMEDIATE")
            db.execute(
                "INSERT OR REPLACE INTO card VALUES (?, ?, ?, ?, ?, ?)",
                (person, row.card, row.repetition, row.easiness, row.interval, row.due.isoformat()),
            )
            db.execute(
                "INSERT INTO answer (person, card, day, quality, skill) VALUES (?, ?, ?, ?, ?)",
                (person, row.card, day.isoformat(), quality, skill),
            )
            db.execute("COMMIT")

    def missed(self, since: date) -> dict[str, tuple[int, int]]:
        """For each question since a day: how many people were asked, and how many answered it wrongly (quality < 3)."""
        with self._change() as db:
            rows = db.execute(
                "SELECT card, COUNT(DISTINCT person), COUNT(DISTINCT CASE WHEN quality < 3 THEN person END) "
                "FROM answer WHERE day >= ? GROUP BY card",
                (since.isoformat(),),
            ).fetchall()
        return {card: (asked, wrong) for card, asked, wrong in rows}

    @contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """A connection of its own, closed after the block. Raises StoreError D330."""
        try:
            db = sqlite3.connect(self.path, timeout=5, isolation_level=None)
            try:
                db.execute("PRAGMA journal_mode = WAL")
                db.execute("PRAGMA synchronous = FULL")
                yield db
            finally:
                db.close()
        except sqlite3.Error as fault:
            raise StoreError(_not_kept(self.path, str(fault))) from fault


def _not_kept(path: Path, detail: str) -> Problem:
    return Problem(
        "D330",
        "the book of practice in %(file)s cannot be read or written (%(detail)s)",
        "what was practised would be lost",
        "see that the data folder can be written; if the file is damaged, take it away: no real record is in it",
        slots={"file": path.name, "detail": detail},
    )


def _newer(path: Path, version: int) -> Problem:
    return Problem(
        "D331",
        "the book of practice in %(file)s is of version %(version)s, this program knows %(known)s",
        "a newer program wrote it",
        "use that program, or take the file away",
        slots={"file": path.name, "version": version, "known": VERSION},
    )
