"""Takes what another device wrote of a job into the tables, within the caller's transaction.

Rules kept here:
 1. Entries that are held stay; the new ones must go on from them, or the job is refused as a fork before anything of it
    is written.
 2. Practice is never taken, and a job that was retired does not come back.
Knows nothing of: files, who may be believed (exchange has checked the parts). Called by: ledger.
"""

from __future__ import annotations

from coach.core.problems import RecordError
from coach.record import refusals, rows
from coach.record.board import Board
from coach.record.store import JobParts, Run, Transaction
from coach.record.summary import empty_row


def take(db: Transaction, run: Run, board: Board, parts: JobParts) -> int:
    """Store a job's parts; returns the number of entries that were new.

    Raises:
        RecordError R419: they tell another history than the one held, or they are practice. StoreError: the disk failed.
    """
    job = parts.job
    if parts.entries[0].event.data.get("practice") is not False:
        raise RecordError(refusals.is_practice(job))
    if rows.is_retired(run, job):
        return 0
    row = board.row(job)
    count = row.entries if row else 0
    goes_on = row is None or (count <= len(parts.entries) and parts.entries[count - 1].hash == row.head)
    if not goes_on and not rows.holds(run, parts.entries[-1]):
        raise RecordError(refusals.forked(job))
    new = parts.entries[count:]
    for item in parts.documents.items():
        db.execute(rows.PUT_DOCUMENT, item)
    numbers = {id: rows.key_number(db, id, public) for id, public in parts.keys.items()}
    rows.insert_entries(db, new, None)
    rows.insert_signed(db, "signature", job, parts.signatures, numbers)
    rows.insert_signed(db, "seal", job, parts.seals, numbers)
    board.put(db, row or empty_row(job, own=rows.is_begun(run, job)), new, [entry.event for entry in new])
    return len(new)
