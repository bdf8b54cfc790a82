"""The board: the rows and marks that a ledger keeps beside its entries, so that 100,000 jobs are looked through fast.

Rules kept here:
 1. Rows and marks are made from entries by summary.py, and can be made anew at any time.
 2. The row of a job that is not over may lag; every answer from here is caught up in memory. Reading never writes.
Knows nothing of: signatures, who may write. Called by: ledger.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from coach.core.chain import ZEROS, Entry
from coach.core.events import Event
from coach.record import rows
from coach.record.store import Database, Head, JobQuery, JobRow, Mark, Transaction
from coach.record.summary import MARKED, empty_row, fits, row_after


class Board:
    """The index over one database's entries."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def jobs(self, query: JobQuery) -> list[JobRow]:
        """The rows that fit, in JobQuery's order."""
        found = [row for row in self._going(query.states) if fits(row, query)]
        found.sort(key=lambda row: (-row.updated, row.job))
        wanted = None if query.limit is None else query.offset + query.limit
        page = found[query.offset : wanted]
        left = None if query.limit is None else query.limit - len(page)
        if left != 0:
            page += self._over(query, max(0, query.offset - len(found)), left)
        return page

    def heads(self) -> list[Head]:
        """The head of every job by job, also of those that were retired."""
        over = self._database.rows("SELECT job, entries, head FROM job WHERE ended > 0", ())
        gone = self._database.rows("SELECT job, seq, hash FROM retired", ())
        heads = [Head(*row) for row in (*over, *gone)] + [Head(row.job, row.entries, row.head) for row in self._going()]
        return sorted(heads, key=lambda head: head.job)

    def marks(self, kinds: Sequence[str], since: int, until: int) -> list[Mark]:
        """Events of these kinds (of summary.MARKED) with since <= wall < until, oldest first."""
        sql = "SELECT job, seq, kind, wall FROM mark WHERE kind = ? AND wall >= ? AND wall < ?"
        found = [Mark(*row) for kind in kinds for row in self._database.rows(sql, (kind, since, until))]
        return sorted(found, key=lambda mark: (mark.wall, mark.job, mark.seq))

    def row(self, job: str) -> JobRow | None:
        """The row of one job, caught up; None if there is no such job."""
        found = self._database.rows(rows.ROW, (job,))
        return self._caught_up(rows.job_row(found[0])) if found else None

    def put(self, db: Transaction, row: JobRow, entries: Sequence[Entry], events: Sequence[Event]) -> JobRow:
        """Write the row of a job after `entries`, whose marks are written too; returns the row."""
        row = row_after(row, entries, events)
        for entry, event in zip(entries, events, strict=True):
            if event.kind in MARKED:
                db.execute(rows.PUT_MARK, (event.kind, event.at.wall, entry.job, entry.seq))
        sealed = self._database.rows("SELECT 1 FROM seal WHERE job = ? AND seq = ?", (row.job, row.entries))
        row = replace(row, sealed=bool(sealed))
        db.execute(rows.PUT_ROW, rows.row_values(row))
        return row

    def rebuild(self) -> int:
        """Make all rows and marks anew; returns the number of jobs."""
        with self._database.change() as db:
            db.execute("DELETE FROM job")
            db.execute("DELETE FROM mark")
            names = [name for (name,) in self._database.rows("SELECT DISTINCT job FROM entry")]
            for name in names:
                entries = rows.entries(self._database.rows, self._database.body, name)
                row = empty_row(name, rows.is_begun(self._database.rows, name))
                self.put(db, row, entries, [entry.event for entry in entries])
        return len(names)

    def catch_up(self, db: Transaction) -> None:
        """Write the rows that lag."""
        for (job,) in self._database.rows(rows.LAGGING):
            row = self.row(job)
            if row is not None:
                db.execute(rows.PUT_ROW, rows.row_values(row))

    def _going(self, states: tuple[str, ...] = ()) -> list[JobRow]:
        """The rows of all jobs that are not over, caught up; with states at least those in one of them."""
        lagging = {job for (job,) in self._database.rows(rows.LAGGING)}
        found = [rows.job_row(row) for row in self._database.rows(*rows.going(states))]
        late = [self.row(job) for job in lagging]  # whose state may be another by now
        return [row for row in found if row.job not in lagging] + [row for row in late if row is not None]

    def _over(self, query: JobQuery, offset: int, limit: int | None) -> list[JobRow]:
        """A page of the jobs that are over and fit, newest first.

        One statement a state: SQLite walks an index in order for each, but would sort all rows of several states.
        """
        if len(query.states) <= 1:
            state = query.states[0] if query.states else ""
            return [rows.job_row(values) for values in self._database.rows(*rows.over(query, state, limit, offset))]
        most = None if limit is None else offset + limit
        found: list[Any] = []
        for state in query.states:
            found += self._database.rows(*rows.over(query, state, most))
        found.sort(key=lambda values: (-values[rows.ENDED], values[0]))
        return [rows.job_row(values) for values in found[offset:most]]

    def _caught_up(self, row: JobRow) -> JobRow:
        entries = rows.entries(self._database.rows, self._database.body, row.job, row.entries, row.head or ZEROS)
        return row_after(row, entries, [entry.event for entry in entries])
