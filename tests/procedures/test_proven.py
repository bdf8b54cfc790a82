"""Every shipped procedure is proven by the prover, under a policy that sets nothing of its own."""

from __future__ import annotations

import pytest

from coach.core.policy import Policy
from coach.core.sizing.registry import FUNCTIONS
from coach.prover import prove, render
from coach.reader.load import list_procedures, load_procedure

POLICY = Policy("Pell Harbour Boatyard")


@pytest.mark.parametrize("id", [id for id, _ in list_procedures()])
def test_a_shipped_procedure_is_proven(id: str) -> None:
    proof = prove(load_procedure(id), POLICY, FUNCTIONS)
    assert proof.verdict == "proven", render(proof)
