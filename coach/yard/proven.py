"""Whether a procedure has a proof by this version of the kernel: what lets a real job start on it.

Rules kept here:
 1. Only the verdict 'proven' vouches; no proof, a search that met its limit, or a finding do not.
Knows nothing of: how a proof is found (prover).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from coach.core.model import Procedure
from coach.prover import proof_for


def vouches(folder: Path) -> Callable[[Procedure], bool]:
    """A function that answers for procedures; proofs are kept below `folder`."""
    return lambda procedure: proof_for(procedure, folder / "proofs").verdict == "proven"
