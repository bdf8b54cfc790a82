"""A real PostgreSQL for the record's tests, started once a session and only if a test asks for it.

COACH_POSTGRES: the address of a server to use instead (libpq form, a database in which schemas may be made).
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.record import jobs


def _program(name: str) -> str | None:
    found = shutil.which(name)
    if found:
        return found
    places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
    return str(places[-1]) if places else None


def _run_as(command: list[str]) -> None:
    """Run one of PostgreSQL's programs, which refuse to be root."""
    user = "postgres" if os.geteuid() == 0 else None
    done = subprocess.run(command, user=user, cwd="/", capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


class Server:
    """A PostgreSQL of our own in a folder of its own."""

    def __init__(self, folder: Path, control: str) -> None:
        self.folder = folder
        self.address = f"host={folder} user=coach dbname=postgres"
        self._control = [control, "-D", str(folder / "data"), "-w"]

    def start(self) -> None:
        options = f"-c listen_addresses= -c unix_socket_directories={self.folder}"
        _run_as([*self._control, "-l", str(self.folder / "log"), "-o", options, "start"])

    def crash(self) -> None:
        """Stop it as a power cut of the server's programs would: at once, without writing anything out."""
        _run_as([*self._control, "-m", "immediate", "stop"])


@contextmanager
def started_server() -> Iterator[Server]:
    """A server in a temporary folder, started and in the end stopped and taken away."""
    initdb, control = _program("initdb"), _program("pg_ctl")
    if not initdb or not control:
        pytest.skip("PostgreSQL is not installed")
    folder = Path(tempfile.mkdtemp(prefix="coach-pg-"))
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    data = str(folder / "data")
    _run_as([initdb, "-D", data, "-A", "trust", "-U", "coach", "-E", "UTF8", "--locale=C", "--data-checksums"])
    server = Server(folder, control)
    server.start()
    try:
        yield server
    finally:
        server.crash()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def own_server() -> Iterator[Server]:
    """A server that a test may crash and start again."""
    pytest.importorskip("psycopg")
    with started_server() as server:
        yield server


@pytest.fixture(scope="session")
def postgres(request: pytest.FixtureRequest) -> str:
    """The address of a server with an empty database."""
    given = os.environ.get("COACH_POSTGRES")
    return given or request.getfixturevalue("own_server").address


@pytest.fixture
def new_office(postgres: str) -> Callable[[Path], str]:
    """Gives the address of an empty ledger of its own for a folder; the same folder, the same ledger."""
    psycopg = pytest.importorskip("psycopg")

    def address(folder: Path) -> str:
        schema = "s" + hashlib.sha256(str(folder).encode()).hexdigest()[:20]
        with psycopg.connect(postgres, autocommit=True) as db:
            db.execute(f"CREATE SCHEMA IF NOT EXISTS {schema}")
        return f"{postgres} options=-csearch_path={schema}"

    return address


@pytest.fixture(params=["sqlite", "postgres"])
def both_stores(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Runs a test twice: `jobs.ledger` gives a ledger on SQLite, then on PostgreSQL."""
    if request.param == "postgres":
        from coach.record.postgres import PostgresDatabase

        address = request.getfixturevalue("new_office")
        monkeypatch.setattr(jobs, "OPEN", lambda folder: PostgresDatabase(address(folder)))
    return str(request.param)
