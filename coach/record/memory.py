"""What a device remembers of its exchanges: files taken in, lists that tablets gave, and findings, which stay for good.

Knows nothing of: what a file or a list says. Called by: send, receive, the shells (findings).
"""

from __future__ import annotations

from dataclasses import astuple

from coach.record.rows import PUT_RECEIVED
from coach.record.store import Database, Finding


class Memory:
    """The memory in one ledger's database. Every method may raise StoreError: the disk failed."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def was_received(self, file_hash: str) -> bool:
        """Whether a file with this SHA-256 was taken in, or written by `send`, before."""
        return bool(self._database.rows("SELECT 1 FROM received WHERE hash = ?", (file_hash,)))

    def note_received(self, file_hash: str, job: str, seq: int) -> None:
        """Remember a file that was taken in whole."""
        with self._database.change() as db:
            db.execute(PUT_RECEIVED, (file_hash, job, seq))

    def note_finding(self, finding: Finding) -> bool:
        """Keep a finding for good; whether it is new."""
        with self._database.change() as db:
            sql = "INSERT INTO finding (code, job, text, kept, at) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING"
            return bool(db.execute(sql, astuple(finding)).rowcount == 1)

    def findings(self) -> list[Finding]:
        """All findings, oldest first."""
        sql = "SELECT code, job, text, kept, at FROM finding ORDER BY no"
        return [Finding(*row) for row in self._database.rows(sql)]

    def told(self, key_id: str) -> bytes | None:
        """The newest list of heads known of a tablet (headlist.py)."""
        found = self._database.rows("SELECT list FROM told WHERE key_id = ?", (key_id,))
        return found[0][0] if found else None

    def note_told(self, key_id: str, number: int, raw: bytes) -> None:
        """Keep a tablet's newer list in place of the older."""
        with self._database.change() as db:
            db.execute(
                "INSERT INTO told VALUES (?, ?, ?) ON CONFLICT (key_id) "
                "DO UPDATE SET number = excluded.number, list = excluded.list",
                (key_id, number, raw),
            )
