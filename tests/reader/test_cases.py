"""Bad procedures as files named for the attack: the whole message is asserted, so that every word of it is meant."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from coach.core.problems import ProcedureError
from coach.reader import nodes
from coach.reader.schema import read_procedure
from tests.reader.case_text import CASES, all_cases, find_part, message_of

# What the pure Python scanner cannot read at all; the C scanner can, so the reader refuses it with a code of its own.
TOLD_OTHERWISE = {"comment-stuck-to-a-mark", "question-mark-in-brackets"}


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: case.stem)
def test_the_whole_message(case: Path) -> None:
    assert message_of(case) == case.with_suffix(".expected.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("case", all_cases(), ids=lambda case: case.stem)
def test_every_case_is_refused_with_place_reason_and_mend(case: Path) -> None:
    with pytest.raises(ProcedureError) as caught:
        read_procedure(case.read_bytes(), case.name, find_part)
    for problem in caught.value.problems:
        assert problem.place is not None and problem.place.file
        assert problem.why and problem.mend
        assert str(problem).count("%(") == 0


def test_every_expectation_has_its_case() -> None:
    cases = {case.stem for case in all_cases()}
    expected = {path.name.removesuffix(".expected.txt") for path in all_cases()[0].parent.glob("*.expected.txt")}
    assert expected == cases
    assert len(cases) >= 45


def test_the_pure_python_scanner_says_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Some builds of the YAML library lack its C part; the verdicts must not depend on it."""
    monkeypatch.setattr(nodes, "LOADER", yaml.SafeLoader)
    differing = {case.stem for case in all_cases() if message_of(case) != _expected(case)}
    assert differing == TOLD_OTHERWISE
    for name in TOLD_OTHERWISE:
        assert "P120 " in message_of(CASES / f"{name}.yaml")


def _expected(case: Path) -> str:
    return case.with_suffix(".expected.txt").read_text(encoding="utf-8")
