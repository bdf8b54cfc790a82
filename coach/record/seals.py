"""What a device puts its key to: the signature over a job's head, a review, and what stands against a job's seal.

Rules kept here:
 1. A job is sealed only when it is finished, its tail is this device's, and the monitor has nothing against it.
 2. The board's row of a job must be the one that its entries give.
Knows nothing of: databases. Called by: ledger.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coach.core.chain import Entry, head_message, verify
from coach.core.events import Event
from coach.core.problems import Problem, RecordError
from coach.record import refusals
from coach.record.keys import Signer
from coach.record.store import Head, JobParts, JobRow, Monitor, Signed
from coach.record.summary import OVER, SEALING, row_of

REVIEWABLE = OVER | {"sent_back"}
REVIEWING = frozenset({"sent_back", "accepted", "tag_cleared"})


def head_of(entries: Sequence[Entry]) -> Head:
    """The head after these entries, of which there is at least one."""
    last = entries[-1]
    return Head(last.job, last.seq, last.hash)


def signed_by(signer: Signer, head: Head) -> Signed:
    """The device's signature over a head."""
    message = head_message(head.job, head.seq, head.hash, signer.key_id)
    return Signed(head.seq, signer.key_id, signer.sign(message))


def is_review(row: JobRow, events: Sequence[Event]) -> bool:
    """Whether these events do no more than review a finished job, which any device of the yard may do."""
    return row.state in REVIEWABLE and all(event.kind in REVIEWING for event in events)


def refuse_seal(parts: JobParts, monitor: Monitor | None) -> None:
    """Raise what stands against sealing a job.

    Raises:
        RecordError R417: not finished, R418: the monitor objects, or there is none; R201 to R207, R422: the job was
            changed from outside.
    """
    faults = verify(parts.entries)
    if faults:
        raise RecordError(*faults)
    job, last = parts.job, parts.entries[-1]
    if not any(signed.seq == last.seq for signed in parts.signatures):
        raise RecordError(refusals.not_our_tail(job))
    if last.event.kind not in SEALING:
        raise RecordError(refusals.not_finished(job))
    if monitor is None:
        raise RecordError(refusals.objection(job, "no monitor has read it"))
    objections = monitor([entry.event for entry in parts.entries])
    if objections:
        raise RecordError(*(refusals.objection(job, each) for each in objections))


def row_faults(parts: JobParts, row: JobRow | None) -> list[Problem]:
    """What is wrong with the board's row of a job."""
    sealed = max((seal.seq for seal in parts.seals), default=0)
    try:
        due = row_of(parts.job, parts.entries, sealed, own=False)
    except RecordError:  # entries that are no events are named by the chain's own check
        return []
    if row is not None and replace(row, own=False) == due:
        return []
    return [refusals.wrong_row(parts.job)]
