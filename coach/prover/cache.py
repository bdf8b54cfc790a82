"""Proofs kept on disk, by the hash of the procedure and the version of the kernel, so that none is made twice.

Rules kept here:
 1. A kept proof counts only if it names this very hash and this very kernel; anything that cannot be read is as good
    as nothing, and the proof is made anew.
 2. A file appears whole or not at all: it is written beside its place and then moved there.
 3. Only a proven procedure is vouched for.
The folder belongs to the program's user: who can write there can also change the program. A proof is no seal.
Knows nothing of: how proofs are made.
Called by: cli, demo, tablet (through desk).
"""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from coach.core.model import Procedure
from coach.core.problems import Problem, StoreError
from coach.core.sizing.registry import FUNCTIONS
from coach.prover.cast import STANDARD
from coach.prover.context import Memory
from coach.prover.proof import PROVEN, Proof, as_json, from_json
from coach.prover.prove import prove
from coach.prover.version import kernel_version

FOLDER = "proofs"


def proof_for(procedure: Procedure, cache_dir: Path, memory: Memory | None = None) -> Proof:
    """The proof of a procedure, from the folder if it is there, else made and kept.

    Args:
        procedure: as the reader made it, with its hash.
        cache_dir: the folder of proofs; it is made if it is missing.
        memory: slices explored before in this program.

    Raises:
        StoreError V401: the proof cannot be written.
    """
    place = cache_dir / f"{procedure.hash}-{kernel_version()[:16]}.json"
    kept = _kept(place, procedure.hash)
    if kept is not None:
        return kept
    proof = prove(procedure, STANDARD, FUNCTIONS, memory=memory)
    if procedure.hash:
        _keep(place, proof)
    return proof


def vouches(folder: Path) -> Callable[[Procedure], bool]:
    """Who says whether a procedure is proven, for a desk whose data are in this folder."""
    memory: Memory = {}
    known: dict[str, bool] = {}

    def proven(procedure: Procedure) -> bool:
        if procedure.hash not in known or not procedure.hash:
            known[procedure.hash] = proof_for(procedure, folder / FOLDER, memory).verdict == PROVEN
        return known[procedure.hash]

    return proven


def _kept(place: Path, hash: str) -> Proof | None:
    """The proof at a place, if it can be read and is the one that is asked for."""
    try:
        proof = from_json(json.loads(place.read_text("utf-8")))
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None  # not there, cut short or of another form: it will be made anew
    return proof if proof.hash == hash and proof.kernel == kernel_version() else None


def _keep(place: Path, proof: Proof) -> None:
    text = json.dumps(as_json(proof), ensure_ascii=False, indent=1)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=place.parent, suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        os.replace(name, place)
    except OSError as error:
        raise StoreError(
            Problem("V401", "the proof cannot be kept: %(error)s", "it would be made again at each start", "make room, or mend the rights to the folder",
                    None, {"error": error.strerror or str(error)})
        ) from error
