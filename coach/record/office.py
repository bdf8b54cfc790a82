"""Opens an office's ledger by its address: a server (PostgreSQL) or a file (SQLite), the same from there on.

Called by: custody, answers. Proved by: tests/record/test_custody.py.
"""

from __future__ import annotations

from pathlib import Path

from coach.core.problems import Problem, StoreError
from coach.record.keys import Signer
from coach.record.ledger import Ledger
from coach.record.store import Monitor


def open_office(address: str, signer: Signer | None = None, monitor: Monitor | None = None) -> Ledger:
    """The ledger at an address.

    Args:
        address: "postgresql://..." or libpq's words ("host=... dbname=..."), otherwise the path of a file.
        signer, monitor: as in Ledger.open.

    Raises:
        StoreError R452: the extra `office` is not installed, R451: the server cannot be reached, R401 to R408.
    """
    if not is_server(address):
        return Ledger.open(Path(address), signer, monitor)
    try:
        from coach.record.postgres import PostgresDatabase
    except ImportError:
        raise StoreError(_no_driver()) from None
    return Ledger(PostgresDatabase(address), signer, monitor)


def is_server(address: str) -> bool:
    """Whether an address names a server and not a file."""
    return address.startswith(("postgresql://", "postgres://")) or "dbname=" in address or "host=" in address


def _no_driver() -> Problem:
    return Problem(
        "R452",
        "this installation cannot speak to a PostgreSQL server",
        "its driver comes with the extra 'office' only",
        "install the app with the extra: pip install 'cover-coach[office]'",
    )
