"""The prover: explores the very kernel that runs a job, and says whether a procedure is safe on every boat.

`prove` is the whole of it: `structure` looks at words and dimensions, `gate_slices`, `debt_slices`, `dead_ends`,
`values` and `corrections` cut small procedures out of the whole one and explore them, `whole` walks through it uncut.
Each of these says why its way of cutting is sound. It imports core, and the reader where files are proven.
"""

from coach.prover.proof import Proof, as_json, render
from coach.prover.prove import prove

__all__ = ["Proof", "as_json", "prove", "render"]
