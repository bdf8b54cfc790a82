"""The same review questions on a server: a yard's jobs in PostgreSQL give the answers that its tablet gives."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from coach.cli import main
from coach.practice.worker import Worker
from coach.record.office import open_office
from tests.helpers.yard_jobs import Yard


@pytest.fixture
def address(season_jobs: tuple[Yard, dict[str, Worker]], new_office: Callable[[Path], str], tmp_path: Path) -> str:
    """An office's ledger on a server with the jobs of the two weeks."""
    held, made = season_jobs[0].desk.ledger, new_office(tmp_path)
    office = open_office(made)
    answers = office.add_all([(held.parts(row.job), "") for row in held.jobs()])
    assert all(isinstance(answer, int) and answer > 0 for answer in answers)
    office.close()
    return made


@pytest.mark.parametrize(
    "words", [("review",), ("review", "--who", "ana", "--week", "2026-W45"), ("flames", "2026-11-04")]
)
def test_the_office_answers_as_the_tablet_does(
    season_jobs: tuple[Yard, dict[str, Worker]],
    address: str,
    capsys: pytest.CaptureFixture[str],
    words: tuple[str, ...],
) -> None:
    folder = str(season_jobs[0].desk.folder)
    said = []
    for more in ([], ["--office", address]):
        status = main(["--data", folder, *words, "--json", *more])
        said.append((status, json.loads(capsys.readouterr().out)))
    assert said[0] == said[1]
    assert said[0][1].get("jobs") or said[0][1]["flames"]


def test_a_server_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(tmp_path), "review", "--office", "host=/nowhere dbname=x"]) == 1
    assert "R451 the office's server cannot be reached" in capsys.readouterr().err
