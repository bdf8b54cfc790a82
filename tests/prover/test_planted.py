"""Every planted fault is found and named, and no clean job is blamed."""

from __future__ import annotations

import pytest

from coach.core.sizing.registry import FUNCTIONS
from coach.prover import prove, render
from coach.prover.proof import PROVEN, REFUTED
from coach.prover.context import Memory
from tests.prover.build import POLICY
from tests.prover.planted import CLEAN, PLANTED, Planted

MEMORY: Memory = {}


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted.kind.replace(" ", "-"))
def test_a_planted_fault_is_found(planted: Planted) -> None:
    proof = prove(planted.make(), POLICY, FUNCTIONS, memory=MEMORY)
    assert proof.verdict == REFUTED
    found = {finding.problem.code for finding in proof.findings}
    assert found == planted.codes, render(proof)
    assert planted.about in {finding.about for finding in proof.findings}, render(proof)


@pytest.mark.parametrize("kind", CLEAN)
def test_a_clean_job_is_proven(kind: str) -> None:
    proof = prove(CLEAN[kind](), POLICY, FUNCTIONS, memory=MEMORY)
    assert proof.verdict == PROVEN, render(proof)
