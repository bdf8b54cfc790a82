"""The words of the ledger's refusals: one function a problem, so that ledger.py reads as rules.

Codes R409 to R423. Knows nothing of: SQL, files.
"""

from __future__ import annotations

from coach.core.problems import Problem


def stored_all_the_same(job: str) -> Problem:
    """The disk reported a failure, yet the act is in the file."""
    return Problem(
        "R409",
        "the last act on job '%(job)s' is in the ledger all the same",
        "the disk failed after it was written; doing it again would record it twice",
        "open the job again and go on from what it shows",
        slots={"job": job},
    )


def no_signer() -> Problem:
    """Writing without a key."""
    return Problem(
        "R410",
        "this ledger was opened without the device's key",
        "an entry without a signature could be anyone's",
        "open the ledger with the key of this device",
    )


def no_start(job: str) -> Problem:
    """A bad id, or a first event that does not start a job."""
    return Problem(
        "R411",
        "job '%(job)s' cannot be begun like this",
        "a job has an id of at most 64 letters, digits, '.', '_', '-', and begins with the event job_started",
        "choose another id, or start the job by its first event",
        slots={"job": job},
    )


def job_exists(job: str) -> Problem:
    """The id is taken."""
    return Problem(
        "R412",
        "job '%(job)s' exists",
        "two jobs under one id could not be told apart",
        "open that job, or begin the new one under another id",
        slots={"job": job},
    )


def no_document(hash: str) -> Problem:
    """A text that the start names is not there."""
    return Problem(
        "R413",
        "the text with hash %(hash)s, which the job's start names, was not given",
        "the record must show by which procedure and policy the job was done",
        "hand the procedure's and the policy's exact text to the ledger",
        slots={"hash": hash[:12]},
    )


def no_job(job: str) -> Problem:
    """Unknown id."""
    return Problem(
        "R414",
        "there is no job '%(job)s' in this ledger",
        "nothing can be read or added",
        "look for its id on the board, or with: coach list",
        slots={"job": job},
    )


def moved_on(job: str, seen: int, held: int) -> Problem:
    """Someone else added to the job meanwhile."""
    return Problem(
        "R415",
        "job '%(job)s' has %(held)d entries, %(seen)d were seen here",
        "another window or tablet went on with this job; what was decided here may no longer hold",
        "open the job again and look before you go on",
        slots={"job": job, "held": held, "seen": seen},
    )


def not_ours(job: str) -> Problem:
    """Going on with another device's job."""
    return Problem(
        "R416",
        "job '%(job)s' was begun on another device and is only reviewed here, when it is finished",
        "two devices that go on with one job make two histories of it",
        "go on with it on the device that began it",
        slots={"job": job},
    )


def not_finished(job: str) -> Problem:
    """A seal for a job that goes on."""
    return Problem(
        "R417",
        "job '%(job)s' is not finished",
        "a seal says that the job is over or was reviewed",
        "close the job or stop it safely first",
        slots={"job": job},
    )


def objection(job: str, text: object) -> Problem:
    """What the monitor has against a job."""
    return Problem(
        "R418",
        "job '%(job)s' is not sealed: %(text)s",
        "the log itself, read without the app's rules, must show that the job was safe",
        "keep the job as it is and call the supervisor; its events are kept",
        slots={"job": job, "text": text},
    )


def forked(job: str) -> Problem:
    """Two histories of one job."""
    return Problem(
        "R419",
        "job '%(job)s' is told in two ways",
        "one of the two was changed, or two devices went on with the same job",
        "keep both and call the supervisor",
        slots={"job": job},
    )


def wrong_row(job: str) -> Problem:
    """The index does not fit the entries."""
    return Problem(
        "R420",
        "the board's row of job '%(job)s' does not fit its entries",
        "the board would show something that did not happen",
        "make the rows anew from the entries",
        slots={"job": job},
    )


def damaged(text: str) -> Problem:
    """The database's own check."""
    return Problem(
        "R421",
        "the ledger's file is damaged: %(text)s",
        "entries may be unreadable",
        "keep the file as it is and bring back the last copy",
        slots={"text": text},
    )


def not_our_tail(job: str) -> Problem:
    """The last entries were not written by this device's app."""
    return Problem(
        "R422",
        "the last entries of job '%(job)s' were not written by this app",
        "someone changed the ledger's file from outside; to go on would sign what they wrote",
        "keep the file as it is and call the supervisor; begin the job anew under another id",
        slots={"job": job},
    )


def is_practice(job: str) -> Problem:
    """A job whose start does not say that it is a real one."""
    return Problem(
        "R423",
        "job '%(job)s' is practice, or does not say that it is not",
        "the ledger holds records of real work, and practice must never be taken for one",
        "start the job as a real one; practice is kept in the book of practice",
        slots={"job": job},
    )
